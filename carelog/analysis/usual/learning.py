"""Which days the usual is learnt from, and which days can't be judged yet."""

from bisect import bisect_left
from collections.abc import Collection, Iterable, Mapping, Sequence

from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.standing import GROUPS
from carelog.analysis.usual.usual import Learnt
from carelog.domain.moment import Instant

FIRST_JUDGED = 14  # all of these are recorded days, but for the blind ones
LEARNT_DAYS = 42
NEWEST_LEFT_OUT = 4
HORIZON = LEARNT_DAYS + NEWEST_LEFT_OUT
BLIND_DAYS = 4
RELEARN_DAYS = 14
OLD_WEIGHT_DAYS = 3.0
FAR_FUTURE = 1 << 62
ROBUST = ("cuff", "readings")  # learnt by medians: days that stand out don't matter


class Lessons:
    """Finds the days learnt from, for each group of channels by itself."""

    def __init__(self, diary: Diary) -> None:
        self.diary = diary

    def of(
        self, ordinal: int, now: Instant, apart: Collection[int] = frozenset()
    ) -> Mapping[str, list[Learnt]]:
        """The days from which the usual of a day is learnt, by group; `apart`: but for these."""
        found: dict[str, list[Learnt]] = {}
        alike: dict[tuple[int | None, bool], list[Learnt]] = {}
        for group in GROUPS:
            since, leaves_out = self.restarted(ordinal, group, now), bool(apart) and group not in ROBUST
            if (since, leaves_out) not in alike:
                alike[since, leaves_out] = self._group(ordinal, since, apart if leaves_out else ())
            found[group] = alike[since, leaves_out]
        return found

    def restarted(self, ordinal: int, group: str, now: Instant) -> int | None:
        """The day of the newest restart of a group up to a day, as far as time has come."""
        end = min(self.diary.day(ordinal).edges[-1], now + 1)
        for each in reversed(self.diary.restarts):
            if each.time < end and group in each.groups:
                return self.diary.ordinal(each.time)
        return None

    def blind(self, ordinal: int, now: Instant) -> frozenset[str]:
        """The groups that can't be judged on a day because they were restarted just before."""
        restarts = self.diary.restarts
        if not restarts or restarts[-1].time < self.diary.day(ordinal - BLIND_DAYS + 1).edges[0]:
            return frozenset()
        return frozenset(
            group
            for group in GROUPS
            if (since := self.restarted(ordinal, group, now)) is not None and ordinal < since + BLIND_DAYS
        )

    def _group(self, ordinal: int, since: int | None, apart: Collection[int]) -> list[Learnt]:
        days = self.before(ordinal)
        if since is None or (days and days[0] > since):
            since = -1
        calm = [each for each in days if each not in apart] if apart else days
        new = self.days([each for each in calm if each > since])
        if since < 0 or len(new) >= RELEARN_DAYS:
            left_out = min(NEWEST_LEFT_OUT, max(1, len(new) - FIRST_JUDGED + 2))
            return new[:-left_out][-LEARNT_DAYS:]
        old = self.days([each for each in calm if each < since])
        weight = min(1.0, OLD_WEIGHT_DAYS / len(old)) if old else 0.0
        return [Learnt(each.day, each.covered, weight) for each in old] + new

    def before(self, ordinal: int) -> Sequence[int]:
        """The recorded days before a day that may take part in its usual."""
        end = bisect_left(self.diary.recorded, ordinal)
        return self.diary.recorded[max(0, end - HORIZON) : end]

    def days(self, ordinals: Iterable[int]) -> list[Learnt]:
        """The days among some recorded ones that are learnt from."""
        diary, found = self.diary, []
        for ordinal in ordinals:
            day = diary.days[ordinal]
            if (diary.ill and diary.is_ill(day)) or (diary.away and diary.is_away(day)):
                continue
            found.append(Learnt(day, diary.covered(day, FAR_FUTURE)))
        return found
