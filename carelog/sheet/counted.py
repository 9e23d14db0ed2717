"""A day's entries of a counted kind as a table: what was found each time, one under another."""

from collections.abc import Iterator, Sequence

from carelog.analysis.marks import who
from carelog.analysis.outside import mark_words
from carelog.analysis.times import there
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Details
from carelog.domain.field import Choice, Field
from carelog.domain.kind import Draw, Kind
from carelog.kinds import ALL
from carelog.sheet.blocks import Tabled, TableRow
from carelog.text import mark, say

LEAST = 3  # fewer stand as rows among the others
TIME, BY = 2.0, 0.8  # shares of the width


def counted_tables(review: Review) -> Iterator[Tabled]:
    """One table for each counted kind of which there are enough."""
    for kind in ALL:
        rows = review.of(kind.name)
        if kind.draw is Draw.COUNT and len(rows) >= LEAST:
            yield _table(review, kind, rows)


def is_in_table(review: Review, row: Shown) -> bool:
    """Whether a table tells an entry."""
    found = [kind for kind in ALL if kind.draw is Draw.COUNT and kind.name == row.entry.kind]
    return bool(found) and row.held is not None and len(review.of(row.entry.kind)) >= LEAST


def _table(review: Review, kind: Kind, rows: Sequence[Shown]) -> Tabled:
    given = [each for each in kind.fields if any(each.name in row.entry.details for row in rows)]
    units = {getattr(each.type, "unit_field", "") for each in given}
    fields = [each for each in given if each.name not in units]
    whole = TIME + BY + len(fields)
    heads = [
        (say(mark("Time")), TIME / whole),
        *((_head(each), 1 / whole) for each in fields),
        (say(mark("By")), BY / whole),
    ]
    return Tabled(say(kind.title), tuple(heads), tuple(_row(review, kind, fields, row) for row in rows))


def _head(field: Field) -> str:
    words = say(field.asked) or say(field.label)
    return f"{words[:1].upper()}{words[1:]}"


def _row(review: Review, kind: Kind, fields: Sequence[Field], row: Shown) -> TableRow:
    details = row.entry.details
    cells = [f"{there(review.period.home, row.entry)} {say(kind.title)}"]
    cells += [_cell(field, details) if field.name in details else "" for field in fields]
    marks = [*mark_words(kind, details, row.outside), *row.marks]
    unknown = [f"{name}: {value}" for name, value in kind.unknown(details).items()]
    note = row.entry.note.strip()
    under = [*unknown, *([f"“{note}”"] if note else []), *([f"[{'; '.join(marks)}]"] if marks else [])]
    return TableRow((*cells, who(row.first.by)), " ".join(under))


def _cell(field: Field, details: Details) -> str:
    """A value with its unit."""
    words = field.type.words(details[field.name])
    unit = details.get(getattr(field.type, "unit_field", ""), "") or say(getattr(field.type, "unit", ""))
    return words if isinstance(field.type, Choice) or not unit or unit in words else f"{words} {unit}"
