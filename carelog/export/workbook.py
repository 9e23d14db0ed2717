"""Tables as one workbook: a sheet a kind with typed cells, the days drawn as charts of its own."""

import io
import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, timedelta
from itertools import islice
from typing import TYPE_CHECKING

from carelog.domain.entry import Details
from carelog.export.cells import FIRST_DAY, letters, row_texts
from carelog.export.dictionary import HEADS, rows
from carelog.export.extract import Extract
from carelog.export.table import Column, Holds, Table, Value, tables
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.worksheet import Worksheet

OVERVIEW = ("at", "written_by", "note", "entry_state", "id", "kind", "title", "line")
"""The first sheet is for reading: the rest of an entry stands once, in the sheet of its kind."""
AT_ONCE = 500  # rows between two steps
MOST_ROWS = 1_048_575
MOST_DAYS = 3660
CHART = {"width": 960, "height": 300}
WIDTHS = {Holds.TIME: 17.0, Holds.DAY: 11.0, Holds.NUMBER: 12.0, Holds.YES_NO: 9.0, Holds.TEXT: 18.0}
FORMATS = {Holds.TIME: "yyyy-mm-dd hh:mm", Holds.DAY: "yyyy-mm-dd"}
_TOO_MANY = mark("There are more entries than a sheet takes.")
_COLUMN = re.compile(r"<col ([^>]*)/>")
_ATTRIBUTE = re.compile(r'(\w+)="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')
_ROWS_END = "</sheetData>"


def workbook(extract: Extract, step: Callable[[], None] = lambda: None) -> bytes:
    """The whole workbook; `step` is called now and then, and may stop it.

    XlsxWriter makes the package: sheets with their heads, the days and their charts. The many rows are put
    into it as text: handed over cell by cell they take twice as long.
    """
    from xlsxwriter import Workbook

    made = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with Workbook(made, options) as book:
        book.set_properties({"title": extract.name, "created": datetime(2000, 1, 1)})
        writer = TableWriter(book)
        found = tables(extract)
        shown = [found[0].narrowed(OVERVIEW), *found[1:]]
        bodies = {writer.head(each): each for each in shown}
        _days(book, writer, extract)
        writer.sheet("dictionary", HEADS, list(rows(found)))
    out = io.BytesIO()
    _put_in(made, bodies, out, step)
    return out.getvalue()


def _put_in(package: io.BytesIO, bodies: dict[str, Table], out: io.BytesIO, step: Callable[[], None]) -> None:
    """The package once more, with rows in the sheets of these names inside it."""
    with zipfile.ZipFile(package) as given, zipfile.ZipFile(out, "w") as file:
        for about in given.infolist():
            content = given.read(about)
            body = bodies.get(about.filename)
            if body is None:
                file.writestr(about, content)
                continue
            with file.open(about, "w", force_zip64=True) as inside:
                for part in _filled(content.decode(), body, step):
                    inside.write(part.encode())


def _filled(sheet: str, body: Table, step: Callable[[], None]) -> Iterator[str]:
    """A sheet's text with its rows behind its head."""
    last = f"{letters(len(body.columns) - 1)}{min(len(body.rows), MOST_ROWS) + 1}"
    sheet = _DIMENSION.sub(f'<dimension ref="A1:{last}"/>', sheet, count=1)
    before, end, after = sheet.partition(_ROWS_END)
    yield before
    texts = row_texts(_fitting(body), _styles(sheet, len(body.columns)), 2)
    while some := list(islice(texts, AT_ONCE)):
        step()
        yield "".join(some)
    yield f"{end}{after}"


def _fitting(body: Table) -> Iterator[Sequence[Value]]:
    """The rows that a sheet takes; what doesn't fit is said in its last one."""
    if len(body.rows) <= MOST_ROWS:
        yield from body.rows
        return
    yield from islice(body.rows, MOST_ROWS - 1)
    yield [say(_TOO_MANY), *[None] * (len(body.columns) - 1)]


def _styles(sheet: str, count: int) -> list[str]:
    """Each column's own style, as the sheet says it."""
    found = ["0"] * count
    for each in _COLUMN.findall(sheet):
        said = dict(_ATTRIBUTE.findall(each))
        for number in range(int(said["min"]), min(int(said["max"]), count) + 1):
            found[number - 1] = said.get("style", "0")
    return found


class TableWriter:
    """Writes sheets with a frozen head and typed cells."""

    def __init__(self, book: "Workbook") -> None:
        self._book = book
        self._head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        self._formats = {holds: book.add_format({"num_format": each}) for holds, each in FORMATS.items()}

    def head(self, table: Table) -> str:
        """A table's sheet with its head alone; where it lies in the package."""
        self._begun(table.name, table.columns, len(table.rows))
        return f"xl/worksheets/sheet{len(self._book.worksheets())}.xml"

    def sheet(self, name: str, columns: Sequence[Column], lines: Sequence[Sequence[Value]]) -> "Worksheet":
        """A sheet of few rows."""
        sheet = self._begun(name, columns, len(lines))
        for row, line in enumerate(lines, 1):
            for number, (column, value) in enumerate(zip(columns, line, strict=True)):
                if isinstance(value, date) and value < FIRST_DAY:
                    sheet.write_string(row, number, value.isoformat())
                elif isinstance(value, date):
                    sheet.write_datetime(row, number, value, self._formats[column.holds])
                elif value is not None:
                    sheet.write(row, number, value)
        return sheet

    def _begun(self, name: str, columns: Sequence[Column], count: int) -> "Worksheet":
        sheet = self._book.add_worksheet(name[:31])
        sheet.freeze_panes(1, 0)
        for number, column in enumerate(columns):
            sheet.set_column(number, number, WIDTHS[column.holds], self._formats.get(column.holds))
            sheet.write_string(0, number, column.head, self._head)
        sheet.autofilter(0, 0, max(min(count, MOST_ROWS), 1), len(columns) - 1)
        return sheet


def _days(book: "Workbook", writer: TableWriter, extract: Extract) -> None:
    """A row a day, and charts over them: suctions, cuff pressures as found, readings."""
    lines = list(day_rows(extract))
    if not lines:
        return
    columns = day_columns()
    sheet = writer.sheet("days", columns, lines)
    drawn = [(index, column) for index, column in enumerate(columns) if column.holds is Holds.NUMBER]
    for number, (index, column) in enumerate(drawn):
        is_count = index == 1
        chart = book.add_chart({"type": "column"} if is_count else {"type": "scatter"})
        chart.add_series(
            {
                "name": ["days", 0, index],
                "categories": ["days", 1, 0, len(lines), 0],
                "values": ["days", 1, index, len(lines), index],
                "marker": {"type": "diamond", "size": 6},
            }
        )
        chart.set_title({"name": column.means})
        chart.set_legend({"none": True})
        chart.set_x_axis({"num_format": "yyyy-mm-dd"})
        chart.set_size(CHART)
        sheet.insert_chart(1 + number * 16, len(columns) + 1, chart)


def day_columns() -> tuple[Column, ...]:
    """The columns of the days."""
    return (
        Column("day", Holds.DAY, mark("the day at home")),
        Column("suctions", Holds.NUMBER, say(mark("Suctions a day"))),
        Column("cuff_lowest", Holds.NUMBER, say(mark("Lowest cuff pressure as found")), "cmH2O"),
        Column("cuff_highest", Holds.NUMBER, say(mark("Highest cuff pressure as found")), "cmH2O"),
        Column("temperature_highest", Holds.NUMBER, say(mark("Highest temperature")), "°C"),
        Column("spo2_lowest", Holds.NUMBER, say(mark("Lowest SpO2")), "%"),
    )


def day_rows(extract: Extract) -> Iterator[list[Value]]:
    """Each day from the first entry of care to the last; what nobody recorded is empty, never zero."""
    from carelog.analysis.recorded import is_care

    home = extract.home
    held = [each for each in extract.reading.held if is_care(each.entry.kind)]
    if not held:
        return
    days: dict[date, list[tuple[str, Details]]] = {}
    for each in held:
        days.setdefault(home.day(each.time), []).append((each.entry.kind, each.entry.details))
    first, last = min(days), max(days)
    span = range(min((last - first).days + 1, MOST_DAYS))
    for day in (last - timedelta(days=back) for back in reversed(span)):
        found = days.get(day)
        yield [day, *(_told(found) if found else [None] * 5)]


def _told(found: Sequence[tuple[str, Details]]) -> list[Value]:
    from carelog.domain.units import celsius, pressure

    kinds = Counter(kind for kind, _details in found)
    cuffs = [pressure(d["value"], d["unit"], "cmH2O") for kind, d in found if kind == CUFF_PRESSURE.name]
    warm = [float(d["temperature_c"]) for _kind, d in found if "temperature_c" in d]
    warm += [float(celsius(d["temperature_f"])) for _kind, d in found if "temperature_f" in d]
    spo2 = [float(d["spo2_percent"]) for _kind, d in found if "spo2_percent" in d]
    return [
        kinds[SUCTION.name],
        round(float(min(cuffs)), 1) if cuffs else None,
        round(float(max(cuffs)), 1) if cuffs else None,
        round(max(warm), 1) if warm else None,
        min(spo2) if spo2 else None,
    ]
