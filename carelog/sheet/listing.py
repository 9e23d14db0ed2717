"""Every entry of a period by its day: time, kind, initials, and every mark."""

from collections import Counter
from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import replace

from carelog.analysis.marks import who
from carelog.analysis.outside import mark_words
from carelog.analysis.pictures import MOST_READINGS
from carelog.analysis.revision import PAPER_ARROW, revision_of
from carelog.analysis.times import clock, dated, month_day, near, short_day, there
from carelog.analysis.titles import with_titles
from carelog.analysis.week import Review, Shown
from carelog.analysis.worn import whole_in_hours
from carelog.domain.entry import Details
from carelog.domain.field import Choice, Field, Number, Reference, When, YesNo
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import HOUR, Moment
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.sheet.blocks import DayRows, Row, RunTogether
from carelog.text import mark, say

SHORT = 64  # characters of details beside a row of the week; the day's sheet has all of them
LONGEST_LISTED = 2000  # characters of a note in the week; the day's sheet has all of it

_ABOVE = mark("(above)")
_NOTE_ABOVE = mark("(note above)")
_NOT_HERE = mark("that isn't here")
_NOTHING = mark("Nothing recorded.")
_NOT_YET = mark("Not yet.")
_MORE = mark("{start} … (whole on the day's sheet)")
_NO_MORE = mark("nothing more.")
_HOURS = mark("{day}, {hours} h")


IsElsewhere = Callable[[Shown], bool]
Unlike = Callable[[Shown], str]
"""In words what of a counted entry is unlike the usual; empty for nothing."""


def _nowhere(_row: Shown) -> bool:
    return False


def _as_usual(_row: Shown) -> str:
    return ""


def groups(
    review: Review,
    whole: bool = False,
    told: IsElsewhere = _nowhere,
    noted: IsElsewhere = _nowhere,
    unlike: Unlike = _as_usual,
    left_out: IsElsewhere = _nowhere,
) -> tuple[DayRows, ...]:
    """The entries of each day, one row each; `whole` with every detail, else what is `unlike` the usual.

    Those `left_out` stand in a table of their own.

    Those that are `told` elsewhere are only named here; of those `noted` elsewhere only the note is.
    """
    by_day: list[list[Row]] = [[] for _ in review.period.days]
    for shown in review.rows:
        if left_out(shown):
            continue
        by_day[shown.day].append(_row(review, shown, whole, told(shown), noted(shown), unlike(shown)))
    return tuple(
        DayRows(day_title(review, number), tuple(rows), _empty(review, number))
        for number, rows in enumerate(by_day)
    )


def day_columns(
    review: Review, unlike: Unlike, told: IsElsewhere, noted: IsElsewhere
) -> tuple[tuple[DayRows, ...], tuple[DayRows, ...]]:
    """The entries of each day, those of a counted kind run together by what is `unlike` the usual of them.

    And the same in fewer lines: what is done is run together as well, and only the first word of what is
    unlike stands. The others stand by time. Nothing is run together of which more is to be said than that. A
    row names who wrote it where that isn't the day's writer, who wrote most of it.
    """
    full, fewer = [], []
    for number, of_day in enumerate(_by_day(review)):
        writer = _writer(of_day)
        counted, others = _parted(of_day, _is_counted)
        rows = [_row(review, each, False, told(each), noted(each), unlike(each), writer) for each in others]
        full.append(_column(review, number, rows, _runs(review, counted, unlike), writer))
        plain, _ = _parted(of_day, _is_plain)
        rows = [row for row, each in zip(rows, others, strict=True) if not _is_plain(each)]
        fewer.append(_column(review, number, rows, _runs(review, plain, _first_of(unlike)), writer))
    return tuple(full), tuple(fewer)


def _by_day(review: Review) -> list[list[Shown]]:
    """The rows of each day."""
    found: list[list[Shown]] = [[] for _ in review.period.days]
    for shown in review.rows:
        found[shown.day].append(shown)
    return found


def _parted(shown: Sequence[Shown], is_one: IsElsewhere) -> tuple[list[Shown], list[Shown]]:
    """Those that are one, and the others."""
    parts: tuple[list[Shown], list[Shown]] = ([], [])
    for each in shown:
        parts[not is_one(each)].append(each)
    return parts


def _column(
    review: Review, number: int, rows: Sequence[Row], runs: tuple[RunTogether, ...], writer: str
) -> DayRows:
    empty = "" if runs else _empty(review, number)
    return DayRows(day_title(review, number), tuple(rows), empty, runs, writer)


def what_is_more(review: Review, unlike: Unlike, told: IsElsewhere) -> tuple[DayRows, ...]:
    """Of each day the entries of which more is to be said than pictures, rows and notes tell already.

    Those of a counted kind are run together; the days with nothing more stand last, as one.
    """
    found: list[DayRows] = []
    quiet: dict[str, list[str]] = {}
    worn = whole_in_hours(review.reading)
    for number, of_day in enumerate(_by_day(review)):
        more = [shown for shown in of_day if not told(shown) and _says_more(shown, unlike, of_day, worn)]
        if more:
            found.append(_run_together(review, number, more, unlike))
        else:
            empty = say(_NO_MORE) if of_day else _empty(review, number)
            quiet.setdefault(empty, []).append(day_title(review, number))
    found += [DayRows(", ".join(days), (), empty) for empty, days in quiet.items()]
    return tuple(found)


def _run_together(review: Review, number: int, shown: Sequence[Shown], unlike: Unlike) -> DayRows:
    """These entries of a day: the counted ones by what is unlike the usual, the others by time."""
    counted, others = _parted(shown, _is_counted)
    writer = _writer(shown)
    rows = [_row(review, each, False, False, False, unlike(each), writer) for each in others]
    return DayRows(day_title(review, number), tuple(rows), "", _runs(review, counted, unlike), writer)


def _writer(shown: Sequence[Shown]) -> str:
    """Who wrote most of them."""
    writers = Counter(who(each.first.by) for each in shown)
    return writers.most_common(1)[0][0] if writers else ""


def _says_more(shown: Shown, unlike: Unlike, of_day: Sequence[Shown], in_hours: Container[str]) -> bool:
    kind = named_or_unknown(shown.entry.kind)
    if _is_marked(shown):
        return True
    if shown.entry.id in in_hours or (kind.draw is Draw.READINGS and _is_in_picture(kind, shown, of_day)):
        return False
    return bool(unlike(shown) or _short(kind, shown.entry.details))


def _is_in_picture(kind: Kind, shown: Shown, of_day: Sequence[Shown]) -> bool:
    """Whether the picture of a day's readings has all of this one but its minute."""
    drawn = next((each for each in kind.fields if _unit_field(each)), None)
    if drawn is None or sum(each.entry.kind == kind.name for each in of_day) > MOST_READINGS:
        return False
    return shown.entry.details.keys() <= {drawn.name, _unit_field(drawn)}


def _unit_field(field: Field) -> str:
    return field.type.unit_field if isinstance(field.type, Number) else ""


def _first_of(unlike: Unlike) -> Unlike:
    """Of several words the first: in few lines those of one colour stand together, thick or thin."""
    return lambda shown: unlike(shown).split(", ")[0]


def _is_counted(shown: Shown) -> bool:
    """Whether it is of a counted kind, and only when, by whom and what is unlike the usual is to be said."""
    return named_or_unknown(shown.entry.kind).draw is Draw.COUNT and not _is_marked(shown)


def _is_plain(shown: Shown) -> bool:
    """The same, or something that was done and of which nothing else is to be said."""
    kind = named_or_unknown(shown.entry.kind)
    if kind.draw not in (Draw.COUNT, Draw.DOINGS) or _is_marked(shown):
        return False
    return kind.draw is Draw.COUNT or not _short(kind, shown.entry.details)


def _is_marked(shown: Shown) -> bool:
    return shown.held is None or bool(shown.marks or shown.outside or shown.entry.note.strip())


def _runs(review: Review, plain: Sequence[Shown], unlike: Unlike) -> tuple[RunTogether, ...]:
    """Of each kind first what is as usual, then the others by what is unlike it."""
    by_words: dict[tuple[str, str], dict[str, list[str]]] = {}
    for shown in plain:
        same = by_words.setdefault((shown.entry.kind, unlike(shown)), {})
        same.setdefault(who(shown.first.by), []).append(_time(review, shown))
    order = list(dict.fromkeys(kind for kind, _ in by_words))
    found = sorted(by_words, key=lambda each: (order.index(each[0]), each[1] != ""))
    runs, named = [], ""
    for kind, words in found:
        times = tuple((by, tuple(each)) for by, each in by_words[kind, words].items())
        runs.append(RunTogether("" if kind == named else say(named_or_unknown(kind).title), times, words))
        named = kind
    return tuple(runs)


def day_title(review: Review, number: int) -> str:
    """Mon 19 Oct; with its hours when the clocks change on that day."""
    home, day = review.period.home, review.period.days[number]
    hours = round((home.end_of(day) - home.start_of(day)) / HOUR)
    name = month_day(day)
    return name if hours == 24 else say(_HOURS).format(day=name, hours=hours)


def _empty(review: Review, number: int) -> str:
    day = review.period.days[number]
    return say(_NOTHING) if review.period.home.start_of(day) < review.period.judged else say(_NOT_YET)


def _row(
    review: Review,
    shown: Shown,
    whole: bool,
    is_told: bool,
    is_noted: bool,
    unlike: str = "",
    writer: str = "",
) -> Row:
    """One entry; the day's `writer` isn't named."""
    by = who(shown.first.by)
    entry, kind = shown.entry, named_or_unknown(shown.entry.kind)
    given = with_titles(kind.name, without_references(kind, entry.details))
    details = kind.line(given) if whole else unlike or _short(kind, given)
    if not whole and entry.kind == PLAN.name:
        details = revision_of(review.plans, entry.id, PAPER_ARROW) or details
    details = ", ".join(part for part in (details, *_references(review, kind, entry.details)) if part)
    title = say(kind.title)
    if details and kind.told_by in given and not unlike:
        title, details = f"{details[:1].upper()}{details[1:]}", ""
    if is_told:
        details = say(_ABOVE)
    elif is_noted:
        details = f"{details} {say(_NOTE_ABOVE)}".strip()
    elif entry.note.strip():
        details = f"{details} “{_note(entry.note.strip(), whole)}”".strip()
    return Row(
        time=_time(review, shown),
        title=title,
        details=details,
        by="" if by == writer else by,
        marks=tuple(
            _note(each, whole) for each in (*mark_words(kind, entry.details, shown.outside), *shown.marks)
        ),
        struck=shown.struck,
        bold=whole,
    )


def _note(text: str, whole: bool) -> str:
    """A note or a mark as it is; the week has the beginning of one that would fill pages.

    The mark of a change has what was there before it, and that can be as long as any note.
    """
    return text if whole or len(text) <= LONGEST_LISTED else beginning(text, LONGEST_LISTED)


def beginning(text: str, most: int) -> str:
    """The first of a text's letters, and where the whole stands."""
    return say(_MORE).format(start=text[:most].rsplit(" ", 1)[0])


def _time(review: Review, shown: Shown) -> str:
    home = review.period.home
    if shown.time != shown.entry.at.instant:
        return near(home, shown.time, shown.time)
    return there(home, shown.entry)


def _short(kind: Kind, details: Details) -> str:
    """What a week's list says beside the kind: what its pictures and rows don't show already."""
    if kind.draw is Draw.COUNT or kind.is_described_daily:
        return ""
    if kind.draw is Draw.DOINGS and kind.does(details):
        return ""
    if kind.draw is Draw.READINGS:
        rest = {name: value for name, value in details.items() if not _has_a_row(kind.field(name))}
        first, *others = kind.fields  # its label says what the row's kind says already
        return replace(kind, fields=(replace(first, label=""), *others)).line(rest)
    line = kind.line(details)
    return line if len(line) <= SHORT else f"{line[:SHORT].rsplit(' ', 1)[0].rstrip(',;')} …"


def _has_a_row(field: Field | None) -> bool:
    """Whether a week gives a field of readings a row of its own: a number whose unit never changes."""
    return field is not None and isinstance(field.type, Number) and not field.type.unit_field


def without_references(kind: Kind, details: Details) -> Details:
    """Details without what says nothing to people: ids of other entries, moments in the file's form."""
    names = [each.name for each in kind.fields if isinstance(each.type, Reference | When)]
    return {name: value for name, value in details.items() if name not in names} if names else details


def _references(review: Review, kind: Kind, details: Details) -> Iterator[str]:
    """Which moments and which other entries this one speaks of, by their time at home."""
    for each in kind.fields:
        if isinstance(each.type, When) and each.name in details:
            yield f"{say(each.label)} {dated(review.period.home, Moment.read(details[each.name]).instant)}"
        if isinstance(each.type, Reference) and each.name in details:
            held = review.reading.get(details[each.name])
            home = review.period.home
            time = (
                say(_NOT_HERE)
                if held is None
                else f"{month_day(home.day(held.time))} {clock(home, held.time)}"
            )
            yield f"{say(each.label)} {time}"


def found_fields(kind: Kind) -> list[str]:
    """What a week shows as strips of a kind that is counted: the fields of its quick choices."""
    return list(dict.fromkeys(pick.field for pick in kind.picks))


def beside_words(kind: Kind, rows: Sequence[Shown]) -> str:
    """What else was found: choices other than the first of their list, and what was answered with yes."""
    found: dict[str, int] = {}
    strips = found_fields(kind)
    for row in rows:
        for each in kind.fields:
            value = row.entry.details.get(each.name)
            if value is None or each.name in strips:
                continue
            if isinstance(each.type, YesNo) and value is True:
                words = each.type.words(value)
            elif (
                isinstance(each.type, Choice)
                and value != each.type.options[0].value
                and not _is_unit(kind, each.name)
            ):
                words = f"{say(each.label)} {each.type.words(value)}".strip()
            else:
                continue
            found[words] = found.get(words, 0) + 1
    return ", ".join(f"{words} {count}" for words, count in found.items())


def _is_unit(kind: Kind, name: str) -> bool:
    return any(getattr(each.type, "unit_field", "") == name for each in kind.fields)


__all__ = ["beside_words", "day_title", "found_fields", "groups", "short_day"]
