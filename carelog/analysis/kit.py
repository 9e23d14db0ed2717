"""The kit's answers: tube and age, catheter sizes, spare-tube box, supplies."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from carelog.analysis.box import Box, box
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.people import person
from carelog.analysis.plans import plan_at
from carelog.analysis.supplies import Supply, supplies
from carelog.analysis.tube import tube_in_place
from carelog.domain.entry import Details, Json
from carelog.domain.moment import Home, Instant, whole_second
from carelog.domain.units import Number, exact


@dataclass(frozen=True, slots=True)
class Catheter:
    """Suction catheter sizes in Fr; None where the inner diameter, or an adult, isn't known."""

    rule_a: int | None
    rule_b: int | None
    suggested: int | None
    prescribed: Number | None


@dataclass(frozen=True, slots=True)
class Kit:
    """What is known of the kit at a moment."""

    home: Home
    tube: Held | None
    age_days: int | None
    catheter: Catheter
    box: Box
    supplies: tuple[Supply, ...]

    def json(self) -> dict[str, Json]:
        """The answer of `carelog kit`."""
        return {
            "tube": self._tube(),
            "catheter_fr": {
                "rule_a": self.catheter.rule_a,
                "rule_b": self.catheter.rule_b,
                "suggested": self.catheter.suggested,
                "prescribed": self.catheter.prescribed,
            },
            "box": {
                "complete": self.box.complete,
                "missing": list(self.box.missing),
                "opened": list(self.box.opened),
                "expired": list(self.box.expired),
                "expiring": list(self.box.expiring),
                "wrong_size": list(self.box.wrong_size),
                "checked_at": self._time(self.box.check),
            },
            "supplies": [_supply(each) for each in self.supplies],
        }

    def _tube(self) -> dict[str, Json] | None:
        if self.tube is None:
            return None
        details = self.tube.entry.details
        return {**details, "age_days": self.age_days, "next_due": details.get("next_due")}

    def _time(self, held: Held | None) -> str | None:
        return None if held is None else self.home.moment(whole_second(held.time)).text()


def _supply(each: Supply) -> dict[str, Json]:
    return {
        "item": each.item,
        "count": _number(each.count),
        "per_day": _number(each.per_day),
        "days_left": _number(each.days_left),
        "order_by": None if each.order_by is None else str(each.order_by),
    }


def _number(value: Fraction | None) -> Any:
    if value is None:
        return None
    try:
        return value.numerator if value.denominator == 1 else float(value)
    except OverflowError:
        return None


def inner_diameter(tube: Details) -> int | None:
    """The inner diameter that a catheter passes, in tenths of a millimetre: the inner tube's, if any."""
    value = tube.get("inner_id_mm") if tube["inner_tube"] != "none" else tube["id_mm"]
    return None if value is None else (exact(value) * 10).__floor__()


def rule_a(tenths: int) -> int:
    """(ID − 2) × 2 Fr, rounded down to an even number; ID in tenths of a millimetre (common practice)."""
    return max((tenths - 20) * 2 // 20 * 2, 0)


def rule_b(tenths: int) -> int:
    """The largest even Fr with 2 × Fr ≤ 3 × ID: at most half the ID (AARC 2010: less than half)."""
    return max(3 * tenths // 40 * 2, 0)


def catheter(tube: Details | None, is_adult: bool | None, prescribed: Number | None) -> Catheter:
    """Both rules and the smaller answer; none for a person known to be under 18."""
    tenths = None if tube is None or is_adult is False else inner_diameter(tube)
    if tenths is None:
        return Catheter(None, None, None, prescribed)
    first, second = rule_a(tenths), rule_b(tenths)
    return Catheter(first, second, min(first, second), prescribed)


def kit(reading: Reading, now: Instant) -> Kit:
    """The kit by the entries read, at `now`."""
    home, today = reading.home, reading.home.day(now)
    tube, plan = tube_in_place(reading), plan_at(reading, now)
    checks, is_adult = reading.of("box_check"), person(reading).is_adult(today)
    return Kit(
        home=home,
        tube=tube,
        age_days=None if tube is None else max((today - home.day(tube.time)).days, 0),
        catheter=catheter(
            tube.entry.details if tube is not None else None,
            is_adult,
            plan.details.get("catheter_fr") if plan is not None else None,
        ),
        box=box(checks[-1] if checks else None, tube, plan, today, is_adult),
        supplies=tuple(supplies(reading, plan, now)),
    )
