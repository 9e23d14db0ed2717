"""The rows about suction and the inner tube: how often, how thick, how much, which colour, what was found."""

from collections import Counter
from collections.abc import Callable, Sequence
from fractions import Fraction
from statistics import median

from carelog.analysis.course.axis import AxisColumn
from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import ColourRun, Count, Counts, Finding, Runs, Shares, Signs
from carelog.analysis.in_force import Held
from carelog.analysis.learnt import learnt_bands
from carelog.analysis.usual.day import counted_kind
from carelog.analysis.usual.scale import BLOOD_COLOURS, COLOUR_CLASS, STAINED_FROM
from carelog.domain.entry import Details, Json
from carelog.domain.field import Choice, Field
from carelog.domain.kind import Kind
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say

STUCK = "stuck"
_TIMES = mark("{words} {count}")


def suctions(found: Gathered, name: str) -> Counts:
    """Suctions a day, against what was usual as it stood at the end of each week of the period.

    Of a long period that is worked out together with its flags, since both take long.
    """
    days, axis = found.days_of(SUCTION.name), found.axis
    cells = tuple(_count(found, days, column) for column in axis.columns)
    is_known = axis.is_by_day or found.flags is not None
    usual = learnt_bands(found.review, axis.weeks()) if is_known else [None for _ in cells]
    return Counts(name, say(mark("Suctions a day")), cells, tuple(usual))


def _count(found: Gathered, days: Sequence[Sequence[Held]], column: AxisColumn) -> Count | None:
    if column.first == column.last:
        return _of_day(found, days[column.first], column)
    counts = [sum(_is_compared(held) for held in days[day]) for day in column.counted]
    if not counts:
        return None
    beside = sum(not _is_compared(held) for day in column.counted for held in days[day])
    return Count(Fraction(median(counts)), min(counts), max(counts), len(counts), beside, column.is_over)


def _of_day(found: Gathered, day: Sequence[Held], column: AxisColumn) -> Count | None:
    """A day's count; None where not even 0 is known."""
    is_known = column.first in found.recorded and (bool(day) or column.first not in found.review.absent)
    if not is_known:
        return None
    counted = sum(map(_is_compared, day))
    is_whole = column.is_over and column.first not in found.review.absent
    return Count(Fraction(counted), counted, counted, 1, len(day) - counted, is_whole)


def _is_compared(held: Held) -> bool:
    """Whether it is counted against the usual: a suction through the tube."""
    return counted_kind(held.entry.kind, held.entry.details) == SUCTION.name


def shares(kind: Kind, field_name: str, title: str) -> Callable[[Gathered, str], Shares]:
    """How a row of the shares of one field's choices is made."""

    def made(found: Gathered, name: str) -> Shares:
        field = _choice(kind, field_name)
        values = [option.value for option in field.options]
        cells = []
        for column in found.axis.columns:
            given = Counter(
                held.entry.details[field_name]
                for held in found.of(kind.name, column)
                if field_name in held.entry.details
            )
            cells.append(tuple(given[value] for value in values) if given else None)
        words = tuple(say(option.label) for option in field.options)
        return Shares(name, say(title), words, tuple(cells), _stuck(found) if kind is INNER_TUBE else ())

    return made


def _stuck(found: Gathered) -> tuple[str, ...]:
    """Where an inner tube could not be removed: that isn't among what was found in it."""
    field = _choice(INNER_TUBE, "outcome")
    told = []
    for column in found.axis.columns:
        entries = found.of(INNER_TUBE.name, column)
        stuck = sum(held.entry.details["outcome"] == STUCK for held in entries)
        told.append(timed(field.words(STUCK), stuck) if stuck else "")
    return tuple(told)


def timed(words: str, times: int) -> str:
    """Words, and how often if more than once."""
    return words if times == 1 else say(_TIMES).format(words=words, count=times)


def _choice(kind: Kind, name: str) -> Choice:
    field = kind.field(name)
    assert field is not None
    assert isinstance(field.type, Choice)
    return field.type


def colour(found: Gathered, name: str) -> Runs:
    """The colour seen most often, in words over the columns of which the same is told."""
    field = SUCTION.field("colour")
    assert field is not None
    seen = [_colours(found, column) for column in found.axis.columns]
    kinds = [_main(each) for each in seen]
    runs: list[ColourRun] = []
    first = 0
    for number in range(1, len(kinds) + 1):
        if number < len(kinds) and kinds[number] == kinds[first]:
            continue
        if kinds[first] is not None:
            whole: Counter[Json] = Counter()
            for each in seen[first:number]:
                whole += each
            words = ", ".join(_words(field, whole, kinds[first]))
            runs.append(ColourRun(first, number - 1, words, _is_marked(kinds[first])))
        first = number
    cells = tuple(_told(field, each) for each in seen)
    return Runs(name, say(mark("Colour")), tuple(runs), cells)


def _colours(found: Gathered, column: AxisColumn) -> Counter[Json]:
    entries = found.of(SUCTION.name, column)
    return Counter(held.entry.details["colour"] for held in entries if "colour" in held.entry.details)


def _class_of(colour: Json) -> int:
    """Colours that are told together; those of blood stand last."""
    return COLOUR_CLASS.get(str(colour), 10 + int(colour == BLOOD_COLOURS[-1]))


def _main(seen: Counter[Json]) -> int | None:
    """The class seen most often, of two the one further from clear; None: nobody said a colour."""
    totals: Counter[int] = Counter()
    for colour, count in seen.items():
        totals[_class_of(colour)] += count
    return max(totals, key=lambda each: (totals[each], each)) if totals else None


def _is_marked(which: int | None) -> bool:
    return which is not None and which >= STAINED_FROM


def _words(field: Field, seen: Counter[Json], which: int | None) -> list[str]:
    """The colours of a class, the more frequent first."""
    inside = [(colour, count) for colour, count in seen.items() if _class_of(colour) == which]
    return [field.type.words(colour) for colour, _ in sorted(inside, key=lambda each: (-each[1], each[0]))]


def _told(field: Field, seen: Counter[Json]) -> str | None:
    """All colours of a column, each with how often; None: nobody said one."""
    if not seen:
        return None
    ordered = sorted(seen.items(), key=lambda each: (-each[1], each[0]))
    return ", ".join(
        say(_TIMES).format(words=field.type.words(colour), count=count) for colour, count in ordered
    )


def blood(found: Gathered, name: str) -> Signs:
    """Blood that was seen in suction, the worst of a column; who says a colour or of blood has looked."""
    cells = []
    for column in found.axis.columns:
        details = [held.entry.details for held in found.of(SUCTION.name, column)]
        said = [each for each in details if "colour" in each or "blood" in each]
        seen = [blood_rank(each) for each in said]
        times = sum(rank > 0 for rank in seen)
        cells.append(Finding(_BLOOD[max(seen)], max(times, 1)) if seen else None)
    shown = tuple(sign and Finding(say(sign.words), sign.times) for sign in cells)
    return Signs(name, say(mark("Blood seen")), shown, say(mark("none seen")))


_BLOOD = ("", mark("streaks"), mark("pink"), mark("fresh"), mark("red"))


def blood_rank(details: Details) -> int:
    """How much blood was said, from none (0)."""
    by_colour = _BY_COLOUR.get(details.get("colour", ""), 0)
    return max(by_colour, _BY_BLOOD.get(details.get("blood", ""), 0))


_BY_COLOUR = {"pink": 2, "red": 4}
_BY_BLOOD = {"streaks": 1, "fresh": 3}
