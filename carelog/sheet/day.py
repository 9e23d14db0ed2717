"""The sheet of one day in full, for a hand-over or a hospital."""

from collections.abc import Sequence
from functools import partial

from carelog.analysis.pictures import Columns
from carelog.analysis.rounds import asked
from carelog.analysis.times import full_day
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Block, Content, Listing, Spread
from carelog.sheet.counted import counted_tables, is_in_table
from carelog.sheet.declaration import Declaration
from carelog.sheet.flagged import alert, flag_blocks
from carelog.sheet.head import LANGUAGE, banner, facts, feet, period_words, warning
from carelog.sheet.listing import groups
from carelog.sheet.material import Material, print_mark
from carelog.sheet.sections import questions, signing, unrecorded
from carelog.text import mark, say


def day_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """One day with every field of every entry."""
    tables = tuple(counted_tables(found.review))
    rest = say(mark("All other entries")) if tables else say(mark("Every entry"))
    blocks: list[Block] = [
        facts(found),
        Spread((*flag_blocks(found), *questions(found), *unrecorded(found, asked(found.review)))),
        *tables,
        Listing(
            groups(found.review, whole=True, left_out=partial(is_in_table, found.review)),
            2,
            rest,
            say(mark("with all that was recorded")),
        ),
        *signing(found),
    ]
    title = say(mark("Day {date} · {name}")).format(date=full_day(found.period.days[0]), name=found.name)
    return Content(
        title=title,
        subtitle=period_words(found),
        running=title,
        feet=feet(found, print_mark(found, entries)),
        blocks=tuple(blocks),
        banner=banner(found),
        alert=alert(found),
        warning=warning(found),
        language=say(LANGUAGE),
    )


DAY = Declaration(
    name="day",
    title=mark("day, in full"),
    span=Span.DAY,
    purpose=mark("every entry with all its details"),
    sketch=(
        "#####     ",
        "---- -----",
        "          ",
        "#--- #----",
        "#--- #----",
        "#--- #----",
        "#--- #----",
        "#--- #----",
        "#--- #----",
        "#--- #----",
        "#--- #----",
    ),
    content=day_content,
)
