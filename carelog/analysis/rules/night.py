"""Rules about the start of the night: a valve or cap still on, a cuff down with a ventilator."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial

from carelog.analysis.cuff import cuff_says
from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.flags.naming import named
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import CUFF_SAID, evidence, timed
from carelog.analysis.rules.rule import PRACTICE, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import OUT, TAKEN_OUT, Row, Tracker
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.text import mark, say

VENTILATED = ("ventilator_at_night", "ventilator_always")

VALVE_AT_NIGHT = Rule(
    name="valve_at_night",
    title=mark("Valve or cap on at night"),
    raised=mark(
        "At the start of the plan's quiet hours a speaking valve or a cap was on, by what was recorded. Each "
        "night by itself. Not where the plan allows it, and not during a stay. With no quiet hours there is "
        "no flag."
    ),
    level=mark("call"),
    clears=mark("Valve off. A tube change that didn't fail. Somebody was told. The tube taken out for good."),
    sources=(PRACTICE,),
    told=True,
    with_tube=True,
    stands=(Said("valve"), Said("valve", "what", ("cap",))),
    reads=(Said("valve"),),
)
CUFF_AT_NIGHT = Rule(
    name="cuff_at_night",
    title=mark("Cuff down at night, with a ventilator"),
    raised=mark(
        "At the start of the plan's quiet hours an air cuff was recorded as down, and the person is helped "
        "by a ventilator at night or always. Each night by itself. Not where the plan allows it, and not "
        "during a stay. With no quiet hours, or no tube recorded, there is no flag."
    ),
    level=mark("call"),
    clears=mark("Cuff up. A tube change that didn't fail. Somebody was told. The tube taken out for good."),
    sources=(PRACTICE,),
    told=True,
    with_tube=True,
    stands=CUFF_SAID,
)
_ON = {
    "valve": mark("The speaking valve was on when the quiet hours began, {time}."),
    "cap": mark("The cap was on when the quiet hours began, {time}."),
}
_DOWN = mark("The cuff was down when the quiet hours began, {time}.")
_OFF = mark("off {time}")
_UP = mark("cuff up {time}")
_CHANGED = mark("tube changed {time}")
Since = Callable[[Ledger], Iterator[tuple[str, Held]]]
Counts = Callable[[Ledger, Instant], bool]


class NightTracker(Tracker):
    """The nights at whose start it was so, as known then; the newest counts while it has been so since."""

    kinds = ("valve", "cuff_state", "cuff_pressure", "tube_change", OUT, "plan", "stay", "person")

    def __init__(
        self, since: Since, counts: Counts, words: Mapping[str, str], rule: Rule, ledger: Ledger
    ) -> None:
        """`since`: what is so now, with the first entry of that; `counts`: whether it matters in a night."""
        super().__init__(rule, ledger)
        self._since, self._counts, self._words = since, counts, words
        self._nights: dict[str, list[Instant]] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        return True

    def wake(self, now: Instant) -> Instant:
        return next_night(self.ledger, now)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        found = [(what, held) for what, held in self._since(self.ledger) if held.time <= now]
        if self._is_night(now):
            for what, _ in found:
                nights = self._nights.setdefault(what, [])
                if now not in nights[-1:]:
                    nights.append(now)
        return [sign for what, held in found for sign in self._shown(what, held)]

    def _shown(self, what: str, held: Held) -> Iterator[Sign]:
        """The newest night at whose start it was so already: who is told of that was told of those before."""
        nights = self._nights.get(what, [])
        while_so = (night for night in reversed(nights) if night >= held.time)
        night = next((each for each in while_so if self._is_night(each)), None)
        if night is not None:
            yield self._sign(what, held, night)

    def _is_night(self, moment: Instant) -> bool:
        """Whether the quiet hours begin at a moment, at home, and it matters then."""
        ledger = self.ledger
        return begins_night(ledger, moment) and not is_away(ledger, moment) and self._counts(ledger, moment)

    def _sign(self, what: str, held: Held, night: Instant) -> Sign:
        headline = say(self._words[what]).format(time=named(night))
        sign = evidence(self.rule, self.ledger, held, Level.CALL, headline)
        return replace(sign, key=what, known=night, time=night)

    def inherit(self, before: Tracker) -> None:
        if isinstance(before, NightTracker):
            self._nights = before._nights

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """Since when it is so: the nights since then count."""
        return min((min(held.time, held.known) for _, held in self._since(self.ledger)), default=NEVER)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        ledger = self.ledger
        ends = (
            (TAKEN_OUT, ledger.shelf(OUT).newest()),
            (_CHANGED, ledger.tubes.newest()),
            (_OFF if self.rule is VALVE_AT_NIGHT else _UP, self._newest_said()),
        )
        for words, held in ends:
            if held is not None and ledger.just_known(held):
                return timed(words, ledger, held)
        return ""

    def _newest_said(self) -> Held | None:
        shelf = self.ledger.shelf("valve") if self.rule is VALVE_AT_NIGHT else self.ledger.cuffs
        return shelf.newest()


def next_night(ledger: Ledger, now: Instant) -> Instant:
    """The next start of a plan's quiet hours, in the plan that is then in force."""
    moment = now
    while True:
        plan, change = ledger.plan_at(moment), ledger.next_plan(moment)
        found = NEVER
        if plan is not None and plan.quiet is not None:
            day = ledger.home.day(moment)
            starts = (ledger.home.at(day + timedelta(days=n), plan.quiet[0]) for n in (0, 1, 2))
            found = min((start for start in starts if start > now), default=NEVER)
        if found < change or change >= NEVER:
            return found
        if begins_night(ledger, change):
            return change
        moment = change


def begins_night(ledger: Ledger, moment: Instant) -> bool:
    """Whether the quiet hours of the plan then in force begin at a moment."""
    plan = ledger.plan_at(moment)
    return (
        plan is not None
        and plan.quiet is not None
        and ledger.home.at(ledger.home.day(moment), plan.quiet[0]) == moment
    )


def is_away(ledger: Ledger, moment: Instant) -> bool:
    """Whether a stay away from home had begun by a moment and not ended."""
    stay = next((each for each in ledger.shelf("stay").backward((moment + 1, -NEVER, ""))), None)
    return stay is not None and stay.entry.details["action"] == "start"


def on_since(ledger: Ledger) -> Iterator[tuple[str, Held]]:
    """What is on now, with the entry that put it on first."""
    placed = ledger.tubes.newest()
    for what, shelf in ledger.valves.items():
        first: Held | None = None
        for held in () if ledger.is_out() else shelf.backward():
            is_older = placed is not None and order_of(held) < order_of(placed)
            if is_older or held.entry.details["action"] != "on":
                break
            first = held
        if first is not None:
            yield what, first


def down_since(ledger: Ledger) -> Iterator[tuple[str, Held]]:
    """The air cuff that was recorded as down, with the entry that said so first."""
    tube = ledger.tube_in_place()
    if tube is None or tube.entry.details["cuff"] != "air":
        return
    first: Held | None = None
    for held in ledger.cuffs.backward():
        if order_of(held) < order_of(tube) or cuff_says(held.entry) is not False:
            break
        first = held
    if first is not None:
        yield "cuff", first


def valve_counts(ledger: Ledger, night: Instant) -> bool:
    """Whether the plan of a night doesn't allow a valve."""
    plan = ledger.plan_at(night)
    return plan is None or plan.details.get("valve_at_night") is not True


def cuff_counts(ledger: Ledger, night: Instant) -> bool:
    """Whether the person is helped by a ventilator in a night, and the plan doesn't allow the cuff down."""
    plan = ledger.plan_at(night)
    is_allowed = plan is not None and plan.details.get("cuff_down_at_night") is True
    return not is_allowed and helped_by(ledger, night) in VENTILATED


def helped_by(ledger: Ledger, moment: Instant) -> str | None:
    """What helped the person to breathe at a moment; None where nobody said so by then."""
    people = ledger.shelf("person").backward((moment + 1, -NEVER, ""))
    return next(
        (each.entry.details["helped_by"] for each in people if "helped_by" in each.entry.details), None
    )


ROWS: tuple[Row, ...] = (
    (VALVE_AT_NIGHT, partial(NightTracker, on_since, valve_counts, _ON)),
    (CUFF_AT_NIGHT, partial(NightTracker, down_since, cuff_counts, {"cuff": _DOWN})),
)
