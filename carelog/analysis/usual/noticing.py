"""Judging the record at each entry and at 00, 06, 12 and 18 o'clock, in the order in which things became known."""

from collections.abc import Callable, Iterable, Sequence

from carelog.analysis.usual.channel import (
    ALL_CHANNELS,
    DRIFT,
    GROUP_OF,
    RULE_OF,
    Channel,
    Sum,
)
from carelog.analysis.usual.day import BLOCKS, Fact
from carelog.analysis.usual.diary import KEPT_DAYS, NEVER, Diary, Settle
from carelog.analysis.usual.drift import RECENT_DAYS, REFERENCE_DAYS, drifted, recent, reference_of
from carelog.analysis.usual.learning import FAR_FUTURE, NEWEST_LEFT_OUT, Spell
from carelog.analysis.usual.lives import LONG_AGO, Episode, Lives, level_of
from carelog.analysis.usual.recently import is_usual_again
from carelog.analysis.usual.standing import setting
from carelog.analysis.usual.sums import Course, Sums
from carelog.analysis.usual.threshold import Thresholds
from carelog.analysis.usual.usual import Learnt, Rate, Usual
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant

JOINS = 2.0  # natural logarithm: a part of a channel this strong is a reason by itself
SPELL_BEFORE = 2
SPELL_DAYS = 14
DRIFT_STANDS = 28 * DAY_24_H
LEARNT_GROUPS = ("suction", "secretions", "inner_tube")
Observer = Callable[[Instant, Sums, Usual], None]


class Noticing:
    """Everything that is known of one record, judged as a live program would have."""

    def __init__(self, settle: Settle, thresholds: Thresholds, observe: Observer | None = None) -> None:
        self.diary = Diary(settle)
        self.spells: list[Spell] = []
        self.course = Course(self.diary, self.spells)
        self.lives = Lives()
        self.thresholds = thresholds
        self.fired: Instant = LONG_AGO
        self.reference: Rate | None = None
        self.today = -NEVER
        self.head: Instant = LONG_AGO
        self.drift = Sum()
        self._observe = observe
        self._restarted: Instant = LONG_AGO
        self._setting: tuple[int, int] | None = None

    def take(self, known: Instant, entries: Iterable[Entry]) -> None:
        """Take what became known at one moment, after all that became known before."""
        self.pass_time(known)
        for entry in entries:
            self.diary.add(entry)
        self._judge(known, by_entry=True)

    def pass_time(self, until: Instant) -> None:
        """Judge at every time of day before a moment."""
        if self.head == LONG_AGO:
            return
        while (stop := self._next_stop()) < until:
            self._judge(stop, by_entry=False)

    def _next_stop(self) -> Instant:
        """The next time of day, or restart, after what was judged last."""
        diary, head = self.diary, self.head
        if self.lives.open or self.today - diary.last_day() < KEPT_DAYS:
            edges = diary.day(self.today).edges
            block = next(edge for edge in edges if edge > head)
        else:
            block = FAR_FUTURE
        ahead = (each.time for each in diary.restarts if each.time > head)
        return min(min(ahead, default=FAR_FUTURE), block)

    def _judge(self, now: Instant, by_entry: bool) -> None:
        diary, self.head = self.diary, now
        today = diary.ordinal(now)
        is_new_day = today != self.today
        self.today = today
        if diary.dirty < NEVER:
            self.course.forget_from(diary.dirty, today)
            diary.dirty = NEVER
        if is_new_day:
            diary.prune(today)
            self.course.prune(today)
        self._follow_restarts(now, by_entry)
        if self.course.is_judged(today):
            if is_new_day:
                self._follow_drift(today, now)
            usual = self.course.usual(today, now)
            self._clear(usual, now, by_entry)
            sums = self.course.now(today, now)
            if self._observe:
                self._observe(now, sums | {DRIFT.name: self.drift}, usual)
            self._raise(sums, usual, now)
        self._show(diary.fresh)
        diary.fresh = []

    def _follow_restarts(self, now: Instant, by_entry: bool) -> None:
        """End the flags of groups that no longer compare with what was before."""
        for each in self.diary.restarts:
            if self._restarted < each.time <= now:
                self._restarted = each.time
                for rule, episode in list(self.lives.open.items()):
                    if each.time >= episode.since and _group(rule) in each.groups:
                        self._end(rule, now, by_entry)
                if "suction" in each.groups:
                    self.reference = None
                    self.drift = Sum()

    def _follow_drift(self, today: int, now: Instant) -> None:
        """Once a day: settle the first reference, then hold the last two weeks against it."""
        lessons = self.course.lessons
        since = lessons.restarted(today, "suction", now) or -1
        start = max(since + 1, today - KEPT_DAYS)
        if self.reference is None:
            settled = lessons.days(range(start, today - NEWEST_LEFT_OUT), "suction")
            if len(settled) >= REFERENCE_DAYS:
                self.reference = reference_of(settled[:REFERENCE_DAYS])
        if self.reference is not None:
            days = lessons.days(range(max(start, today - RECENT_DAYS), today), "suction", with_spells=True)
            found = recent(days, self.reference)
            value = drifted(found, self.reference) if found else 0.0
            first = self.diary.day(today - RECENT_DAYS).edges[0]
            self.drift = Sum(value, first, (value,)) if value > 0 else Sum()

    def _setting_now(self, now: Instant) -> int:
        return setting(self.diary.stands.values(), now)

    def _raise(self, sums: Sums, usual: Usual, now: Instant) -> None:
        allowed = self._setting_now(now)
        for channel in ALL_CHANNELS:
            found = self.drift if channel is DRIFT else sums.get(channel.name)
            if found is None or found.value <= 0:
                continue
            if found.value >= self.thresholds.of(channel.name, usual.rate, allowed):
                self._notice(channel, found, usual, now)

    def _notice(self, channel: Channel, found: Sum, usual: Usual, now: Instant) -> None:
        """A channel has crossed its threshold: every part strong enough is a reason with a rule of its own."""
        parts = {name: value for (name, _), value in zip(channel.parts, found.parts, strict=True) if name in RULE_OF}
        strongest = max(parts, key=lambda name: parts[name])
        for name, value in parts.items():
            if name == strongest or value >= JOINS:
                self._raise_rule(RULE_OF[name], channel, found, usual, now)

    def _raise_rule(self, rule: str, channel: Channel, found: Sum, usual: Usual, now: Instant) -> None:
        episode = self.lives.open.get(rule)
        if episode is not None:
            episode.channels.add(channel.name)
            episode.level = max(episode.level, level_of(channel.name))
            return
        if not self.lives.may_raise(rule, channel.name, now, self.fired):
            return
        episode = Episode(rule, level_of(channel.name), now, found.since, "", "", {channel.name})
        self.lives.start(episode)
        self._show(self._facts_since(found.since))
        if channel is not DRIFT:
            groups = ("cuff",) if rule == "cuff_leak" else LEARNT_GROUPS
            self.spells.append(Spell(self.today - SPELL_BEFORE, self.today + SPELL_DAYS, groups))

    def _facts_since(self, since: Instant) -> list[Fact]:
        days = self.diary.days
        return [fact for each in sorted(days) if days[each].edges[-1] > since for fact in days[each].facts]

    def _show(self, facts: Sequence[Fact]) -> None:
        for episode in self.lives.open.values():
            for fact in facts:
                if fact.time >= episode.since and _shows(episode.rule, fact):
                    episode.entries[fact.id] = None

    def _clear(self, usual: Usual, now: Instant, by_entry: bool) -> None:
        if not self.lives.open or now not in self.diary.day(self.today).edges:
            return
        for rule, episode in list(self.lives.open.items()):
            drifting = episode.channels == {DRIFT.name}
            reference = self.reference if drifting else None
            if drifting and now - episode.raised_at >= DRIFT_STANDS:
                self.reference, self.drift = None, Sum()
                self._end(rule, now, by_entry)
            elif now > episode.raised_at and is_usual_again(rule, self.diary, usual, reference, now):
                self._end(rule, now, by_entry)

    def _end(self, rule: str, now: Instant, by_entry: bool) -> None:
        episode = self.lives.end(rule, now, by_entry)
        for name in episode.channels:
            self.course.resets.setdefault(name, []).append(now)
        self.spells[:] = [
            Spell(each.first, min(each.last, self.today), each.groups) for each in self.spells
            if each.last >= self.today - KEPT_DAYS
        ]

    def flags(self) -> Iterable[Flag]:
        """All flags so far."""
        return self.lives.flags()


def _group(rule: str) -> str:
    return next(GROUP_OF[part] for part, each in RULE_OF.items() if each == rule)


def _shows(rule: str, fact: Fact) -> bool:
    return True
