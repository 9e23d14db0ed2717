"""Typing in what stands on a filled sheet of paper: a day in one act, nothing twice."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from carelog.analysis.blankday import BlankPart, blank_day
from carelog.analysis.cuff import TUBE
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.plans import plan_at
from carelog.analysis.tube import tube_in_place
from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.domain.entry import PAPER, Details, Entry
from carelog.domain.kind import Draw
from carelog.domain.moment import MINUTE, Home, Instant
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.text import mark, say

LATELY = 21  # days
LEAST_ROWS = 15
SAME = 5 * MINUTE
"""What lies no further apart and says the same kind of thing is taken as written twice (our own choice)."""
_TO_COME = mark("{time} is still to come.")


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One filled line of the paper: what, at which local time, by whom, and the words beside it."""

    kind: str
    clock: time
    details: Details = field(default_factory=dict)
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PaperDay:
    """A day as the page shows it: the rows to fill, and what the record holds of it already."""

    day: date
    parts: tuple[BlankPart, ...]
    held: tuple[Held, ...]


@dataclass(frozen=True, slots=True)
class Typed:
    """What was saved in one act, and the lines that were left out since the record has them."""

    saved: tuple[Entry, ...]
    left_out: tuple[PaperLine, ...]


def paper_day(record: Record, home: Home, day: date) -> PaperDay:
    """The rows of a day from the plan at its end, and its entries in force.

    There are more rows for what is counted than there was of it on any day of the three weeks before.
    """
    start, end = home.start_of(day), home.end_of(day)
    lasting = Reading(record.of_kinds([PLAN.name, *TUBE]))
    plan, tube = plan_at(lasting, end), tube_in_place(lasting, end)
    before = Reading(record.period(home.start_of(day - timedelta(days=LATELY)), end)).held
    held = tuple(each for each in before if start <= each.time < end)
    counts = Counter(
        (each.entry.kind, home.day(each.time))
        for each in before
        if named_or_unknown(each.entry.kind).draw is Draw.COUNT
    )
    most = max([LEAST_ROWS, *counts.values()])
    return PaperDay(day, tuple(blank_day(plan, most, tube)), held)


def twin(line: PaperLine, at: Instant, held: Sequence[Held]) -> Held | None:
    """What is in the record already and says the same as a line: of its kind, and minutes apart at most.

    Of a kind that has nothing but words, only what has the same words is.
    """
    for each in held:
        entry = each.entry
        if entry.kind != line.kind or abs(each.time - at) > SAME:
            continue
        if not line.details and line.note:
            if entry.note.strip() == line.note.strip():
                return each
            continue
        if all(entry.details.get(name, value) == value for name, value in line.details.items()):
            return each
    return None


def type_in(
    logbook: Logbook, record: Record, home: Home, day: date, lines: Sequence[PaperLine], now: Instant
) -> Typed:
    """Save the lines of a day in one commit, but for those that are in the record; each with its own time.

    `Refused` for a time that is still to come; then nothing is saved.
    """
    held = paper_day(record, home, day).held
    new, left_out = [], []
    for line in lines:
        at = home.at(day, line.clock)
        if at > now:
            raise Refused(say(_TO_COME).format(time=f"{line.clock:%H:%M}"))
        if twin(line, at, held) is not None:
            left_out.append(line)
            continue
        draft = logbook.draft(
            line.kind, line.details, line.by, home.moment(at), line.note, source=PAPER, zone=home.name
        )
        new.append(draft)
    return Typed(tuple(logbook.record_together(new)), tuple(left_out))
