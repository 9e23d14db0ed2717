"""The row of what the plans asked for: recorded, not recorded, not due yet."""

from collections import Counter
from dataclasses import dataclass, field

from carelog.analysis.course.axis import ColumnState
from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import AskedCount, Doings
from carelog.analysis.rounds import RoundState, asked
from carelog.kinds import task_title
from carelog.text import mark, say


@dataclass(slots=True)
class _Tally:
    """One column's rounds, counted."""

    states: Counter[RoundState] = field(default_factory=Counter)
    missed: Counter[str] = field(default_factory=Counter)


def doings(found: Gathered, name: str) -> Doings | None:
    """All tasks of the plans together; which of them nobody recorded is told by name. None without a plan."""
    axis, tasks = found.axis, asked(found.review)
    if not tasks:
        return None
    tallies = [_Tally() for _ in axis.columns]
    planned = Counter(each.task.kind for each in tasks)
    for each in tasks:
        title = task_title(each.task.kind, each.task.where if planned[each.task.kind] > 1 else {})
        for one in each.rounds:
            tally = tallies[axis.place(one.at)]
            tally.states[one.state] += 1
            if one.state is RoundState.MISSED:
                tally.missed[title] += 1
    cells = []
    for column, tally in zip(axis.columns, tallies, strict=True):
        is_told = tally.states and column.state is not ColumnState.AHEAD
        cells.append(_cell(tally) if is_told else None)
    return Doings(name, say(mark("Asked for, recorded")), tuple(cells))


def _cell(tally: _Tally) -> AskedCount:
    states = tally.states
    done = states[RoundState.DONE] + states[RoundState.LATE]
    missed = tuple(sorted(tally.missed.elements()))
    return AskedCount(done, states[RoundState.LATE], missed, states[RoundState.OPEN])
