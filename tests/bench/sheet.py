"""The weekly sheet: inside the running program, as a whole process, and out of a long record.

usage: python -m tests.bench.sheet [--pairs 9] [--office]
The ratios are of the processor's time.
Floors: ReportLab drawing the same strings with one typeface and three charts; a process that imports
SQLAlchemy's object mapper and ReportLab, reads a week and draws it; the same sheet by a headless LibreOffice
(only with --office, and where it is installed).
"""

import argparse
import io
import os
import random
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.learnt import learnt_band
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.week import Review
from carelog.app.demo import demo_entries, demo_home, demo_person
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant, Moment, Week, utc_text
from carelog.domain.paper import SheetRequest, Usual
from carelog.resources import find
from carelog.sheet import make
from carelog.sheet.letters import REGULAR
from carelog.sheet.painter import Painter
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord
from tests.bench import measurement
from tests.bench.measurement import Figure

UNTIL = Moment.read("2026-11-25T12:00:00Z").instant
WEEK = Week(2026, 47)
SMALL = 60 * 1024


def main() -> int:
    """Measure and print; 0 when all figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=9)
    parser.add_argument("--office", action="store_true")
    asked = parser.parse_args()
    entries = demo_entries(UNTIL)
    found = [
        long_record(),
        inside(entries, asked.pairs),
        *whole_process(entries, asked.pairs),
        size(entries),
        ten_thousand(),
    ]
    found += by_office(entries) if asked.office and shutil.which("soffice") else []
    return measurement.figures("Weekly sheet", found)


def sheet(entries: list[Entry]) -> bytes:
    """The week's sheet, what a replay finds for it being at hand: its flags, and what was usual."""

    def found(entries: Sequence[Entry], start: Instant, end: Instant) -> Sequence[Flag]:
        return _flags(entries)

    return make(SheetRequest(week=WEEK), entries, find_flags=found, usual=_usual(entries))


_found: dict[int, tuple[Flag, ...]] = {}
_bands: dict[int, Usual] = {}


def _flags(entries: Sequence[Entry]) -> tuple[Flag, ...]:
    if id(entries) not in _found:
        _found[id(entries)] = tuple(flags(entries, *demo_home().week(WEEK)))
    return _found[id(entries)]


def _usual(entries: Sequence[Entry]) -> Usual:
    if id(entries) not in _bands:
        reading = Reading(entries)
        span = period(reading, WEEK.days(), None)
        _bands[id(entries)] = {span.end: learnt_band(Review(reading, entries, span, plans(reading)))}
    return _bands[id(entries)]


def strings(entries: list[Entry]) -> list[str]:
    """All strings that the sheet draws."""
    drawn: list[str] = []
    plain = Painter._words

    def listen(self, labels):  # type: ignore[no-untyped-def]
        labels = list(labels)
        drawn.extend(label.text for _, label in labels)
        plain(self, labels)

    Painter._words = listen  # type: ignore[method-assign]
    try:
        sheet(entries)
    finally:
        Painter._words = plain  # type: ignore[method-assign]
    return drawn


def drawn_by_reportlab(texts: list[str]) -> bytes:
    """The floor: the same strings and three charts, nothing measured or broken into lines."""
    from reportlab.pdfgen.canvas import Canvas

    out, rng = io.BytesIO(), random.Random(1)
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=REGULAR)
    for place, text in enumerate(texts):
        if place % 480 == 0:
            if place:
                canvas.showPage()
            canvas.setFont(REGULAR, 8)
        canvas.drawString(30 + place % 6 * 90, 800 - place % 480 // 6 * 9, text)
    for left in (40, 220, 400):
        canvas.rect(left, 40, 150, 90)
        for step in range(5):
            canvas.line(left, 40 + step * 18, left + 150, 40 + step * 18)
            canvas.drawString(left - 12, 40 + step * 18, str(step))
        path = canvas.beginPath()
        for step in range(28):
            (path.lineTo if step else path.moveTo)(left + step * 5, 50 + rng.random() * 60)
        canvas.drawPath(path)
        for day in range(7):
            canvas.rect(left + day * 20, 40, 12, rng.random() * 60, fill=1)
    canvas.save()
    return out.getvalue()


def inside(entries: list[Entry], pairs: int) -> Figure:
    """Inside the running program, to ReportLab with the same strings."""
    sheet(entries)
    texts = strings(entries)
    drawn_by_reportlab(texts)
    ratio, mine, floors = measurement.pairs(
        lambda: sheet(entries), lambda: drawn_by_reportlab(texts), pairs, measurement.spent
    )
    mine_ms, floor_ms = statistics.median(mine) * 1e3, statistics.median(floors) * 1e3
    shown = f"{mine_ms:.0f} ms to {floor_ms:.0f} ms, {len(texts)} strings"
    return Figure("10", "sheet inside the program to ReportLab drawing its strings", ratio, 2.0, shown)


FLOOR = """
import sys
import sqlalchemy as sa
from sqlalchemy.orm import Session
from tests.bench.mapped import MappedEntry
engine = sa.create_engine("sqlite:///" + sys.argv[1])
chosen = sa.select(MappedEntry).where(MappedEntry.at >= int(sys.argv[2]), MappedEntry.at < int(sys.argv[3]))
with Session(engine) as session:
    rows = session.scalars(chosen).all()
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import SimpleDocTemplate, Table, TableStyle
pdfmetrics.registerFont(TTFont("F", sys.argv[4]))
days = [[] for _ in range(7)]
for row in rows:
    day = (row.at - int(sys.argv[2])) // 86_400_000_000 % 7
    days[day].append(f"{row.at // 60_000_000 % 1440} {row.kind} {row.by}")
table = [[day[n] if n < len(day) else "" for day in days] for n in range(max(map(len, days)))]
style = TableStyle([("FONT", (0, 0), (-1, -1), "F", 6, 7)])
SimpleDocTemplate(sys.argv[5], pagesize=A4, invariant=1).build([Table(table, style=style)])
"""


def whole_process(entries: list[Entry], pairs: int) -> list[Figure]:
    """`carelog sheet` from start to end, to a process that draws a week with the same libraries."""
    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "demo.carelog", Path(folder) / "out.pdf"
        record = open_record(path, installation="bench", create=demo_person())
        record.append(entries)
        record.close()
        start, end = map(str, demo_home().week(WEEK))
        font = str(find(f"fonts/{REGULAR}.ttf"))
        mine = [
            sys.executable,
            "-m",
            "carelog",
            "sheet",
            "--record",
            str(path),
            "--week",
            WEEK.text(),
            "--out",
            str(out),
        ]
        floor = [sys.executable, "-c", FLOOR, str(path), start, end, font, str(out)]
        for each in (mine, floor):  # a household's program is compiled once, not at each start
            _run(each, folder)
        ratio, mines, floors = measurement.pairs(
            lambda: _run(mine, folder), lambda: _run(floor, folder), pairs, measurement.spent
        )
    shown = f"{statistics.median(mines):.2f} s to {statistics.median(floors):.2f} s"
    return [Figure("11", "`carelog sheet` to object mapper + ReportLab", ratio, 1.3, shown)]


def _run(command: list[str], compiled: str = "") -> None:
    """Run a command; `compiled`: the folder that keeps its modules compiled."""
    around = dict(os.environ)
    if compiled:
        around.pop("PYTHONDONTWRITEBYTECODE", None)
        around["PYTHONPYCACHEPREFIX"] = compiled
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=around)


STANDING = (
    "person",
    "plan",
    "contact",
    "recorder",
    "tube_change",
    "stay",
    "question",
    "answer",
    "cuff_state",
)
BEFORE = 60 * DAY_24_H


def long_record() -> Figure:
    """A week out of ten years to one out of a month, read as the store offers it.

    Flags aside, and what was usual, which comes with them.
    """
    with tempfile.TemporaryDirectory() as folder:
        records = [
            measurement.built(Path(folder) / f"{count}.carelog", count)
            for count in (measurement.A_MONTH, measurement.TEN_YEARS)
        ]
        month, years = (partial(_sheet_of_last_week, record) for record in records)
        month(), years()
        ratio, mine, floors = measurement.pairs(years, month, 7, measurement.spent)
        for record in records:
            record.close()
    shown = f"{statistics.median(mine) * 1e3:.0f} ms to {statistics.median(floors) * 1e3:.0f} ms"
    return Figure("9", "week out of 10 years to 1 month, without flags", ratio, 1.2, shown)


def _sheet_of_last_week(record: StoredRecord) -> bytes:
    _, last = measurement.last_week(record)
    home = Home("Europe/London")
    week = Week.of(home.day(last))
    start, end = home.week(week)
    entries = [*record.of_kinds(STANDING), *record.period(start - BEFORE, end)]
    return make(SheetRequest(week=week), entries, find_flags=lambda *_: (), usual={end: None})


def size(entries: list[Entry]) -> Figure:
    """Bytes of a usual week."""
    made = sheet(entries)
    assert made == sheet(entries[::-1])
    return Figure(
        "12", "bytes of a usual week to 60 KB", len(made) / SMALL, 1.0, f"{len(made) / 1024:.0f} KB"
    )


def ten_thousand() -> Figure:
    """10,000 entries in one week, in a process of its own, to ten seconds."""
    code = "from tests.bench import sheet; sheet.large()"
    took = measurement.took(lambda: _run([sys.executable, "-c", code]), measurement.spent)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return Figure(
        "Paper 3", "10,000 entries in a week to 10 s", took / 10, 1.0, f"{took:.1f} s, {peak:.0f} MB of 300"
    )


def large() -> None:
    """Make the sheet of a week of 10,000 entries, flags included."""
    start, _ = demo_home().week(WEEK)
    entries = [
        each for each in measurement.history(10_000, a_day=1_430, since=start) if utc_text(each.recorded_at)
    ]
    assert make(SheetRequest(week=WEEK), entries).startswith(b"%PDF")


def by_office(entries: list[Entry]) -> list[Figure]:
    """The same sheet's entries as a table, made into PDF by a headless spreadsheet program."""
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "week.csv"
        lines = [f"{utc_text(each.at.instant)},{each.kind},{each.by}" for each in entries]
        table.write_text("\n".join(lines[-250:]), "utf-8")
        command = ["soffice", "--headless", "--convert-to", "pdf", "--outdir", folder, str(table)]
        command.insert(1, f"-env:UserInstallation=file://{folder}/profile")
        _run(command)
        ratio, mine, floors = measurement.pairs(lambda: sheet(entries), lambda: _run(command), 5)
    shown = f"{statistics.median(mine) * 1e3:.0f} ms to {statistics.median(floors):.2f} s"
    return [Figure("10", "sheet inside the program to LibreOffice", ratio, 1 / 15, shown)]


if __name__ == "__main__":
    sys.exit(main())
