"""Rules about the inner tube: stuck, found blocked, fenestrated while it should be plain."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from carelog.analysis.flags.ledger import Key, Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.airway import OTHER_ROUTES
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.newest import NewestSaying
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, Rule, Said, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import OUT, TAKEN_OUT, Events, Row, Tracker, single
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import HOUR, Instant
from carelog.text import mark, say

BESIDE = 2 * HOUR

STUCK = Rule(
    name="stuck_inner_tube",
    title=mark("Inner tube stuck"),
    raised=mark("The inner tube could not be removed."),
    level=mark(
        "call. urgent if breathing was harder, or a catheter didn't pass freely, within 2 h before or after"
    ),
    clears=mark(
        "A later look at the inner tube that isn't “stuck”. A tube change that didn't fail. The tube taken "
        "out for good."
    ),
    sources=(Source(mark("critical-care nursing review, for the sign"), Status.FOUND), PRACTICE),
    after=EMERGENCY,
    with_tube=True,
    stands=(Said("inner_tube", "outcome", ("clear", "cleaned", "replaced")),),
    until_told=(Said("inner_tube", "outcome", ("stuck",)),),
)
_STUCK = mark("The inner tube could not be removed at {time}.")
_OUT = mark("inner tube out {time}")
_CHANGED = mark("tube changed {time}")


def is_out(details: Details) -> bool:
    """The inner tube looked at, cleaned or replaced."""
    return bool(details.get("outcome") != "stuck")


def is_hard(details: Details) -> bool:
    """A suction with harder breathing, or with a catheter that didn't pass freely."""
    return details.get("breathing_after") == "harder" or details.get("catheter_passed") in ("tight", "no")


def _stuck(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    if is_out(held.entry.details):
        return None
    near_by = ledger.shelf("suction").between(held.time - BESIDE, held.time + BESIDE)
    hard = [suction for suction in near_by if is_hard(suction.entry.details)]
    level = Level.URGENT if hard else Level.CALL
    sign = evidence(rule, ledger, held, level, timed(_STUCK, ledger, held))
    return replace(sign, entries=(held.entry.id, *(suction.entry.id for suction in hard)))


class StuckEvents(Events):
    """Stuck inner tubes, with the suctions beside them, until it is out or the tube is changed."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("inner_tube", "suction", "tube_change"), self._judged)
        self._out = NewestSaying(ledger, "inner_tube", is_out)

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        return _stuck(self.rule, ledger, held) if held.entry.kind == "inner_tube" else None

    def beside(self, shift: Shift) -> Iterator[str]:
        if shift.kind != "suction":
            return
        for suction in (shift.before, shift.after):
            if suction is not None and is_hard(suction.entry.details):
                times = suction.time - BESIDE, suction.time + BESIDE
                for held in self.ledger.shelf("inner_tube").between(*times):
                    if not is_out(held.entry.details):
                        yield held.first.id

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        moved = self._out.take(shift)
        if (moved and self._out.fell_back) or (shift.kind == "tube_change" and shift.before is not None):
            self.look_again()
        return changed or ((moved or shift.kind == "tube_change") and bool(self._live))

    def _freed(self, sign: Sign) -> Held | None:
        """What ended it: the newest of an inner tube that is out and a tube placed, if it came later."""
        ends = [held for held in (self._out.held, self.ledger.tubes.newest()) if held is not None]
        newest = max(ends, key=order_of, default=None)
        return newest if newest is not None and order_of(newest) > order_of(self.held_of(sign)) else None

    def has_ended(self, sign: Sign) -> bool:
        return self._freed(sign) is not None

    def ended_words(self) -> str:
        ends = [held for held in (self._out.held, self.ledger.tubes.newest()) if held is not None]
        newest = max(ends, key=order_of)
        return timed(_CHANGED if newest.entry.kind == "tube_change" else _OUT, self.ledger, newest)


BLOCKING = Rule(
    name="inner_tube_blocking",
    title=mark("Inner tube blocking"),
    raised=mark(
        "The inner tube was found blocked. Or it needs more cleaning than is usual for this person, or is "
        "found worse."
    ),
    level=mark("call"),
    clears=mark("24 h. By statistics: when the last 48 h lie in the usual range again."),
    sources=(
        Source(mark("All Wales critical-care education (red flags): too little humidity"), Status.FOUND),
    ),
    day=True,
    with_tube=True,
    reads=(Said("inner_tube", "found"),),
)


def was_blocked(details: Details) -> bool:
    """Found blocked."""
    return bool(details.get("found") == "blocked")


FENESTRATED = Rule(
    name="fenestrated",
    title=mark("Fenestrated inner tube"),
    raised=mark(
        "A suction through the tube, or the start of the plan's quiet hours, with a fenestrated inner tube "
        "fitted."
    ),
    level=mark("note"),
    clears=mark("A plain one fitted; a tube change, or the tube taken out for good."),
    with_tube=True,
    sources=(
        Source(mark("Nepalese Society of Critical Care Medicine protocol"), Status.FOUND),
        Source(mark("South Tees Hospitals patient leaflet"), Status.FOUND),
    ),
    stands=(Said("inner_tube", "fitted"),),
)
_FITTED = mark("A fenestrated inner tube was fitted at {time}.")
_SUCTION = mark("Suction at {time} with it in place.")
_NIGHT = mark("The quiet hours began at {time} with it in place.")
_PLAIN = mark("a plain one fitted {time}")


def is_through_tube(details: Details) -> bool:
    """A suction that is neither oral nor subglottic."""
    return details.get("route") not in OTHER_ROUTES


class FenestratedTracker(Tracker):
    """A fenestrated inner tube since it was fitted, and what was done or began meanwhile."""

    kinds = ("inner_tube", "suction", "tube_change", OUT, "plan")

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger)
        self._start: Held | None = None
        self._uses: list[Held] = []
        self._listed = 0
        self._night: Instant = NEVER
        self._since: Instant = NEVER

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind == "suction":
            return self._take_suction(shift)
        before = self._start
        if shift.kind != "plan":
            self._start = self._find_start()
        if self._start is None:
            self._uses, self._night = [], NEVER
            return before is not None
        self._read_uses(self._start)
        self._night = self._first_night(self._start)
        return True

    def _take_suction(self, shift: Shift) -> bool:
        if self._start is None:
            return False
        after = shift.after
        if (
            shift.before is None
            and after is not None
            and (not self._uses or _is_after(after, self._uses[-1]))
        ):
            if _is_after(after, self._start) and is_through_tube(after.entry.details):
                self._uses.append(after)
                return True
            return False
        self._read_uses(self._start)
        return True

    def _read_uses(self, start: Held) -> None:
        later = self.ledger.shelf("suction").forward(order_of(start))
        self._uses = [held for held in later if is_through_tube(held.entry.details)]
        self._listed = 0

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """When it was fitted; before that, until something is at hand that says it was another."""
        return self._since

    def _find_start(self) -> Held | None:
        """The first fenestrated one fitted since a plain one or a tube change."""
        ends = [each for each in (self.ledger.tubes.newest(), self.ledger.shelf(OUT).newest()) if each]
        placed: Key | None = max(map(order_of, ends), default=None)
        start, is_bounded = None, placed is not None
        for held in self.ledger.fitted.backward():
            if placed is not None and order_of(held) < placed:
                break
            fitted = held.entry.details["fitted"]
            if fitted == "plain":
                is_bounded = True
                break
            if fitted == "fenestrated":
                start = held
        since = NEVER if start is None else min(start.time, start.known)
        self._since = since if is_bounded or start is None else -NEVER
        return start

    def _first_night(self, start: Held) -> Instant:
        """The first start of the plan's quiet hours from then on."""
        plans = self.ledger.plans
        for number, plan in enumerate(plans):
            end = plans[number + 1].since if number + 1 < len(plans) else NEVER
            begin = max(plan.since, start.time)
            if plan.quiet is None or begin >= end:
                continue
            day = self.ledger.home.day(begin)
            for each in (day, day + timedelta(days=1)):
                night = self.ledger.home.at(each, plan.quiet[0])
                if begin <= night < end:
                    return night
        return NEVER

    def wake(self, now: Instant) -> Instant:
        return self._night if self._night > now else NEVER

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        start = self._start
        if start is None or not (self._uses or self._night <= now):
            return []
        why = say(_NIGHT).format(time=named(self._night))
        if self._uses:
            why = say(_SUCTION).format(time=named(self._uses[0].time))
        sign = evidence(
            self.rule, self.ledger, start, Level.NOTE, timed(_FITTED, self.ledger, start), why=why
        )
        uses, self._listed = self._uses[self._listed :], len(self._uses)
        return [replace(sign, entries=(start.entry.id, *(held.entry.id for held in uses)))]

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        tube, out = self.ledger.tubes.newest(), self.ledger.shelf(OUT).newest()
        for words, held in ((_CHANGED, tube), (TAKEN_OUT, out)):
            if held is not None and self.ledger.just_known(held):
                return timed(words, self.ledger, held)
        newest = self.ledger.shelf("inner_tube").newest()
        if newest is None or newest.entry.details.get("fitted") != "plain":
            return ""
        return timed(_PLAIN, self.ledger, newest)


def _is_after(held: Held, other: Held) -> bool:
    return order_of(held) > order_of(other)


ROWS: tuple[Row, ...] = (
    (STUCK, StuckEvents),
    (BLOCKING, single(("inner_tube",), was_blocked, Level.CALL, mark("Inner tube found blocked at {time}."))),
    (FENESTRATED, FenestratedTracker),
)
