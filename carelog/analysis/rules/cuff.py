"""Rules about the cuff: its pressure, a voice with the cuff up, a valve with the cuff not down."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from functools import partial

from carelog.analysis.cuff import cuff_says
from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.limits import (
    CUFF,
    CUFF_SOURCES,
    Against,
    Outside,
    is_extreme,
    outside,
    plan_says,
    side,
)
from carelog.analysis.rules.evidence import CUFF_SAID, at, evidence, timed
from carelog.analysis.rules.readings import against
from carelog.analysis.rules.rule import EMERGENCY, Rule, Said, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import OUT, TAKEN_OUT, Events, Row, Run, Standing, Verdict
from carelog.domain.entry import Details, Entry
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H, Instant
from carelog.domain.units import comparable, with_unit
from carelog.text import mark, say

_CLEARS = mark(
    "The next reading found inside and not left outside. The cuff let down after the reading. A tube "
    "change, or the tube taken out for good. With no limit in the plan there is no flag."
)
CUFF_HIGH = Rule(
    name="cuff_high",
    title=mark("Cuff pressure high"),
    raised=mark("A cuff pressure found, or left, over the plan's limit; only an air cuff that is up."),
    level=mark(
        "note if found outside and left inside, else call. Also call at the second in a row, and above 50 "
        "cmH2O."
    ),
    clears=_CLEARS,
    sources=CUFF_SOURCES,
    with_tube=True,
    looks_back=7 * DAY_24_H,
    stands=(Said("cuff_pressure"), *CUFF_SAID),
)
CUFF_LOW = Rule(
    name="cuff_low",
    title=mark("Cuff pressure low"),
    raised=mark("A cuff pressure found, or left, under the plan's limit; only an air cuff that is up."),
    level=mark("note if found outside and left inside, else call. Also call at the second in a row."),
    clears=_CLEARS,
    sources=CUFF_SOURCES[:1],
    with_tube=True,
    looks_back=7 * DAY_24_H,
    stands=(Said("cuff_pressure"), *CUFF_SAID),
)
_HEADLINE = mark("Cuff {value} at {time}.")
_LEFT = mark("Cuff left at {value} at {time}.")
_ADJUSTED = mark("Left at {value}.")
_IS = mark("{value} is {in_limits_unit}.")
_NO_CHANGE = mark("Nothing recorded about a change.")
_NEXT = mark("next reading {value}")
_DOWN = mark("cuff down {time}")
_CHANGED = mark("tube changed {time}")


class Read:
    """A cuff reading held against its limit, as found and as left (None: not judged)."""

    def __init__(self, details: Details, against: Against) -> None:
        self.details = details
        self._outside = outside(CUFF, details, against)
        self.found = side("value", details, against.cuff, self._outside)
        self.left = side("value_after", details, against.cuff, self._outside)

    def shown(self, which: int) -> Outside | None:
        """What was found, else left, outside on that side (1 above, −1 below)."""
        return next((each for each in self._outside if each.is_high is (which > 0)), None)

    def is_inside(self) -> bool:
        """Found inside and not left outside."""
        return self.found == 0 and not self.left

    def is_mended(self) -> bool:
        """Found outside and left inside."""
        return bool(self.found) and self.left == 0


class CuffRun(Run):
    """Readings on one side of the plan's limits, in a row."""

    def __init__(self, side: int, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("cuff_pressure", "cuff_state", "valve", "tube_change", OUT, "plan"))
        self.side = side

    def reads(self, held: Held) -> bool:
        return True

    def matters(self, shift: Shift) -> bool:
        if shift.kind == "plan":
            return self.ledger.reaches_back(shift, self._last)
        return self._last is not None

    def ended_before(self) -> Held | None:
        ledger = self.ledger
        ends = (ledger.tubes.newest(), ledger.downs.newest(), ledger.shelf(OUT).newest())
        return max((held for held in ends if held is not None), key=order_of, default=None)

    def read(self, held: Held) -> Read | None:
        """How a reading stands to the limit of its moment; None with a tube whose cuff isn't air."""
        found = against(self.ledger, held)
        return Read(held.entry.details, found) if found.cuff.is_air else None

    def verdict(self, held: Held) -> Verdict:
        found = self.read(held)
        if found is None:
            return None
        shown = found.shown(self.side)
        if shown is None:
            return True if found.is_inside() else None
        level = Level.NOTE if found.is_mended() else Level.CALL
        if (self.side > 0 and is_extreme(found.details)) or self._is_second(held):
            level = Level.CALL
        headline, why = self._headline(shown, held), self._why(shown, held)
        return evidence(self.rule, self.ledger, held, level, headline, why=why)

    def _is_second(self, held: Held) -> bool:
        before = next(self.ledger.shelf("cuff_pressure").backward(order_of(held)), None)
        found = self.read(before) if before is not None else None
        return found is not None and found.shown(self.side) is not None

    def _headline(self, shown: Outside, held: Held) -> str:
        details = held.entry.details
        value = with_unit(details[shown.field], details["unit"])
        return say(_HEADLINE if shown.field == "value" else _LEFT).format(
            value=value, time=at(self.ledger, held)
        )

    def _why(self, shown: Outside, held: Held) -> str:
        details = held.entry.details
        left = say(_NO_CHANGE)
        if "value_after" in details:
            left = say(_ADJUSTED).format(value=with_unit(details["value_after"], details["unit"]))
        return " ".join([*_in_limits_unit(shown, details), plan_says(shown.limit), left])

    def ended_words(self, held: Held) -> str:
        if held.entry.kind in (OUT, "tube_change"):
            return timed(TAKEN_OUT if held.entry.kind == OUT else _CHANGED, self.ledger, held)
        if held.entry.kind != "cuff_pressure" or cuff_says(held.entry) is False:
            return timed(_DOWN, self.ledger, held)
        return say(_NEXT).format(value=with_unit(held.entry.details["value"], held.entry.details["unit"]))


def _in_limits_unit(shown: Outside, details: Details) -> Iterator[str]:
    """25 mmHg looks as if it lay between 20 and 30 cmH2O: say what it is in the plan's unit."""
    value, unit, wanted = details[shown.field], details["unit"], shown.limit.unit
    if unit != wanted:
        there = with_unit(comparable(value, unit, wanted), wanted)
        yield say(_IS).format(value=with_unit(value, unit), in_limits_unit=there)


CUFF_LEAK = Rule(
    name="cuff_leak",
    title=mark("Cuff leak"),
    raised=mark("A voice was heard with the cuff up. Or the cuff loses more than is usual for this person."),
    level=mark("call"),
    clears=mark("24 h. By statistics: when the last 48 h lie in the usual range again."),
    sources=(Source(mark("All Wales critical-care education (red flags)"), Status.FOUND),),
    day=True,
    with_tube=True,
)
_VOICE = mark("A voice was heard with the cuff up at {time}.")


def _leak(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    details = held.entry.details
    if details.get("voice_heard") is not True or details.get("state") != "up":
        return None
    tube = ledger.tube(order_of(held))
    if tube is not None and tube.entry.details["cuff"] == "none":
        return None
    return evidence(rule, ledger, held, Level.CALL, timed(_VOICE, ledger, held))


class LeakEvents(Events):
    """Voices heard with the cuff up; a tube change written down late has those after it judged anew."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("cuff_state", "tube_change"), partial(_leak, rule))

    def beside(self, shift: Shift) -> Iterator[str]:
        if shift.kind != "tube_change":
            return
        places = [order_of(held) for held in (shift.before, shift.after) if held is not None]
        for held in self.ledger.shelf("cuff_state").forward(min(places)):
            if held.entry.details.get("voice_heard"):
                yield held.first.id


VALVE = Rule(
    name="valve_cuff_up",
    title=mark("Valve or cap on, cuff not down"),
    raised=mark(
        "A speaking valve or a cap is on and the cuff isn't recorded as down. Also when the cuff is put "
        "up while it is on. Always with a foam cuff, or when no air can pass by mouth and nose. Not with "
        "a tube without a cuff."
    ),
    level=mark("urgent"),
    clears=mark(
        "Valve off. Cuff down, but not with a foam cuff or when no air can pass by mouth and nose. "
        "Somebody was told."
    ),
    sources=(Source(mark("Royal Marsden Manual"), Status.FOUND),),
    told=True,
    after=EMERGENCY,
    with_tube=True,
    stands=(Said("valve"), Said("valve", "what", ("cap",)), *CUFF_SAID),
)
_ON = {"valve": mark("Speaking valve on at {time}: {why}."), "cap": mark("Cap on at {time}: {why}.")}
_NOT_DOWN = mark("the cuff isn't recorded as down")
_UP = mark("the cuff is recorded as up")
_PUT_UP = mark("the cuff was put up")
_FOAM = mark("the cuff is foam")
_CLOSED = mark("the upper airway is recorded as not open")
_OFF = mark("off, or the cuff down, {time}")
WHATS = ("valve", "cap")


class ValveTracker(Standing):
    """The valve and the cap that are on, against what is known of the cuff."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        kinds = ("valve", "cuff_state", "cuff_pressure", "tube_change", OUT, "person")
        super().__init__(rule, ledger, kinds)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        return [sign for held in self._on() for sign in self._shows(held)]

    def leans_on(self, now: Instant, subjects: Collection[str | None] | None = None) -> Instant:
        """When what is on was put on: all that was said of the cuff since then counts."""
        return min((min(held.time, held.known) for held in self._on()), default=NEVER)

    def _on(self) -> Iterator[Held]:
        """What is on: the newest entry of each, if it says so, since the tube in place was placed."""
        if self.ledger.is_out():
            return
        tube = self.ledger.tubes.newest()
        newest = [held for shelf in self.ledger.valves.values() if (held := shelf.newest()) is not None]
        for held in sorted(newest, key=order_of, reverse=True):
            if tube is not None and order_of(held) < order_of(tube):
                return
            if held.entry.details["action"] == "on":
                yield held

    def _shows(self, valve: Held) -> Iterator[Sign]:
        tube = self.ledger.tubes.newest()
        cuff = tube.entry.details["cuff"] if tube is not None else None
        airway = self.ledger.person_entry("upper_airway")
        if airway is not None and airway.entry.details["upper_airway"] == "none":
            yield self._sign(valve, airway, _CLOSED)
        elif cuff == "foam" and tube is not None:
            yield self._sign(valve, tube, _FOAM)
        elif cuff != "none":
            yield from self._not_down(valve)

    def _not_down(self, valve: Held) -> Iterator[Sign]:
        """Not known to be down since the valve went on, or since the cuff was put up after that."""
        place = order_of(valve)
        states = [(place, cuff_says(valve.entry), valve)]
        if states[0][1] is None:
            states = [(place, self.ledger.cuff_before(place), valve)]
        states += [(order_of(each), cuff_says(each.entry), each) for each in self.ledger.cuffs.forward(place)]
        since: tuple[Held, bool | None] | None = None
        for _, is_up, held in states:
            if is_up is False:
                since = None
            elif since is None:
                since = (held, is_up)
        if since is not None:
            held, is_up = since
            words = _PUT_UP if held is not valve else _NOT_DOWN if is_up is None else _UP
            yield self._sign(valve, held, words)

    def _sign(self, valve: Held, other: Held, why: str) -> Sign:
        what = valve.entry.details.get("what", WHATS[0])
        headline = say(_ON[what]).format(time=at(self.ledger, valve), why=say(why))
        sign = evidence(self.rule, self.ledger, valve, Level.URGENT, headline)
        put_up = why == _PUT_UP
        return replace(
            sign,
            key=f"{valve.first.id} {other.first.id}",
            entries=(valve.entry.id, other.entry.id) if put_up else (valve.entry.id,),
            known=max(self.ledger.first_known(each, _says_as(each.entry)) for each in (valve, other)),
            time=max(valve.time, other.time) if put_up else valve.time,
        )

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        ledger = self.ledger
        out = ledger.shelf(OUT).newest()
        if out is not None and ledger.just_known(out):
            return timed(TAKEN_OUT, ledger, out)
        ends = (ledger.shelf("valve").newest(), ledger.downs.newest(), ledger.tubes.newest())
        new = [held for held in ends if held is not None and ledger.just_known(held)]
        return timed(_OFF, ledger, max(new, key=order_of)) if new else ""


def _says_as(entry: Entry) -> Callable[[Held], bool]:
    """Whether a version of an entry says the same about valve, cuff, tube and airway."""
    names = ("what", "action", "cuff_down", "state", "value", "value_after", "unit", "cuff", "upper_airway")
    said = [entry.details.get(name) for name in names]
    return lambda held: [held.entry.details.get(name) for name in names] == said


ROWS: tuple[Row, ...] = (
    (CUFF_HIGH, partial(CuffRun, 1)),
    (CUFF_LOW, partial(CuffRun, -1)),
    (CUFF_LEAK, LeakEvents),
    (VALVE, ValveTracker),
)
