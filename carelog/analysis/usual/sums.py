"""The sums of all channels, day after day, kept so that an entry of today costs only today."""

from collections.abc import Callable, Mapping, Sequence

from carelog.analysis.usual.channel import CHANNELS, CUFF, NOTHING, Channel, Sum
from carelog.analysis.usual.day import BLOCKS, Day
from carelog.analysis.usual.diary import NEVER, Diary
from carelog.analysis.usual.evidence import Evidence, grown, leaked
from carelog.analysis.usual.learning import FIRST_JUDGED, NEWEST_LEFT_OUT, Lessons, Spell
from carelog.analysis.usual.usual import Learnt, Usual, usual
from carelog.domain.moment import Instant

REJUDGED_DAYS = 10
NEW_RATER_DAYS = 10
NEVER_CUT: Instant = -(1 << 62)

Sums = dict[str, Sum]


def _is_settled(lessons: Mapping[str, Sequence[Learnt]]) -> bool:
    """Whether the newest days no longer take part in any group's usual."""
    return all(
        len(days) > FIRST_JUDGED + NEWEST_LEFT_OUT and days[0].weight == 1.0 for days in lessons.values()
    )


class Course:
    """Works the sums out from the diary; what is kept is only what the diary would give again."""

    def __init__(self, diary: Diary, spells: Sequence[Spell]) -> None:
        self.diary = diary
        self.lessons = Lessons(diary, spells)
        self.ends: dict[int, Sums] = {}
        self.resets: dict[str, list[Instant]] = {}
        self.first_judged = NEVER
        self._usuals: dict[int, Usual] = {}
        self._reach: dict[int, int] = {}  # the newest day that a usual may depend on

    def forget_from(self, ordinal: int, today: int) -> None:
        """Work out anew what may look different since a day, as far back as days are judged again."""
        since = max(ordinal, today - REJUDGED_DAYS)
        for day in [each for each in self.ends if each >= since]:
            del self.ends[day]
        for day in [each for each in self._usuals if each > since and self._reach[each] >= since - 1]:
            del self._usuals[day]

    def prune(self, today: int) -> None:
        """Let go of days that are no longer judged again."""
        oldest = today - REJUDGED_DAYS - 1
        for kept in (self.ends, self._usuals, self._reach):
            for day in [each for each in kept if each < oldest]:
                del kept[day]
        start = self.diary.day(oldest).edges[0]
        kept_resets = {name: [m for m in moments if m >= start] for name, moments in self.resets.items()}
        self.resets = {name: moments for name, moments in kept_resets.items() if moments}

    def usual(self, ordinal: int, now: Instant) -> Usual:
        """The usual of a day."""
        found = self._usuals.get(ordinal)
        if found is None:
            lessons = self.lessons.of(ordinal, now)
            found = self._usuals[ordinal] = usual(lessons)
            self._reach[ordinal] = ordinal - (NEWEST_LEFT_OUT if _is_settled(lessons) else 1)
        return found

    def now(self, today: int, now: Instant) -> Sums:
        """The sums at this moment."""
        return self._day(today, self._end(today - 1, now), now)

    def _end(self, ordinal: int, now: Instant) -> Sums:
        """The sums at the end of a day, from the nearest earlier day that is kept."""
        start = ordinal
        while start not in self.ends and start > ordinal - REJUDGED_DAYS:
            start -= 1
        sums = self.ends.setdefault(start, {})
        newest = self.diary.last_day()
        for day in range(start + 1, ordinal + 1):
            sums = self._day(day, sums, now)
            if day < newest:  # later ones look different again when the gap after the newest entry grows
                self.ends[day] = sums
        return sums

    def _day(self, ordinal: int, before: Sums, now: Instant) -> Sums:
        if not self.is_judged(ordinal):
            return {}
        day = self.diary.day(ordinal)
        known = self.usual(ordinal, now)
        blind = self.lessons.blind(ordinal, now)
        blocks = BLOCKS if now >= day.edges[-1] else day.block(now) + 1
        covered, is_new = self.diary.covered(day, now), self.is_new_on(ordinal)
        evidence = Evidence(day, known, covered, is_new, blind, blocks)
        restarts = self.diary.restarts
        may_cut = bool(self.resets) or bool(restarts and restarts[-1].time >= day.edges[0])
        found = {}
        for channel in CHANNELS:
            cut = self._cut(channel, day, now) if may_cut else NEVER_CUT
            kept = before.get(channel.name, NOTHING) if cut == NEVER_CUT else NOTHING
            found[channel.name] = grown(channel, kept, evidence, cut, blocks)
        if "cuff" not in blind:
            cut = self._cut(CUFF, day, now)
            kept = before.get(CUFF.name, NOTHING) if cut == NEVER_CUT else NOTHING
            losses = [loss for loss in self.diary.losses(day) if cut < loss.time <= now]
            found[CUFF.name] = leaked(kept, losses, known.cuff)
        return found

    def _cut(self, channel: Channel, day: Day, now: Instant) -> Instant:
        """The newest moment of this day before which the channel's evidence no longer counts."""
        start, end = day.edges[0], day.edges[-1]
        found = NEVER_CUT
        for each in reversed(self.diary.restarts):
            if each.time < start:
                break
            if each.time < end and each.time <= now and channel.groups & set(each.groups):
                found = max(found, each.time)
        for moment in self.resets.get(channel.name, ()):
            if start <= moment < end:
                found = max(found, moment)
        return found

    def is_judged(self, ordinal: int) -> bool:
        """Whether the day is the 14th recorded one or later."""
        if self.first_judged == NEVER and self.diary.recorded_days(ordinal) >= FIRST_JUDGED:
            self.first_judged = ordinal
        return ordinal >= self.first_judged

    def is_new_on(self, ordinal: int) -> Callable[[str], bool]:
        """Tells who is new on a day: rated first within ten days, and not in the record's first weeks."""
        recorders = self.diary.recorders
        start = min(recorders.values(), default=ordinal)

        def is_new(recorder: str) -> bool:
            first = recorders.get(recorder, ordinal)
            return first > start + FIRST_JUDGED and ordinal - first < NEW_RATER_DAYS

        return is_new
