"""The rows of readings: each number against the limits of its own moment, as typed."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import PlanBand, Readings, ReadPoint
from carelog.analysis.in_force import Held
from carelog.analysis.limits import CUFF, READ, UNITS, Against, Limit, held_against, range_words
from carelog.analysis.times import clock, month_day
from carelog.analysis.week import Review
from carelog.domain.entry import Details
from carelog.domain.field import Number
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, Instant
from carelog.domain.units import plain, with_unit
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.observations import OBSERVATIONS
from carelog.text import mark, say

_PLAN = mark("plan: {range}")
_NO_LIMIT = mark("no limit in the plan")
_NONE_THEN = mark("no limit")
_UNTIL = mark("{range} until {time}")
_THEN = mark("{earlier}, then {range}")
_AT = mark("{day}, {time}")
_MANY = mark("by the plan of each time; since {time}: {range}")
MOST_TOLD = 3
"""So many limits of a period are told with their times; of more, the newest."""

LimitSpan = tuple[Instant, Instant, Limit | None]
"""From when until when a limit of the plan held; None: it gave none."""


@dataclass(frozen=True)
class Measured:
    """Which numbers a row draws: the fields of a kind that are held against one limit."""

    kind: Kind
    limit: str
    fields: tuple[str, ...]

    @cached_property
    def own(self) -> Mapping[str, str]:
        """The unit of each field; empty: it stands beside the number in the entry."""
        found = {each.name: each.type for each in self.kind.fields if each.name in self.fields}
        return {name: each.unit for name, each in found.items() if isinstance(each, Number)}


def cuff(found: Gathered, name: str) -> Readings | None:
    """Cuff pressures as found; one that was left at another is told with it."""
    return _row(found, name, say(CUFF_PRESSURE.title), Measured(CUFF_PRESSURE, CUFF, ("value",)))


def observed(limit: str, title: str) -> Callable[[Gathered, str], Readings | None]:
    """How a row of one of the observations is made."""
    fields = tuple(each for each, which in READ[OBSERVATIONS.name].items() if which == limit)

    def made(found: Gathered, name: str) -> Readings | None:
        return _row(found, name, say(title), Measured(OBSERVATIONS, limit, fields))

    return made


def _row(found: Gathered, name: str, title: str, read: Measured) -> Readings | None:
    """None where nobody recorded any in the period."""
    span = found.review.period
    limits = list(limits_over(found.review, read.limit, span.start, span.judged, span.end))
    unit = next((limit.unit for _, _, limit in reversed(limits) if limit), "") or _usual_unit(found, read)
    cells: list[tuple[ReadPoint, ...] | None] = []
    for number, column in enumerate(found.axis.columns):
        points = []
        for held in found.of(read.kind.name, column):
            given = [each for each in read.fields if each in held.entry.details]
            if given:
                place = number + (held.time - column.start) / (column.end - column.start)
                beyond = found.beyond(held)
                points += [_point(read, held, each, unit, place, beyond) for each in given]
        cells.append(tuple(points) or None)
    if not any(cells):
        return None
    bands = tuple(_band(found, *each) for each in limits if each[2] is not None)
    words = limits_told(limits, span.home)
    return Readings(name, title, say(unit), tuple(cells), bands, words)


def _usual_unit(found: Gathered, read: Measured) -> str:
    """The unit of the newest reading, where no limit says one."""
    if read.limit in UNITS:
        return UNITS[read.limit]
    newest = found.review.reading.of(read.kind.name)
    return str(newest[-1].entry.details["unit"]) if newest else ""


def limits_over(
    review: Review, name: str, start: Instant, judged: Instant, end: Instant
) -> Iterator[LimitSpan]:
    """The plan's own limit over each plan's time, oldest first; what counts without a plan draws no band.

    No plan that begins at `judged` or later takes part.
    """
    since = [start, *(p.since for p in review.plans if start < p.since < judged)]
    for begin, stop in pairwise([*since, end]):
        given: Details = review.limits_at(begin).get(name) or {}
        limit = Against({name: given}, is_adult=False).limit(name) if given else None
        yield begin, stop, limit


def limits_told(found: Iterable[LimitSpan], home: Home) -> str:
    """The limit of a time in words; each with its span where it was changed."""
    told: list[tuple[Instant, str]] = []
    for start, _end, limit in found:
        words = range_words(limit) if limit is not None else ""
        if not told or words != told[-1][1]:
            told.append((start, words))
    ranges = [words or say(_NONE_THEN) for _, words in told]
    times = [say(_AT).format(day=month_day(home.day(at)), time=clock(home, at)) for at, _ in told]
    if not any(words for _, words in told):
        return say(_NO_LIMIT)
    if len(told) == 1:
        return say(_PLAN).format(range=ranges[0])
    if len(told) > MOST_TOLD:
        return say(_MANY).format(time=times[-1], range=ranges[-1])
    words = say(_UNTIL).format(range=ranges[0], time=times[1])
    for number, each in enumerate(ranges[1:], 1):
        is_last = number == len(ranges) - 1
        following = each if is_last else say(_UNTIL).format(range=each, time=times[number + 1])
        words = say(_THEN).format(earlier=words, range=following)
    return say(_PLAN).format(range=words)


def _band(found: Gathered, start: Instant, end: Instant, limit: Limit | None) -> PlanBand:
    assert limit is not None
    low, high = (_end(limit, name) for name in ("low", "high"))
    axis = found.axis
    last = float(axis.count) if end >= found.review.period.end else axis.part(end)
    return PlanBand(low, high, axis.part(start), last)


def _end(limit: Limit, name: str) -> Fraction | None:
    own = name in limit.own
    return Fraction(repr(limit.ends[name])) if own else None


def _point(
    read: Measured, held: Held, field: str, unit: str, place: float, beyond: Collection[str]
) -> ReadPoint:
    """One number; of a cuff it lies outside too where it was left so."""
    details = held.entry.details
    value = held_against(field, details, unit)
    own = read.own[field] or str(details["unit"])
    words = plain(details[field]) if own == unit else with_unit(details[field], say(own))
    left = plain(details["value_after"]) if "value_after" in details else ""
    return ReadPoint(place, value, words, field in beyond or "value_after" in beyond, left)
