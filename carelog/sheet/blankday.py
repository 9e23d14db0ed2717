"""A blank sheet for a day, made from the person's own plan: to be filled in by hand and typed in later."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from carelog.analysis.blankday import BlankPart, BlankRow, blank_day
from carelog.analysis.compare import WeeksBefore
from carelog.analysis.pictures import Columns
from carelog.analysis.times import full_day, month_day
from carelog.domain.entry import Entry
from carelog.domain.field import Choice, Field, YesNo
from carelog.domain.kind import Draw
from carelog.kinds import ALL
from carelog.sheet.blankweek import MOST_DAYS, named, week_blocks, words_to_write
from carelog.sheet.blocks import Block, Boxes, Content, FormColumn, NewPage, Ruled
from carelog.sheet.head import LANGUAGE, banner, blank_facts, feet, warning
from carelog.sheet.material import Material, print_mark
from carelog.text import mark, say

NOTE_HEIGHT = 5.0  # mm
ROW_HEIGHT = 7.0  # mm
LARGE_HEIGHT = 10.0  # mm
TIME, BY, LINE, BOX, NOTE, WIDE = 3.0, 1.8, 3.0, 1.2, 9.0, 1.9  # shares of the width
SHORT, LONG = 1.5, 3.2  # the same in large print, whose columns have longer names
_TITLE = mark("Blank sheet, {date} · {name}")
_DAYS = mark("{first} to {last} {year}")
_WHO = mark("Who writes: ______________________  initials ______")
_WHO_ELSE = mark("______________________  initials ______")
_WHO_IN_LARGE = mark("Who writes: __________________  initials ______")
_LATER = mark("Type it in later: page “Typed in later”.")


def blank_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """One page a day: the head, then the plan's tasks, suctions, readings, the stoma, incidents and notes."""
    past = WeeksBefore(found.review)
    plan = found.review.plan_at(found.period.end) or found.review.plan_at(found.period.judged)
    counts = [max(past.counts(kind.name), default=0) for kind in ALL if kind.draw is Draw.COUNT]
    parts = blank_day(plan, max(counts, default=0), found.tube)
    first = found.period.days[0]
    blocks: list[Block] = [blank_facts(found)]
    who = _who(found)
    days = [first + timedelta(days=number) for number in range(max(found.request.count, 1))]
    if found.request.in_columns:
        for start in range(0, len(days), MOST_DAYS):
            blocks += week_blocks(parts, days[start : start + MOST_DAYS], who)
    else:
        for day in days:
            blocks.append(NewPage(f"{month_day(day)}\N{NO-BREAK SPACE}{day.year}    {who}"))
            if found.request.large:
                blocks += [block for part in parts for block in _in_large(part)]
            else:
                blocks += [block for part in parts for block in _blocks(part)]
    if found.request.large and not found.request.in_columns:
        blocks += words_to_write(parts)
    shown = full_day(first)
    if len(days) > 1:
        shown = say(_DAYS).format(first=month_day(first), last=month_day(days[-1]), year=days[-1].year)
    title = say(_TITLE).format(date=shown, name=found.name)
    return Content(
        title=title,
        subtitle=say(_LATER),
        running=title,
        feet=feet(found, print_mark(found, entries)),
        blocks=tuple(blocks),
        banner=banner(found),
        warning=warning(found),
        language=say(LANGUAGE),
    )


def _who(found: Material) -> str:
    """Lines for who writes; a line to write on is broken from its words nowhere."""
    those = (_WHO_IN_LARGE,) if found.request.large else (_WHO, _WHO_ELSE)
    return "   ".join(say(each).replace(" ", "\N{NO-BREAK SPACE}") for each in those)


def _blocks(part: BlankPart) -> Iterator[Block]:
    if not part.has_note and not part.fields:
        yield Boxes(part.title, tuple(map(_label, part.rows)))
        return
    columns = [FormColumn(say(mark("time")), TIME)]
    for name in part.fields:
        field = part.kind.field(name)
        if field is not None:
            columns += _columns_of(field, part, WIDE if part.has_note else BOX)
    if part.has_note:
        columns.append(FormColumn(say(mark("in words")), NOTE))
    columns.append(FormColumn(say(mark("by")), BY))
    height = ROW_HEIGHT if part.fields else NOTE_HEIGHT
    yield Ruled(part.title, tuple(columns), tuple(row.clock for row in part.rows), part.beside, height)


def _in_large(part: BlankPart) -> Iterator[Block]:
    """The same with words to write in place of the boxes of a choice, whose names have no room."""
    if not part.fields:
        for block in _blocks(part):
            yield block._replace(height=LARGE_HEIGHT) if isinstance(block, Ruled) else block
        return
    fields = [part.kind.field(name) for name in part.fields]
    columns = [FormColumn(say(mark("time")), SHORT)]
    columns += [FormColumn(named(field, part.rows[0]), LONG) for field in fields if field is not None]
    if part.has_note:
        columns.append(FormColumn(say(mark("in words")), NOTE))
    columns.append(FormColumn(say(mark("by")), SHORT))
    yield Ruled(part.title, tuple(columns), tuple(row.clock for row in part.rows), part.beside, LARGE_HEIGHT)


def _label(row: BlankRow) -> str:
    return f"{row.title} {row.clock}".strip()


def _columns_of(field: Field, part: BlankPart, box: float) -> Iterator[FormColumn]:
    label = say(field.label) or say(field.asked)
    if isinstance(field.type, Choice):
        for option in field.type.options:
            yield FormColumn(say(option.label), box, label, is_box=True)
    elif isinstance(field.type, YesNo):
        yield FormColumn(label, box, is_box=True)
    else:
        yield FormColumn(named(field, part.rows[0]), LINE)
