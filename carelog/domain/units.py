"""Units of pressure, temperature and catheter size, and comparing a reading with a limit.

Factors: NIST SP 811 table B.8 (MEMORY) for the conventional millimetre of mercury and centimetre of water;
UCUM m[H2O] = 9.80665 kPa (FOUND); 1 Fr = 1/3 mm (UCUM, ISO 8836; FOUND). Everything is exact: Fractions.
"""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache

Number = int | float

PASCAL: dict[str, Fraction] = {
    "cmH2O": Fraction("98.0665"),
    "mmHg": Fraction("133.322387415"),
    "kPa": Fraction(1000),
}
STEP: dict[str, Fraction] = {
    "cmH2O": Fraction(1),
    "mmHg": Fraction(1),
    "kPa": Fraction(1, 10),
    "C": Fraction(1, 10),
}


@lru_cache(maxsize=4096)  # a gauge shows few values, and a record asks for them again and again
def exact(value: Number) -> Fraction:
    """The number as it was typed: 0.1 is one tenth, not the nearest double."""
    return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)


def rounded(value: Fraction, step: Fraction) -> Fraction:
    """Rounded to a gauge's step, halves away from zero."""
    quotient = value / step
    whole = (abs(quotient) + Fraction(1, 2)).__floor__()
    return step * (whole if quotient >= 0 else -whole)


def pressure(value: Number, unit: str, into: str) -> Fraction:
    """A pressure in another unit, exact; in its own unit as typed. Units: cmH2O, mmHg, kPa."""
    return exact(value) if unit == into else exact(value) * PASCAL[unit] / PASCAL[into]


def comparable(value: Number, unit: str, limit_unit: str) -> Fraction:
    """A pressure as held against a limit: as typed in the same unit, else rounded to that gauge's step."""
    return (
        exact(value) if unit == limit_unit else rounded(pressure(value, unit, limit_unit), STEP[limit_unit])
    )


def outermost(limit: Number, limit_unit: str, unit: str, *, is_low: bool) -> Fraction:
    """The last reading inside a limit on a gauge in `unit`, to that gauge's step: 20 cmH2O is from 15 mmHg.

    In the limit's own unit the limit itself.
    """
    if unit == limit_unit:
        return exact(limit)
    step = STEP[unit]
    near = rounded(pressure(limit, limit_unit, unit), step)
    inside = [
        each
        for each in (near + count * step for count in range(-_NEAR, _NEAR + 1))
        if _is_inside(rounded(each * PASCAL[unit] / PASCAL[limit_unit], STEP[limit_unit]), limit, is_low)
    ]
    return min(inside) if is_low else max(inside)


_NEAR = 8  # steps: a step of the coarsest gauge (mmHg) is less than 2 of the finest (0.1 kPa)


def _is_inside(held: Fraction, limit: Number, is_low: bool) -> bool:
    return held >= exact(limit) if is_low else held <= exact(limit)


def celsius(fahrenheit: Number) -> Fraction:
    """°C = (°F − 32) / 1.8, rounded to 0.1 °C as it is held against a limit."""
    return rounded((exact(fahrenheit) - 32) / Fraction("1.8"), STEP["C"])


def plain(value: Number | Fraction) -> str:
    """A number for people: leading zero, no trailing zero (0.5, 8, 37.2)."""
    whole = value if isinstance(value, Fraction) else exact(value)
    if whole.denominator == 1:
        return str(whole.numerator)
    quotient = Decimal(whole.numerator) / Decimal(whole.denominator)
    text = format(
        quotient.quantize(Decimal("0.000001"), ROUND_HALF_UP) if abs(quotient) < 10**9 else quotient, "f"
    )
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_unit(value: Number | Fraction, unit: str) -> str:
    """Number and unit, which never part (a no-break space between them)."""
    return f"{plain(value)}\N{NO-BREAK SPACE}{unit}"
