"""The flags of now, kept up to date entry by entry: the same as a replay of the whole record at every moment.

A watch stands on a base: the state two to four weeks ago, and the entries that became known since. Whatever
is written in order is taken in by itself. What comes late (from another computer, or with a clock that was
wrong) makes it go through the weeks since the base again; only what reaches back behind the base, or changes
an entry of long ago that is no longer at hand, makes it read the whole record once.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

from carelog import __version__
from carelog.analysis.flags.frozen import Unreadable, freeze, thaw
from carelog.analysis.flags.replay import groups
from carelog.analysis.flags.snapshot import EDGE, STANDING, VERSION, keep, restore
from carelog.analysis.flags.statistics import Whole
from carelog.analysis.usual.comparison import Comparison, comparison
from carelog.domain.entry import Entry, Json
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant

SHOWN_FOR = 7 * DAY_24_H
"""An ended flag stays on the flags' page for 7 days."""
BASE_AGE = 14 * DAY_24_H
BASE_OLDEST = 28 * DAY_24_H

Everything = Callable[[], Iterable[Entry]]
Chains = Callable[[Sequence[str]], Iterable[Entry]]


@cache
def code_version() -> str:
    """The version of the program; where it runs from its sources, also when these were last changed.

    What another version kept may mean something else now, and is worked out anew.
    """
    sources = (each.stat() for each in sorted(Path(__file__).parents[1].rglob("*.py")))
    return " ".join([__version__, str(VERSION), *(f"{each.st_size}:{each.st_mtime_ns}" for each in sources)])


class Watch:
    """The flags in force at a moment, and those that ended in the seven days before it.

    At a start: `Watch.begin(kept, everything, chains)` with the bytes of the last `save`; then `add` what
    arrived after `arrival`. Without bytes, or with those of another version, the first look reads the whole
    record once. After each commit `add` what was saved; at each look `at(now)`. `save` now and then, and when
    closing, into a file beside the record that may be deleted at any moment.
    """

    def __init__(self, everything: Everything) -> None:
        """`everything` gives the whole record; it is called at the first look, and seldom after."""
        self.arrival = 0
        self._everything = everything
        self._base: Mapping[str, Json] | None = None
        self._base_entries: dict[str, Entry] = {}
        self._wanted: set[str] = set()
        self._since: dict[str, Entry] = {}
        self._whole: Whole | None = None
        self._is_untried = False  # whether the base came from elsewhere and nothing was read from it yet
        self._pending: dict[str, Entry] = {}
        self.comparison: Comparison | None = None
        """What stood beside the flags at the last look."""

    @classmethod
    def begin(cls, kept: bytes | None, everything: Everything, chains: Chains) -> "Watch":
        """Go on from what was saved; `chains` gives the entries of some ids."""
        watch = cls(everything)
        try:
            found = thaw(kept) if kept is not None else None
            if isinstance(found, dict) and found["version"] == code_version():
                entries = {entry.id: entry for entry in chains([*found["base"]["ids"], *found["since"]])}
                watch._stand_on(found["base"], entries)
                watch._since = {each: entries[each] for each in found["since"]}
                watch.arrival = found["arrival"]
                watch._is_untried = True
        except (Unreadable, LookupError, TypeError):
            watch._base = None
        return watch

    def save(self, arrival: int) -> bytes | None:
        """The state to begin with next time; `arrival` is the place of the newest entry that was added."""
        if self._base is None:
            return None
        kept = {
            "version": code_version(),
            "arrival": arrival,
            "base": self._base,
            "since": sorted(self._since),
        }
        return freeze(kept)

    def add(self, entries: Iterable[Entry]) -> None:
        """Take in what was saved here or arrived from elsewhere; what is here already is passed over."""
        for entry in entries:
            if self._base is None or entry.id in self._base_entries or entry.id in self._since:
                continue
            if self._is_far(entry, self._base):
                self._base = self._whole = None
                continue
            self._since[entry.id] = self._pending[entry.id] = entry

    def at(self, now: Instant) -> list[Flag]:
        """The flags in force at a moment by what is known then, and those that ended within seven days.

        What claims to have been recorded later counts as recorded then, of doubtful time.
        """
        try:
            whole = self._at(now)
        except (AttributeError, LookupError, TypeError, ValueError):
            if not self._is_untried:
                raise
            self._base = self._whole = None  # what was kept doesn't fit this version after all
            whole = self._at(now)
        self._is_untried = False
        self.comparison = comparison(whole.noticing)
        shown = (
            flag for flag in whole.flags() if flag.cleared_at is None or flag.cleared_at > now - SHOWN_FOR
        )
        return sorted(shown, key=lambda flag: (flag.raised_at, flag.rule, flag.subject or ""))

    def _at(self, now: Instant) -> Whole:
        if self._base is None:
            self._read_everything(now)
        assert self._base is not None
        if now < self._base["now"]:
            return self._live(Whole(), self._everything(), now)
        return self._current(now)

    # Inside ---------------------------------------------------------------------------------------

    def _stand_on(self, base: Mapping[str, Json], entries: Mapping[str, Entry]) -> None:
        self._base = base
        self._base_entries = {each: entries[each] for each in base["ids"]}
        targets = (entry.amends for entry in self._base_entries.values())
        self._wanted = {target for target in targets if target and target not in self._base_entries}
        self._whole = None

    def _is_far(self, entry: Entry, base: Mapping[str, Json]) -> bool:
        """Whether an entry reaches back behind the base, or to what is no longer at hand."""
        if entry.recorded_at <= base["now"] or entry.id in self._wanted:
            return True
        target = self._base_entries.get(entry.amends or "", self._since.get(entry.amends or ""))
        if entry.amends is not None and target is None:
            return True
        times = [min(each.at.instant, each.recorded_at) for each in (entry, target) if each is not None]
        return min(times) < base["cut"] + EDGE and entry.kind not in STANDING

    def _read_everything(self, now: Instant) -> None:
        """Go through the whole record once, and stand on what it was two weeks before its newest entry."""
        entries = list(self._everything())
        newest = max((entry.recorded_at for entry in entries if entry.recorded_at <= now), default=now)
        self._rest(Whole(), entries, newest - BASE_AGE)

    def _rest(self, whole: Whole, entries: Iterable[Entry], moment: Instant) -> None:
        """Take a state on to a moment, and stand on that."""
        known = {entry.id: entry for entry in entries}
        since: dict[str, Entry] = {}
        for at, group in groups(known.values(), whole.replay.ledger.known):
            if at <= moment:
                whole.take(at, group)
            else:
                since.update({entry.id: entry for entry in group})
        whole.pass_time(moment + 1)
        whole.replay.now = moment
        self._stand_on(keep(whole), {**self._base_entries, **known})
        self._since = since

    def _restored(self) -> Whole:
        assert self._base is not None
        return restore(self._base, self._base_entries.values())

    def _current(self, now: Instant) -> Whole:
        """The state at a moment: with what is new, or by going through the weeks since the base again."""
        whole = self._whole
        if whole is None or whole.now > now or not self._take(whole, now):
            whole, self._pending = self._restored(), dict(self._since)
            if not self._take(whole, now):
                self._whole = None
                return self._live(self._restored(), self._since.values(), now)
        self._whole = whole
        last = whole.replay.ledger.last_known or 0
        if self._base is not None and last - self._base["now"] > BASE_OLDEST:
            self._rest(self._restored(), self._since.values(), last - BASE_AGE)
        return whole

    def _take(self, whole: Whole, now: Instant) -> bool:
        """Take in what is new; False where something came late, or claims to be recorded later than now."""
        found = groups(self._pending.values(), whole.replay.ledger.known)
        if any(at <= whole.now or at > now for at, _ in found):
            return False
        waiting = whole.replay.ledger.waiting
        if any(entry.id in waiting for entry in self._pending.values()):
            return False
        for at, group in found:
            whole.take(at, group)
        self._pending.clear()
        whole.pass_time(now + 1)
        return True

    @staticmethod
    def _live(whole: Whole, entries: Iterable[Entry], now: Instant) -> Whole:
        """A state taken on to now, with what is recorded later counted as recorded now."""
        ahead: list[Entry] = []
        for at, group in groups(entries, whole.replay.ledger.known):
            if at < now:
                whole.take(at, group)
            else:
                ahead.extend(group)
        if ahead:
            whole.take(now, ahead, {entry.id for entry in ahead if entry.recorded_at > now})
        whole.pass_time(now + 1)
        return whole
