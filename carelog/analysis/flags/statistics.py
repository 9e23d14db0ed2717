"""The flags by statistics beside those on what was written: judged together, told as one list.

Each moment is handed on: time passes, then the rules on what was written look, then the statistics do.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from carelog.analysis.flags.ledger import Shift
from carelog.analysis.flags.life import NEVER
from carelog.analysis.flags.replay import SEEN_AFTER, Replay
from carelog.analysis.in_force import Held
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.settling import Begun
from carelog.analysis.usual.standing import BESIDE_THE_DAYS
from carelog.analysis.usual.threshold import thresholds
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan
from carelog.domain.turn import give_way


class Moved(NamedTuple):
    """What became known at one moment, with the home and the plans as they stood then."""

    known: Instant
    shifts: Sequence[Shift]
    home: Home
    plans: Sequence[Plan]


@dataclass(frozen=True, slots=True)
class Bounds:
    """Where the reading of a part of the past begins, for the rules and for the statistics.

    `since`: from when on the rules must be right; `begun`: where the statistics begin to judge, None: with
    the first entry; `beside`: what the slow drift is held against (`usual.settling.reference_span`);
    `aside` gives what had become known before they begin, and no rule follows.
    """

    since: Instant = -NEVER
    begun: Begun | None = None
    beside: tuple[Instant, Instant] = (0, 0)
    aside: Callable[[], Iterable[Held]] = tuple

    def is_noted(self, known: Instant, shift: Shift) -> bool:
        """Whether the statistics take what became known before they begin to judge."""
        if self.begun is None or self.begun.read is None or known >= self.begun.read:
            return True
        held = shift.after or shift.before
        is_beside = held is not None and self.beside[0] <= held.time < self.beside[1]
        return shift.kind in BESIDE_THE_DAYS or is_beside


class Whole:
    """All flags of one record at a moment that only goes on.

    In a part of the past the rules go first: what moved is kept until `since`, and the statistics catch up
    then. So nothing is judged by them where a rule turns out to need more.
    """

    def __init__(self, override: tuple[Plan, Instant] | None = None, bounds: Bounds | None = None) -> None:
        """`override`: a plan in place of those in force from a moment on; `bounds`: None: all is here."""
        self.replay = Replay(override)
        self._bounds = bounds or Bounds()
        self.noticing = Noticing(thresholds(), begun=self._bounds.begun)
        self._waiting: list[Moved] = []
        self._has_caught_up = self._has_begun = False
        self.asked: Instant = -NEVER
        """The moment at which the flags are read: the last before which time has passed."""

    def take(self, known: Instant, group: Sequence[Entry], doubtful: Collection[str] = ()) -> None:
        """Take in what became known at a moment, after what time alone brought before it."""
        self.pass_time(known)
        shifts = self.replay.take(known, group, doubtful)
        moved = Moved(known, shifts, self.replay.ledger.home, self.replay.ledger.plans)
        if self._has_caught_up:
            self._notice(moved)
        else:
            self._waiting.append(moved)

    def pass_time(self, until: Instant) -> None:
        """Let time alone do what it does before a moment."""
        self.asked = until - 1
        self.replay.pass_time(until)
        if until > self._bounds.since + 1:
            self._catch_up()
            self._begin(until)
            self.noticing.pass_time(until)

    def _catch_up(self) -> None:
        """Let the statistics take what moved while the rules went first."""
        self._has_caught_up, waiting = True, self._waiting
        self._waiting = []
        for moved in waiting:
            self._notice(moved)
            give_way()

    def _notice(self, moved: Moved) -> None:
        begun = self._bounds.begun
        if begun is not None and moved.known < begun.judged:
            noted = (each for each in moved.shifts if self._bounds.is_noted(moved.known, each))
            self.noticing.refer(noted, moved)
            return
        self._begin(moved.known + 1)
        self.noticing.fired = self.replay.last_raised
        self.noticing.take(moved.known, moved.shifts, moved)

    def _begin(self, until: Instant) -> None:
        """Let the statistics begin to judge, if they do before a moment."""
        begun = self._bounds.begun
        if begun is None or self._has_begun or until <= begun.judged:
            return
        self._has_begun = True
        found = (
            (each.known, Shift(each.first.id, each.entry.kind, None, each)) for each in self._bounds.aside()
        )
        shifts = [shift for known, shift in found if self._bounds.is_noted(known, shift)]
        self.noticing.begin(shifts, begun.judged)

    @property
    def next_change(self) -> Instant:
        """The first moment at which time alone may do something."""
        return min(self.replay.next_change, self.noticing.next_change)

    @property
    def now(self) -> Instant:
        """The last moment at which anything was looked at."""
        return max(self.replay.now, self.noticing.head)

    def flags(self, start: Instant = -NEVER) -> list[Flag]:
        """All flags so far that were in force after a moment: of one rule and subject never two at a time."""
        noticed = self._noticed()
        # What ended before can only be joined with what statistics saw of the same rule.
        written = self.replay.flags(max(self.asked, self.now), start, {flag.rule for flag in noticed})
        found = together([*written, *noticed])
        found = [flag for flag in found if flag.cleared_at is None or flag.cleared_at > start]
        return sorted(found, key=lambda flag: (flag.raised_at, flag.rule, flag.subject or ""))

    def _noticed(self) -> list[Flag]:
        """The flags by statistics, each with who looked at it."""
        seen = self.replay.ledger.of("seen")
        by_rule: dict[str, list[Flag]] = {}
        for flag in self.noticing.flags():
            by_rule.setdefault(flag.rule, []).append(flag)
        found: list[Flag] = []
        for rule, flags in by_rule.items():
            about = [each for each in seen if each.entry.details["rule"] == rule and _has_no_subject(each)]
            found += _looked_at(flags, about)
        return found


def _has_no_subject(held: Held) -> bool:
    return held.entry.details.get("subject") is None


def _looked_at(flags: Iterable[Flag], seen: Sequence[Held]) -> list[Flag]:
    """The flags with who looked at each while it was in force, or in the seven days after it ended."""
    found = {flag.raised_at: flag for flag in flags}
    for held in seen:
        begun = [moment for moment in found if moment <= held.known]
        if not begun:
            continue
        flag = found[max(begun)]
        if flag.cleared_at is None or held.known <= flag.cleared_at + SEEN_AFTER:
            found[flag.raised_at] = replace(flag, seen=(*flag.seen, held.entry.id))
    return list(found.values())


def together(flags: Iterable[Flag]) -> list[Flag]:
    """Flags of one rule and subject that were in force at the same time, as one."""
    found: list[Flag] = []
    newest: dict[tuple[str, str | None], int] = {}
    for flag in sorted(flags, key=lambda each: (each.raised_at, each.rule, each.subject or "")):
        key = (flag.rule, flag.subject)
        place = newest.get(key)
        if place is not None and _overlaps(found[place], flag):
            found[place] = _joined(found[place], flag)
        else:
            newest[key] = len(found)
            found.append(flag)
    return found


def _overlaps(before: Flag, after: Flag) -> bool:
    """Whether two flags stand at once; one that ends as the other begins only if they see different things.

    Two of the same make that begin as the other ends are meant to be two: what was changed shows less now.
    """
    if before.cleared_at is None or after.raised_at < before.cleared_at:
        return True
    is_handed_on = after.raised_at == before.cleared_at
    return is_handed_on and before.by_statistics != after.by_statistics


def _joined(before: Flag, after: Flag) -> Flag:
    """Raised with the first, over with the last, in the words of the more serious."""
    last = before if before.cleared_at is None or _ends_first(after, before) else after
    said = after if after.level > before.level else before
    other = before if said is after else after
    return replace(
        before,
        level=said.level,
        cleared_at=last.cleared_at,
        cleared_by=last.cleared_by,
        ended=last.ended,
        headline=said.headline,
        several=said.several,
        why=f"{said.why} {other.why}",
        by_statistics=before.by_statistics or after.by_statistics,
        closing=said.closing or other.closing,
        entries=tuple(dict.fromkeys([*before.entries, *after.entries])),
        seen=tuple(dict.fromkeys([*before.seen, *after.seen])),
    )


def _ends_first(flag: Flag, other: Flag) -> bool:
    if flag.cleared_at is None or other.cleared_at is None:
        return flag.cleared_at is not None
    return flag.cleared_at < other.cleared_at
