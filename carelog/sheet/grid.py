"""The grid of what the plan asked for: done, late, not recorded, not asked for, by shape and word."""

from collections import Counter
from collections.abc import Container, Iterator, Sequence

from carelog.analysis.rounds import AskedTask, Round, RoundState
from carelog.analysis.times import clock, short_day
from carelog.analysis.visit.hours import absent_word
from carelog.analysis.week import Review
from carelog.domain.kind import Draw
from carelog.kinds import ALL, task_title
from carelog.sheet.blocks import Cell, Item, Piece, Points, Shape, WordRow, words
from carelog.text import mark, say

MOST_SIGNS = 4
SIGNS = {
    RoundState.DONE: Shape.FULL,
    RoundState.LATE: Shape.HALF,
    RoundState.MISSED: Shape.GAP,
    RoundState.OPEN: Shape.OPEN,
}
_KEY = mark("a shape alone means")
_NOT_ASKED = mark("not asked for")
_NOT_YET = mark("not yet")
_DONE = mark("done")
_LATE = mark("overdue, done {times}")
_MISSED = mark("not recorded {times}")
_DUE = mark("due {times}")
_DUE_THEN = mark("due {time}, done {day}")
_ASKED_FOR = mark("{task}, asked for and not recorded: {times}{more}")
_SILENT = mark("Asked for while no one wrote, not recorded, how often: {tasks}")
MOST_TIMES = 12
_RECORDED = mark("{count} recorded")


def asked_rows(review: Review, found: Sequence[AskedTask], has_key: bool = False) -> list[WordRow]:
    """One row for each task of the plan that wasn't done each time, and one for what no plan asks for.

    With a key the shapes are told in words once, where they are all that a day says.
    """
    planned = Counter(each.task.kind for each in found)
    rows = [
        _row(review, each, is_one_of_many=planned[each.task.kind] > 1)
        for each in found
        if not _is_done_each_time(each)
    ]
    if has_key:
        rows = list(_with_key(rows))
    return rows + list(_unplanned(review, planned))


def _with_key(rows: Sequence[WordRow]) -> Iterator[WordRow]:
    """The rows without the words that a shape alone stands for, and what those shapes mean."""
    words_of = {Shape.FULL: words(say(_DONE)), Shape.GAP: words(say(RoundState.MISSED.value))}
    meant: list[Cell] = []

    def bare(cell: Cell) -> Cell:
        signs = set(cell.signs)
        if len(signs) != 1 or cell.words != words_of.get(cell.signs[0]):
            return cell
        told = Cell(cell.words, cell.signs[:1])
        if told not in meant:
            meant.append(told)
        return Cell((), cell.signs)

    yield from [row._replace(cells=tuple(map(bare, row.cells))) for row in rows]
    if meant:
        yield WordRow(say(_KEY), tuple(meant), spans=2)


def _is_done_each_time(each: AskedTask) -> bool:
    """Whether it was asked for, and each time done in time."""
    return bool(each.rounds) and all(one.state is RoundState.DONE for one in each.rounds)


def done_each_time(found: Sequence[AskedTask]) -> Iterator[Points]:
    """The tasks that need no row: each was done in time whenever the plan asked for it."""
    planned = Counter(each.task.kind for each in found)
    tasks = [(each, each.task.where if planned[each.task.kind] > 1 else {}) for each in found]
    names = [
        f"{task_title(each.task.kind, where)} {len(each.rounds)}"
        for each, where in tasks
        if _is_done_each_time(each)
    ]
    if names:
        head = Piece(say(mark("Done each time as planned, how often: ")), bold=True)
        yield Points((Item((head, Piece(", ".join(names)))),))


def _row(review: Review, each: AskedTask, is_one_of_many: bool) -> WordRow:
    period = review.period
    by_day: list[list[Round]] = [[] for _ in period.days]
    for one in sorted(each.rounds, key=lambda one: one.at):
        by_day[period.place(one.at)].append(one)
    cells = tuple(
        _cell(review, number, day, list(_done_later(review, each, number)))
        for number, day in enumerate(by_day)
    )
    title = task_title(each.task.kind, each.task.where if is_one_of_many else {})
    return WordRow(title, cells)


def _done_later(review: Review, each: AskedTask, number: int) -> Iterator[str]:
    """What was due on a day and done on another: neither “not asked for” nor done on its day."""
    period = review.period
    for one in each.rounds:
        if one.state is RoundState.LATE and period.home.day(one.due_at) == period.days[number]:
            day = period.home.day(one.at)
            if day != period.days[number]:
                yield say(_DUE_THEN).format(time=clock(period.home, one.due_at), day=short_day(day))


def _cell(review: Review, number: int, rounds: Sequence[Round], later: Sequence[str]) -> Cell:
    home = review.period.home
    absent = absent_word(review, number)
    if not rounds:
        return Cell(words(", ".join(later) or _nothing(review, number)))
    signs = tuple(SIGNS[one.state] for one in rounds) if len(rounds) <= MOST_SIGNS else ()
    parts = []
    done = sum(one.state is RoundState.DONE for one in rounds)
    if done == len(rounds):
        parts.append(say(_DONE) if signs else f"{say(_DONE)} {done}")
    elif not signs and done:
        parts.append(f"{say(_DONE)} {done}")
    for state, text in ((RoundState.LATE, _LATE), (RoundState.MISSED, _MISSED), (RoundState.OPEN, _DUE)):
        times = [clock(home, one.at) for one in rounds if one.state is state]
        if times and state is RoundState.MISSED and number not in review.recorded and signs:
            parts.append(say(RoundState.MISSED.value))
        elif times:
            few = len(times) <= MOST_SIGNS
            parts.append(say(text).format(times=", ".join(times) if few else len(times)))
    return Cell(words(", ".join([*parts, *later, *([absent] if absent else [])])), signs)


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
    """What the plan asked for and nobody recorded, a line a task; of hours without any entry how often."""
    lines, silent = [], []
    missed_of = [[one for one in each.rounds if one.state is RoundState.MISSED] for each in found]
    is_long = sum(map(len, missed_of)) > MOST_TIMES
    for each, missed in zip(found, missed_of, strict=True):
        title = task_title(each.task.kind, each.task.where)
        alone = [one for one in missed if not (is_long and review.is_silent(one.at, one.at + 1))]
        if alone:
            lines.append(_missed(review, title, alone))
        if len(alone) < len(missed):
            silent.append(f"{title}\N{NO-BREAK SPACE}{len(missed) - len(alone)}")
    if silent:
        lines.append(say(_SILENT).format(tasks=", ".join(silent)))
    return lines


def _missed(review: Review, title: str, missed: Sequence[Round]) -> str:
    home = review.period.home
    times = ", ".join(f"{short_day(home.day(one.at))} {clock(home, one.at)}" for one in missed[:MOST_TIMES])
    more = len(missed) - MOST_TIMES
    words = say(mark(" and {count} more")).format(count=more) if more > 0 else ""
    return say(_ASKED_FOR).format(task=title, times=times, more=words)
