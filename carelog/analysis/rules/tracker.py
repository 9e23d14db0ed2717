"""Keeps what shows a rule up to date, entry by entry, so that no entry makes anyone read the past again."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from carelog.analysis.flags.ledger import Key, Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.rule import ANY_LEVEL, Rule, Said
from carelog.analysis.rules.sign import Sign, Told
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H, Instant
from carelog.text import mark

OUT = "decannulation"
TAKEN_OUT = mark("the tube was taken out for good, {time}")


class Tracker:
    """One rule at work on one record."""

    kinds: tuple[str, ...] = ()

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        """`kinds`: the kinds of entry that may change what shows it; none means all."""
        self.rule = rule
        self.ledger = ledger
        self.tolds: Callable[[], Sequence[Told]] = tuple

    def take(self, shift: Shift, now: Instant) -> bool:
        """Take in an entry that came into force, or left it; whether the signs may now differ."""
        raise NotImplementedError

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        """What shows the rule now, tellings and the 24 h apart."""
        raise NotImplementedError

    def wake(self, now: Instant) -> Instant:
        """The next moment at which time alone may change the signs."""
        return NEVER

    def settle(self, flagged: Mapping[str | None, Collection[str]], now: Instant) -> None:
        """Let go of what no flag holds on to; `flagged`: of each subject with a flag, the signs it holds."""

    def look_again(self) -> None:
        """Take up again what was let go: a telling, or what ended it, was changed."""

    def inherit(self, before: "Tracker") -> None:
        """Take over what can't be read from the entries in force, when all is read again."""

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """The oldest moment since which all that it reads must be at hand for its signs to be right now.

        `NEVER` where what the rule declares is enough; `subjects`: only of these.
        """
        return NEVER

    def sources(self) -> Sequence[Said]:
        """The entries that it reads."""
        return self.rule.reads or [Said(kind) for kind in self.kinds]

    def words(self, subject: str | None, now: Instant) -> tuple[str, str] | None:
        """The headline and the reason of a flag in force as things stand now; None: those of its signs."""
        return None

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        """How the flag that held these signs ended, in words; empty where only a change can have ended it."""
        return ""

    def days_changed(self, now: Instant) -> bool:
        """The recorded days have changed, other than by a new one; whether the signs may now differ."""
        return False


Start = Callable[[Rule, Ledger], Tracker]
Row = tuple[Rule, Start]
Judge = Callable[[Ledger, Held], Sign | None]


def root_of(sign: Sign) -> str:
    """The first entry of the chain that shows a sign."""
    return sign.key.partition(":")[0]


class Events(Tracker):
    """A rule that single entries show, each by itself or with those beside it.

    `all` are the signs of every entry in force, `live` those that a flag may still hold on to: a telling, or
    what ended the others, may yet turn out to be a slip.
    """

    def __init__(self, rule: Rule, ledger: Ledger, kinds: tuple[str, ...], judge: Judge) -> None:
        """`judge` says what an entry in force shows."""
        super().__init__(rule, ledger)
        self.kinds = (*kinds, OUT) if rule.with_tube else kinds
        self._judge = judge
        self._all: dict[str, Sign] = {}
        self._live: dict[str, Sign] = {}
        self._lost: dict[str, Held] = {}

    def beside(self, shift: Shift) -> Iterable[str]:
        """Which other entries (the first of their chains) must be judged anew with this one."""
        return ()

    def has_ended(self, sign: Sign) -> bool:
        """Whether a later entry ended what this one showed."""
        return False

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind == OUT:
            self.look_again()
            return bool(self._live)
        changed = self._judge_held(shift.root, shift.after)
        if self.rule.by_rivals:
            changed = self._judge_losers(shift.root) or changed
        for root in self.beside(shift):
            changed = self._judge_anew(root) or changed
        return changed

    def _judge_anew(self, root: str) -> bool:
        return self._judge_held(root, self.ledger.held.get(root))

    def _judge_held(self, root: str, held: Held | None) -> bool:
        return self._put(root, self._sign(held) if held is not None else None)

    def _judge_losers(self, root: str) -> bool:
        """Of two sides nobody has chosen from, the losing one still shows what by itself is urgent."""
        if not (self._lost or self.ledger.may_be_rivals(root)):
            return False
        found: dict[str, Sign] = {}
        for held in self.ledger.losers(root):
            sign = self._judge(self.ledger, held)
            if sign is not None and (sign.level is Level.URGENT or self.rule.by_rivals == ANY_LEVEL):
                key = f"{root}:{held.entry.id}"
                found[key], self._lost[key] = replace(sign, key=key), held
        gone = [key for key in self._all if key.startswith(f"{root}:") and key not in found]
        changes = [self._put(key, None) for key in gone] + [self._put(*each) for each in found.items()]
        return any(changes)

    def held_of(self, sign: Sign) -> Held:
        """The entry that shows a sign."""
        return self._lost[sign.key] if sign.key in self._lost else self.ledger.held[sign.key]

    def is_after(self, held: Held, sign: Sign) -> bool:
        """Whether an entry is later than the one that shows a sign; never the other side of its conflict."""
        return held.first.id != root_of(sign) and order_of(held) > order_of(self.held_of(sign))

    def _put(self, root: str, sign: Sign | None) -> bool:
        before = self._all.get(root)
        if sign is None and before is None:
            return False
        if before is not None and (sign is None or sign.level < before.level):
            self.look_again()
        if sign is None:
            del self._all[root]
            self._live.pop(root, None)
            return True
        self._all[root] = self._live[root] = sign
        return True

    def _sign(self, held: Held) -> Sign | None:
        """What an entry in force shows, known since its versions have shown the same without a break."""
        sign = self._judge(self.ledger, held)
        if sign is None or held.entry.amends is None:
            return sign
        for version in self.ledger.versions(held):
            older = None if version.entry.withdrawn else self._judge(self.ledger, version)
            if older is None or (older.level, older.subject) != (sign.level, sign.subject):
                break
            sign = replace(sign, known=min(sign.known, older.known))
        return sign

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        out = self._taken_out()
        return [
            sign
            for sign in self._live.values()
            if not self.has_ended(sign) and (out is None or order_of(out) < order_of(self.held_of(sign)))
        ]

    def _taken_out(self) -> Held | None:
        """The newest entry of the tube's being taken out for good, for a rule that ends with it."""
        return self.ledger.shelf(OUT).newest() if self.rule.with_tube else None

    def settle(self, flagged: Mapping[str | None, Collection[str]], now: Instant) -> None:
        self._live = {key: sign for key, sign in self._live.items() if sign.subject in flagged}
        if len(self._live) > LIVE_KEPT:
            self._thin_out({key for members in flagged.values() for key in members}, now)

    def _thin_out(self, members: Collection[str], now: Instant) -> None:
        """Of the many signs that a flag nobody was told of holds, those that a telling would cover last."""
        kept = {key: sign for key, sign in self._live.items() if sign.known + DAY_24_H > now}
        groups: defaultdict[tuple[str | None, bool], list[Sign]] = defaultdict(list)
        for key, sign in self._live.items():
            if key in members:
                groups[sign.subject, sign.level is Level.URGENT].append(sign)
        for group in groups.values():
            newest = max(group, key=lambda sign: sign.known), max(group, key=lambda sign: sign.time)
            kept |= {sign.key: sign for sign in newest}
        self._live = kept

    def look_again(self) -> None:
        self._live = dict(self._all)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        out = self._taken_out()
        if out is not None and self.ledger.just_known(out):
            return timed(TAKEN_OUT, self.ledger, out)
        ended = [key for key in members if key in self._all and self.has_ended(self._all[key])]
        return self.ended_words() if ended else ""

    def ended_words(self) -> str:
        """How a later entry ended what was shown, in words."""
        return ""


def single(kinds: tuple[str, ...], test: Callable[[Details], bool], level: Level, headline: str) -> Start:
    """Starts a rule that each entry shows by itself, at one level."""

    def judge(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
        if not test(held.entry.details):
            return None
        return evidence(rule, ledger, held, level, timed(headline, ledger, held))

    return lambda rule, ledger: Events(rule, ledger, kinds, partial(judge, rule))


LIVE_KEPT = 16
"""More signs than these are thinned out where a flag holds many for long: an old record told to nobody."""
Verdict = Sign | bool | None


class Run(Tracker):
    """A rule about the newest readings in a row: a verdict is a sign, True (inside) or None (says nothing).

    What shows it is the run of readings since the last one inside, as one sign; only new entries are listed
    each time, a flag remembers those before.
    """

    def __init__(self, rule: Rule, ledger: Ledger, kinds: tuple[str, ...]) -> None:
        super().__init__(rule, ledger)
        self.kinds = kinds
        self._last: Key | None = None
        self._ended_by: Held | None = None
        self._top: Sign | None = None
        self._fresh: list[str] = []
        self._leans_on: Instant = NEVER

    def verdict(self, held: Held) -> Verdict:
        """What a reading says."""
        raise NotImplementedError

    def reads(self, held: Held) -> bool:
        """Whether an entry is a reading of this rule at all."""
        raise NotImplementedError

    def matters(self, shift: Shift) -> bool:
        """Whether an entry of another kind changes how readings are judged, or ends the run."""
        return False

    def ended_before(self) -> Held | None:
        """The newest entry that ended all before it, perhaps a reading (a tube change, a cuff let down)."""
        return None

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind != self.kinds[0]:
            return self.matters(shift) and self._read_back()
        before = shift.before if shift.before is not None and self.reads(shift.before) else None
        after = shift.after if shift.after is not None and self.reads(shift.after) else None
        if before is None and after is None:
            return False
        if before is None and after is not None and self._is_next(after):
            return self._go_on(after)
        return self._read_back()

    def _is_next(self, held: Held) -> bool:
        """Whether a reading simply follows those before it."""
        if self._last is not None and order_of(held) < self._last:
            return False
        ended = self.ended_before()
        return ended is None or order_of(ended) < order_of(held)

    def _go_on(self, held: Held) -> bool:
        self._last = order_of(held)
        verdict = self.verdict(held)
        if verdict is True:
            self._leans_on = _since(held)
            self._clear(held)
            return True
        if self._leans_on == NEVER:
            self._leans_on = _since(self.ended_before())
        if isinstance(verdict, Sign):
            self._add(verdict)
        return verdict is not None

    def _clear(self, ended_by: Held | None) -> None:
        """Empty the run; a reading that was itself in it can't be what ended it."""
        is_other = ended_by is not None and (self._top is None or self._top.key != ended_by.first.id)
        self._ended_by = ended_by if is_other else None
        self._top, self._fresh = None, []

    def _add(self, sign: Sign) -> None:
        self._fresh.extend(sign.entries)
        if self._top is None or sign.level >= self._top.level:
            self._top = sign

    def _read_back(self) -> bool:
        run: list[Sign] = []
        ended = self.ended_before()
        newest: Key | None = None
        for held in self.ledger.shelf(self.kinds[0]).backward():
            if not self.reads(held):
                continue
            newest = newest or order_of(held)
            if ended is not None and order_of(held) < order_of(ended):
                break
            verdict = self.verdict(held)
            if verdict is True:
                ended = held
                break
            if isinstance(verdict, Sign):
                run.append(verdict)
        self._last = newest
        self._leans_on = NEVER if newest is None else _since(ended)
        self._clear(ended)
        for sign in self.untold([*self.others(), *run[::-1]]):
            self._add(sign)
        return True

    def others(self) -> Sequence[Sign]:
        """What counts with the run though it isn't in force: a losing side that nobody has chosen against."""
        return ()

    def untold(self, run: Sequence[Sign]) -> Sequence[Sign]:
        """Those of a run that no telling has settled."""
        return run

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        if self._top is None:
            return []
        entries, self._fresh = tuple(self._fresh), []
        return [replace(self._top, key="run", entries=entries)]

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        return self._leans_on

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        ended_by = self._ended_by
        is_new = ended_by is not None and self.ledger.just_known(ended_by)
        return self.ended_words(ended_by) if ended_by is not None and is_new else ""

    def ended_words(self, held: Held) -> str:
        """The reading that ended the flag, in words: “next reading 26 cmH2O”."""
        return ""


def _since(ended: Held | None) -> Instant:
    """Since when a run is known that an entry ended; that none is at hand for may begin any time before."""
    return -NEVER if ended is None else min(ended.time, ended.known)


class Standing(Tracker):
    """A rule about how things stand: what shows it is worked out anew whenever something it reads changes."""

    def __init__(self, rule: Rule, ledger: Ledger, kinds: tuple[str, ...]) -> None:
        super().__init__(rule, ledger)
        self.kinds = kinds

    def take(self, shift: Shift, now: Instant) -> bool:
        return True
