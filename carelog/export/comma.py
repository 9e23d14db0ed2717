"""Tables as CSV: a folder with one file a kind, one over all, and a dictionary."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime

from carelog.export.dictionary import HEADS, rows
from carelog.export.extract import Extract
from carelog.export.table import Column, Holds, Value, tables

BOM = b"\xef\xbb\xbf"
"""Some spreadsheets read UTF-8 as such only after it."""
OBEYED = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A spreadsheet takes a text that begins so for a formula, and runs it."""
AT_ONCE = 500


def files(extract: Extract, *, has_bom: bool = True) -> Iterator[tuple[str, Iterator[bytes]]]:
    """The name and the bytes of each file, in pieces."""
    found = tables(extract)
    for table in found:
        yield f"{table.name}.csv", _file(table.columns, table.rows, has_bom)
    yield "dictionary.csv", _file(HEADS, rows(found), has_bom)


def _file(columns: Sequence[Column], lines: Iterable[Sequence[Value]], has_bom: bool) -> Iterator[bytes]:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")  # RFC 4180
    writer.writerow([column.head for column in columns])
    are_text = [column.holds is Holds.TEXT for column in columns]
    if has_bom:
        yield BOM
    for number, line in enumerate(lines, 1):
        writer.writerow([_written(value, is_text) for value, is_text in zip(line, are_text, strict=True)])
        if number % AT_ONCE == 0:
            yield _taken(text)
    yield _taken(text)


def _taken(text: io.StringIO) -> bytes:
    found = text.getvalue().encode("utf-8", "backslashreplace")
    text.seek(0)
    text.truncate()
    return found


def _written(value: Value, is_text: bool) -> str | int | float:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.isoformat(sep=" ")
    if isinstance(value, date):
        return value.isoformat()
    return defused(value) if is_text and isinstance(value, str) else value


def defused(text: str) -> str:
    """A text that no spreadsheet takes for a formula: an apostrophe before one that begins like it."""
    return f"'{text}" if text.startswith(OBEYED) else text
