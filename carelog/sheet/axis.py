"""What the course's sheet says: some weeks over one axis, and each day of them in a sentence."""

from collections.abc import Iterator, Sequence

from carelog.analysis.course.course import WholeCourse, course
from carelog.analysis.course.drawn import picture
from carelog.analysis.course.told import sentence, table
from carelog.analysis.drawing import Drawing
from carelog.analysis.pictures import Columns
from carelog.analysis.times import full_day
from carelog.domain.entry import Entry
from carelog.sheet.blocks import (
    Content,
    Figure,
    Heading,
    Item,
    Piece,
    Points,
    Spread,
    Tabled,
    TableRow,
    words,
)
from carelog.sheet.flagged import alert
from carelog.sheet.head import LANGUAGE, banner, brief_facts, feet, more_facts, period_words, warning
from carelog.sheet.material import Material, print_mark
from carelog.text import mark, say, say_n

WIDEST = 960.0
"""Of a picture on a page for a browser, in its points."""
SMALL = 8.0
"""Letters of this size leave room for all rows on one page; of larger ones each page has a few."""
ROWS_A_PAGE = 3


def course_content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    """The pictures first, then the same in words."""
    whole = course(found.review, found.flagged.within)
    day = full_day(found.period.days[-1])
    weeks = len(found.period.days) // 7
    title = say_n("Course of one week · {name}", "Course of {count} weeks · {name}", weeks)
    # The name last: a number after Arabic letters would be drawn before them.
    running = title.format(count=weeks, name=f"{day} · {found.name}")
    title = title.format(count=weeks, name=found.name)
    shown = table(whole)
    share = 1 / (len(shown.rows) + 1)
    return Content(
        title=title,
        subtitle=period_words(found),
        running=running,
        feet=feet(found, print_mark(found, entries)),
        blocks=(
            brief_facts(found),
            Figure(
                say(mark("The course")),
                tuple(_pictures(whole, columns)),
                Tabled(
                    say(mark("The course in words")),
                    ((say(mark("Day")), share), *((name, share) for name, _ in shown.rows)),
                    tuple(
                        TableRow((name, *(cells[number] for _, cells in shown.rows)))
                        for number, name in enumerate(shown.names)
                    ),
                ),
            ),
            Spread((Heading(say(mark("Told one by one"))), Points(tuple(_told(whole))))),
            more_facts(found),
        ),
        banner=banner(found),
        alert=alert(found),
        warning=warning(found),
        language=say(LANGUAGE),
    )


def _pictures(whole: WholeCourse, columns: Columns) -> Iterator[Drawing]:
    """One picture of all rows; with large letters one for some rows each, under the same dates."""
    width = min(columns.whole + 90 * columns.size / SMALL, WIDEST)
    step = len(whole.rows) if columns.size <= 1.5 * SMALL else ROWS_A_PAGE
    names = [row.name for row in whole.rows]
    for start in range(0, max(len(names), 1), max(step, 1)):
        yield picture(whole.chosen(names[start : start + step]), width, columns.size).drawing


def _told(whole: WholeCourse) -> Iterator[Item]:
    for number in range(whole.axis.count):
        told = sentence(whole, number)
        yield Item((Piece(f"{told.name}: ", bold=True), Piece(told.words)))
    if whole.absent:
        names = ", ".join(say(each) for each in whole.absent)
        yield Item(words(say(mark("Not recorded in all these days: {names}.")).format(names=names)))
