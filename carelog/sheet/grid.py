"""The grid of what the plan asked for: done, late, not recorded, not asked for, by shape and word."""

from collections import Counter
from collections.abc import Container, Iterator, Sequence

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
_RECORDED = mark("{count} recorded")


def asked_rows(review: Review, found: Sequence[AskedTask]) -> list[WordRow]:
    """One row for each task of the plan, and one for each doing that the plan doesn't ask for."""
    planned = Counter(each.task.kind for each in found)
    rows = [_row(review, each, is_one_of_many=planned[each.task.kind] > 1) for each in found]
    return rows + list(_unplanned(review, planned))


def _row(review: Review, each: AskedTask, is_one_of_many: bool) -> WordRow:
    period = review.period
    by_day: list[list[Round]] = [[] for _ in period.days]
    for one in sorted(each.rounds, key=lambda one: one.at):
        by_day[period.place(one.at)].append(one)
    cells = tuple(_cell(review, number, day) for number, day in enumerate(by_day))
    title = task_title(each.task.kind, each.task.where if is_one_of_many else {})
    return WordRow(title, cells)


def _cell(review: Review, number: int, rounds: Sequence[Round]) -> Cell:
    home = review.period.home
    absent = absent_word(review, number)
    if not rounds:
        return Cell(words(_nothing(review, number)))
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


def _unplanned(review: Review, planned: Container[str]) -> Iterator[WordRow]:
    for kind in ALL:
        rows = review.of(kind.name)
        if kind.draw is not Draw.DOINGS or kind.name in planned or not rows:
            continue
        counts = [sum(row.day == day for row in rows) for day in range(len(review.period.days))]
        cells = (_unasked(review, day, count) for day, count in enumerate(counts))
        yield WordRow(say(kind.title), tuple(cells))


def _unasked(review: Review, day: int, count: int) -> Cell:
    """One day of what no plan asks for."""
    return Cell(words(say(_RECORDED).format(count=count) if count else _nothing(review, day)))


def _nothing(review: Review, day: int) -> str:
    """Why a day has nothing of a row."""
    is_known = review.period.home.start_of(review.period.days[day]) < review.period.judged
    return (absent_word(review, day) or say(_NOT_ASKED)) if is_known else say(_NOT_YET)


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
