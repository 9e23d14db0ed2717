"""The limits of readings: which one holds, how a reading is held against it, and its words.

Comparing is inclusive, in the limit's unit: as typed when the units are the same, else converted and rounded
to the gauge's step. The plan's own number always wins; the few that count without one stand here with their
sources. Flags, marks on rows, sheets, the plan's page and the forms all ask here.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from carelog.analysis.cuff import LEFT_UP
from carelog.analysis.rules.rule import Source, Status
from carelog.domain.entry import Details
from carelog.domain.field import Group
from carelog.domain.field import Number as NumberField
from carelog.domain.flag import Level
from carelog.domain.kind import Kind
from carelog.domain.units import Number, celsius, comparable, exact, outermost, plain, with_unit
from carelog.kinds import ALL
from carelog.kinds.plan import LIMITS
from carelog.text import mark, say

CUFF = "cuff_pressure"
VACUUM = "vacuum"
TEMPERATURE = "temperature_c"


def _held(kind: Kind) -> dict[str, str]:
    numbers = [(each.name, each.type) for each in kind.fields if isinstance(each.type, NumberField)]
    return {name: number.limit for name, number in numbers if number.limit}


READ: Mapping[str, Mapping[str, str]] = {kind.name: fields for kind in ALL if (fields := _held(kind))}
"""Of each kind that is held against limits: its fields, and the plan's limit of each, as the kind says."""
_IN_PLAN = {each.name: each.type.fields for each in LIMITS.fields if isinstance(each.type, Group)}
_NUMBERS = {
    (name, each.name): each.type
    for name, ends in _IN_PLAN.items()
    for each in ends
    if isinstance(each.type, NumberField)
}
UNITS: Mapping[str, str] = {name: number.unit for (name, _), number in _NUMBERS.items() if number.unit}
"""The units of the limits that can have only one, as the plan's fields say."""
ENDS = ("low", "high", "urgent_low", "urgent_high")

FEVER = 38
"""°C, itself a fever already: common practice, no source; at every age, a rule and not a limit."""
COLD = 35
"""°C, itself not cold yet: common practice, no source; at every age."""
VACUUM_MOST: Mapping[str, int] = {"kPa": 20, "mmHg": 150}
"""For adults: 20 kPa = 150 mmHg, AARC 2010 (SECOND-HAND); AARC 2022 says below 200 mmHg (FOUND)."""
CUFF_TARGET: Details = {"low": 20, "high": 30, "unit": "cmH2O"}
"""Offered for an adult's first plan, never silent; the floor is disputed (14 and 15 are published too)."""
CUFF_EXTREME = 50
"""cmH2O: tracheal blood flow stops near 50 (Seegobin & van Hasselt, BMJ 1984;288:965–8; MEMORY)."""

VACUUM_SOURCES = (
    Source(mark("AARC 2010 (Respir Care 55:758–764), 20 kPa = 150 mmHg"), Status.SECOND_HAND),
    Source(mark("AARC 2022 (67:258–271), below 200 mmHg: the stricter is used"), Status.FOUND),
)
CUFF_SOURCES = (
    Source(mark("critical-care nursing review"), Status.FOUND),
    Source(mark("Seegobin & van Hasselt, BMJ 1984;288:965–8, why 30 and 50 cmH2O"), Status.MEMORY),
)


@dataclass(frozen=True, slots=True)
class Limit:
    """The limit of one reading: the number at each of its `ends`, as typed, all in one unit.

    At `low` and `high` a reading is inside; a temperature at `high` is outside (`is_from_high`). Beyond
    `urgent_low` and `urgent_high` it is urgent. `own` are the ends that the plan itself gives.
    """

    name: str
    unit: str
    ends: Mapping[str, Number]
    own: frozenset[str] = frozenset()

    @property
    def is_from_high(self) -> bool:
        """Whether the high end itself is outside already."""
        number = _NUMBERS.get((self.name, "high"))
        return number is not None and number.is_outside

    def beyond(self, value: Fraction) -> str:
        """The end that a reading, in the limit's unit, lies beyond: an urgent one first; else empty."""
        ends = {end: exact(number) for end, number in self.ends.items()}
        if "urgent_low" in ends and value < ends["urgent_low"]:
            return "urgent_low"
        if "urgent_high" in ends and value > ends["urgent_high"]:
            return "urgent_high"
        if "low" in ends and value < ends["low"]:
            return "low"
        if "high" in ends and (value >= ends["high"] if self.is_from_high else value > ends["high"]):
            return "high"
        return ""


@dataclass(frozen=True, slots=True)
class Cuff:
    """How the cuff stood when its pressure was read: whether it is air, and up just before and after."""

    is_air: bool = True
    was_up: bool = True
    is_up: bool = True


@dataclass(frozen=True, slots=True)
class Against:
    """What readings of one moment are held against: the plan's limits, the person's age, the cuff."""

    given: Details
    is_adult: bool
    cuff: Cuff = Cuff()

    def limit(self, name: str, unit: str = "") -> Limit | None:
        """The limit of that name; `unit` is the reading's, for those that count without a plan."""
        given: Details = self.given.get(name) or {}
        ends: dict[str, Number] = {end: given[end] for end in ENDS if end in given}
        own = frozenset(ends)
        if name == TEMPERATURE:
            ends = {"low": COLD, "high": FEVER, **ends}
        elif name == VACUUM and not ends and self.is_adult:
            unit = unit or "kPa"
            ends = {"high": VACUUM_MOST[unit]}
            return Limit(name, unit, ends)
        return Limit(name, given.get("unit") or UNITS[name], ends, own) if ends else None


def limit_of(name: str, given: Details) -> Limit | None:
    """The limit that a plan's own numbers make; None where it gives none."""
    limit = Against({name: given}, is_adult=False).limit(name)
    return _part(limit, limit.own) if limit is not None and limit.own else None


@dataclass(frozen=True, slots=True)
class Outside:
    """One number of an entry beyond its limit: the field, the limit and which end of it."""

    field: str
    limit: Limit
    end: str

    @property
    def is_high(self) -> bool:
        """Whether it lies above."""
        return self.end.endswith("high")

    @property
    def is_urgent(self) -> bool:
        """Whether it lies beyond an end that the plan calls urgent."""
        return self.end.startswith("urgent")

    @property
    def level(self) -> Level:
        """How serious a reading of the observations is by it."""
        return Level.URGENT if self.is_urgent else Level.CALL


def outside(kind: str, details: Details, against: Against) -> tuple[Outside, ...]:
    """The numbers of an entry that lie outside, in the order of the fields; empty for other kinds."""
    return tuple(_outside(kind, details, against))


def _outside(kind: str, details: Details, against: Against) -> Iterator[Outside]:
    for field, name in READ.get(kind, {}).items():
        if field not in details or not is_judged(field, details, against.cuff):
            continue
        limit = against.limit(name, details.get(f"{field}_unit", ""))
        end = limit.beyond(held_against(field, details, limit.unit)) if limit is not None else ""
        if limit is not None and end:
            yield Outside(field, limit, end)


def side(field: str, details: Details, cuff: Cuff, found: Collection[Outside]) -> int | None:
    """Where a cuff's pressure lies, by what was found: −1 below, 1 above, 0 inside; None: unjudged."""
    if field not in details or not is_judged(field, details, cuff):
        return None
    beyond = next((each for each in found if each.field == field), None)
    return 0 if beyond is None else 1 if beyond.is_high else -1


def is_extreme(details: Details) -> bool:
    """Whether a cuff was found, or left, above 50 cmH2O."""
    values = [details[name] for name in ("value", "value_after") if name in details]
    return any(comparable(value, details["unit"], "cmH2O") > CUFF_EXTREME for value in values)


def is_judged(field: str, details: Details, cuff: Cuff) -> bool:
    """Whether a number says anything: a cuff's pressure only of an air cuff that is up."""
    if field == "value_after":
        return cuff.is_air and cuff.is_up
    if field == "value":
        is_up = cuff.was_up or comparable(details["value"], details["unit"], "cmH2O") >= LEFT_UP
        return cuff.is_air and is_up
    return True


def held_against(field: str, details: Details, unit: str) -> Fraction:
    """A number of an entry in the unit of its limit, as it is compared."""
    value = details[field]
    if field == "temperature_f":
        return celsius(value)
    if field in ("value", "value_after"):
        return comparable(value, details["unit"], unit)
    return comparable(value, details["vacuum_unit"], unit) if field == "vacuum" else exact(value)


def on_gauge(limit: Limit, unit: str) -> Limit:
    """A pressure's limit as a gauge in this unit shows it: the last readings inside, to the gauge's step."""
    ends = {
        end: outermost(number, limit.unit, unit, is_low=end.endswith("low"))
        for end, number in limit.ends.items()
    }
    shown = {end: int(each) if each.denominator == 1 else float(each) for end, each in ends.items()}
    return Limit(limit.name, unit, shown, limit.own)


# Words ----------------------------------------------------------------------------------------------------

_FROM_TO = mark("{low} to {high}")
_AT_LEAST = mark("at least {low}")
_AT_MOST = mark("at most {high}")
_UNDER = mark("below {high}")
_BOTH = mark("{low} and {high}")
_URGENT_BELOW = mark("urgent below {limit}")
_URGENT_ABOVE = mark("urgent above {limit}")
_BELOW = mark("below {limit}")
_ABOVE = mark("above {limit}")
_OR_MORE = mark("{limit} or more")
_CALLED_URGENT = mark("{words}, urgent in the plan")
WORDS = (_BELOW, _ABOVE, _OR_MORE, _CALLED_URGENT)
"""What the marks of readings outside are made of, for whoever looks for one."""
_PLAN_SAYS = mark("The plan says {range}.")
_COUNTS = mark("No limit in the plan: {range} counts.")
_ADULTS = mark("No limit in the plan: for an adult {range}.")
_NOT_IN_PLAN = mark("{range} (not in the plan)")
_NONE_SET = mark("no limit set for {names}")


def limit_names() -> list[tuple[str, str]]:
    """Every limit that a plan may give, and its words, in the order of the plan's form."""
    return [(each.name, say(each.label)) for each in LIMITS.fields]


def range_words(limit: Limit) -> str:
    """What is inside, each number with its unit: “20 to 30 cmH2O”, “at least 92 %, urgent below 88 %”."""
    unit = say(limit.unit)
    words = {end: with_unit(number, unit) for end, number in limit.ends.items()}
    parts = [_inside_words(limit, words)]
    if "urgent_low" in words:
        parts.append(say(_URGENT_BELOW).format(limit=words["urgent_low"]))
    if "urgent_high" in words:
        parts.append(say(_URGENT_ABOVE).format(limit=words["urgent_high"]))
    return ", ".join(part for part in parts if part)


def _inside_words(limit: Limit, words: Mapping[str, str]) -> str:
    low, high = words.get("low"), words.get("high")
    if low is not None and high is not None and not limit.is_from_high:
        return say(_FROM_TO).format(low=plain(limit.ends["low"]), high=high)
    least = say(_AT_LEAST).format(low=low) if low is not None else ""
    most = say(_UNDER if limit.is_from_high else _AT_MOST).format(high=high) if high is not None else ""
    return say(_BOTH).format(low=least, high=most) if least and most else least or most


def outside_words(found: Outside) -> str:
    """Which limit a number lies beyond: “above 30 cmH2O”, “38 °C or more”."""
    limit = with_unit(found.limit.ends[found.end], say(found.limit.unit))
    if found.end == "high" and found.limit.is_from_high:
        return say(_OR_MORE).format(limit=limit)
    words = say(_ABOVE if found.is_high else _BELOW).format(limit=limit)
    return say(_CALLED_URGENT).format(words=words) if found.is_urgent else words


def limit_words(found: Outside) -> str:
    """The sentence that gives the limit a number lies beyond, and by whose word it counts."""
    limit = found.limit
    if found.end in limit.own:
        return say(_PLAN_SAYS).format(range=range_words(_part(limit, limit.own)))
    words = _ADULTS if limit.name == VACUUM else _COUNTS
    return say(words).format(range=range_words(_part(limit, limit.ends.keys() - limit.own)))


def _part(limit: Limit, ends: Collection[str]) -> Limit:
    """Some ends of a limit."""
    return replace(limit, ends={end: number for end, number in limit.ends.items() if end in ends})


def plan_says(limit: Limit) -> str:
    """The sentence that gives a plan's limit."""
    return say(_PLAN_SAYS).format(range=range_words(limit))


def limits_of_plan(given: Details, is_adult: bool) -> tuple[list[tuple[str, str]], str]:
    """Each limit's name with its words, by whose word it counts; and the sentence of those not set."""
    against, found, none = Against(given, is_adult), [], []
    for name, words in limit_names():
        limit = against.limit(name)
        if limit is None:
            none.append(words)
            continue
        own, other = _part(limit, limit.own), _part(limit, limit.ends.keys() - limit.own)
        parts = [range_words(own)] if own.ends else []
        parts += [say(_NOT_IN_PLAN).format(range=range_words(other))] if other.ends else []
        found.append((words, "; ".join(parts)))
    return found, say(_NONE_SET).format(names=", ".join(none)) if none else ""
