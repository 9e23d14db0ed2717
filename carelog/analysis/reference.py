"""What a slow drift is held against, read out of a long record: the first settled days, and no more."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.excerpt import A_MONTH
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.recorded import recorded_days
from carelog.analysis.usual.day import Span
from carelog.analysis.usual.drift import LONGEST_REFERENCE
from carelog.analysis.usual.settling import reference_span
from carelog.analysis.usual.standing import BESIDE_THE_DAYS, restarts, spans, unwritten
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.plan import Plan
from carelog.domain.record import Past
from carelog.kinds.person import PERSON

ENOUGH = LONGEST_REFERENCE + 3
"""Settled days: also the one of a restart, one after the last (how much of a day was recorded is known by
what comes next), and one for a day that is looked at in another zone."""


@dataclass(frozen=True, slots=True)
class DriftReference:
    """When it was, and what was in force then; without what is read of the record anyway."""

    span: Span = (0, 0)
    held: Sequence[Held] = ()


def reference(
    record: Past,
    begins: Instant,
    found: Mapping[str, Entry],
    reading: Reading,
    recorded: set[date],
    known: Iterable[Plan],
    cut: Instant,
) -> DriftReference:
    """What lies before `cut`, until there is enough of it: a month at a time, then the days still lacking.

    `begins`: the oldest moment of the record; `found`: what is read anyway, `reading` it, and the days
    recorded there; `known`: the plans.
    """
    home, first = reading.home, record.period(begins, begins + A_MONTH)
    days = sorted(recorded | recorded_days(home, Reading(first).held))
    start, end = reference_span(restarts(known, reading.held), days, home, cut)
    origin, held = begins if start < begins + A_MONTH else start, list[Held]()
    settles = _Settles(reading.held, start) if is_sure(found.values(), cut) else None
    early, late = origin, origin + A_MONTH
    while early < end:
        part = first if early == begins else record.period(early, min(late, end))
        held += Reading((each for each in part if each.id not in found), cut).held
        settled = settles.days(home, held) if settles is not None else ()
        if len(settled) >= ENOUGH:
            end = min(end, home.end_of(settled[ENOUGH - 1]))
        lacking = min(A_MONTH, (ENOUGH - len(settled) + 1) * DAY_24_H)
        early, late = late, late + lacking
    return DriftReference((start, end), held)


def is_sure(entries: Iterable[Entry], cut: Instant) -> bool:
    """Whether the days before a moment were as settled whenever anything became known since."""
    return not any(
        each.kind == PERSON.name or each.at.instant < cut or each.amends is not None
        for each in entries
        if each.recorded_at >= cut and each.kind in (*BESIDE_THE_DAYS, PERSON.name)
    )


class _Settles:
    """Tells which days are settled: recorded, and no illness or stay touches them."""

    def __init__(self, held: Collection[Held], start: Instant) -> None:
        self._start = start
        self._left_out = [*spans(held, "ill"), *spans(held, "stay"), *unwritten(held)]

    def days(self, home: Home, held: Iterable[Held]) -> list[date]:
        """Those from the start on, in order."""
        found = (day for day in recorded_days(home, held) if home.end_of(day) > self._start)
        return sorted(day for day in found if not self._is_left_out(home.start_of(day), home.end_of(day)))

    def _is_left_out(self, start: Instant, end: Instant) -> bool:
        return any(early < end and late >= start for early, late in self._left_out)
