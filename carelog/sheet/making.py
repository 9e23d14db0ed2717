"""Makes sheets: which days, which flags, which form; ReportLab is loaded when the first one is made."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from threading import Lock
from typing import TYPE_CHECKING

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.period import Period
from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import YEARS, Instant
from carelog.domain.paper import (
    STOPPED,
    Cancelled,
    FindFlags,
    IsCancelled,
    Progress,
    Sheet,
    SheetRequest,
    Span,
    Usual,
)
from carelog.domain.trouble import WrongUse
from carelog.domain.turn import give_way
from carelog.sheet import sheets
from carelog.sheet.blocks import Content
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material, material, span_of
from carelog.sheet.shown import Flagged
from carelog.text import mark, say

if TYPE_CHECKING:
    from carelog.sheet.letters import Letters
    from carelog.sheet.page import Book, Style

PAPERS = ("a4", "letter")
_NO_DAYS = {
    Span.WEEK: mark("Say which week the sheet is of, such as 2026-W47."),
    Span.WEEKS: mark("Say which day the weeks end with, such as 2026-11-22."),
    Span.DAY: mark("Say which day the sheet is of, such as 2026-11-22."),
    Span.TODAY: mark("Say which day the sheet is made on, such as 2026-11-22."),
}
_NO_YEAR = mark("A sheet shows days of the years {first} to {last}.")
ROOMY = (1.35, 1.2, 1.1, 1.05)
"""How much larger than 8 pt the letters of a sheet are that fills one side, if all still stands on it."""
_NO_PAPER = mark("There is no paper “{paper}”; there are a4 and letter.")
# ReportLab keeps the typefaces of the whole process in one place: one sheet at a time.
_ONE_AT_A_TIME = Lock()


def make(
    request: SheetRequest,
    entries: Sequence[Entry],
    name: str = "",
    *,
    progress: Progress | None = None,
    is_cancelled: IsCancelled | None = None,
    find_flags: FindFlags | None = None,
    usual: Usual | None = None,
) -> bytes:
    """The sheet as PDF, or as one HTML page; `name` is the record's own name for the person.

    `entries` are the record's, or at least those of the period and of the 100 days before it, all of the
    kinds that stand (person, plan, tube …), and the whole chains of them. `progress` is told each new page's
    number; `usual` is what is at hand of it. `WrongUse` for a sheet, a paper or days that aren't there;
    `Cancelled` when somebody stopped it.
    """
    days = checked(request)
    step = _stepper(progress, is_cancelled)
    step(0)
    reading = Reading(entries, request.at)
    is_over = request.now is None or request.now >= reading.home.end_of(days[-1])
    live_now = None if is_over or request.at is not None else request.now
    span = span_of(request, reading, entries, days)
    flagged = _flagged(request, entries, reading, span, find_flags or partial(flags, live_now=live_now))
    step(0)
    found = material(request, reading, entries, name, flagged, span, usual)
    return _html(found, entries) if request.html else _pdf(found, entries, step)


def checked(request: SheetRequest) -> list[date]:
    """The days that are asked for; `WrongUse` with a sentence when the request means nothing."""
    span = check_form(request.name, request.paper).span
    for said in (request.week, request.until, request.day):
        if said is not None and not YEARS[0] <= said.year <= YEARS[1]:
            raise WrongUse(say(_NO_YEAR).format(first=YEARS[0], last=YEARS[1]))
    days = request.days(span)
    if not days:
        raise WrongUse(say(_NO_DAYS[span]))
    return days


def check_form(name: str, paper: str) -> Declaration:
    """The sheet of that name; `WrongUse` when it, or the paper, isn't there."""
    sheet = sheets.sheet_named(name)
    if paper not in PAPERS:
        raise WrongUse(say(_NO_PAPER).format(paper=paper[:40]))
    return sheet


def _stepper(progress: Progress | None, is_cancelled: IsCancelled | None) -> Progress:
    def step(page: int) -> None:
        give_way()
        if is_cancelled and is_cancelled():
            raise Cancelled(say(STOPPED))
        if progress and page:
            progress(page)

    return step


def _flagged(
    request: SheetRequest,
    entries: Sequence[Entry],
    reading: Reading,
    span: Period,
    find_flags: FindFlags,
) -> Flagged:
    """The flags as at the period's end, and those that an entry about it raised afterwards."""
    if span.known is None:
        return Flagged(())
    if span.judged <= span.start:
        return Flagged(
            () if request.at is None else _standing(find_flags(entries, request.at, request.at + 1))
        )
    within = tuple(find_flags(entries, span.start, span.judged))
    known = {
        e.id: reading.known_from(e.id) for e in entries if span.holds(e.at.instant) and _is_in(reading, e)
    }
    after = {each: moment for each, moment in known.items() if moment >= span.end}
    if not after:
        return Flagged(within)
    later = find_flags(entries, span.end, max(after.values()) + 1)
    return Flagged(within, tuple(flag for flag in later if _is_raised_by(flag, after)))


def _standing(found: Sequence[Flag]) -> tuple[Flag, ...]:
    """What is still there at a moment before the days: a hand-over must not be silent about it."""
    return tuple(flag for flag in found if flag.cleared_at is None)


def _is_in(reading: Reading, entry: Entry) -> bool:
    try:
        reading.known_from(entry.id)
    except KeyError:
        return False
    return True


def _is_raised_by(flag: Flag, after: dict[str, Instant]) -> bool:
    return any(after.get(each) == flag.raised_at for each in flag.entries)


def _pdf(found: Material, entries: Sequence[Entry], step: Callable[[int], None]) -> bytes:
    from carelog.sheet.letters import Letters
    from carelog.sheet.page import style

    sheet = sheets.sheet_named(found.request.name)
    is_large = found.request.large and sheet.has_large
    found = replace(found, request=replace(found.request, large=is_large))
    page = style(found.request.paper, is_large)
    count = len(found.period.days)
    content = content_of(found, entries, Columns(count, page.day(count), page.size))
    step(0)
    with _ONE_AT_A_TIME:
        letters = Letters()
        for scale in ROOMY if sheet.fills_a_side and not is_large else ():
            roomy = _whole(style(found.request.paper, large=False, scale=scale), content, letters, step)
            if len(roomy.leaves) == 1:
                return roomy.pdf(_title(found, content))
        return _whole(page, content, letters, step).pdf(_title(found, content))


def _whole(page: "Style", content: Content, letters: "Letters", step: Callable[[int], None]) -> "Book":
    """All pages, with room for what the letters that can't be printed stand for."""
    book = _filled(page, content, letters, step)
    lacking = book.lacking()
    return _filled(page, content, letters, step, lacking) if lacking else book


def _filled(
    page: "Style", content: Content, letters: "Letters", step: Callable[[int], None], kept: int = 0
) -> "Book":
    from carelog.sheet.flow import lay_out
    from carelog.sheet.page import Book

    book = Book(page, content, letters, step, kept)
    for block in content.blocks:
        step(0)
        lay_out(book, block)
    return book


def _title(found: Material, content: Content) -> str:
    """What programs show of the file: its first line, or only its days."""
    return content.subtitle if found.request.nameless else content.running


def _html(found: Material, entries: Sequence[Entry]) -> bytes:
    from carelog.sheet.web import page_of

    content = content_of(found, entries, Columns(len(found.period.days), 90.0, 10.0))
    return page_of(content, _title(found, content)).encode()


def content_of(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    """What the sheet says, before it becomes paper or a page."""
    return sheets.sheet_named(found.request.name).content(found, entries, columns)


class PaperSheets:
    """The sheets as the program's port (`app.ports.Sheets`) wants them."""

    def offered(self) -> Sequence[Sheet]:
        """The sheets that are built."""
        return sheets.SHEETS

    def days(self, request: SheetRequest) -> list[date]:
        """The days that a sheet is of; `WrongUse` when the request means nothing."""
        return checked(request)

    def make(
        self,
        request: SheetRequest,
        entries: Sequence[Entry],
        name: str = "",
        *,
        progress: Progress | None = None,
        is_cancelled: IsCancelled | None = None,
        find_flags: FindFlags | None = None,
        usual: Usual | None = None,
    ) -> bytes:
        """One sheet, as `make` says."""
        return make(
            request,
            entries,
            name,
            progress=progress,
            is_cancelled=is_cancelled,
            find_flags=find_flags,
            usual=usual,
        )
