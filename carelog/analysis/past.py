"""Which entries a reading needs: as much of a long record as the flags, sheets and kit of a period say.

Kinds of which a household writes few are read whole. Of the frequent ones (`Kind.is_frequent`) the months
before the period are, for the person's usual, which takes them as they stood where it begins to judge. The
rules follow, moment by moment, what happened in the last two of these months, and what each of them declares
(`rules.rule.Rule`): what stands until another entry, and what stands until somebody was told. They look from
two weeks before the period on. Where a flag that is in force a week later stood at the first look, or a rule
leans on something older, that rule alone is read further back.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from carelog.analysis.due import matches
from carelog.analysis.excerpt import A_MONTH, NEWEST, Excerpt
from carelog.analysis.flags.life import NEVER, Episode
from carelog.analysis.flags.replay import Replay, steps
from carelog.analysis.flags.statistics import Bounds, Whole
from carelog.analysis.home import zone_givers
from carelog.analysis.in_force import DOUBTFUL_AFTER, Held, Reading
from carelog.analysis.onward import Onward, Step
from carelog.analysis.plans import in_place, plans
from carelog.analysis.recorded import recorded_days
from carelog.analysis.rules.rule import Said
from carelog.analysis.searches import Search
from carelog.analysis.usual.settling import (
    FORGOTTEN_DAYS,
    LOOKS_BACK_DAYS,
    LOOKS_BACK_RECORDED,
    Begun,
    cut_of,
    judged_from,
    reference_span,
)
from carelog.analysis.usual.standing import restarts
from carelog.domain.entry import Details, Entry, details_text
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.paper import Band
from carelog.domain.plan import Plan, Task
from carelog.domain.record import FAR, Past
from carelog.domain.turn import give_way
from carelog.kinds import ALL, named_or_unknown

FURTHER = 60 * DAY_24_H
"""So much earlier everything begins where the flags by statistics lean on what lies before it."""
LOOKS_FIRST = 7 * DAY_24_H
"""So long before its flags must be right a rule begins to look: most in force then have begun meanwhile."""
FEW = tuple(kind.name for kind in ALL if not kind.is_frequent)


@dataclass(slots=True)
class Reach:
    """From when on one rule looks; `wanted`: since when it should; `step`: how much further it goes next."""

    since: Instant
    wanted: Instant = NEVER
    step: Instant = 2 * LOOKS_FIRST


class PastWindow:
    """The entries that a period is read from, and how far back each rule was read for it."""

    def __init__(
        self,
        record: Past,
        start: Instant,
        end: Instant | None = None,
        override: tuple[Plan, Instant] | None = None,
        live_now: Instant | None = None,
        parts: Iterable[tuple[Instant, Instant]] = (),
    ) -> None:
        """The period from `start` to `end` (None: now, and what a clock ahead wrote).

        `parts`: what `between` will be asked for, found on the way through; another costs a way of its own.
        """
        self._asked = sorted(set(parts), key=lambda part: (part[1], part[0]))
        self._told: dict[tuple[Instant, Instant], list[Flag]] = {}
        self.usual: dict[Instant, Band | None] = {}
        """How many suctions were usual at the end of each part, by what was known then."""
        self._record, self._override, self._live_now = record, override, live_now
        self._start, self._end = start, end
        self._begins = record.begins()
        self._replay = Replay(override)
        self._excerpt = Excerpt(record, self._begins)
        self._onward: Onward | None = None
        self._begin(start)

    def _begin(self, wanted: Instant) -> None:
        """Read what is needed if all that matters lies after a moment."""
        self._wanted, self._onward = wanted, None
        self._held: Sequence[Held] = ()
        self._excerpt.let_go()
        self._read_all()
        self._reach = {name: Reach(self._looks) for name in self._replay.lookouts}
        self._read_parts()

    @property
    def entries(self) -> list[Entry]:
        """What was read, in the order of (recorded_at, id)."""
        return self._excerpt.entries

    def settled(self) -> "PastWindow":
        """With all that the rules on what was written turn out to need."""
        while not self._is_settled(Replay(self._override)):
            self._reach_back()
        return self

    def whole(self) -> Whole:
        """All flags at the end, with all that the rules turn out to need."""
        while True:
            whole = self._new_whole()
            if not self._is_settled(whole):
                del whole
                self._reach_back()
                continue
            known_from = whole.noticing.known_from()
            if known_from is not None and known_from <= self._start:
                return whole
            is_all = self._begun is None or self._begun.read is None
            # Where all there was is here, too little of it to learn from, judging may as well begin with it.
            self._begin(self._begins if is_all else self._wanted - FURTHER)

    def flags(self) -> list[Flag]:
        """The flags of the period, as `flags.period` finds them in the whole record."""
        return self.whole().flags(self._start)

    def between(self, start: Instant, end: Instant, live_now: Instant | None = None) -> list[Flag]:
        """The flags of a part of the period, read as at its end; after `whole` or `flags`.

        Asked for one part after another, each is read on from the one before it.
        """
        part = (start, end if live_now is None else live_now + 1)
        if part in self._told and live_now == self._live_now:
            return self._told[part]
        if live_now is not None:
            return self._gone_through(live_now).until(live_now + 1).flags(start)
        if self._onward is None or self._onward.stop > end:
            self._onward = self._gone_through()
        return self._onward.until(end).flags(start)

    def _gone_through(self, live_now: Instant | None = None) -> Onward:
        """All rules and statistics, before anything that was read."""
        whole = self._new_whole()
        whole.replay.begin_at({name: reach.since for name, reach in self._reach.items()}, self._early)
        return Onward(whole, self._steps(FAR, live_now))

    def _new_whole(self) -> Whole:
        return Whole(self._override, Bounds(self.since, self._begun, self._beside, self._aside))

    def _steps(self, stop: Instant, live_now: Instant | None) -> Iterator[Step]:
        """What the rules follow, as it became known before a moment."""
        return steps(self._excerpt.followed(self._early), stop, live_now)

    def let_go(self) -> None:
        """Forget the entries, which the replay has taken in; how far each rule was read is still known."""
        self._excerpt.let_go()
        self._onward, self._held = None, ()

    # Reading ------------------------------------------------------------------------------------------

    def _read_all(self) -> None:
        """Few kinds whole, and all that was written in the months that are judged or learnt from."""
        record, excerpt, end = self._record, self._excerpt, self._end
        excerpt.take(record.of_kinds(FEW))
        for held in zone_givers(record):
            excerpt.take(held.chain)
        last = record.last_written(self._wanted)
        newest = self._wanted if last is None else min(self._wanted, last.recorded_at)
        start = newest - (LOOKS_BACK_DAYS + LOOKS_BACK_RECORDED + 2) * DAY_24_H
        before = FAR if end is None else end + DOUBTFUL_AFTER
        excerpt.pass_by(start, before, FAR if end is None else end, self._start)
        if end is not None:
            excerpt.take(record.ahead(before))
        step = LOOKS_BACK_RECORDED * DAY_24_H
        while not self._find_moments(newest, start):
            excerpt.pass_by(start - step, start, start, self._start)
            start, step = start - step, 2 * step

    def _find_moments(self, newest: Instant, start: Instant) -> bool:
        """Find where judging and looking begin, by what was read from `start` on; whether that is enough."""
        reading = Reading(self._excerpt.found.values())
        home, is_all = reading.home, start <= self._begins
        self._held = reading.held
        recorded = recorded_days(home, reading.held)
        days = sorted(recorded)
        days = days[bisect_right(days, home.day(start)) :]
        give_way()
        judged, cut = judged_from(home, newest), cut_of(days, home, newest)
        if judged <= self._begins or newest <= self._begins:  # the calendar has no month before its first day
            # Where a clock ahead wrote everything, the record begins after the moment that is asked for.
            self._begun, self._beside = None, (0, 0)
            self.since = self._looks = self._early = min(self._begins, self._start) - 1
            return is_all
        self._begun = Begun(judged, cut)
        self._beside = (0, 0) if cut is None else self._find_reference(reading, recorded, cut)
        self.since = judged + FORGOTTEN_DAYS * DAY_24_H
        self._looks = max(self.since - LOOKS_FIRST, self._begins - 1)
        early = self._find_early(days, home)
        self._early = self._begins if early is None else min(early, judged)
        return is_all or (cut is not None and early is not None)

    def _find_early(self, days: Sequence[date], home: Home) -> Instant | None:
        """From when on all is followed: as many recorded days as a rule asks for before the oldest told of.

        What was written down late counts, too, as far back as everything is read.
        """
        found, told = self._excerpt.found, self._looks
        for each in found.values():
            if each.recorded_at >= self._looks and named_or_unknown(each.kind).is_frequent:
                target = found.get(each.amends or "", each)
                told = min(told, each.at.instant, target.at.instant)
        oldest = self._begins if self._begun is None or self._begun.read is None else self._begun.read
        asked = max(each.tracker.rule.recorded_days for each in self._replay.lookouts.values())
        place = bisect_left(days, home.day(max(told, oldest))) - max(asked, 1)
        return home.start_of(days[place]) if place >= 0 else None

    def _find_reference(self, reading: Reading, recorded: set[date], cut: Instant) -> tuple[Instant, Instant]:
        """When it was that a slow drift is held against."""
        first = self._record.period(self._begins, self._begins + A_MONTH)
        days = sorted(recorded | recorded_days(reading.home, Reading(first).held))
        known = plans(reading)
        known = known if self._override is None else in_place(known, *self._override)
        return reference_span(restarts(known, reading.held), days, reading.home, cut)

    def _aside(self) -> Iterator[Held]:
        """What had become known before the statistics begin to judge, and no rule follows."""
        followed = {entry.id for entry in self._excerpt.followed(self._early)}
        found = self._excerpt.found
        # Whatever was read since then is followed, and so is the whole of a chain of which a part is.
        yield from (held for held in self._held if held.entry.id not in followed)
        start, end = self._beside
        for early in range(start, end, A_MONTH):
            month = self._record.period(early, min(early + A_MONTH, end))
            known_by = None if self._begun is None else self._begun.read
            yield from Reading((each for each in month if each.id not in found), known_by).held

    def _read_parts(self) -> None:
        """Of the frequent kinds, from before all is followed, what the rules declare."""
        last = self._record.last_written(self._early)
        if last is not None:
            self._excerpt.take(self._record.written(last.recorded_at, last.recorded_at + 1))
        self._excerpt.foresee(self._foreseen())
        for said in self._until_told():
            self._excerpt.said(said, -FAR, self._early)
        self._find_doings()
        for name in self._replay.lookouts:
            self._read_rule(name)
        self._read_beside()

    def _foreseen(self) -> Iterator[Search]:
        """What will be asked for of all that was ever said."""
        yield from ((said, FAR, self._early) for said in self._until_told())
        for name, lookout in self._replay.lookouts.items():
            yield from ((said, NEWEST, self._before_rule(name)) for said in lookout.tracker.rule.stands)

    def _until_told(self) -> set[Said]:
        return {said for each in self._replay.lookouts.values() for said in each.tracker.rule.until_told}

    def _read_rule(self, name: str) -> None:
        """All that a rule reads as far back as it must look, and what stands from before that."""
        tracker = self._replay.lookouts[name].tracker
        for said in tracker.sources():
            self._excerpt.said(said, self._looks_from(name), self._early)
        for said in tracker.rule.stands:
            self._excerpt.newest(said, self._before_rule(name), said.says)

    def _looks_from(self, name: str) -> Instant:
        """From when on what a rule reads is here."""
        return self._reach[name].since - self._replay.lookouts[name].tracker.rule.looks_back

    def _before_rule(self, name: str) -> Instant:
        """Before when the newest of what stands is looked for."""
        return min(self._looks_from(name), self._early)

    def _find_doings(self) -> None:
        """The last doing of every task that a plan ever asked for."""
        for task in self._tasks():
            name, value = next(iter(task.where.items()), ("", None))
            said = Said(task.kind, name, (value,) if name else ())
            self._excerpt.newest(said, self._early, partial(_does, task))

    def _tasks(self) -> list[Task]:
        found = self._excerpt.found.values()
        written = [each for each in found if each.kind == "plan" and not each.withdrawn]
        asked = [Plan.of(each.id, each.at.instant, each.details) for each in written]
        asked += [self._override[0]] if self._override else []
        return list({(t.kind, details_text(t.where)): t for plan in asked for t in plan.tasks}.values())

    def _read_beside(self) -> None:
        """What lies beside an entry of long ago that was written down late, as far as a rule looks."""
        early, found = self._early, list(self._excerpt.found.values())
        for each in (entry for entry in found if entry.at.instant < early <= entry.recorded_at):
            for lookout in self._replay.lookouts.values():
                sources, back = lookout.tracker.sources(), lookout.tracker.rule.looks_back
                if any(said.kind == each.kind and said.says(each.details) for said in sources):
                    for said in sources:
                        moment = each.at.instant
                        self._excerpt.said(said, moment - back, min(moment + back, early))

    # Looking whether it is enough -----------------------------------------------------------------------

    def _is_settled(self, found: Whole | Replay) -> bool:
        """Go through what is followed to the end; whether every rule had all that it needs."""
        replay = found.replay if isinstance(found, Whole) else found
        self._replay, is_sure = replay, False
        replay.begin_at({name: reach.since for name, reach in self._reach.items()}, self._early)
        stop = (FAR if self._end is None else self._end) if self._live_now is None else self._live_now + 1
        parts = [part for part in self._asked if part[1] <= stop]
        self._told, self.usual = {}, {}
        for known, group, doubtful in self._steps(stop, self._live_now):
            # Not too early, though it comes first: between where all begins and the end of a part lies a step
            # (what was written last before the period), or nothing was known yet and nothing is to tell.
            while parts and parts[0][1] <= known:
                self._tell(found, parts.pop(0))
            if not is_sure and known > self.since:
                found.pass_time(self.since + 1)
                is_sure = self._has_found_beginnings()
                if not is_sure:
                    return False
            found.take(known, group, doubtful)
            give_way()
        for part in parts:
            self._tell(found, part)
        if stop < FAR:
            found.pass_time(stop)
        return not self.lacks()

    def _tell(self, found: Whole | Replay, part: tuple[Instant, Instant]) -> None:
        """Keep the flags of a part of the period, and what is usual, as they are at its end."""
        found.pass_time(part[1])
        if isinstance(found, Whole):
            self._told[part] = found.flags(part[0])
            usual = found.noticing.usual_of(part[1] - 1)
            self.usual[part[1]] = usual.rate.band() if usual is not None else None

    def _has_found_beginnings(self) -> bool:
        """Whether the flags in force where all must be right are known to have begun after the first look."""
        for name, lookout in self._replay.lookouts.items():
            reach = self._reach[name]
            if not lookout.lives:  # what the flags that have ended leaned on no longer matters
                lookout.leaned_on = lookout.tracker.leans_on(self.since)
            shown = [
                min(self._shown(life.open))
                for life in lookout.lives.values()
                if life.open and life.open.raised_at <= reach.since
            ]
            if shown:
                reach.wanted = min(reach.since - reach.step, *shown)
                reach.step *= 2
        return not self.lacks()

    def _shown(self, episode: Episode) -> Iterator[Instant]:
        """Just before when the entries that show a flag happened and became known."""
        yield NEVER
        for each in episode.entries:
            entry = self._excerpt.found[each]
            yield min(entry.recorded_at, entry.at.instant) - 1

    def lacks(self) -> bool:
        """Whether a rule needs more than was read for it."""
        for name, lookout in self._replay.lookouts.items():
            reach = self._reach[name]
            if lookout.leaned_on == -NEVER:
                reach.wanted = min(reach.wanted, reach.since - reach.step)
                reach.step *= 2
            elif lookout.leaned_on < reach.since:
                reach.wanted = min(reach.wanted, lookout.leaned_on)
        return any(
            reach.wanted < reach.since and self._begins < reach.since for reach in self._reach.values()
        )

    def _reach_back(self) -> None:
        """Read the rules that need more further back, and those that they look at with them."""
        wanting = {name for name, reach in self._reach.items() if reach.wanted < reach.since}
        for name in list(wanting):
            for other in self._replay.lookouts[name].tracker.rule.leans_on:
                beside = self._reach[other]
                beside.wanted = min(beside.wanted, beside.since, self._reach[name].wanted)
                wanting.add(other)
        for name in wanting:
            reach = self._reach[name]
            reach.since, reach.wanted = max(reach.wanted, self._begins - 1), NEVER
            self._read_rule(name)


def _does(task: Task, details: Details) -> bool:
    return matches(task.where, details) and named_or_unknown(task.kind).does(details)
