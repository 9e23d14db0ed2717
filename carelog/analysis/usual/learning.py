"""Which days the usual is learnt from, and which days can't be judged yet."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.standing import GROUPS
from carelog.analysis.usual.usual import Learnt
from carelog.domain.moment import Instant

FIRST_JUDGED = 14  # recorded days
LEARNT_DAYS = 42
NEWEST_LEFT_OUT = 4
HORIZON = LEARNT_DAYS + NEWEST_LEFT_OUT
BLIND_DAYS = 4
RELEARN_DAYS = 14
OLD_WEIGHT_DAYS = 3.0
FAR_FUTURE = 1 << 62


@dataclass(frozen=True, slots=True)
class Spell:
    """Days that aren't learnt from because a flag was in force."""

    first: int
    last: int
    groups: tuple[str, ...]


class Lessons:
    """Finds the days learnt from, for each group of channels by itself."""

    def __init__(self, diary: Diary, spells: Sequence[Spell]) -> None:
        self.diary = diary
        self.spells = spells

    def of(self, ordinal: int, now: Instant) -> Mapping[str, list[Learnt]]:
        """The days from which the usual of a day is learnt, by group."""
        found: dict[str, list[Learnt]] = {}
        alike: dict[tuple[Instant | None, tuple[Spell, ...]], list[Learnt]] = {}
        for group in GROUPS:
            since = self.restarted(ordinal, group, now)
            if group == "cuff":
                found[group] = self._group(ordinal, group, since)
                continue
            key = since, self._spells(group)
            if key not in alike:
                alike[key] = self._group(ordinal, group, since)
            found[group] = alike[key]
        return found

    def _spells(self, group: str) -> tuple[Spell, ...]:
        return tuple(spell for spell in self.spells if group in spell.groups)

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

    def _group(self, ordinal: int, group: str, since: int | None) -> list[Learnt]:
        if since is None or since < ordinal - HORIZON:
            since = -1
        new = self.days(range(max(since + 1, ordinal - HORIZON), ordinal), group)
        if since < 0 or len(new) >= RELEARN_DAYS:
            left_out = min(NEWEST_LEFT_OUT, max(1, len(new) - FIRST_JUDGED + 2))
            return [each for each in new if each.day.ordinal < ordinal - left_out][-LEARNT_DAYS:]
        old = self.days(range(max(since - LEARNT_DAYS, ordinal - HORIZON), since), group)
        weight = min(1.0, OLD_WEIGHT_DAYS / len(old)) if old else 0.0
        return [Learnt(each.day, each.covered, each.losses, weight) for each in old] + new

    def days(self, ordinals: Iterable[int], group: str) -> list[Learnt]:
        """The recorded days among some that are learnt from."""
        diary, found, spells = self.diary, [], self._spells(group)
        for ordinal in ordinals:
            if not diary.is_recorded(ordinal) or self._is_left_out(ordinal, spells):
                continue
            day = diary.days[ordinal]
            losses = diary.losses(day) if group == "cuff" else ()
            found.append(Learnt(day, diary.covered(day, FAR_FUTURE), losses))
        return found

    def _is_left_out(self, ordinal: int, spells: Sequence[Spell]) -> bool:
        if any(spell.first <= ordinal <= spell.last for spell in spells):
            return True
        return bool(self.diary.ill) and self.diary.is_ill(self.diary.days[ordinal])
