"""Which entries a reading needs: as much of a long record as the flags, sheets and kit of a period say.

Kinds of which a household writes few are read whole. Of the frequent ones (`Kind.is_frequent`) it reads the
weeks before the period, and what each rule declares (`rules.rule.Rule`): what stands until another entry,
and what stands until somebody was told. Then the rules are set to work on it. Where a flag is in force at
the very beginning, or a rule leans on something older, that rule alone is read further back.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise

from carelog.analysis.due import matches
from carelog.analysis.flags.life import NEVER
from carelog.analysis.flags.replay import Lookout, Replay, steps
from carelog.analysis.flags.statistics import Whole
from carelog.analysis.home import zone_givers
from carelog.analysis.in_force import DOUBTFUL_AFTER, Held, Reading
from carelog.analysis.onward import Onward
from carelog.analysis.plans import in_place, plans
from carelog.analysis.recorded import recorded_days
from carelog.analysis.rules.rule import Said
from carelog.analysis.searches import Search, Searches
from carelog.analysis.usual.settling import LOOKS_BACK_DAYS, LOOKS_BACK_RECORDED, cut_of, reference_span
from carelog.analysis.usual.standing import restarts
from carelog.domain.entry import Details, Entry, details_text
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.paper import Band
from carelog.domain.plan import Plan, Task
from carelog.domain.record import FAR, Past
from carelog.kinds import ALL, named_or_unknown

A_MONTH = 30 * DAY_24_H
FURTHER = 60 * DAY_24_H
"""So much earlier everything begins where the flags by statistics lean on what lies before it."""
NEWEST = 8
"""Of what stands so many are asked for at first: the newest may have been changed since."""
FEW = tuple(kind.name for kind in ALL if not kind.is_frequent)


@dataclass(slots=True)
class Reach:
    """How far back one rule is read: right from `since` on; `chased`: the flags whose beginning is sought."""

    since: Instant
    step: Instant = DAY_24_H
    chased: set[str | None] = field(default_factory=set)
    is_sure: bool = False
    wanted: Instant = NEVER


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
        self._before = FAR if end is None else end + DOUBTFUL_AFTER
        self._begins = record.begins()
        self._replay, self._searches = Replay(override), Searches(record)
        self._onward: Onward | None = None
        self._begin(start)

    def _begin(self, wanted: Instant) -> None:
        """Read what is needed if all that matters lies after a moment."""
        self._wanted, self._onward = wanted, None
        self._found: dict[str, Entry] = {}
        self._read_all()
        self._reach = {name: Reach(self.since) for name in self._replay.lookouts}
        self._read_parts()

    @property
    def entries(self) -> list[Entry]:
        """What was read, in the order of (recorded_at, id)."""
        return sorted(self._found.values(), key=lambda entry: (entry.recorded_at, entry.id))

    def settled(self) -> "PastWindow":
        """With all that the rules on what was written turn out to need."""
        while not self._is_settled(Replay(self._override)):
            self._reach_back()
        return self

    def whole(self) -> Whole:
        """All flags at the end, with all that the rules turn out to need."""
        while True:
            whole = Whole(self._override, self._cut, self._beside)
            if not self._is_settled(whole):
                del whole
                self._reach_back()
                continue
            known_from = whole.noticing.known_from()
            if known_from is not None and known_from <= self._start:
                return whole
            self._begin(self._wanted - FURTHER)

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
        whole = Whole(self._override, self._cut, self._beside)
        whole.replay.begin_at({name: reach.since for name, reach in self._reach.items()})
        return Onward(whole, steps(self._found.values(), FAR, live_now), self.since, self._referred)

    def let_go(self) -> None:
        """Forget the entries, which the replay has taken in; how far each rule was read is still known."""
        self._found, self._onward = {}, None
        self._searches.let_go()

    # Reading ------------------------------------------------------------------------------------------

    def _take(self, entries: Iterable[Entry]) -> None:
        self._record.give_way()
        self._found.update((entry.id, entry) for entry in entries)

    def _read_all(self) -> None:
        """Few kinds whole, and all that was written in the weeks that are judged."""
        record = self._record
        self._take(record.of_kinds(FEW))
        for held in zone_givers(record):
            self._take(held.chain)
        last = record.last_written(self._wanted)
        newest = self._wanted if last is None else min(self._wanted, last.recorded_at)
        further = max(each.tracker.rule.recorded_days for each in self._replay.lookouts.values())
        self._from = newest - (LOOKS_BACK_DAYS + LOOKS_BACK_RECORDED + further + 2) * DAY_24_H
        self._read_span(self._from, self._before, FAR if self._end is None else self._end)
        if self._end is not None:
            self._take(record.ahead(self._before))
        while True:
            reading = Reading(self._found.values())
            days = sorted(recorded_days(reading.home, reading.held))
            inside = days[bisect_left(days, reading.home.day(max(self._from, self._begins))) + further :]
            self._cut = cut_of(inside, reading.home, newest)
            if self._cut is not None or self._from <= self._begins:
                break
            step = LOOKS_BACK_RECORDED * DAY_24_H
            self._read_span(self._from - step, self._from, self._from)
            self._from -= step
        # Where a clock ahead wrote everything, the record begins after the moment that is asked for.
        self.since = min(self._begins, self._start) - 1 if self._cut is None else self._cut
        self._beside = (0, 0) if self._cut is None else self._find_reference(reading, self._cut)

    def _read_span(self, start: Instant, end: Instant, written: Instant) -> None:
        """Read what happened from `start` to `end`, and what was recorded from then until `written`.

        A month at a time: so the rows of one are let go before the next.
        """
        for early, late in pairwise([start, *range(start + A_MONTH, min(end, self._start), A_MONTH), end]):
            self._take(self._record.period(early, late))
        self._take(self._record.written(start, written, before=start))

    def _find_reference(self, reading: Reading, cut: Instant) -> tuple[Instant, Instant]:
        """When it was that a slow drift is held against."""
        first = self._record.period(self._begins, self._begins + A_MONTH)
        days = sorted(recorded_days(reading.home, [*reading.held, *Reading(first).held]))
        known = plans(reading)
        known = known if self._override is None else in_place(known, *self._override)
        return reference_span(restarts(known, reading.held), days, reading.home, cut)

    def _referred(self) -> Iterator[Held]:
        """What the drift is held against and no rule reads, as it was where all that is judged begins."""
        start, end = self._beside
        for early in range(start, end, A_MONTH):
            month = self._record.period(early, min(early + A_MONTH, end))
            yield from Reading((each for each in month if each.id not in self._found), self.since).held

    def _read_parts(self) -> None:
        """Of the frequent kinds, from before what is read whole, what the rules declare."""
        last = self._record.last_written(self._from)
        if last is not None:
            self._take(self._record.written(last.recorded_at, last.recorded_at + 1))
        self._searches.foresee(self._foreseen())
        for said in self._until_told():
            self._said(said, -FAR, self._from)
        self._find_doings()
        for name in self._replay.lookouts:
            self._read_rule(name)
        self._read_beside()

    def _foreseen(self) -> Iterator[Search]:
        """What will be asked for of all that was ever said."""
        found = [(said, FAR, self._from) for said in self._until_told()]
        for name, lookout in self._replay.lookouts.items():
            found += [(said, NEWEST, self._before_rule(name)) for said in lookout.tracker.rule.stands]
        for said, count, before in found:
            if named_or_unknown(said.kind).is_frequent and self._begins < before:
                yield said, count, before

    def _until_told(self) -> set[Said]:
        return {said for each in self._replay.lookouts.values() for said in each.tracker.rule.until_told}

    def _said(self, said: Said, since: Instant, before: Instant) -> None:
        """Take the entries of a frequent kind from before a moment."""
        if named_or_unknown(said.kind).is_frequent and self._begins < before and since < before:
            self._take(self._searches.since(said, since, before))

    def _read_rule(self, name: str) -> None:
        """All that a rule reads as far back as it must look, and what stands from before that."""
        tracker = self._replay.lookouts[name].tracker
        start = self._looks_from(name)
        for said in tracker.sources():
            self._said(said, start, self._from)
        for said in tracker.rule.stands:
            if named_or_unknown(said.kind).is_frequent:
                self._find_newest(said, self._before_rule(name), said.says)

    def _looks_from(self, name: str) -> Instant:
        """From when on what a rule reads is here."""
        return self._reach[name].since - self._replay.lookouts[name].tracker.rule.looks_back

    def _before_rule(self, name: str) -> Instant:
        """Before when the newest of what stands is looked for."""
        return min(self._looks_from(name), self._from)

    def _find_newest(self, said: Said, before: Instant, is_it: Callable[[Details], bool]) -> None:
        """The newest entry before a moment that is what is looked for, and that nobody has changed since.

        Of each thing, where what is looked for says that there are several.
        """
        depth = NEWEST
        while self._begins < before:
            found = self._searches.newest(said, depth, before)
            self._take(found)
            counts = Counter(said.about(each.details) for each in found if said.says(each.details))
            here = {
                said.about(held.entry.details)
                for held in Reading(found).held
                if held.time < before and is_it(held.entry.details) and _was_so(held, before)
            }
            if all(count < depth or thing in here for thing, count in counts.items()):
                break
            depth *= 8

    def _find_doings(self) -> None:
        """The last doing of every task that a plan ever asked for."""
        for task in self._tasks():
            kind = named_or_unknown(task.kind)
            if kind.is_frequent:
                name, value = next(iter(task.where.items()), ("", None))
                said = Said(task.kind, name, (value,) if name else ())
                self._find_newest(said, self._from, partial(_does, task))

    def _tasks(self) -> list[Task]:
        written = [each for each in self._found.values() if each.kind == "plan" and not each.withdrawn]
        asked = [Plan.of(each.id, each.at.instant, each.details) for each in written]
        asked += [self._override[0]] if self._override else []
        return list({(t.kind, details_text(t.where)): t for plan in asked for t in plan.tasks}.values())

    def _read_beside(self) -> None:
        """What lies beside an entry of long ago that was written down late, as far as a rule looks."""
        late = [each for each in self._found.values() if each.at.instant < self._from <= each.recorded_at]
        for each in late:
            for lookout in self._replay.lookouts.values():
                sources, back = lookout.tracker.sources(), lookout.tracker.rule.looks_back
                if any(said.kind == each.kind and said.says(each.details) for said in sources):
                    for said in sources:
                        moment = each.at.instant
                        self._said(said, moment - back, min(moment + back, self._from))

    # Looking whether it is enough -----------------------------------------------------------------------

    def _is_settled(self, found: Whole | Replay) -> bool:
        """Go through what was read to the end; whether every rule had all that it needs."""
        replay = found.replay if isinstance(found, Whole) else found
        self._replay, begun = replay, False
        replay.begin_at({name: reach.since for name, reach in self._reach.items()})
        unsure = sorted((r.since, name) for name, r in self._reach.items() if not r.is_sure)
        stop = (FAR if self._end is None else self._end) if self._live_now is None else self._live_now + 1
        parts = [part for part in self._asked if part[1] <= stop]
        self._told, self.usual = {}, {}
        for known, group, doubtful in steps(self._found.values(), stop, self._live_now):
            # Not too early, though it comes first: between where all begins and the end of a part lies a step
            # (what was written last before the period), or nothing was known yet and nothing is to tell.
            while parts and parts[0][1] <= known:
                self._tell(found, parts.pop(0))
            while unsure and unsure[0][0] < known:
                since, name = unsure.pop(0)
                found.pass_time(since + 1)
                self._look_for_beginnings(replay.lookouts[name], self._reach[name], since)
            if not begun and known > self.since:
                found.pass_time(self.since + 1)
                begun = True
                for lookout in replay.lookouts.values():
                    lookout.leaned_on = lookout.tracker.leans_on(self.since)
                if self.lacks():
                    return False
                if isinstance(found, Whole):
                    found.refer(self._referred())
            found.take(known, group, doubtful)
            self._record.give_way()
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

    def _look_for_beginnings(self, lookout: Lookout, reach: Reach, now: Instant) -> None:
        """Whether the flags that are in force where a rule's reading begins had begun before."""
        if now == self.since:
            reach.chased = set(lookout.lives)
        elif lookout.tracker.leans_on(now, reach.chased) < now:
            reach.wanted = lookout.tracker.leans_on(now, reach.chased)
            return
        reach.chased &= set(lookout.lives)
        reach.is_sure = not reach.chased
        if reach.chased:
            shown = min(
                (each for subject in reach.chased for each in self._shown(lookout, subject)), default=now
            )
            is_first = now == self.since and shown < now
            reach.wanted = shown if is_first else min(now - reach.step, shown)
            reach.step *= 2

    def _shown(self, lookout: Lookout, subject: str | None) -> Iterator[Instant]:
        """When the entries that show a flag happened and became known."""
        episode = lookout.lives[subject].open
        for each in episode.entries if episode is not None else ():
            yield min(self._found[each].recorded_at, self._found[each].at.instant)

    def lacks(self) -> bool:
        """Whether a rule needs more than was read for it."""
        for name, lookout in self._replay.lookouts.items():
            reach = self._reach[name]
            if lookout.leaned_on < reach.since:
                reach.wanted = min(reach.wanted, lookout.leaned_on)
                if lookout.leaned_on == -NEVER:
                    reach.wanted = reach.since - reach.step
                    reach.step *= 2
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
            reach.is_sure = reach.is_sure or reach.since < self._begins
            self._read_rule(name)


def _does(task: Task, details: Details) -> bool:
    return matches(task.where, details) and named_or_unknown(task.kind).does(details)


def _was_so(held: Held, before: Instant) -> bool:
    """Whether nobody has changed an entry since a moment, and its time isn't in doubt."""
    return not held.doubtful and all(each.recorded_at < before for each in held.chain)
