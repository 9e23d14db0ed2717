"""Tables as one workbook: a sheet a kind with typed cells, the days drawn as charts of its own."""

import io
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from carelog.domain.entry import Details
from carelog.export.dictionary import HEADS, rows
from carelog.export.extract import Extract
from carelog.export.table import Column, Holds, Narrowed, Value, tables
from carelog.text import mark, say

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

LONGEST = 32_767
"""Characters that a cell of this format takes (ECMA-376; the workbook's own limit)."""
_CUT = mark(" … (cut: a cell takes no more)")
OVERVIEW = ("at", "by", "note", "state", "id", "kind", "title", "line")
"""The first sheet is for reading: the rest of an entry stands once, in the sheet of its kind."""
AT_ONCE = 500  # rows between two steps
MOST_ROWS = 1_048_575
FIRST_DAY = date(1900, 3, 1)
"""The format counts days from 1900, and counts one of February that there never was."""
MOST_DAYS = 3660
CHART = {"width": 960, "height": 300}
WIDTHS = {Holds.TIME: 17.0, Holds.DAY: 11.0, Holds.NUMBER: 12.0, Holds.YES_NO: 9.0, Holds.TEXT: 18.0}


def workbook(extract: Extract, step: Callable[[], None] = lambda: None) -> bytes:
    """The whole workbook; rows are written as they come, so that a long record needs little memory.

    `step` is called now and then, and may stop it.
    """
    from xlsxwriter import Workbook

    out = io.BytesIO()
    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "nan_inf_to_errors": True,
    }
    with Workbook(out, options) as book:
        book.set_properties({"title": extract.name, "created": datetime(2000, 1, 1)})
        writer = TableWriter(book, step)
        found = tables(extract)
        overview = Narrowed(found[0], OVERVIEW)
        writer.sheet(found[0].name, overview.columns, overview.rows)
        for table in found[1:]:
            writer.sheet(table.name, table.columns, table.rows)
        _days(book, writer, extract)
        writer.sheet("dictionary", HEADS, rows(found))
    return out.getvalue()


class TableWriter:
    """Writes sheets with a frozen head and typed cells."""

    def __init__(self, book: "Workbook", step: Callable[[], None]) -> None:
        self._book, self._step = book, step
        self._head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        self._day: Format = book.add_format({"num_format": "yyyy-mm-dd"})
        self._time: Format = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})

    def sheet(self, name: str, columns: Sequence[Column], lines: Iterable[Sequence[Value]]) -> "Worksheet":
        """One sheet; what doesn't fit is said in its last row."""
        sheet = self._book.add_worksheet(name[:31])
        sheet.freeze_panes(1, 0)
        for number, column in enumerate(columns):
            sheet.set_column(number, number, WIDTHS[column.holds])
        for number, column in enumerate(columns):
            sheet.write_string(0, number, column.head, self._head)
        row = 0
        for row, line in enumerate(lines, 1):
            if row % AT_ONCE == 0:
                self._step()
            if row >= MOST_ROWS:
                sheet.write_string(row, 0, say(mark("There are more entries than a sheet takes.")))
                break
            for number, value in enumerate(line):
                self._write(sheet, row, number, value)
        sheet.autofilter(0, 0, max(row, 1), len(columns) - 1)
        return sheet

    def _write(self, sheet: "Worksheet", row: int, column: int, value: Value) -> None:
        if value is None:
            return
        if isinstance(value, bool):
            sheet.write_boolean(row, column, value)
        elif isinstance(value, int | float):
            sheet.write_number(row, column, value)
        elif isinstance(value, str):
            sheet.write_string(row, column, shortened(value))
        elif (value.date() if isinstance(value, datetime) else value) < FIRST_DAY:
            sheet.write_string(row, column, value.isoformat())
        else:
            sheet.write_datetime(row, column, value, self._time if isinstance(value, datetime) else self._day)


def shortened(text: str) -> str:
    """A text that a cell takes; a longer one says that it was cut."""
    text = text.encode("utf-8", "replace").decode()
    return text if len(text) <= LONGEST else text[: LONGEST - len(say(_CUT))] + say(_CUT)


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
    cuffs = [pressure(d["value"], d["unit"], "cmH2O") for kind, d in found if kind == "cuff_pressure"]
    warm = [float(d["temperature_c"]) for _kind, d in found if "temperature_c" in d]
    warm += [float(celsius(d["temperature_f"])) for _kind, d in found if "temperature_f" in d]
    spo2 = [float(d["spo2_percent"]) for _kind, d in found if "spo2_percent" in d]
    return [
        kinds["suction"],
        round(float(min(cuffs)), 1) if cuffs else None,
        round(float(max(cuffs)), 1) if cuffs else None,
        round(max(warm), 1) if warm else None,
        min(spo2) if spo2 else None,
    ]
