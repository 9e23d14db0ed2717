"""Rows of a workbook's sheet as the text that lies in its file (ECMA-376, SpreadsheetML)."""

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime

from carelog.export.table import Value
from carelog.text import mark, say

LONGEST = 32_767
"""Characters that a cell takes (ECMA-376; the workbook's own limit)."""
FIRST_DAY = date(1900, 3, 1)
"""The format counts days from 1900, and counts one of February that there never was."""
_ZERO = date(1899, 12, 30).toordinal()
_SECONDS = 24 * 60 * 60
_CUT = mark(" … (cut: a cell takes no more)")
_OTHER = re.compile("[&<>\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]|_x[0-9A-Fa-f]{4}_")
"""What can't stand in the text of a cell as it is: markup, what XML has no place for, what looks escaped."""
_MARKUP = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}


def letters(column: int) -> str:
    """A column's letters, counted from 0: A, B, … Z, AA."""
    found = ""
    while column >= 0:
        column, place = divmod(column, 26)
        found = chr(ord("A") + place) + found
        column -= 1
    return found


def row_texts(lines: Iterable[Sequence[Value]], styles: Sequence[str], first: int) -> Iterator[str]:
    """The rows from a number on; `styles` are the columns' own, for days and times."""
    heads = [f'<c r="{letters(column)}' for column in range(len(styles))]
    for row, line in enumerate(lines, first):
        cells = [
            f'{head}{row}"{_cell(value, style)}'
            for head, style, value in zip(heads, styles, line, strict=True)
            if value is not None
        ]
        yield f'<row r="{row}">{"".join(cells)}</row>'


def _cell(value: Value, style: str) -> str:
    """What follows a cell's place: its type and its value."""
    if isinstance(value, str):
        text = _text(value) if len(value) > LONGEST or _OTHER.search(value) else value
        return f' t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>'
    if isinstance(value, bool):
        return f' t="b"><v>{value:d}</v></c>'
    if isinstance(value, int | float):
        return f"><v>{value!r}</v></c>"
    if value is None or (value.date() if isinstance(value, datetime) else value) < FIRST_DAY:
        return _cell("" if value is None else value.isoformat(), style)
    return f' s="{style}"><v>{_serial(value)}</v></c>'


def _serial(value: date) -> str:
    """Days since the format's own beginning; a time is a fraction of one."""
    days = value.toordinal() - _ZERO
    if not isinstance(value, datetime):
        return str(days)
    return repr(days + (value.hour * 3600 + value.minute * 60 + value.second) / _SECONDS)


def _text(text: str) -> str:
    return _OTHER.sub(_escaped, shortened(text))


def _escaped(found: "re.Match[str]") -> str:
    whole = found[0]
    if whole in _MARKUP:
        return _MARKUP[whole]
    return f"_x005F{whole}" if len(whole) > 1 else f"_x{ord(whole):04X}_"


def shortened(text: str) -> str:
    """A text that a cell takes; a longer one says that it was cut."""
    text = text.encode("utf-8", "replace").decode()
    return text if len(text) <= LONGEST else text[: LONGEST - len(say(_CUT))] + say(_CUT)
