"""Limits of a plan held against what is published: what is asked about once, and never refused.

The sources stand beside the values in `analysis.limits`; the plan always wins.
"""

from collections.abc import Iterator, Mapping

from carelog.analysis.limits import COLD, CUFF, CUFF_TARGET, FEVER, TEMPERATURE, VACUUM, VACUUM_MOST
from carelog.domain.entry import Details
from carelog.domain.units import Number, comparable, exact, with_unit
from carelog.kinds.plan import LIMITS
from carelog.text import mark, say

CHILDS_VACUUM: Mapping[str, Number] = {"kPa": 16, "mmHg": 120}
"""Under 18 or without a birth date: 120 mmHg = 16 kPa as a ceiling, AARC 2022 (67:258–271; FOUND)."""

_CUFF = mark(
    "Cuff: {typed} is outside 20 to 30 cmH2O. Papers give that range for adults. Some begin at 14 or 15."
)
_VACUUM = mark("Vacuum: {typed} is more than {most}. AARC 2010 gives that as the most.")
_CHILDS_VACUUM = mark("Vacuum: {typed} is more than {most}. AARC 2022 gives that as the most under 18.")
_FEVER = mark("Fever: {typed} is more than the usual 38 °C. That is common practice, no source.")
_COLD = mark("Cold: {typed} is less than the usual 35 °C. That is common practice, no source.")
_SWAPPED = mark(
    "{typed} as the {end} end of the temperature: then usual readings would be flagged. Is it the other end?"
)
_LEAST_HIGH, _MOST_LOW = 36, 37
"""°C: a high end at or under the one, or a low end at or over the other, lies among usual readings (common
practice, no source)."""
_CROSSED = mark("{name}: the low end is above the high end.")
_URGENT_INSIDE = mark("{name}: the urgent end lies inside the other one.")


def odd_limits(limits: Details, *, is_adult: bool) -> list[str]:
    """A sentence for each limit that is unlike what is published, or can't be meant so; usually empty."""
    return [
        *_cuff(limits.get(CUFF, {}), is_adult=is_adult),
        *_vacuum(limits.get(VACUUM, {}), is_adult=is_adult),
        *_temperature(limits.get(TEMPERATURE, {})),
        *_crossed(limits),
    ]


def _cuff(given: Details, *, is_adult: bool) -> Iterator[str]:
    """For an adult alone: nothing is published here for a child."""
    unit = given.get("unit", "")
    beyond = [
        end
        for end, is_beyond in (("low", -1), ("high", 1))
        if is_adult
        and end in given
        and (comparable(given[end], unit, CUFF_TARGET["unit"]) - exact(CUFF_TARGET[end])) * is_beyond > 0
    ]
    if beyond:
        typed = " / ".join(_with_cmh2o(given[end], unit) for end in beyond)
        yield say(_CUFF).format(typed=typed)


def _with_cmh2o(value: Number, unit: str) -> str:
    words = with_unit(value, say(unit))
    if unit == CUFF_TARGET["unit"]:
        return words
    return f"{words} = {with_unit(comparable(value, unit, CUFF_TARGET['unit']), CUFF_TARGET['unit'])}"


def _vacuum(given: Details, *, is_adult: bool) -> Iterator[str]:
    most, words = (VACUUM_MOST, _VACUUM) if is_adult else (CHILDS_VACUUM, _CHILDS_VACUUM)
    if "high" in given and exact(given["high"]) > exact(most[given["unit"]]):
        unit = given["unit"]
        yield say(words).format(most=with_unit(most[unit], unit), typed=with_unit(given["high"], unit))


def _temperature(given: Details) -> Iterator[str]:
    if given.get("high", FEVER) > FEVER:
        yield say(_FEVER).format(typed=with_unit(given["high"], "°C"))
    if given.get("low", COLD) < COLD:
        yield say(_COLD).format(typed=with_unit(given["low"], "°C"))
    if given.get("low", COLD) >= _MOST_LOW:
        yield say(_SWAPPED).format(typed=with_unit(given["low"], "°C"), end=say("low"))
    if given.get("high", FEVER) <= _LEAST_HIGH:
        yield say(_SWAPPED).format(typed=with_unit(given["high"], "°C"), end=say("high"))


def _crossed(limits: Details) -> Iterator[str]:
    for field in LIMITS.fields:
        ends = {end: exact(value) for end, value in limits.get(field.name, {}).items() if end != "unit"}
        low, high = ends.get("low"), ends.get("high")
        name = say(field.label)
        name = name[:1].upper() + name[1:]
        if low is not None and high is not None and low > high:
            yield say(_CROSSED).format(name=name)
        urgent_low, urgent_high = ends.get("urgent_low"), ends.get("urgent_high")
        if (low is not None and urgent_low is not None and urgent_low > low) or (
            high is not None and urgent_high is not None and urgent_high < high
        ):
            yield say(_URGENT_INSIDE).format(name=name)
