"""The sums of all channels over the last days, kept so that an entry of today costs only today.

A sum is window-limited (Lai, IEEE Trans. Inform. Theory 1998;44:2917-2929): a change is looked for that began
within the last days, so that what is noticed depends on nothing older than these and what they learn from.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from carelog.analysis.usual.channel import CHANNELS, CUFF, NOTHING, READINGS, SUMMED, Channel, Sum
from carelog.analysis.usual.day import Day
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.evidence import Evidence, grown, leaked, moved
from carelog.analysis.usual.usual import Usual
from carelog.analysis.usual.usuals import Usuals
from carelog.domain.moment import Instant

SUMMED_DAYS = 10  # whole days before today
NEVER_CUT: Instant = -(1 << 62)

Sums = Mapping[str, Sum]
"""By channel, in their order, but for those that are nothing."""
Resets = Mapping[str, Sequence[Instant]]


@dataclass(slots=True)
class Carried:
    """The sums at the end of each of the days before one, and what they would be had no flag ended."""

    today: int
    ends: list[tuple[Sums, Sums]] = field(default_factory=list)

    def forget_from(self, ordinal: int) -> None:
        """Forget the ends of a day and of those after it."""
        del self.ends[max(0, ordinal - (self.today - SUMMED_DAYS)) :]


class Course:
    """Works the sums out from the diary; what is kept is only what the diary would give again."""

    def __init__(self, diary: Diary) -> None:
        self.diary = diary
        self.usuals = Usuals(diary)
        self.lessons = self.usuals.lessons
        self.resets: dict[str, list[Instant]] = {}
        self._evidence: dict[int, Evidence] = {}
        self._carried: Carried | None = None

    def forget_from(self, ordinal: int, flipped: int) -> None:
        """Work out anew what may look different since a day, or since one that became recorded."""
        if self._carried is not None:
            self._carried.forget_from(ordinal)
        for day in [each for each in self._evidence if each >= ordinal]:
            del self._evidence[day]
        self.usuals.forget_from(ordinal, flipped)

    def prune(self, today: int) -> None:
        """Let go of days that no longer take part."""
        oldest = today - SUMMED_DAYS
        for day in [each for each in self._evidence if each < oldest]:
            del self._evidence[day]
        self.usuals.prune(oldest)
        start = self.diary.day(oldest).edges[0]
        recent = {name: [m for m in moments if m >= start] for name, moments in self.resets.items()}
        self.resets = {name: moments for name, moments in recent.items() if moments}

    def reset(self, channel: str, now: Instant) -> None:
        """Let a channel begin anew: what was before is no evidence any more."""
        self.resets.setdefault(channel, []).append(now)
        self._carried = None

    def usual(self, ordinal: int, now: Instant) -> Usual:
        """The usual of a day."""
        return self.usuals.of(ordinal, now)

    def is_judged(self, ordinal: int) -> bool:
        """Whether the day is the 14th recorded one or later."""
        return self.usuals.is_judged(ordinal)

    def is_new_on(self, ordinal: int) -> Callable[[str], bool]:
        """Tells who is new on a day."""
        return self.usuals.is_new_on(ordinal)

    def now(self, today: int, now: Instant) -> tuple[Sums, Sums]:
        """The sums at this moment; and what they would be if no flag had ended and let them begin anew."""
        return self._after(today, *self._carry(today, now), now)

    def _carry(self, today: int, now: Instant) -> tuple[Sums, Sums]:
        """The sums at the end of yesterday."""
        if self._carried is None or self._carried.today != today:
            self._carried = Carried(today)
        ends = self._carried.ends
        for ordinal in range(today - SUMMED_DAYS + len(ends), today):
            before = ends[-1] if ends else ({}, {})
            ends.append(self._after(ordinal, *before, now) if self.is_judged(ordinal) else before)
        found = ends[-1]
        # The days after the newest entry look different again when the gap grows.
        self._carried.forget_from(self.diary.last_day())
        return found

    def _after(self, ordinal: int, sums: Sums, free: Sums, now: Instant) -> tuple[Sums, Sums]:
        """The sums after a day, as far as it has come."""
        evidence = self._evidence_of(ordinal, now)
        sums = self._day(evidence, sums, now, self.resets)
        return sums, self._day(evidence, free, now, {}) if self.resets else sums

    def _evidence_of(self, ordinal: int, now: Instant) -> Evidence:
        found = self._evidence.get(ordinal)
        if found is None:
            found = self.usuals.evidence(ordinal, self.usual(ordinal, now), now, now)
            if ordinal < min(self.diary.last_day(), self.diary.ordinal(now)):
                self._evidence[ordinal] = found
        return found

    def _day(self, evidence: Evidence, before: Sums, now: Instant, resets: Resets) -> Sums:
        """The sums after a day; a day that a stay touches, or that nobody wrote down, says nothing."""
        day = evidence.day
        if self.diary.away and self.diary.is_away(day):
            return before
        cuts, usual = self._cuts(day, now, resets), self.usual(day.ordinal, now)
        found = {}
        for channel in CHANNELS:
            kept, cut = _kept(channel, before, cuts)
            found[channel.name] = grown(channel, kept, evidence, cut)
        if "cuff" not in evidence.blind:
            kept, cut = _kept(CUFF, before, cuts)
            losses = [loss for loss in self.diary.losses(day) if cut < loss.time <= now]
            found[CUFF.name] = leaked(kept, losses, usual.cuff)
        if "readings" not in evidence.blind:
            for channel in READINGS:
                kept, cut = _kept(channel, before, cuts)
                read = [each for each in day.readings(channel.name) if cut < each[0] <= now]
                found[channel.name] = moved(kept, read, usual.readings.get(channel.name))
        return {name: each for name, each in found.items() if each is not NOTHING}

    def _cuts(self, day: Day, now: Instant, resets: Resets) -> Mapping[str, Instant]:
        """The newest moment of this day, by channel, before which its evidence no longer counts."""
        restarts = self.diary.restarts
        if not resets and not (restarts and restarts[-1].time >= day.edges[0]):
            return {}
        found = {channel.name: self._cut(channel, day, now, resets) for channel in SUMMED}
        return {name: cut for name, cut in found.items() if cut != NEVER_CUT}

    def _cut(self, channel: Channel, day: Day, now: Instant, resets: Resets) -> Instant:
        """The newest moment of this day before which the channel's evidence no longer counts."""
        start, end = day.edges[0], day.edges[-1]
        found = NEVER_CUT
        for each in reversed(self.diary.restarts):
            if each.time < start:
                break
            if each.time < end and each.time <= now and channel.groups & set(each.groups):
                found = max(found, each.time)
        for moment in resets.get(channel.name, ()):
            if start <= moment < end:
                found = max(found, moment)
        return found


def _kept(channel: Channel, before: Sums, cuts: Mapping[str, Instant]) -> tuple[Sum, Instant]:
    """The sum that a day begins with, and the moment from which its evidence counts."""
    cut = cuts.get(channel.name)
    return (before.get(channel.name, NOTHING), NEVER_CUT) if cut is None else (NOTHING, cut)
