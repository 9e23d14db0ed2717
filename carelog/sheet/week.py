"""The sheet of one week."""

from collections.abc import Sequence

from carelog.analysis.compare import WeeksBefore
from carelog.analysis.pictures import Columns
from carelog.analysis.rounds import asked
from carelog.analysis.times import full_day
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Block, Content, Heading, Listing, Spread
from carelog.sheet.chart import chart
from carelog.sheet.declaration import Declaration
from carelog.sheet.flagged import alert, flag_blocks
from carelog.sheet.grid import asked_rows
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
from carelog.sheet.listing import groups
from carelog.sheet.material import Material, print_mark
from carelog.sheet.sections import is_noted, is_short, notes, questions, signing, unlike_before, unrecorded
from carelog.text import mark, say

_WEEK = mark("Week {number} · {name}")
_SEVEN_DAYS = mark("Seven days to {date} · {name}")


def week_content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    """The week's sheet: answers first, then the seven days, then every entry."""
    past, rounds = WeeksBefore(found.review), asked(found.review)
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
        chart(found.review, past, columns, asked_rows(found.review, rounds)),
        Heading(
            say(mark("Every entry")),
            say(mark("by day and time, with initials; details are on the day's sheet")),
        ),
        Listing(groups(found.review, told=is_short, noted=is_noted), 6),
        *signing(found),
        more_facts(found),
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


WEEK = Declaration(name="week", title=mark("week"), span=Span.WEEK, content=week_content)


def _title(found: Material) -> str:
    until, week = found.request.until, found.request.week
    if until is not None or week is None:
        return say(_SEVEN_DAYS).format(date=full_day(found.period.days[-1]), name=found.name)
    return say(_WEEK).format(number=week.text(), name=found.name)
