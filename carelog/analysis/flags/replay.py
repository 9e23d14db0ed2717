"""All rules over a record, in the order in which it became known: what a live program would have shown."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause, Episode, Life
from carelog.analysis.flags.naming import named, unnamed
from carelog.analysis.in_force import Held, known_from, order_of
from carelog.analysis.rules.sign import Sign, Told
from carelog.analysis.rules.stoma import StomaTracker
from carelog.analysis.rules.table import ROWS
from carelog.analysis.rules.time import SILENT_FOR
from carelog.analysis.rules.tracker import Tracker
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.plan import Plan
from carelog.text import mark, say

Group = tuple[Instant, Sequence[Entry]]
LifeKey = tuple[str, str | None]
SEEN_AFTER = 7 * DAY_24_H
_TOLD = mark("told {who} {time}")


def groups(entries: Iterable[Entry]) -> Iterator[Group]:
    """The entries in groups that became known at the same moment, in the order of those moments."""
    by_id = {entry.id: entry for entry in entries}
    known = known_from(by_id)
    order = sorted(by_id.values(), key=lambda entry: (known[entry.id], entry.recorded_at, entry.id))
    del by_id
    for moment, group in groupby(order, key=lambda entry: known[entry.id]):
        yield moment, list(group)


def steps(
    entries: Iterable[Entry], stop: Instant, live_now: Instant | None = None
) -> Iterator[tuple[Instant, Sequence[Entry], frozenset[str]]]:
    """What becomes known before a moment, group by group, with the ids whose own time is of no use.

    With `live_now` what claims to be recorded later counts as recorded then, of doubtful time.
    """
    ahead: list[Entry] = []
    for known, group in groups(entries):
        if known < (stop if live_now is None else live_now):
            yield known, group, frozenset()
        elif live_now is not None:
            ahead.extend(group)
    if live_now is not None and ahead:
        yield live_now, ahead, frozenset(each.id for each in ahead if each.recorded_at > live_now)


class Lookout:
    """One rule's tracker and its flags in force, by subject."""

    def __init__(self, place: int, tracker: Tracker, keep: Callable[[Episode], None]) -> None:
        """`place`: of the rule in the table, in whose order rules look."""
        self.place = place
        self.tracker = tracker
        self.lives: dict[str | None, Life] = {}
        self.next: Instant = NEVER
        self.since: Instant = -NEVER
        self.leaned_on: Instant = NEVER
        self.keep = keep

    def look(self, now: Instant, cause: Cause, tolds: Mapping[LifeKey, Sequence[Told]]) -> None:
        """Let every flag of the rule live on, end or begin at this moment."""
        tracker = self.tracker
        signs: dict[str | None, list[Sign]] = {subject: [] for subject in self.lives}
        for sign in tracker.signs(now, cause):
            signs.setdefault(sign.subject, []).append(sign)
        for subject, shown in signs.items():
            life = self.lives.get(subject) or Life(tracker.rule, subject, self.keep, tracker.ledger.time_of)
            told = tolds.get((tracker.rule.name, subject), ())
            life.update(now, shown, told, cause, tracker.ending)
            self.lives[subject] = life
        self.lives = {subject: life for subject, life in self.lives.items() if life.open is not None}
        members = {subject: life.open.members for subject, life in self.lives.items() if life.open}
        tracker.settle(members, now)
        self.leaned_on = min(self.leaned_on, tracker.leans_on(now))
        self._wait(now)

    def _wait(self, now: Instant) -> None:
        """Work out when time alone may do something next."""
        moments = (self.tracker.wake(now), *(life.expires for life in self.lives.values()))
        # At the end of the calendar there is no next day: what doesn't lie ahead never comes.
        self.next = min((moment for moment in moments if moment > now), default=NEVER)


class Replay:
    """The flags of one record at a moment that only goes on."""

    def __init__(self, override: tuple[Plan, Instant] | None = None) -> None:
        """`override`: a plan in place of those in force from a moment on."""
        self.ledger = Ledger(override)
        self.ended: list[Episode] = []
        self.now: Instant = -NEVER
        self.last_raised: Instant = -NEVER
        self.tolds: dict[LifeKey, list[Told]] = {}
        self._last: dict[LifeKey, Episode] = {}
        self._next: Instant = NEVER
        self._start()

    def _start(self) -> None:
        """Set every rule to work, with nothing taken in yet."""
        self.lookouts = {
            rule.name: Lookout(place, start(rule, self.ledger), self._end)
            for place, (rule, start) in enumerate(ROWS)
        }
        self._by_kind: dict[str, list[Lookout]] = {}
        stoma = self.lookouts["stoma_worse"].tracker
        assert isinstance(stoma, StomaTracker)
        stoma.fever = lambda: self.in_force("temperature", None)
        for name, lookout in self.lookouts.items():
            lookout.tracker.tolds = partial(self._tolds_of, name)

    def begin_at(self, moments: Mapping[str, Instant], followed: Instant) -> None:
        """Let rules look from a moment on only: what they need from before it is here, not all there was.

        `followed`: from when on all that was written is here.
        """
        self.ledger.followed = followed
        for name, moment in moments.items():
            lookout = self.lookouts[name]
            lookout.since = lookout.next = moment
        self._next = min(lookout.next for lookout in self.lookouts.values())

    def _tolds_of(self, rule: str) -> Sequence[Told]:
        """Who was told of a rule that has no subjects."""
        return self.tolds.get((rule, None), ())

    def _end(self, episode: Episode) -> None:
        self.ended.append(episode)
        self._last[episode.rule, episode.subject] = episode

    def in_force(self, rule: str, subject: str | None) -> Episode | None:
        """The flag in force of a rule about a subject."""
        life = self.lookouts[rule].lives.get(subject) if rule in self.lookouts else None
        return life.open if life is not None else None

    def flags(self, now: Instant, since: Instant = -NEVER, with_rules: Collection[str] = ()) -> list[Flag]:
        """All flags in the words of a moment: how things stand then, and each time with its day.

        `since`: without those that had ended by then, but for those of some rules.
        """
        home = self.ledger.home
        wanted = (
            each for each in self.ended if (each.cleared_at or NEVER) > since or each.rule in with_rules
        )
        found = [episode.flag(home, now) for episode in wanted]
        for lookout in self.lookouts.values():
            for subject, life in lookout.lives.items():
                if life.open is not None:
                    words = lookout.tracker.words(subject, now)
                    found.append(life.open.flag(home, now, words))
        return found

    def take(self, known: Instant, group: Sequence[Entry], doubtful: Collection[str] = ()) -> list[Shift]:
        """Take in what became known at a moment, after what time alone brought before it; what it moved.

        `doubtful`: the ids of those whose time is of no use, since they came from a clock ahead.
        """
        self.pass_time(known)
        self.now, ledger = known, self.ledger
        is_first = ledger.last_known is None
        found = ledger.take(group, known, doubtful)
        shifts = [shift for shift in found if shift.before is not shift.after]
        touched = self._hand_out(shifts, known)
        for shift in found:
            if shift.before is shift.after:  # two sides of a conflict, of which another counts beside now
                touched.update(each for each in self._beside(shift.kind) if each.tracker.take(shift, known))
        nothing = self.lookouts["nothing_recorded"]
        if is_first or nothing.lives:
            touched.add(nothing)
        silent_at = max(known + SILENT_FOR, nothing.since)
        if nothing.next != silent_at:
            was_first, nothing.next = nothing.next <= self._next, silent_at
            self._wait([nothing], was_first)
        self._look(touched, known, _cause(group, shifts))
        for shift in shifts:
            if shift.kind == "seen":
                self._list_seen(shift)
        return shifts

    def _hand_out(self, shifts: Sequence[Shift], known: Instant) -> set[Lookout]:
        """Give every tracker what it reads; those whose signs may differ now."""
        touched: set[Lookout] = set()
        if self.ledger.moves_home(shifts):
            touched |= self._begin_anew(known)
        else:
            for shift in shifts:
                touched.update(d for d in self._reading(shift.kind) if d.tracker.take(shift, known))
        for shift in shifts:
            if shift.kind == "seen":
                touched |= self._take_seen(shift)
        if self.ledger.days_moved:
            touched |= {each for each in self.lookouts.values() if each.tracker.days_changed(known)}
            self.ledger.days_moved = False
        if self._next <= known:
            touched.update(lookout for lookout in self.lookouts.values() if lookout.next <= known)
        return touched

    def _reading(self, kind: str) -> list[Lookout]:
        if kind not in self._by_kind:
            lookouts = self.lookouts.values()
            self._by_kind[kind] = [d for d in lookouts if not d.tracker.kinds or kind in d.tracker.kinds]
        return self._by_kind[kind]

    def _beside(self, kind: str) -> Iterator[Lookout]:
        """The rules that a losing side of a conflict raises too."""
        return (each for each in self._reading(kind) if each.tracker.rule.by_rivals)

    def _begin_anew(self, known: Instant) -> set[Lookout]:
        """In another home zone all days and local times are others: every rule reads all again."""
        before = self.lookouts
        self._start()
        for name, lookout in self.lookouts.items():
            lookout.lives, lookout.since = before[name].lives, before[name].since
            lookout.next, lookout.leaned_on = before[name].next, before[name].leaned_on
        self._read_again(known)
        for name, lookout in self.lookouts.items():
            lookout.tracker.inherit(before[name].tracker)
            lookout.tracker.look_again()
        return set(self.lookouts.values())

    def _read_again(self, now: Instant) -> None:
        """Give every tracker all that is in force, in order, and keep all tellings."""
        for held in sorted(self.ledger.held.values(), key=order_of):
            shift = Shift(held.first.id, held.entry.kind, None, held)
            for lookout in self._reading(shift.kind):
                lookout.tracker.take(shift, now)
            if shift.kind == "seen":
                self._take_seen(shift)
        for shift in self.ledger.struck_rivals():
            for lookout in self._beside(shift.kind):
                lookout.tracker.take(shift, now)

    def _look(self, touched: Collection[Lookout], now: Instant, cause: Cause) -> None:
        looking = sorted((each for each in touched if each.since <= now), key=lambda each: each.place)
        was_first = any(each.next <= self._next for each in looking)
        for lookout in looking:
            lookout.look(now, cause, self.tolds)
            if any(life.open and life.open.raised_at == now for life in lookout.lives.values()):
                self.last_raised = now
        self._wait(looking, was_first)

    def _wait(self, moved: Iterable[Lookout], was_first: bool) -> None:
        """Work out when time alone may do something next, where only some may wake at another time now.

        `was_first`: the first that was to wake is among them, so that any other may be the first now.
        """
        if was_first:
            self._next = min(lookout.next for lookout in self.lookouts.values())
        else:
            self._next = min([self._next, *(lookout.next for lookout in moved)])

    @property
    def next_change(self) -> Instant:
        """The first moment at which time alone may do something."""
        return self._next

    def pass_time(self, until: Instant) -> None:
        """Let time alone do what it does before a moment."""
        while self._next < until:
            now = self._next
            touched = [lookout for lookout in self.lookouts.values() if lookout.next <= now]
            self.ledger.new_ids = frozenset()
            if touched:
                self.now = now
                self._look(touched, now, Cause())
            else:
                self._next = min(lookout.next for lookout in self.lookouts.values())

    def _take_seen(self, shift: Shift) -> set[Lookout]:
        """Keep the tellings by rule and subject; the rules they speak of must look again."""
        touched = set()
        for held in (shift.before, shift.after):
            lookout = self.lookouts.get(held.entry.details["rule"]) if held is not None else None
            if held is None or lookout is None:
                continue
            key = _life_key(held)
            tolds = [told for told in self.tolds.get(key, []) if told.root != shift.root]
            told = self._told(held) if held is shift.after else None
            self.tolds[key] = sorted([*tolds, told] if told else tolds, key=lambda each: each.recorded)
            lookout.tracker.look_again()
            touched.add(lookout)
        return touched

    def _told(self, held: Held) -> Told | None:
        """What a `seen` entry settles: counted from the first of its chain that said so."""
        who = held.entry.details.get("told", "").strip()
        if not who:
            return None
        said = [self.ledger.known[each.id] for each in held.chain if _says_so(each, _life_key(held))]
        time = named(held.time)
        words = say(_TOLD).format(who=unnamed(who), time=time)
        return Told(held.first.id, min(said, default=held.known), held.time, words)

    def _list_seen(self, shift: Shift) -> None:
        """List who looked at the flag in force, or at one that ended within the last 7 days."""
        for held in (shift.before, shift.after):
            if held is None:
                continue
            key = _life_key(held)
            episode = self.in_force(*key) or self._last.get(key)
            if episode is None or (episode.cleared_at or self.now) < self.now - SEEN_AFTER:
                continue
            if held is shift.after:
                episode.seen[held.entry.id] = None
            else:
                episode.seen.pop(held.entry.id, None)


def _cause(group: Sequence[Entry], shifts: Sequence[Shift]) -> Cause:
    """What became known: whether a change is among it, and when the oldest new entry had happened."""
    new = (shift.after.time for shift in shifts if shift.before is None and shift.after is not None)
    return Cause(True, any(entry.amends is not None for entry in group), min(new, default=NEVER))


def _life_key(held: Held) -> LifeKey:
    return held.entry.details["rule"], held.entry.details.get("subject")


def _says_so(entry: Entry, key: LifeKey) -> bool:
    details = entry.details
    is_same = (details.get("rule"), details.get("subject")) == key
    return is_same and not entry.withdrawn and bool(details.get("told", "").strip())
