"""The grid of what the plan asked for: done, late, not recorded, not asked for, by shape and word."""

from collections.abc import Iterator, Sequence

from carelog.analysis.rounds import AskedTask, Round, RoundState
from carelog.analysis.times import clock, short_day
from carelog.analysis.week import Review
from carelog.domain.kind import Draw
from carelog.kinds import ALL, task_title
from carelog.sheet.blocks import Cell, Shape, WordRow, words
from carelog.text import mark, say

MOST_SIGNS = 4
SIGNS = {
    RoundState.DONE: Shape.FULL,
    RoundState.LATE: Shape.HALF,
    RoundState.MISSED: Shape.GAP,
    RoundState.OPEN: Shape.OPEN,
}
_NOT_ASKED = mark("not asked for")
_NOT_YET = mark("not yet")
_AWAY = mark("away")
_UNWRITTEN = mark("not written down")
_DONE = mark("done")
_LATE = mark("overdue, done {times}")
_MISSED = mark("not recorded {times}")
_DUE = mark("due {times}")
_NOT_IN_PLAN = mark("not in the plan")
_RECORDED = mark("{count} recorded")


def asked_rows(review: Review, found: Sequence[AskedTask]) -> list[WordRow]:
    """One row for each task of the plan, and one for each doing that the plan doesn't ask for."""
    rows = [_row(review, each) for each in found]
    planned = {each.task.kind for each in found}
    return rows + list(_unplanned(review, planned))


def _row(review: Review, each: AskedTask) -> WordRow:
    period = review.period
    by_day: list[list[Round]] = [[] for _ in period.days]
    for one in sorted(each.rounds, key=lambda one: one.at):
        by_day[period.place(one.at)].append(one)
    cells = tuple(_cell(review, number, day) for number, day in enumerate(by_day))
    return WordRow(task_title(each.task.kind, each.task.where), cells)


def _cell(review: Review, number: int, rounds: Sequence[Round]) -> Cell:
    home = review.period.home
    is_known = home.start_of(review.period.days[number]) < review.period.judged
    absent = absent_word(review, number) if is_known else ""
    if not rounds:
        return Cell(words(absent or say(_NOT_ASKED if is_known else _NOT_YET)))
    signs = tuple(SIGNS[one.state] for one in rounds) if len(rounds) <= MOST_SIGNS else ()
    parts = []
    done = sum(one.state is RoundState.DONE for one in rounds)
    if done == len(rounds):
        parts.append(say(_DONE) if signs else f"{say(_DONE)} {done}")
    elif not signs and done:
        parts.append(f"{say(_DONE)} {done}")
    for state, text in ((RoundState.LATE, _LATE), (RoundState.MISSED, _MISSED), (RoundState.OPEN, _DUE)):
        times = [clock(home, one.at) for one in rounds if one.state is state]
        if times:
            few = len(times) <= MOST_SIGNS
            parts.append(say(text).format(times=", ".join(times) if few else len(times)))
    return Cell(words(", ".join([*parts, *([absent] if absent else [])])), signs)


def absent_word(review: Review, number: int) -> str:
    """The word for a day that a stay or a gap touches; empty for any other."""
    if number not in review.absent:
        return ""
    return say(_AWAY if review.absent[number] else _UNWRITTEN)


def _unplanned(review: Review, planned: set[str]) -> Iterator[WordRow]:
    for kind in ALL:
        rows = review.of(kind.name)
        if kind.draw is not Draw.DOINGS or kind.name in planned or not rows:
            continue
        counts = [sum(row.day == day for row in rows) for day in range(len(review.period.days))]
        cells = tuple(Cell(words(say(_RECORDED).format(count=n) if n else "–")) for n in counts)
        yield WordRow(say(kind.title), cells, say(_NOT_IN_PLAN))


def missed_words(review: Review, found: Sequence[AskedTask]) -> list[str]:
    """What the plan asked for and nobody recorded, one line a task."""
    home, lines = review.period.home, []
    for each in found:
        missed = [one for one in each.rounds if one.state is RoundState.MISSED]
        if missed:
            times = ", ".join(f"{short_day(home.day(one.at))} {clock(home, one.at)}" for one in missed[:12])
            more = say(mark(" and {count} more")).format(count=len(missed) - 12) if len(missed) > 12 else ""
            lines.append(
                say(mark("{task}, asked for and not recorded: {times}{more}")).format(
                    task=task_title(each.task.kind, each.task.where), times=times, more=more
                )
            )
    return lines
