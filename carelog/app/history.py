"""As much of a record as its sheets and its kit need."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.home import home_of
from carelog.analysis.in_force import Reading, known_from
from carelog.analysis.past import PastWindow
from carelog.analysis.visit.hours import FARTHEST
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.paper import FindFlags, Usual
from carelog.kinds.person import PERSON

Span = tuple[Instant, Instant]


@dataclass(frozen=True, slots=True)
class Sources:
    """What sheets are made from, how their flags are found, and what was usual as far as that found it."""

    entries: list[Entry]
    find_flags: FindFlags
    usual: Usual


def history(record: Record, start: Instant, end: Instant | None = None) -> list[Entry]:
    """The entries for a period from `start` to `end` (None: now, and what a clock ahead wrote)."""
    return PastWindow(record, start, end).settled().entries


def of_days(
    record: Record, days: Sequence[date], now: Instant | None = None, at: Instant | None = None
) -> Sources:
    """What a sheet of some days is made from, and how its flags are found.

    `now`: the clock, where it counts; `at`: the moment that the sheet is of, if one was asked for.
    """
    return of_sheets(record, [days], None if at is not None else now, at)


def of_sheets(
    record: Record, each: Sequence[Sequence[date]], now: Instant | None = None, at: Instant | None = None
) -> Sources:
    """What sheets of days near each other are made from; the flags of each are found in one way through.

    Also what was written later about these days, and what was written last.
    """
    home = home_of(record)
    start = min(home.start_of(days[0]) for days in each)
    end = max(home.end_of(days[-1]) for days in each)
    about = record.period(start, end)
    later = max((entry.recorded_at for entry in about), default=end)
    is_over = now is None or now >= end
    until, live_now = (max(end, later + 1), None) if is_over else (None, now)
    spans = [(home.start_of(days[0]), home.end_of(days[-1])) for days in each]
    parts = _parts(about, spans, at) if live_now is None else [(start, live_now + 1)]
    window = PastWindow(record, start, until, live_now=live_now, parts=parts)
    window.whole()
    last, found = (
        record.last_written(),
        _with_next(record, window.entries, end, at) if is_over else window.entries,
    )

    def flags(_entries: Sequence[Entry], start: Instant, end: Instant) -> list[Flag]:
        return window.between(start, end, live_now)

    found = found if last is None or last in found else [*found, last]
    return Sources(found, flags, _usual(window.usual, found, at))


def _usual(told: Usual, entries: Sequence[Entry], at: Instant | None) -> Usual:
    """What was usual at each moment by which all was known that is said now about the time before it.

    Otherwise it is learnt from the entries, as they are now.
    """
    here = {entry.id: entry for entry in entries}
    known = known_from(here)
    read = [entry for entry in entries if at is None or known[entry.id] <= at]

    def is_known(moment: Instant, entry: Entry) -> bool:
        if known[entry.id] < moment or entry.at.instant < moment:
            return known[entry.id] < moment and entry.at.instant < moment
        target = here.get(entry.amends or "")
        return entry.kind != PERSON.name and (target is None or target.at.instant >= moment)

    return {moment: band for moment, band in told.items() if all(is_known(moment, each) for each in read)}


def _with_next(record: Record, found: list[Entry], end: Instant, at: Instant | None) -> list[Entry]:
    here = {entry.id for entry in found}
    return [*found, *(each for each in next_after(record, end, at) if each.id not in here)]


def next_after(record: Record, end: Instant, known: Instant | None = None) -> list[Entry]:
    """The first entry in force from a moment on (as known by another), which ends a silence of before it.

    With its chain of changes; empty if there is none in the time that is looked at.
    """
    start, step = end, DAY_24_H
    while start < end + FARTHEST:
        until = min(start + step, end + FARTHEST)
        for held in Reading(record.period(start, until), known).held:
            if start <= held.time < until:
                return list(held.chain)
        start, step = until, 2 * step
    return []


def _parts(about: Sequence[Entry], spans: Sequence[Span], at: Instant | None) -> Iterator[Span]:
    """What sheets ask for: the flags of their days, and those of what became known afterwards about them."""
    known = known_from({entry.id: entry for entry in about})
    for start, end in spans:
        yield start, end if at is None else min(end, max(start, at + 1))
        within = (known[entry.id] for entry in about if start <= entry.at.instant < end)
        after = [each for each in within if each >= end and (at is None or each <= at)]
        if after:
            yield end, max(after) + 1
