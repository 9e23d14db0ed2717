"""`carelog sheet`: a sheet as PDF, or as one accessible page."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app import output
from carelog.app.history import Sources, of_days, of_sheets
from carelog.app.ports import Record, Sheets
from carelog.app.settings import SettingsFile
from carelog.commands import records, times
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.moment import Instant, Week
from carelog.domain.paper import Sheet, Span
from carelog.domain.trouble import Refused, WrongUse
from carelog.text import mark, say

if TYPE_CHECKING:
    from carelog.sheet import SheetRequest

WEEK = "week"
MOST_DAYS = 31
DAYS_IN_COLUMNS = 7
USUAL_WEEKS, MOST_WEEKS = 4, 53
_NO_WEEKS = mark("“{text}” isn't a number of weeks from 1 to {most}.")
_ONE_SIZE = mark("The sheet “{name}” has one size of print; leave --large out.")


def sheet(given: Given, around: Surroundings) -> int:
    """Write one sheet."""
    from carelog.sheet.making import checked

    wanted = replace(_request(given), sure=SettingsFile(around.places.settings).read().sure)
    path, target = Path(given.needed("record")), Path(given.needed("out"))
    with records.opened(path, around) as record:
        wanted = _of_now(_known_by(wanted, given.text("at"), record), around.clock.now(), record)
        checked(wanted)
        content = made(wanted, record)
    output.write_file(target, [content], path)
    around.say(str(target))
    return 0


def write_week(path: Path, week: Week, target: Path, around: Surroundings) -> None:
    """Write the sheet of a week, as everything in the record says."""
    from carelog.sheet import SheetRequest

    with records.opened(path, around) as record:
        content = made(SheetRequest(name=WEEK, week=week), record)
    output.write_file(target, [content], path)


def sheets() -> Sheets:
    """The sheets that are built."""
    from carelog.sheet import PaperSheets

    return PaperSheets()


def made(wanted: "SheetRequest", record: Record) -> bytes:
    """One sheet of what a record holds."""
    from carelog.sheet.making import checked

    found = of_days(record, checked(wanted), wanted.now, wanted.at)
    return _made_from(found, wanted, record)


def made_together(wanted: Sequence["SheetRequest"], record: Record) -> Iterator[bytes]:
    """Sheets of days that lie near each other, in their order, from one reading of what is before them."""
    from carelog.sheet.making import checked

    days = [checked(each) for each in wanted]
    if not days:
        return
    found = of_sheets(record, days)
    for each in wanted:
        yield _made_from(found, each, record)


def _made_from(found: Sources, wanted: "SheetRequest", record: Record) -> bytes:
    from carelog.sheet import make

    name = record.person().name
    return make(wanted, found.entries, name, find_flags=found.find_flags, usual=found.usual)


def _request(given: Given) -> "SheetRequest":
    from carelog.sheet import SheetRequest
    from carelog.sheet.making import check_form

    name, paper = given.text("sheet") or WEEK, given.text("paper") or "a4"
    _check_options(given, check_form(name, paper))
    week, date, until = given.text("week"), given.text("date"), given.text("until")
    return SheetRequest(
        name=name,
        week=None if week is None else _week(week),
        day=None if date is None else times.read_date(date),
        until=None if until is None else times.read_date(until),
        paper=paper,
        large=given.has("large"),
        html=given.has("html"),
        everything=given.has("all"),
        count=_count(given.text("days"), DAYS_IN_COLUMNS if given.has("columns") else 1),
        in_columns=given.has("columns"),
        weeks=_weeks(given.text("weeks")),
    )


def _weeks(text: str | None) -> int:
    """How many weeks; `WrongUse` for what isn't a number of them."""
    if text is None:
        return USUAL_WEEKS
    if not (text.isascii() and text.isdecimal() and 1 <= int(text[:4]) <= MOST_WEEKS):
        raise WrongUse(say(_NO_WEEKS).format(text=text[:40], most=MOST_WEEKS))
    return int(text)


def _check_options(given: Given, sheet: Sheet) -> None:
    """`WrongUse` for an option that another sheet takes, or for two that each say which days."""
    taken = [option for each in sheets().offered() for option in each.options]
    for option in dict.fromkeys([*(each for span in Span for each in span.options), *taken]):
        if given.has(option) and option not in sheet.options:
            raise WrongUse(_not_taken(sheet, option))
    if given.has("large") and not sheet.has_large:
        raise WrongUse(say(_ONE_SIZE).format(name=sheet.name))
    if given.has("week") and given.has("until"):
        raise WrongUse(say("Give --week or --until, one of the two."))


def _not_taken(sheet: Sheet, option: str) -> str:
    taken = ", ".join(f"--{each}" for each in sheet.options)
    if not taken:
        return say("The sheet “{name}” doesn't take --{option}.").format(name=sheet.name, option=option)
    words = say("The sheet “{name}” takes {taken}, not --{option}.")
    return words.format(name=sheet.name, taken=taken, option=option)


def _of_now(wanted: "SheetRequest", now: Instant, record: Record) -> "SheetRequest":
    """The clock beside what is asked for; without a day or a week it is today's."""
    from carelog.sheet.sheets import sheet_named

    span = sheet_named(wanted.name).span
    then = wanted.at if span is Span.TODAY else None  # such a sheet has no other way to say its day
    today = records.home(record).day(now if then is None else then)
    return replace(wanted, now=now).dated(span, today)


def _known_by(wanted: "SheetRequest", at: str | None, record: Record) -> "SheetRequest":
    if at is None:
        return wanted
    return replace(wanted, at=times.read_moment(at, records.home(record)).instant)


def _count(text: str | None, usual: int) -> int:
    """How many days, from 1 to 31; as usual if nothing says it."""
    if text is None:
        return usual
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MOST_DAYS):
        raise WrongUse(say("Say how many days, from 1 to {most}.").format(most=MOST_DAYS))
    return int(text)


def _week(text: str) -> Week:
    try:
        return Week.read(text)
    except Refused as error:
        raise WrongUse(error.sentence) from error
