"""The days of a week at a glance: how many entries, and the one thing of each that stood out.

What stands out is chosen by what it means: an incident before a flag, a flag before a reading outside its
limits, that before what is rare. Nothing is said of a day on which none of these was: that is no judgement.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.limits import Outside
from carelog.analysis.outside import Judging
from carelog.domain.field import Number
from carelog.domain.flag import Flag, Level, Matter
from carelog.domain.moment import Home, Instant
from carelog.domain.units import plain, with_unit
from carelog.kinds import named_or_unknown
from carelog.kinds.incident import INCIDENT
from carelog.kinds.plan import PLAN
from carelog.text import mark, say

_PLAN = mark("plan changed")
Place = tuple[int, int]
"""How much it means: its level, then what it is among others of that level."""
_INCIDENT, _FLAG, _OUTSIDE, _RARE, _CHANGE = 4, 3, 2, 1, 0


@dataclass(frozen=True, slots=True)
class DayGlance:
    """One day at home: its entries in force, and in a few words what stood out (empty: nothing of these)."""

    day: date
    count: int
    words: str = ""


def glances(
    reading: Reading, judging: Judging, flags: Sequence[Flag], home: Home, days: Sequence[date]
) -> list[DayGlance]:
    """The days; `flags` are those that are known, whenever they were raised."""
    by_day: dict[date, list[Held]] = {day: [] for day in days}
    by_id = {each.id: held for held in reading.held for each in held.chain}
    shown_on = [(flag, _day_of(flag, by_id, home)) for flag in flags]
    for held in reading.held:
        day = home.day(held.time)
        if day in by_day:
            by_day[day].append(held)
    return [
        DayGlance(day, len(held), stood_out(held, judging, [flag for flag, on in shown_on if on == day]))
        for day, held in by_day.items()
    ]


def week_of(day: date) -> list[date]:
    """The seven days, Monday first, of the week that holds a day."""
    monday = day - timedelta(days=day.weekday())
    return [monday + timedelta(days=number) for number in range(7)]


def stood_out(held: Sequence[Held], judging: Judging, flags: Sequence[Flag]) -> str:
    """What means most among entries and flags, the newest of equals; empty where none says anything."""
    found: list[tuple[Place, Instant, str]] = [
        (_place(flag), flag.raised_at, flag.headline) for flag in flags if flag.matter is not Matter.LATENESS
    ]
    for each in held:
        found += [(place, each.time, words) for place, words in _of(each, judging)]
    return max(found, default=((0, 0), 0, ""))[2]


def _day_of(flag: Flag, by_id: Mapping[str, Held], home: Home) -> date:
    """When it was raised; of what was written or changed later, the day on which that had happened."""
    found = [by_id[each] for each in flag.entries if each in by_id]
    times = [held.time for held in found if held.known == flag.raised_at]
    return home.day(max(times, default=flag.raised_at))


def _place(flag: Flag) -> Place:
    return flag.level, _FLAG


def _of(held: Held, judging: Judging) -> Iterator[tuple[Place, str]]:
    kind, details = named_or_unknown(held.entry.kind), held.entry.details
    for each in judging.outside(held):
        yield (each.level, _OUTSIDE), outside_words(held, each)
    if kind.name == INCIDENT.name:
        if "ends" not in details:
            yield (Level.URGENT, _INCIDENT), kind.parts(details)[0]
    elif kind.is_weighty:
        yield (Level.CALL, _RARE), f"{say(kind.title)}"
    elif kind.name == PLAN.name:
        yield (Level.NOTE, _CHANGE), say(_PLAN)


def outside_words(held: Held, found: Outside) -> str:
    """A reading that lies outside, by itself: “Cuff pressure 34 cmH2O”."""
    kind, details = named_or_unknown(held.entry.kind), held.entry.details
    field = kind.field(found.field)
    unit = ""
    if field is not None and isinstance(field.type, Number):
        unit = str(details.get(field.type.unit_field, "")) or say(field.type.unit)
    value = details[found.field]
    words = with_unit(value, unit) if unit else plain(value)
    is_the_value = found.field in ("value", "value_after")
    label = say(field.label) if field is not None and not is_the_value else ""
    return f"{label or say(kind.title)} {words}"
