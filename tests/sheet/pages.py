"""Makes sheets and reads them back as a stranger would: through a PDF reader of its own kind."""

import ctypes
import html
import re
from collections.abc import Iterator, Sequence
from typing import Any

import pypdfium2
import pypdfium2.raw as raw

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant, Moment, Week
from carelog.domain.paper import SheetRequest
from carelog.sheet import make

W43 = Week(2026, 43)


def no_flags(entries: Sequence[Entry], start: Instant, end: Instant) -> Sequence[Flag]:
    """In place of the rules, where a test is about something else."""
    return ()


def sheet(entries: Sequence[Entry], week: Week = W43, name: str = "", **more: Any) -> bytes:
    """A week's sheet without flags."""
    return make(SheetRequest(week=week, **more), entries, name, find_flags=no_flags)


def day_sheet(entries: Sequence[Entry], day: Any, **more: Any) -> bytes:
    """A day's sheet without flags."""
    return make(SheetRequest(name="day", day=day, **more), entries, find_flags=no_flags)


def texts(pdf: bytes) -> list[str]:
    """What a reader gets from each page: lines as drawn, spaces and no-break spaces alike."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [plain(page.get_textpage().get_text_range()) for page in document]
    finally:
        document.close()


def plain(text: str) -> str:
    """Text with one sort of line break and of space."""
    return text.replace("\r\n", "\n").replace("\N{NO-BREAK SPACE}", " ").replace("\ufffe", "-")


def running(pdf: bytes) -> str:
    """All text as one line, as if nothing had been broken into lines."""
    return re.sub(r"\s+", " ", " ".join(texts(pdf)))


def listed(page: bytes) -> str:
    """The rows of a page's entries, as paper has them: time, kind, details, initials, [remarks]."""
    text = plain(page.decode())
    found = []
    for row in re.findall(r'<tr><td class="time">(.*?)</tr>', text, re.DOTALL):
        cells = [html.unescape(re.sub(r"<[^>]+>", "", cell)).strip() for cell in row.split("</t")]
        time, title, details, by, marks = (cells[n].removeprefix("d>").removeprefix("h>") for n in range(5))
        found.append(
            " ".join(part for part in (time, title, details, by, f"[{marks}]" if marks else "") if part)
        )
    return "\n".join(found)


def sizes(pdf: bytes) -> set[float]:
    """The sizes of all letters, in points."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return {
            round(raw.FPDFText_GetFontSize(text, place), 2)
            for page in document
            for text in [page.get_textpage()]
            for place in range(text.count_chars())
            if not raw.FPDFText_IsGenerated(text, place)
        }
    finally:
        document.close()


def fonts(pdf: bytes) -> Iterator[tuple[str, bool]]:
    """The typefaces of a PDF by name, and whether each is embedded."""
    document = pypdfium2.PdfDocument(pdf)
    seen = set()
    try:
        for page in document:
            for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
                font = raw.FPDFTextObj_GetFont(thing.raw)
                length = raw.FPDFFont_GetBaseFontName(font, None, 0)
                buffer = ctypes.create_string_buffer(length)
                raw.FPDFFont_GetBaseFontName(font, buffer, length)
                seen.add((buffer.value.decode(), bool(raw.FPDFFont_GetIsEmbedded(font))))
    finally:
        document.close()
    yield from sorted(seen)


def entry(number: int, at: str, kind: str = "suction", **more: Any) -> Entry:
    """An entry written down when it happened, unless `recorded` says otherwise."""
    moment = Moment.read(at)
    recorded = more.pop("recorded", None)
    return Entry(
        id=f"00000000-0000-4000-8000-{number:012}",
        kind=kind,
        at=moment,
        recorded_at=Moment.read(recorded).instant if recorded else moment.instant,
        by=more.pop("by", "AB"),
        **more,
    )
