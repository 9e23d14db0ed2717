"""The sheet of one week."""

from collections.abc import Sequence

from carelog.analysis.compare import WeeksBefore
from carelog.analysis.pictures import Columns
from carelog.analysis.rounds import asked
from carelog.analysis.times import full_day
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Block, Content, Listing, Paragraphs, Spread
from carelog.sheet.chart import chart
from carelog.sheet.declaration import Declaration
from carelog.sheet.flagged import alert, flag_blocks
from carelog.sheet.grid import asked_rows, done_each_time
from carelog.sheet.head import (
    LANGUAGE,
    banner,
    brief_facts,
    days_words,
    feet,
    more_facts,
    period_words,
    warning,
)
from carelog.sheet.listing import Unlike, day_columns, groups, what_is_more
from carelog.sheet.material import Material, print_mark
from carelog.sheet.sections import is_noted, is_short, notes, questions, signing, unlike_before, unrecorded
from carelog.sheet.unlike import unlike_usual
from carelog.text import mark, say

_WEEK = mark("Week {number} · {name}")
_SEVEN_DAYS = mark("Seven days to {date} · {name}")


def week_content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    """The week's sheet: answers first, then the seven days, then every entry."""
    past, rounds = WeeksBefore(found.review), asked(found.review)
    has_key = found.request.large and not found.request.html
    blocks: list[Block] = [
        brief_facts(found),
        Spread(
            (
                *flag_blocks(found),
                *unlike_before(found, past),
                *unrecorded(found, rounds),
                *questions(found),
                *notes(found),
            )
        ),
        chart(found.review, past, columns, asked_rows(found.review, rounds, has_key)),
        *done_each_time(rounds),
        *signing(found),
        more_facts(found),
        _entries(found, unlike_usual(found.review, past)),
    ]
    title = _title(found)
    return Content(
        title=title,
        subtitle=period_words(found),
        running=f"{title} · {days_words(found, is_first=True)}",
        feet=feet(found, print_mark(found, entries)),
        blocks=tuple(blocks),
        banner=banner(found),
        alert=alert(found),
        warning=warning(found),
        language=say(LANGUAGE),
    )


def _entries(found: Material, unlike: Unlike) -> Block:
    """Every entry by day; in large print, which has a quarter of the room, those that say more."""
    review = found.review
    if found.request.large:
        beside = say(mark("the others, with their times, are on the sheet in normal print"))
        return Paragraphs(what_is_more(review, unlike, is_short), say(mark("Entries that say more")), beside)
    if found.request.html:
        rows = groups(review, told=is_short, noted=is_noted, unlike=unlike)
        return Listing(rows, len(rows), say(mark("Every entry")), say(mark("by day and time, with initials")))
    days, fewer = day_columns(review, unlike, is_short, is_noted)
    beside = say(
        mark("who wrote most of a day stands at its head, others are named; details: the day's sheet")
    )
    return Listing(days, len(days), say(mark("Every entry")), beside, has_day_columns=True, fewer=fewer)


WEEK = Declaration(
    name="week",
    title=mark("week"),
    span=Span.WEEK,
    purpose=mark("for the nurse's visit"),
    sketch=(
        "#####     ",
        "---- -----",
        "---- -----",
        "          ",
        "AABBCCDDEE",
        "A#BBC#D##E",
        "A-BBC-DD#E",
        "AABBCCDDEE",
        "          ",
        "-- -- -- -",
        "-- -- -- -",
    ),
    content=week_content,
)


def _title(found: Material) -> str:
    until, week = found.request.until, found.request.week
    if until is not None or week is None:
        return say(_SEVEN_DAYS).format(date=full_day(found.period.days[-1]), name=found.name)
    return say(_WEEK).format(number=week.text(), name=found.name)
