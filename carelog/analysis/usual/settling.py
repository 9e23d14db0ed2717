"""How much of the past the flags by statistics need, and whether it was enough.

A sum goes back 10 days; what is usual on the first of them is learnt from 46 recorded days before it, of
which those are left out that stand out from a week and from 46 days before them. Before these nothing takes
part. But a flag may have been raised long ago. It ends when for 10 days nothing has shown it; so after 22
days in which no channel of some rules stood above its threshold (10 to end, 10 and the begun day until what
the end reset is older than any sum, and one) it doesn't matter what stood before. A slow drift may have risen
just before; it is told for 28 days. So a part of the past is judged from 30 days before the first flag asked
for. What became known before that is taken as it stood then. Where it turns out to be too late, the reading
has to begin earlier.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from carelog.analysis.usual.channel import ALL_CHANNELS, DRIFT, Channel
from carelog.analysis.usual.day import Span
from carelog.analysis.usual.diary import REFERENCE_KEPT, Diary
from carelog.analysis.usual.learning import HORIZON
from carelog.analysis.usual.standing import Restart
from carelog.analysis.usual.sums import SUMMED_DAYS
from carelog.analysis.usual.usuals import APART_SPAN
from carelog.domain.moment import DAY_24_H, Home, Instant

SHOWN_DAYS = 10
LEARNT_DAYS = 2 * HORIZON + APART_SPAN  # recorded days
FORGOTTEN_DAYS = SHOWN_DAYS + SUMMED_DAYS + 2
DRIFT_FORGOTTEN_DAYS = 29
LOOKS_BACK_DAYS = DRIFT_FORGOTTEN_DAYS + 1
"""Days before the first moment asked for; and before these"""
LOOKS_BACK_RECORDED = LEARNT_DAYS + SUMMED_DAYS + 2
"""recorded days (those with an entry of care)."""


@dataclass(frozen=True, slots=True)
class Begun:
    """Where the judging of a part of the past begins; what became known before `judged` is taken as it stood.

    `read`: what became known before it isn't here, but for what stands and `reference_span`; None: all is.
    """

    judged: Instant
    read: Instant | None = None


def judged_from(home: Home, start: Instant) -> Instant:
    """From when on the record is judged for flags from `start` on."""
    return home.start_of(home.day(start - LOOKS_BACK_DAYS * DAY_24_H))


def cut_of(days: Sequence[date], home: Home, start: Instant) -> Instant | None:
    """From when on everything recorded is read for flags from `start` on, or None for all of it.

    `days`: the recorded days in order. Standing kinds and `reference_span` are read beside it.
    """
    before = days[: bisect_left(days, home.day(judged_from(home, start)))]
    return home.start_of(before[-LOOKS_BACK_RECORDED]) if len(before) >= LOOKS_BACK_RECORDED else None


def reference_span(restarts: Sequence[Restart], days: Sequence[date], home: Home, cut: Instant) -> Span:
    """What a slow drift is held against, as far as it lies before the cut: read whole, but not judged."""
    newest = (each.time for each in reversed(restarts) if each.time < cut and "suction" in each.groups)
    restarted = next(newest, None)
    first = home.start_of(days[0]) if restarted is None else restarted
    last = home.day(first) + timedelta(days=REFERENCE_KEPT)
    return first, max(first, min(cut, home.start_of(last)))


def _together() -> tuple[frozenset[str], ...]:
    """The rules, parted so that no channel speaks for rules of two parts."""
    parts: list[frozenset[str]] = []
    for channel in ALL_CHANNELS:
        touched = [part for part in parts if part & channel.rules]
        parts = [part for part in parts if part not in touched]
        parts.append(channel.rules.union(*touched))
    return tuple(parts)


TOGETHER = _together()
_PART_OF = {rule: part for part in TOGETHER for rule in part}


class Settling:
    """When a channel stood above its threshold last, and which rules no longer lean on an unknown past."""

    def __init__(self, begun: Begun | None) -> None:
        """`begun`: where the judging begins; None: where the record does."""
        self._begun = begun
        self._exact: Instant | None = None
        self._shown: dict[str, Instant] = {}
        self._risen: Instant | None = None
        self._settled: dict[frozenset[str], Instant] = {}

    def is_exact(self, diary: Diary, today: int, now: Instant) -> bool:
        """Whether all that the sums of today need is here."""
        if self._begun is None or self._exact is not None:
            return True
        if self._begun.read is not None:
            learnt = diary.recorded_between(diary.ordinal(self._begun.read) + 1, today - SUMMED_DAYS)
            if len(learnt) <= LEARNT_DAYS:
                return False
        self._exact = now
        return True

    def look(self, above: Iterable[Channel], now: Instant) -> None:
        """Take which channels stand above their thresholds now."""
        for channel in above:
            self._shown.update(dict.fromkeys(channel.rules, now))
        exact = self._exact
        if exact is None or now - exact < FORGOTTEN_DAYS * DAY_24_H or len(self._settled) == len(TOGETHER):
            return
        for part in TOGETHER:
            if part not in self._settled and self._is_forgotten(part, exact, now):
                self._settled[part] = now

    def _is_forgotten(self, part: frozenset[str], exact: Instant, now: Instant) -> bool:
        shown = max([exact, *(self._shown[rule] for rule in part if rule in self._shown)])
        if now - shown < FORGOTTEN_DAYS * DAY_24_H:
            return False
        # When it rose before all was judged isn't known: it may have been just before.
        risen = exact if self._risen is None else max(exact, self._risen)
        return not part & DRIFT.rules or now - risen >= DRIFT_FORGOTTEN_DAYS * DAY_24_H

    def risen(self, now: Instant) -> None:
        """Take that the slow drift has risen."""
        self._risen = now

    def is_settled(self, rule: str) -> bool:
        """Whether a rule's flags are what they would be with everything known."""
        return self._begun is None or _PART_OF[rule] in self._settled

    def is_past(self, rule: str, now: Instant) -> bool:
        """Whether for some days no channel has shown a rule."""
        return now - self._shown.get(rule, now) >= SHOWN_DAYS * DAY_24_H

    def known_from(self) -> Instant | None:
        """From when on all flags are known; None: not yet."""
        if self._begun is None:
            return -(1 << 62)
        return max(self._settled.values()) if len(self._settled) == len(TOGETHER) else None
