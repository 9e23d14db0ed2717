"""Coming home on one page: what must be there, who can do what; ticked by the ward's nurse and the family."""

from collections.abc import Iterator, Sequence
from datetime import date

from carelog.analysis.homecoming import SOURCES, Homecoming, homecoming
from carelog.analysis.in_force import Held
from carelog.analysis.pictures import Columns
from carelog.analysis.times import full_day, month_day
from carelog.domain.entry import Entry
from carelog.sheet.blocks import (
    Block,
    Content,
    Facts,
    FormColumn,
    Handwriting,
    Item,
    Points,
    Ruled,
    Words,
    words,
)
from carelog.sheet.flagged import alert
from carelog.sheet.glance import contact
from carelog.sheet.head import LANGUAGE, banner, feet
from carelog.sheet.material import Material, print_mark
from carelog.sheet.standing import tube_words, unknown
from carelog.text import mark, say

_HOW = mark("Tick together what is there and who can do what, then write it into the record.")
_FROM = mark("The lists only suggest. Your ward's own list comes first.")
MOST_THINGS, MOST_TASKS = 20, 20
"""So many rows have room on one page; how many more there are is told."""
ROOM = 172.0  # mm for all rows
TICKED = "x"
_THING_COLUMNS = (
    FormColumn(mark("thing"), 0.41),
    FormColumn(mark("who brings it"), 0.17),
    FormColumn(mark("by when"), 0.16),
    FormColumn(mark("there"), 0.07, is_box=True),
    FormColumn(mark("on, seen by"), 0.19),
)
_TASK_COLUMNS = (
    FormColumn(mark("task"), 0.22),
    FormColumn(mark("who learns"), 0.16),
    FormColumn(mark("shown by, on"), 0.3),
    FormColumn(mark("alone"), 0.07, is_box=True),
    FormColumn(mark("on"), 0.12),
    FormColumn(mark("again by"), 0.13),
)


def home_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """What was recorded of both lists, and room to tick the rest by hand."""
    title = say(mark("Coming home"))
    return Content(
        title=title,
        subtitle=say(_HOW),
        running=f"{title} · {full_day(found.period.days[-1])} · {found.name}",
        feet=feet(found, print_mark(found, entries)),
        blocks=tuple(_blocks(found, homecoming(found.reading, found.period.judged - 1))),
        banner=banner(found),
        alert=alert(found),
        language=say(LANGUAGE),
    )


def _blocks(found: Material, lists: Homecoming) -> Iterator[Block]:
    yield _head(found)
    things, tasks = list(_things(lists)), list(_tasks(lists))
    rows = min(len(things), MOST_THINGS) + min(len(tasks), MOST_TASKS)
    height = min(7.0, max(ROOM / rows, 4.3))
    yield from _form(
        say(mark("Must be there before the first night")), _THING_COLUMNS, things, MOST_THINGS, height
    )
    yield from _form(say(mark("Who can do what")), _TASK_COLUMNS, tasks, MOST_TASKS, height)
    yield Points((Item(words(f"{say(_FROM)} {say(SOURCES)}")),))
    yield Handwriting(
        ((say(mark("For the ward")), 0.42), (say(mark("For the family")), 0.4), (say(mark("Date")), 0.18)), 1
    )


def _form(
    title: str, columns: Sequence[FormColumn], rows: Sequence[Sequence[str]], most: int, height: float
) -> Iterator[Block]:
    named = tuple(column._replace(name=say(column.name)) for column in columns)
    shown = rows[:most]
    yield Ruled(
        title,
        named,
        tuple(row[0] for row in shown),
        height=height,
        told=tuple(tuple(row[1:]) for row in shown),
    )
    if len(rows) > most:
        more = say(mark("{count} more stand in the record.")).format(count=len(rows) - most)
        yield Points((Item(words(more)),))


def _things(lists: Homecoming) -> Iterator[tuple[str, ...]]:
    """What isn't there yet first, with what was said of it; then what is, ticked."""
    for each in (*lists.open, *lists.there):
        day = "" if each.by is None else month_day(each.by)
        late = say(mark("{day}, passed")).format(day=day) if each.is_late(lists.today) else day
        yield each.what, each.who, late, TICKED if each.done else "", _by(lists, each.done)


def _tasks(lists: Homecoming) -> Iterator[tuple[str, ...]]:
    """Of each task who was shown it and has done it alone, then a line for somebody else."""
    for task, trained in lists.trained:
        for each in trained:
            shown = ", ".join(part for part in (each.shown_by, _day(lists, each.shown)) if part)
            again = "" if each.again_by is None else month_day(each.again_by)
            if each.is_to_be_seen_again(lists.today):
                again = say(mark("{day}, passed")).format(day=again)
            yield task, each.who, shown, TICKED if each.alone else "", _day(lists, each.alone), again
        yield (task,)


def _day(lists: Homecoming, held: Held | None) -> str:
    return "" if held is None else month_day(lists.home.day(held.time))


def _by(lists: Homecoming, held: Held | None) -> str:
    return "" if held is None else f"{_day(lists, held)} {held.first.by}".rstrip()


def _head(found: Material) -> Facts:
    born = found.person.get("born")
    rows: list[tuple[str, Words]] = [
        (say(mark("Name")), words(found.name, bold=True)),
        (say(mark("Born")), words(full_day(date.fromisoformat(born)) if born else unknown())),
        (say(mark("Tube in place")), words("; ".join(part for part in tube_words(found) if part))),
    ]
    called = "; ".join(contact(held.entry.details) for held in found.contacts)
    rows.append((say(mark("Contacts")), words(called or say(mark("no contact recorded")))))
    return Facts(tuple(rows))
