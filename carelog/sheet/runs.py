"""The words of entries in a listing, on paper and on a page."""

from carelog.sheet.blocks import DayRows, Piece, Row, RunTogether, Words
from carelog.text import mark, say

_WRITER = mark("by {initials}")
_BETWEEN = " · "
NO_BREAK = "\N{NO-BREAK SPACE}"


def run_lines(group: DayRows) -> list[Words]:
    """Who wrote most of a day, and a line for each kind that is run together."""
    writer = say(_WRITER).format(initials=group.writer)
    return [
        *([(Piece(writer),)] if group.writer else []),
        *(run_words(run, group.writer) for run in group.runs),
    ]


def run_words(run: RunTogether, writer: str) -> Words:
    """Suction 07:17 07:25; HQ 14:22, or yellow: 07:40; whoever wrote most of the day isn't named."""
    named = [("" if by == writer else f"{by}{NO_BREAK}", " ".join(times)) for by, times in run.times]
    parts = [f"{by}{times}" for by, times in named]
    unlike = f"{run.unlike}: " if run.unlike else ""
    head = (Piece(f"{run.title} ", bold=True),) if run.title else ()
    return *head, Piece(f"{unlike}{'; '.join(parts)}")


def row_words(row: Row) -> Words:
    """One entry: time, kind, details, initials, and its marks in half-bold."""
    parts = [Piece(f"{row.time} ", struck=row.struck), Piece(row.title, row.bold, row.struck)]
    if row.details:
        parts.append(Piece(f" {row.details}", struck=row.struck))
    if row.by:
        parts.append(Piece(f" {row.by}"))
    if row.marks:
        parts.append(Piece(f" [{'; '.join(row.marks)}]", bold=True))
    return tuple(parts)


def day_words(group: DayRows) -> Words:
    """A day in one paragraph: its name, what is run together, and its entries one after the other."""
    parts = [*run_lines(group), *map(row_words, group.rows)]
    found = [Piece(f"{group.title} ", bold=True)]
    for number, part in enumerate(parts):
        found += [*([Piece(_BETWEEN)] if number else []), *part]
    return tuple(found) if group.rows or group.runs else (*found, Piece(group.empty))
