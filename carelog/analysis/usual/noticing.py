"""Judging the record at each entry and at 00, 06, 12 and 18 o'clock, in the order of becoming known."""

from collections.abc import Callable, Iterable, Sequence
from typing import Protocol

from carelog.analysis.flags.ledger import Shift
from carelog.analysis.usual.channel import (
    CHANNEL_OF,
    DRIFT,
    GROUP_OF,
    RULE_OF,
    SUMMED,
    Channel,
    Sum,
    reasons,
)
from carelog.analysis.usual.diary import KEPT_DAYS, NEVER, Diary
from carelog.analysis.usual.drift import Drift
from carelog.analysis.usual.explain import Reason, closing, drift_why, headline, reason
from carelog.analysis.usual.learning import FAR_FUTURE
from carelog.analysis.usual.lives import LONG_AGO, Change, Lives, level_of, show
from carelog.analysis.usual.recently import is_complete, is_usual_again
from carelog.analysis.usual.settling import Begun, Settling
from carelog.analysis.usual.standing import setting
from carelog.analysis.usual.sums import Course, Sums
from carelog.analysis.usual.threshold import Thresholds
from carelog.analysis.usual.told import Case, days_between
from carelog.analysis.usual.usual import Usual
from carelog.domain.flag import Flag
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan
from carelog.text import mark, say

LOWEST = 1.0  # no threshold is as low
DRIFT_STANDS = 28  # days after its rise
USUAL_AGAIN = mark("the last 48 h that were recorded lay in the usual range")
COMPARED_ANEW = mark("what is usual is being learnt anew since then")
NOT_SHOWN = mark("nothing has shown it for 10 days")
Observer = Callable[[Instant, Sums, Usual], None]


class KnownThen(Protocol):
    """What stands beside the entries as known at a moment, such as a ledger."""

    @property
    def home(self) -> Home: ...

    @property
    def plans(self) -> Sequence[Plan]: ...


class Noticing:
    """Everything that is known of one record, judged as a live program would have.

    Give it what became known, moment by moment; `fired` is when a rule on what was written was raised last.
    Its size doesn't grow with the record (but for the flags that have ended), so that it can be kept whole.
    """

    def __init__(
        self, thresholds: Thresholds, observe: Observer | None = None, begun: Begun | None = None
    ) -> None:
        """`begun`: where the judging begins, after `refer` took what came before; None: at once."""
        self.diary = Diary()
        self.course = Course(self.diary)
        self.lives = Lives()
        self.thresholds = thresholds
        self.fired: Instant = LONG_AGO
        self.today = -NEVER
        self.head: Instant = LONG_AGO
        self.drift = Drift()
        self.settling = Settling(begun)
        self._observe = observe
        self._limits_for: tuple[Usual | None, float] = (None, 0.0)
        self._limits: dict[str, float] = {}
        self.restarted: Instant = LONG_AGO

    def refer(self, shifts: Iterable[Shift], beside: KnownThen) -> None:
        """Take what became known before the judging begins: unjudged."""
        self.diary.take(shifts, beside.home, beside.plans)

    def begin(self, shifts: Iterable[Shift], moment: Instant) -> None:
        """Begin to judge at a moment, with more of what had become known by then."""
        self.diary.take(shifts, self.diary.home, self.diary.plans)
        self.head = moment - 1
        self.today = self.diary.ordinal(self.head)

    def take(self, known: Instant, shifts: Iterable[Shift], beside: KnownThen) -> None:
        """Take what became known at one moment, after all that became known before."""
        self.pass_time(known)
        self.diary.take(shifts, beside.home, beside.plans)
        self._judge(known, by_entry=True)

    def pass_time(self, until: Instant) -> None:
        """Judge at every time of day before a moment."""
        if self.head == LONG_AGO:
            return
        while (stop := self._next_stop()) < until:
            self._judge(stop, by_entry=False)

    @property
    def next_change(self) -> Instant:
        """The first moment at which time alone may do something."""
        return FAR_FUTURE if self.head == LONG_AGO else self._next_stop()

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
            self.course.forget_from(diary.dirty, diary.flipped)
            if diary.dirty < today - 1:
                self.drift.forget()
            diary.dirty = diary.flipped = NEVER
        if is_new_day:
            diary.prune(today)
            self.course.prune(today)
        self._follow_restarts(now, by_entry)
        if self.course.is_judged(today):
            if is_new_day:
                self._follow_drift(now)
            if self.settling.is_exact(diary, today, now):
                self._compare(now, by_entry)
        diary.fresh = []

    def _compare(self, now: Instant, by_entry: bool) -> None:
        """End, raise and fill flags by what is usual today."""
        usual = self.course.usual(self.today, now)
        self._clear(usual, now, by_entry)
        sums, free = self.course.now(self.today, now)
        if self._observe:
            self._observe(now, {**sums, DRIFT.name: self.drift.sum}, usual)
        above = self._above(free, usual, now)
        self.settling.look(above, now)
        if by_entry or now in self.diary.day(self.today).edges:
            self._raise(above if sums is free else self._above(sums, usual, now), sums, usual, now)
        for episode in self.lives.open.values():
            show(episode, self.diary.fresh, usual)

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
                        self.lives.end(rule, now, by_entry, say(COMPARED_ANEW))

    def _follow_drift(self, now: Instant) -> None:
        drift = self.drift
        drift.follow(self.course.lessons, self.today, now)
        if drift.reference is not None:
            allowed = setting(self.diary.plans, now)
            drift.look(self.thresholds.of(DRIFT.name, drift.reference, allowed), self.today)
        if drift.rise == self.today:
            self.settling.risen(now)

    def _above(self, sums: Sums, usual: Usual, now: Instant) -> list[Channel]:
        """The channels whose sums stand above their thresholds."""
        high = [(CHANNEL_OF[name], each.value) for name, each in sums.items() if each.value >= LOWEST]
        return [each for each, value in high if value >= self._limit(each, usual, now)]

    def _limit(self, channel: Channel, usual: Usual, now: Instant) -> float:
        """A channel's threshold: worked out once for as long as what is usual and the plan stay the same."""
        allowed = setting(self.diary.plans, now)
        if self._limits_for[0] is not usual or self._limits_for[1] != allowed:
            self._limits_for, self._limits = (usual, allowed), {}
        found = self._limits.get(channel.name)
        if found is None:
            found = self.thresholds.of(channel.name, usual.rate, allowed, usual.readings)
            self._limits[channel.name] = found
        return found

    def _raise(self, above: Iterable[Channel], sums: Sums, usual: Usual, now: Instant) -> None:
        if self.drift.is_rising(self.today):
            self._raise_rule(RULE_OF[DRIFT.name], DRIFT, self.drift.sum, usual, now)
        for channel in above:
            if channel.name != "fewer" or is_complete(self.diary, usual.rate, now):
                for rule in reasons(channel, sums[channel.name]):
                    self._raise_rule(rule, channel, sums[channel.name], usual, now)

    def _raise_rule(self, rule: str, channel: Channel, found: Sum, usual: Usual, now: Instant) -> None:
        """Begin a flag, or let the one in force grow."""
        episode = self.lives.open.get(rule)
        level = level_of(channel.name)
        if not self.settling.is_settled(rule):
            return
        if episode is None and not self.lives.may_raise(rule, level, now, self.fired):
            return
        if episode is None or level > episode.level:
            found_reason = self._reason(rule, channel, found, usual, now)
        if episode is None:
            last = closing(setting(self.diary.plans, now))
            self._start(Change(rule, level, now, found.since, found_reason, last), usual)
        elif level > episode.level:
            episode.level, episode.reason = level, found_reason
        self.lives.open[rule].channels.add(channel.name)

    def _start(self, episode: Change, usual: Usual) -> None:
        self.lives.start(episode)
        for day in days_between(self.diary, episode.since, episode.raised_at):
            show(episode, day.facts, usual)

    def _reason(self, rule: str, channel: Channel, found: Sum, usual: Usual, now: Instant) -> Reason:
        if channel is DRIFT and self.drift.recent and self.drift.reference:
            until = self.diary.home.day(now)
            return Reason(headline(rule), drift_why(self.drift.recent, self.drift.reference, until), None)
        is_new = self.course.is_new_on(self.today)
        days = days_between(self.diary, found.since, now)
        new = {name for day in days for name in day.raters() if is_new(name)}
        case = Case(found.since, now, self.diary, usual)
        return reason(case, rule, [name for name, _ in channel.parts], new)

    def _clear(self, usual: Usual, now: Instant, by_entry: bool) -> None:
        """End the flags whose last 48 h are as usual again, or that nothing shows; only at a time of day."""
        if not self.lives.open or now not in self.diary.day(self.today).edges:
            return
        for rule, episode in list(self.lives.open.items()):
            how = ""
            reference = self.drift.reference if DRIFT.name in episode.channels else None
            if is_usual_again(rule, self.diary, usual, reference, now) and now > episode.raised_at:
                how = USUAL_AGAIN
            else:
                how = self._outlived(rule, episode, now)
            if how:
                if episode.channels - {DRIFT.name}:
                    self._reset(rule, now)
                self.lives.end(rule, now, by_entry, say(how))

    def _outlived(self, rule: str, episode: Change, now: Instant) -> str:
        """How a flag ends that no channel shows any more, or empty while one does."""
        if self.settling.is_past(rule, now):
            episode.channels &= {DRIFT.name}
        if self.today - self.drift.rise >= DRIFT_STANDS:
            if episode.channels == {DRIFT.name}:
                return COMPARED_ANEW
            episode.channels.discard(DRIFT.name)
        return "" if episode.channels else NOT_SHOWN

    def _reset(self, rule: str, now: Instant) -> None:
        """Let the channels that speak for a rule begin anew: what raised it isn't evidence again."""
        for channel in SUMMED:
            if rule in channel.rules:
                self.course.reset(channel.name, now)

    def flags(self) -> list[Flag]:
        """All flags so far, in the order of their beginnings."""
        return self.lives.flags()

    def usual_of(self, now: Instant) -> Usual | None:
        """The usual of the newest day, that of a moment; None before the 14th recorded day."""
        diary, course = self.diary, self.course
        if diary.dirty < NEVER:  # what came since the last judging
            course.forget_from(diary.dirty, diary.flipped)
        today = diary.ordinal(now)
        return course.usual(today, now) if course.is_judged(today) else None

    def known_from(self) -> Instant | None:
        """From when on the flags are those that a replay of everything would show; None: more is needed.

        What `settling.reference_span` names must have been given to `refer`.
        """
        return self.settling.known_from()


def _group(rule: str) -> str:
    return next(GROUP_OF[part] for part, each in RULE_OF.items() if each == rule)
