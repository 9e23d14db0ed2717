"""The flags by statistics from a bounded past: what is read of a record, and what beside."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.usual.day import CARE
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.settling import Begun, cut_of, judged_from, reference_span
from carelog.analysis.usual.standing import BESIDE_THE_DAYS, restarts
from carelog.analysis.usual.threshold import thresholds
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.record import FAR

ALWAYS = (*BESIDE_THE_DAYS, "person")
FURTHER = 60 * DAY_24_H


@dataclass(frozen=True)
class Past:
    """A noticing that went to a moment, and how many entries it took."""

    noticing: Noticing
    taken: int


class Record:
    """A whole record's entries by the first of their chains."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self.entries = sorted(entries, key=lambda entry: (entry.recorded_at, entry.id))
        self.roots: dict[str, list[Entry]] = {}
        of: dict[str, str] = {}
        for entry in self.entries:
            root = of[entry.id] = of[entry.amends] if entry.amends else entry.id
            self.roots.setdefault(root, []).append(entry)

    def known(self, end: Instant) -> Ledger:
        """What was in force at a moment."""
        ledger = Ledger()
        for known, group in groupby(self.entries, key=lambda entry: entry.recorded_at):
            if known < end:
                ledger.moves_home(ledger.take(list(group), known))
        return ledger

    def taken_up(self, begun: Begun | None, beside: tuple[Instant, Instant], end: Instant) -> Past:
        """Judge the entries from a moment on, with those before it as they stood then; None: all of them."""
        ledger, noticing = Ledger(), Noticing(thresholds(), begun=begun)
        cut, judged = (None, -FAR) if begun is None else (begun.read, begun.judged)
        chosen = [entry for chain in self.roots.values() if _is_read(chain, cut, beside) for entry in chain]
        chosen.sort(key=lambda entry: (entry.recorded_at, entry.id))
        has_begun = begun is None
        for known, group in groupby(chosen, key=lambda entry: entry.recorded_at):
            if known >= end:
                break
            if known >= judged and not has_begun:
                noticing.begin([], judged)
                has_begun = True
            if has_begun:
                noticing.pass_time(known)
            shifts = ledger.take(list(group), known)
            ledger.moves_home(shifts)
            if has_begun:
                noticing.take(known, shifts, ledger)
            else:
                noticing.refer(shifts, ledger)
        noticing.pass_time(end)
        return Past(noticing, len(chosen))

    def bounded(self, start: Instant, end: Instant) -> Past:
        """Judge what the flags from `start` to `end` need; where it must, from further back."""
        ledger = self.known(end)
        home, days = ledger.home, _recorded(ledger)
        wanted = start
        while True:
            cut = cut_of(days, home, wanted)
            if cut is None:
                return self.taken_up(None, (0, 0), end)
            standing = restarts(ledger.plans, [h for h in ledger.held.values() if h.entry.kind in ALWAYS])
            begun = Begun(judged_from(home, wanted), cut)
            found = self.taken_up(begun, reference_span(standing, days, home, cut), end)
            known_from = found.noticing.known_from()
            if known_from is not None and known_from <= start:
                return found
            wanted -= FURTHER


def _is_read(chain: Sequence[Entry], cut: Instant | None, beside: tuple[Instant, Instant]) -> bool:
    if cut is None or chain[0].kind in ALWAYS:
        return True
    times = [entry.at.instant for entry in chain]
    return max(times) >= cut or any(beside[0] <= time < beside[1] for time in times)


def _recorded(ledger: Ledger) -> list[date]:
    home: Home = ledger.home
    return sorted({home.day(held.time) for held in ledger.held.values() if held.entry.kind in CARE})


def shown(noticing: Noticing, start: Instant) -> list[Flag]:
    """The flags in force at any moment from `start` on."""
    return [flag for flag in noticing.flags() if flag.cleared_at is None or flag.cleared_at > start]
