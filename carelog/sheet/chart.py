"""Days side by side: the pictures and rows of a week, each row from its kind's declaration."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from carelog.analysis import pictures
from carelog.analysis.between import between
from carelog.analysis.compare import WeeksBefore, band, is_whole
from carelog.analysis.in_force import Held
from carelog.analysis.learnt import COUNTED, learnt_band
from carelog.analysis.limits import outside_words
from carelog.analysis.marks import who
from carelog.analysis.outside import mark_words
from carelog.analysis.pictures import Columns, LimitBand, ReadingPoint
from carelog.analysis.times import month_day, short_day
from carelog.analysis.visit.hours import absent_word
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Details, Json, details_text
from carelog.domain.field import Choice, Field, Number, YesNo
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.units import comparable, plain, with_unit
from carelog.kinds import ALL
from carelog.sheet.blocks import Cell, Days, PictureRow, Piece, Shape, WordRow, Words, words
from carelog.sheet.hours import unwritten_row, worn_rows
from carelog.sheet.listing import beside_words, found_fields
from carelog.text import mark, say

PictureOrWords = PictureRow | WordRow
LATELY = 21 * DAY_24_H  # so far back a last reading is named (our own choice)
_BAND = mark("dots: {range} a day in the 3 weeks before")
_LEARNT = mark("dots: usually {range} a day, learnt from the weeks before")
_LINES = mark("lines: the plan's {low} and {high}")
_ONE_LINE = mark("line: the plan's {limit}")
_EACH_PLAN = mark("lines: each plan's limits, over its own time")
_NO_LIMIT = mark("no limit in the plan")
_NOT_SAID = mark("not said")
_BESIDE = mark("beside that")
_NOTHING = mark("nothing recorded")
_RATED = mark("rated by")
_LAST = mark("last {time}")
_DISC = mark("bold: {words}")
_EACH_TIME = mark("each time: {words}")
_LOOKED = mark("looked at")
_ABSENT = mark("Away, or nothing written")


def chart(review: Review, past: WeeksBefore, columns: Columns, asked: Sequence[WordRow]) -> Days:
    """The week's pictures, and beneath them what was asked for and done."""
    rows: list[PictureOrWords] = list(_absent(review))
    for kind in ALL:
        if kind.draw is Draw.COUNT:
            rows += _counted(review, past, columns, kind)
    for kind in ALL:
        if kind.draw is Draw.READINGS:
            rows += _readings(review, columns, kind)
    rows += [row for kind in ALL if kind.is_described_daily for row in _course(review, kind)]
    rows += [*worn_rows(review), *asked, unwritten_row(review)]
    return Days(say(mark("Seven days")), tuple(map(short_day, review.period.days)), tuple(rows))


def _absent(review: Review) -> Iterator[WordRow]:
    """Which of the days a stay or a gap touches: what stands beneath isn't the whole of them."""
    words_of = [absent_word(review, n) if is_known(review, n) else "" for n in range(len(review.period.days))]
    if any(words_of):
        yield WordRow(say(_ABSENT), tuple(Cell(words(text)) for text in words_of))


def per_day(review: Review, rows: Sequence[Shown]) -> list[list[Shown]]:
    """The rows of each day."""
    found: list[list[Shown]] = [[] for _ in review.period.days]
    for row in rows:
        found[row.day].append(row)
    return found


def is_known(review: Review, day: int) -> bool:
    """Whether anything of the day can be known yet."""
    return review.period.home.start_of(review.period.days[day]) < review.period.judged


def is_recorded(review: Review, day: int) -> bool:
    """Whether anything was written down about the day: of a day without any entry not even 0 is known."""
    return is_known(review, day) and day in review.recorded


def _count(review: Review, day: int, rows: Sequence[Shown]) -> int | None:
    """How many of a day; None where not even 0 is known: nothing written about it, or the person away."""
    if not is_recorded(review, day) or (not rows and day in review.absent):
        return None
    return len(rows)


def _counted(review: Review, past: WeeksBefore, columns: Columns, kind: Kind) -> Iterator[PictureOrWords]:
    rows = review.of(kind.name)
    days = per_day(review, rows)
    values = [_count(review, number, day) for number, day in enumerate(days)]
    learnt = learnt_band(review) if kind.name == COUNTED else None
    usual = learnt or band(past.counts(kind.name))
    title = say(mark("{kind} a day")).format(kind=say(kind.title))
    beside = say(_LEARNT if learnt else _BAND).format(range=between(*usual)) if usual else ""
    cells = tuple(pictures.UNKNOWN if value is None else str(value) for value in values)
    partial = [number for number in range(len(days)) if not is_whole(review, number)]
    yield PictureRow(title, pictures.counts(columns, values, usual, partial), cells, beside)
    for name in found_fields(kind):
        field = kind.field(name)
        if field is not None and isinstance(field.type, Choice):
            yield from _strips(review, columns, field, days)
    yield from _rated(kind, days)
    extra = [beside_words(kind, day) for day in days]
    if any(extra):
        yield WordRow(say(_BESIDE), tuple(Cell(words(text)) for text in extra))


def _rated(kind: Kind, days: Sequence[Sequence[Shown]]) -> Iterator[WordRow]:
    """Who rated what came up: initials and how often, for each day."""
    names = found_fields(kind)
    found = [
        Counter(who(row.first.by) for row in day if any(name in row.entry.details for name in names))
        for day in days
    ]
    if any(found):
        cells = (
            ", ".join(f"{by}\N{NO-BREAK SPACE}{count}" for by, count in day.most_common()) for day in found
        )
        yield WordRow(say(_RATED), tuple(Cell(words(text)) for text in cells))


def _strips(
    review: Review, columns: Columns, field: Field, days: Sequence[Sequence[Shown]]
) -> Iterator[PictureRow]:
    assert isinstance(field.type, Choice)
    found = [Counter(row.entry.details.get(field.name) for row in day) for day in days]
    most = max((count for day in found for count in day.values()), default=1)
    options, drawn = [option.value for option in field.type.options], False
    for rank, value in enumerate([*options, None]):
        numbers = [day[value] if is_recorded(review, place) else None for place, day in enumerate(found)]
        if not any(numbers):
            continue
        name = say(_NOT_SAID) if value is None else field.type.words(value)
        if value is None or field.label:
            name = f"{say(field.label) or field.name} {name}"
        shade = rank if value is not None else 0
        drawing = pictures.strip(columns, numbers, most, shade)
        cells = tuple(pictures.UNKNOWN if number is None else str(number) for number in numbers)
        yield PictureRow(name, drawing, cells, below=drawn)
        drawn = True


def _readings(review: Review, columns: Columns, kind: Kind) -> Iterator[PictureOrWords]:
    rows = review.of(kind.name)
    found = list(_limits(review, kind.name))
    field = next((f for f in kind.fields if isinstance(f.type, Number) and f.type.unit_field), None)
    if field is not None and not rows:
        return
    if field is None or not any(limit for _, _, limit in found):
        yield from _words_of_readings(review, kind, rows)
        return
    yield _drawn(review, columns, kind, field, found, rows)


def _limits(review: Review, name: str) -> Iterator[tuple[Instant, Instant, Details]]:
    """A reading's limits in each plan of the period: from when, to when, and what they are, oldest first."""
    period = review.period
    since = [period.start, *(p.since for p in review.plans if period.start < p.since < period.end)]
    for start, end in pairwise([*since, period.end]):
        limit: Details = review.limits_at(start).get(name, {})
        yield start, end, limit


def _words_of_readings(review: Review, kind: Kind, rows: Sequence[Shown]) -> Iterator[WordRow]:
    """One row for each number that was read lately, as typed; its unit stands in the title."""
    is_first = True
    for field in kind.fields:
        last = _last(review, kind, field)
        if last is None or not isinstance(field.type, Number):
            continue
        unit = "" if field.type.unit_field else say(field.type.unit)
        cells = []
        for number, day in enumerate(per_day(review, rows)):
            pieces = [_read(field, row) for row in day if field.name in row.entry.details]
            signs = (Shape.OUT,) if any(piece.bold for piece in pieces) else ()
            empty = "" if is_recorded(review, number) else pictures.UNKNOWN
            cells.append(Cell(_joined(pieces) or words(empty), signs))
        label = say(field.label) or say(kind.title)
        title = f"{label[:1].upper()}{label[1:]}{f', {unit}' if unit else ''}"
        newest = review.period.place(max(review.period.judged - 1, review.period.start))
        if not rows or cells[newest].words in ((), words(pictures.UNKNOWN)):
            cells[newest] = Cell(words(_last_words(review, last, field)))
        yield WordRow(title, tuple(cells), _outside_which(rows, field), below=not is_first)
        is_first = False


def _last(review: Review, kind: Kind, field: Field) -> Held | None:
    """The newest entry that gives a field, by the end of what is past of the days; of the last weeks."""
    period = review.period
    return next(
        (
            held
            for held in reversed(review.reading.of(kind.name))
            if period.start - LATELY <= held.time < period.judged and field.name in held.entry.details
        ),
        None,
    )


def _last_words(review: Review, last: Held, field: Field) -> str:
    """When it was read last, where that isn't on the newest day; of before these days with its value."""
    home, judged = review.period.home, review.period.judged
    day = home.day(last.time)
    if day == home.day(max(judged - 1, review.period.start)):
        return ""
    if last.time >= review.period.start:
        return say(_LAST).format(time=short_day(day))
    value = with_unit(last.entry.details[field.name], say(getattr(field.type, "unit", "")))
    return say(_LAST).format(time=f"{month_day(day)}: {value}")


def _outside_which(rows: Sequence[Shown], field: Field) -> str:
    """The limits beyond which readings were found: what the disc before them stands for."""
    found = {outside_words(each): None for row in rows for each in row.outside if each.field == field.name}
    return say(_DISC).format(words=", ".join(found)) if found else ""


def _read(field: Field, row: Shown) -> Piece:
    assert isinstance(field.type, Number)
    value, details = row.entry.details[field.name], row.entry.details
    text = with_unit(value, details[field.type.unit_field]) if field.type.unit_field else plain(value)
    return Piece(text, bold=any(each.field == field.name for each in row.outside))


def _drawn(
    review: Review,
    columns: Columns,
    kind: Kind,
    field: Field,
    limits: Sequence[tuple[Instant, Instant, Details]],
    rows: Sequence[Shown],
) -> PictureRow:
    assert isinstance(field.type, Number)
    unit = next(limit["unit"] for _, _, limit in reversed(limits) if limit)
    found = [_point(review, field, row, unit) for row in rows]
    bands = [
        LimitBand(
            _edge(limit, "low", unit),
            _edge(limit, "high", unit),
            _place(review, start),
            _place(review, end),
        )
        for start, end, limit in limits
        if limit
    ]
    cells = [
        "; ".join(f"{kind.line(row.entry.details)}{_outside(kind, row)}" for row in day) or say(_NOTHING)
        for day in per_day(review, rows)
    ]
    title = f"{say(kind.title)}, {unit}"
    last = _last(review, kind, field)
    beside = "; ".join(
        part for part in (_beside(limits), _last_words(review, last, field) if last else "") if part
    )
    return PictureRow(title, pictures.readings(columns, found, *bands), tuple(cells), beside)


def _point(review: Review, field: Field, row: Shown, unit: str) -> ReadingPoint:
    """A reading in the picture; one that is outside, or in another unit, has its unit beside it."""
    assert isinstance(field.type, Number)
    details, period = row.entry.details, review.period
    own = details[field.type.unit_field]
    value = comparable(details[field.name], own, unit)
    start, end = period.home.start_of(period.days[row.day]), period.home.end_of(period.days[row.day])
    is_plain = own == unit and not row.outside
    text = plain(details[field.name]) if is_plain else with_unit(details[field.name], own)
    return ReadingPoint(row.day, (row.time - start) / (end - start), value, text, bool(row.outside))


def _beside(limits: Sequence[tuple[Instant, Instant, Details]]) -> str:
    """What the lines are: the plan's limits, or those of several plans, each over its own time."""
    different = list({details_text(limit): limit for _, _, limit in limits}.values())
    if len(different) > 1:
        return say(_EACH_PLAN)
    (limit,) = different
    given = [with_unit(limit[name], limit["unit"]) for name in ("low", "high") if name in limit]
    if len(given) == 2:
        return say(_LINES).format(low=given[0], high=given[1])
    return say(_ONE_LINE).format(limit=given[0]) if given else say(_NO_LIMIT)


def _place(review: Review, instant: Instant) -> float:
    """Where an instant lies in the picture, in days from its left."""
    starts = [*review.period.starts, review.period.end]
    day = min(bisect_right(starts, instant) - 1, len(starts) - 2)
    return day + (instant - starts[day]) / (starts[day + 1] - starts[day])


def _outside(kind: Kind, row: Shown) -> str:
    return "".join(f" [{text}]" for text in mark_words(kind, row.entry.details, row.outside))


def _edge(limit: Details, name: str, unit: str) -> Fraction | None:
    return comparable(limit[name], limit["unit"], unit) if name in limit else None


def _course(review: Review, kind: Kind) -> Iterator[WordRow]:
    """One row for each field in which anything but the first choice was found, in bold where it was."""
    rows = review.of(kind.name)
    if not rows:
        return
    found = [row for field in kind.fields for row in _course_of(review, kind, field, rows)]
    if found:
        yield from (row._replace(below=number > 0) for number, row in enumerate(found))
        return
    alike = _alike(kind, rows)
    beside = say(_EACH_TIME).format(words=", ".join(alike)) if alike else ""
    yield WordRow(say(kind.title), tuple(_as_usual(review, kind, rows, alike)), beside)


def _course_of(review: Review, kind: Kind, field: Field, rows: Sequence[Shown]) -> Iterator[WordRow]:
    values = [row.entry.details[field.name] for row in rows if field.name in row.entry.details]
    first = _first(field, values)
    if not any(value != first for value in values):
        return
    cells = []
    for number, day in enumerate(per_day(review, rows)):
        given = [row.entry.details[field.name] for row in day if field.name in row.entry.details]
        pieces = [Piece(field.type.words(value), bold=value != first) for value in given]
        empty = "" if is_recorded(review, number) else pictures.UNKNOWN
        cells.append(Cell(_joined(pieces) or words(empty)))
    label = say(field.label).lower()
    title = field.name if isinstance(field.type, YesNo) and not field.label else label
    yield WordRow(f"{say(kind.title)}, {title}", tuple(cells))


def _first(field: Field, values: Sequence[Json]) -> Json:
    """What is found when there is nothing to find; for yes and no what was found most often."""
    if isinstance(field.type, Choice):
        return field.type.options[0].value
    if isinstance(field.type, Number):
        return 0
    return values.count(True) > values.count(False)


def _joined(pieces: Sequence[Piece]) -> Words:
    found: list[Piece] = []
    for piece in pieces:
        found += [Piece(", "), piece] if found else [piece]
    return tuple(found)


def _alike(kind: Kind, rows: Sequence[Shown]) -> list[str]:
    """What was found each time, where somebody looked more than once."""
    found = [_choices(kind, row) for row in rows]
    return [words for words in found[0] if all(words in each for each in found[1:])] if len(rows) > 1 else []


def _choices(kind: Kind, row: Shown) -> list[str]:
    return [
        f"{say(field.label)} {field.type.words(row.entry.details[field.name])}"
        for field in kind.fields
        if isinstance(field.type, Choice) and field.name in row.entry.details
    ]


def _as_usual(review: Review, kind: Kind, rows: Sequence[Shown], alike: Sequence[str]) -> Iterator[Cell]:
    for number, day in enumerate(per_day(review, rows)):
        found = [[each for each in _choices(kind, row) if each not in alike] for row in day]
        lines = [", ".join(each) or say(_LOOKED) for each in found]
        absent = absent_word(review, number) or say(_NOTHING)
        empty = absent if is_known(review, number) else pictures.UNKNOWN
        yield Cell(words("\n".join(lines) or empty))
