"""Judging the record at each entry and at 00, 06, 12 and 18 o'clock, in the order of becoming known."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.usual.channel import (
    ALL_CHANNELS,
    DRIFT,
    GROUP_OF,
    RULE_OF,
    Channel,
    Sum,
    reasons,
)
from carelog.analysis.usual.diary import KEPT_DAYS, NEVER, Diary
from carelog.analysis.usual.drift import Drift
from carelog.analysis.usual.explain import Case, closing, days_between, drift_why, headline, why
from carelog.analysis.usual.learning import FAR_FUTURE, Spell
from carelog.analysis.usual.lives import LONG_AGO, Episode, Lives, level_of, show
from carelog.analysis.usual.recently import is_complete, is_usual_again
from carelog.analysis.usual.standing import setting
from carelog.analysis.usual.sums import Course, Sums
from carelog.analysis.usual.threshold import Thresholds
from carelog.analysis.usual.usual import Usual
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant
from carelog.text import mark, say

LOWEST = 1.0  # no threshold is as low
SPELL_BEFORE = 2
SPELL_DAYS = 14
SPELL_APART = 42  # a change that stays is learnt in the end
DRIFT_STANDS = 28 * DAY_24_H
LEARNT_GROUPS = ("suction", "secretions", "inner_tube")
USUAL_AGAIN = mark("the last 48 h that were recorded lay in the usual range")
COMPARED_ANEW = mark("what is usual is being learnt anew since then")
Observer = Callable[[Instant, Sums, Usual], None]


class Noticing:
    """Everything that is known of one record, judged as a live program would have.

    Give it what became known, moment by moment; `fired` is when a rule on what was written was raised last.
    Its size doesn't grow with the record (but for the flags that have ended), so that it can be kept whole.
    """

    def __init__(self, thresholds: Thresholds, observe: Observer | None = None) -> None:
        self.diary = Diary()
        self.spells: list[Spell] = []
        self.course = Course(self.diary, self.spells)
        self.lives = Lives()
        self.thresholds = thresholds
        self.fired: Instant = LONG_AGO
        self.today = -NEVER
        self.head: Instant = LONG_AGO
        self.drift = Drift()
        self._observe = observe
        self.restarted: Instant = LONG_AGO

    def take(self, known: Instant, shifts: Iterable[Shift], ledger: Ledger) -> None:
        """Take what became known at one moment, after all that became known before."""
        self.pass_time(known)
        self.diary.take(shifts, ledger.home, ledger.plans)
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
            block = next((edge for edge in edges if edge > head), FAR_FUTURE)
        else:
            block = FAR_FUTURE
        for each in reversed(diary.restarts):
            if each.time <= head:
                break
            block = min(block, each.time)
        return block

    def _judge(self, now: Instant, by_entry: bool) -> None:
        diary, self.head = self.diary, now
        if by_entry and not diary.matters and now < diary.day(self.today).edges[-1]:
            return
        diary.matters = False
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
                self.drift.follow(self.course.lessons, today, now)
            usual = self.course.usual(today, now)
            self._clear(usual, now, by_entry)
            sums = self.course.now(today, now)
            if self._observe:
                self._observe(now, sums | {DRIFT.name: self.drift.sum}, usual)
            if by_entry or now in diary.day(today).edges:
                self._raise(sums, usual, now)
            for episode in self.lives.open.values():
                show(episode, diary.fresh, usual)
        diary.fresh = []

    def _follow_restarts(self, now: Instant, by_entry: bool) -> None:
        """End the flags of groups that no longer compare with what was before."""
        restarts = self.diary.restarts
        if not restarts or restarts[-1].time <= self.restarted:
            return
        for each in restarts:
            if self.restarted < each.time <= now:
                self.restarted = each.time
                for rule, episode in list(self.lives.open.items()):
                    if each.time >= episode.since and _group(rule) in each.groups:
                        self._end(rule, now, by_entry, say(COMPARED_ANEW))
                if "suction" in each.groups:
                    self.drift.restart()

    def _raise(self, sums: Sums, usual: Usual, now: Instant) -> None:
        allowed = setting(self.diary.plans, now)
        for channel in ALL_CHANNELS:
            found = self.drift.sum if channel is DRIFT else sums.get(channel.name)
            if found is None or found.value < LOWEST:
                continue
            if found.value < self.thresholds.of(channel.name, usual.rate, allowed):
                continue
            if channel.name != "fewer" or is_complete(self.diary, usual.rate, now):
                for rule in reasons(channel, found):
                    self._raise_rule(rule, channel, found, usual, now)

    def _raise_rule(self, rule: str, channel: Channel, found: Sum, usual: Usual, now: Instant) -> None:
        """Begin a flag, or let the one in force grow."""
        episode = self.lives.open.get(rule)
        level = level_of(channel.name)
        if episode is None and not self.lives.may_raise(rule, level, now, self.fired):
            return
        if episode is None or level > episode.level:
            words = self._why(rule, channel, found, usual, now)
        if episode is None:
            last = closing(setting(self.diary.plans, now))
            self._start(Episode(rule, level, now, found.since, headline(rule), words, last), channel, usual)
        elif level > episode.level:
            episode.level, episode.why = level, words
        self.lives.open[rule].channels.add(channel.name)

    def _start(self, episode: Episode, channel: Channel, usual: Usual) -> None:
        self.lives.start(episode)
        for day in days_between(self.diary, episode.since, episode.raised_at):
            show(episode, day.facts, usual)
        groups = _spell_groups(episode.rule)
        first = max((each.first for each in self.spells if each.groups == groups), default=-NEVER)
        if channel is not DRIFT and self.today - first > SPELL_APART:
            self.spells.append(Spell(self.today - SPELL_BEFORE, self.today + SPELL_DAYS, groups))

    def _why(self, rule: str, channel: Channel, found: Sum, usual: Usual, now: Instant) -> str:
        if channel is DRIFT and self.drift.recent and self.drift.reference:
            return drift_why(self.drift.recent, self.drift.reference)
        parts = tuple(name for name, _ in channel.parts)
        is_new = self.course.is_new_on(self.today)
        new = frozenset(name for name in self.diary.recorders if is_new(name))
        return why(Case(rule, parts, found.since, now, self.diary, usual, new))

    def _clear(self, usual: Usual, now: Instant, by_entry: bool) -> None:
        """End the flags whose last 48 h are as usual again; only at a time of day."""
        if not self.lives.open or now not in self.diary.day(self.today).edges:
            return
        for rule, episode in list(self.lives.open.items()):
            if DRIFT.name in episode.channels and now - episode.raised_at >= DRIFT_STANDS:
                self.drift.restart()
                episode.channels.discard(DRIFT.name)
                how = "" if episode.channels else COMPARED_ANEW
            else:
                reference = self.drift.reference if DRIFT.name in episode.channels else None
                is_again = is_usual_again(rule, self.diary, usual, reference, now)
                how = USUAL_AGAIN if is_again and now > episode.raised_at else ""
            if how:
                self._reset(rule, now)
                self._end(rule, now, by_entry, say(how))

    def _reset(self, rule: str, now: Instant) -> None:
        """Let the channels that speak for a rule begin anew: what raised it isn't evidence again."""
        for channel in ALL_CHANNELS:
            if rule in channel.rules:
                self.course.resets.setdefault(channel.name, []).append(now)

    def _end(self, rule: str, now: Instant, by_entry: bool, ended: str) -> None:
        """End a flag; the days from now on are learnt from."""
        self.lives.end(rule, now, by_entry, ended)
        groups = _spell_groups(rule)
        if any(_spell_groups(each) == groups for each in self.lives.open):
            return
        self.spells[:] = [
            replace(each, last=min(each.last, self.today)) if each.groups == groups else each
            for each in self.spells
            if each.last >= self.today - KEPT_DAYS
        ]

    def flags(self) -> list[Flag]:
        """All flags so far, in the order of their beginnings."""
        return self.lives.flags()


def _group(rule: str) -> str:
    return next(GROUP_OF[part] for part, each in RULE_OF.items() if each == rule)


def _spell_groups(rule: str) -> tuple[str, ...]:
    """The groups that don't learn while a rule's flag is in force."""
    return ("cuff",) if rule == "cuff_leak" else LEARNT_GROUPS
