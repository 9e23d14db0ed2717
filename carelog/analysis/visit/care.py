"""The figures of suction, inner tube, cuff, stoma and readings: folded from the rows of the course."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from carelog.analysis.between import between
from carelog.analysis.compare import LEAST_BEFORE, LEAST_SHARE
from carelog.analysis.course.readings import limits_over, limits_told
from carelog.analysis.course.rows import Counts, Readings, Signs
from carelog.analysis.course.secretions import blood_rank
from carelog.analysis.in_force import Held
from carelog.analysis.limits import CUFF, READ
from carelog.analysis.times import short_day
from carelog.analysis.usual.day import counted_kind
from carelog.analysis.usual.scale import COLOUR_CLASS, STAINED_FROM
from carelog.analysis.visit.cufftime import cuff_time
from carelog.analysis.visit.figure import FigureRow, Half, VisitFigure, ids
from carelog.domain.field import Choice
from carelog.domain.kind import Kind
from carelog.domain.moment import HOUR
from carelog.domain.units import plain, with_unit
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.observations import OBSERVATIONS
from carelog.kinds.stoma import STOMA
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say

_USUALLY = mark("usually {range}")
_UNLIKE = mark("usually {range}; not so on {days}")
_OF = mark("{count} of {all}")
_INSIDE = mark("{count} of {all} inside")
_PART = mark("{percent} % of {hours} h inside")
_NO_TIME = mark("no reading tells")
_NO_LIMITS = mark("no limits in the plan")
_RECKONED = mark("by the last reading, 24 h at most, with the cuff up")
_WORSE = mark("worse {count} of {all}: {words}")
_LOOKED = mark("looked at {all}, nothing worse")
_RANGE = mark("{low} to {high}")
_OUTSIDE = mark("{range}, {count} outside")
MOST_DAYS = 3


@dataclass(frozen=True, slots=True)
class Part:
    """Of the entries of a kind that give a field, those that say one of some values."""

    name: str
    title: str
    kind: Kind
    fields: tuple[str, ...]
    is_one: Callable[[Held], bool]


def _values(kind: Kind, field: str, first: int) -> Collection[str]:
    """A field's choices from one of them on."""
    found = kind.field(field)
    assert found is not None
    assert isinstance(found.type, Choice)
    return {str(option.value) for option in found.type.options[first:]}


def _says(kind: Kind, field: str, first: int) -> Callable[[Held], bool]:
    values = _values(kind, field, first)
    return lambda held: held.entry.details.get(field) in values


def _is_stained(held: Held) -> bool:
    return COLOUR_CLASS.get(str(held.entry.details.get("colour")), 0) >= STAINED_FROM


PARTS = (
    Part("thick", mark("Thick or thicker"), SUCTION, ("consistency",), _says(SUCTION, "consistency", 1)),
    Part("large", mark("Large amount"), SUCTION, ("amount",), _says(SUCTION, "amount", 2)),
    Part("stained", mark("Yellow, green or brown"), SUCTION, ("colour",), _is_stained),
    Part(
        "blood",
        mark("Blood seen"),
        SUCTION,
        ("colour", "blood"),
        lambda held: blood_rank(held.entry.details) > 0,
    ),
    Part("found", mark("Inner tube crusted or worse"), INNER_TUBE, ("found",), _says(INNER_TUBE, "found", 2)),
)


def suctions(here: Half, before: Half) -> FigureRow:
    """How many a day, against what is usual as it stands on the last of the days."""
    row = here.rows.get("suctions")
    return FigureRow(
        "suctions",
        say(mark("Suctions a day")),
        (_a_day(here),),
        (_a_day(before),),
        _usual(here, row) if isinstance(row, Counts) else "",
    )


def _a_day(half: Half) -> VisitFigure:
    row = half.rows.get("suctions")
    if not isinstance(row, Counts):
        return half.nothing()
    known = [cell for cell in row.cells if cell is not None]
    if not known:
        return half.nothing()
    lows = [cell.low for cell in known if cell.is_over] or [cell.low for cell in known]
    counted = [held for held in half.of(SUCTION.name) if _is_counted(held)]
    is_unlike = any(row.is_outside(number) for number in range(len(row.cells)))
    return VisitFigure(between(min(lows), max(cell.high for cell in known)), ids(counted), (), is_unlike)


def _is_counted(held: Held) -> bool:
    return counted_kind(SUCTION.name, held.entry.details) == SUCTION.name


def _usual(half: Half, row: Counts) -> str:
    usual = next((each for each in reversed(row.usual) if each), None)
    if usual is None:
        return ""
    axis = half.gathered.axis
    days = [axis.first_day(number) for number in range(axis.count) if row.is_outside(number)]
    words = ", ".join(map(short_day, days[:MOST_DAYS])) + (" …" if len(days) > MOST_DAYS else "")
    return say(_UNLIKE if days else _USUALLY).format(range=between(*usual), days=words)


def part(each: Part, here: Half, before: Half) -> FigureRow:
    """How many of those that say anything say this; marked where the share grew as a sheet would print it."""
    found = [_share(each, half) for half in (here, before)]
    (one, whole), (other, all_before) = ((len(these), count) for these, count in found)
    grew = bool(whole and all_before >= LEAST_BEFORE) and one / whole - other / all_before >= LEAST_SHARE
    figures = [
        VisitFigure(say(_OF).format(count=len(these), all=count), ids(these), (), is_marked)
        if count
        else half.nothing()
        for (these, count), half, is_marked in zip(found, (here, before), (grew, False), strict=True)
    ]
    return FigureRow(each.name, say(each.title), (figures[0],), (figures[1],))


def _share(each: Part, half: Half) -> tuple[list[Held], int]:
    said = [
        held for held in half.of(each.kind.name) if any(name in held.entry.details for name in each.fields)
    ]
    return [held for held in said if each.is_one(held)], len(said)


def cuff(here: Half, before: Half) -> FigureRow:
    """How many readings lie inside the limits of their moment."""
    row = here.rows.get("cuff") or before.rows.get("cuff")
    beside = _limits(here, before, CUFF) if isinstance(row, Readings) else ""
    return FigureRow("cuff", say(CUFF_PRESSURE.title), (_cuff(here),), (_cuff(before),), beside)


def _limits(here: Half, before: Half, name: str) -> str:
    """The limits that both periods' figures are held against, each with its span where they were changed."""
    review, spans = here.review, (here.review.period, before.review.period)
    start, judged = min(each.start for each in spans), max(each.judged for each in spans)
    return limits_told(limits_over(review, name, start, judged, judged), review.period.home)


def _cuff(half: Half) -> VisitFigure:
    row = half.rows.get("cuff")
    if not isinstance(row, Readings):
        return half.nothing()
    points = [point for cell in row.cells for point in cell or ()]
    outside = sum(point.is_outside for point in points)
    words = say(_INSIDE).format(count=len(points) - outside, all=len(points))
    return VisitFigure(words, ids(half.of(CUFF_PRESSURE.name)), (), outside > 0)


def cuff_hours(here: Half, before: Half) -> FigureRow:
    """For how much of the time it is known to have been inside."""
    beside = say(_RECKONED)
    return FigureRow("cuff_time", say(mark("Cuff, by time")), (_time(here),), (_time(before),), beside)


def _time(half: Half) -> VisitFigure:
    found = cuff_time(half.review)
    if found is None:
        return VisitFigure(say(_NO_LIMITS))
    if not found.known:
        return VisitFigure(say(_NO_TIME))
    words = say(_PART).format(percent=found.percent, hours=found.known // HOUR)
    return VisitFigure(words, ids(found.entries), (), found.outside > 0)


def stoma(here: Half, before: Half) -> FigureRow:
    """How often somebody looked, and what was worse than before."""
    return FigureRow("stoma", say(STOMA.title), (_stoma(here),), (_stoma(before),))


def _stoma(half: Half) -> VisitFigure:
    row, looks = half.rows.get("stoma"), half.of(STOMA.name)
    if not isinstance(row, Signs) or not looks:
        return half.nothing()
    worse = [cell for cell in row.cells if cell is not None and cell.words]
    if not worse:
        return VisitFigure(say(_LOOKED).format(all=len(looks)), ids(looks))
    told = ", ".join(dict.fromkeys(word for cell in worse for word in cell.words.split(", ")))
    times = sum(cell.times for cell in worse)
    return VisitFigure(
        say(_WORSE).format(count=times, all=len(looks), words=told), ids(looks), (), is_marked=True
    )


OBSERVED = (
    ("temperature", "temperature_c"),
    ("spo2", "spo2_percent"),
    ("pulse", "pulse_per_min"),
    ("breaths", "breaths_per_min"),
    ("oxygen", "oxygen_l_min"),
)
"""Rows of the course, each with the limit that its numbers are held against."""


def readings(here: Half, before: Half) -> Iterator[FigureRow]:
    """The lowest and the highest of each number that was read in either period."""
    for name, limit in OBSERVED:
        rows = [half.rows.get(name) for half in (here, before)]
        shown = next((row for row in rows if isinstance(row, Readings)), None)
        if shown is not None:
            title = shown.title
            figures = [_read(half, name, limit) for half in (here, before)]
            yield FigureRow(name, title, (figures[0],), (figures[1],), _limits(here, before, limit))


def _read(half: Half, name: str, limit: str) -> VisitFigure:
    row = half.rows.get(name)
    if not isinstance(row, Readings):
        return half.nothing()
    points = [point for cell in row.cells for point in cell or ()]
    low, high = min(point.value for point in points), max(point.value for point in points)
    outside = sum(point.is_outside for point in points)
    words = with_unit(high, row.unit)
    if low != high:
        words = say(_RANGE).format(low=plain(low), high=words)
    if outside:
        words = say(_OUTSIDE).format(range=words, count=outside)
    fields = [field for field, which in READ[OBSERVATIONS.name].items() if which == limit]
    read = [held for held in half.of(OBSERVATIONS.name) if any(name in held.entry.details for name in fields)]
    return VisitFigure(words, ids(read), (), outside > 0)
