"""Rules about the airway: froth, breathing, the catheter, smell, food, crackling under the skin."""

from collections.abc import Iterator
from functools import partial
from itertools import islice

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.newest import NewestSaying
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, URGENT_LEVEL, Rule, Said, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row, single
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.text import mark

ROCHESTER = Source(mark("University of Rochester children's programme"), Status.FOUND)
OTHER_ROUTES = ("oral", "subglottic")

FROTH = Rule(
    name="froth",
    by_rivals=URGENT_LEVEL,
    title=mark("Froth with blood"),
    raised=mark("Secretions are frothy and pink, red or with any blood."),
    level=mark("urgent"),
    clears=mark("Somebody was told."),
    sources=(PRACTICE,),
    told=True,
    until_told=(Said("suction", "frothy", (True,)),),
    reads=(Said("suction", "frothy"),),
)


def shows_froth(details: Details) -> bool:
    """Frothy, and pink, red or with any blood."""
    coloured = details.get("colour") in ("pink", "red") or details.get("blood") in ("streaks", "fresh")
    return details.get("frothy") is True and coloured


BREATHING = Rule(
    name="breathing",
    by_rivals=URGENT_LEVEL,
    title=mark("Breathing harder"),
    raised=mark("Breathing was harder after a suction."),
    level=mark("urgent"),
    clears=mark("Somebody was told."),
    sources=(PRACTICE,),
    told=True,
    after=EMERGENCY,
    until_told=(Said("suction", "breathing_after", ("harder",)),),
    reads=(Said("suction", "breathing_after"),),
)


def shows_harder_breathing(details: Details) -> bool:
    """Breathing harder after the suction."""
    return bool(details.get("breathing_after") == "harder")


CATHETER = Rule(
    name="catheter_not_passed",
    by_rivals=URGENT_LEVEL,
    title=mark("Catheter didn't pass"),
    raised=mark("The suction catheter didn't pass, or only tightly."),
    level=mark("urgent when it didn't pass; call when it was tight"),
    clears=mark(
        "Somebody was told. A later suction through the tube in which it passed freely. 24 h, if not urgent."
    ),
    sources=(ROCHESTER,),
    told=True,
    day=True,
    after=EMERGENCY,
    stands=(Said("suction", "catheter_passed", ("freely",)),),
    until_told=(Said("suction", "catheter_passed", ("no",)),),
    reads=(Said("suction", "catheter_passed"),),
)
CATHETER_LEVELS = {"no": Level.URGENT, "tight": Level.CALL}
_FREE = mark("passed freely {time}")
_CATHETER_WORDS = {
    "no": mark("The catheter didn't pass at {time}."),
    "tight": mark("The catheter passed tightly at {time}."),
}


def passed_freely(details: Details) -> bool:
    """A suction through the tube (neither oral nor subglottic) in which the catheter passed freely."""
    return details.get("catheter_passed") == "freely" and details.get("route") not in OTHER_ROUTES


def _catheter(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    passed = held.entry.details.get("catheter_passed")
    if passed not in CATHETER_LEVELS:
        return None
    return evidence(rule, ledger, held, CATHETER_LEVELS[passed], timed(_CATHETER_WORDS[passed], ledger, held))


class CatheterEvents(Events):
    """Catheters that didn't pass, until one passes freely."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("suction",), partial(_catheter, rule))
        self._free = NewestSaying(ledger, "suction", passed_freely)

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        if not self._free.take(shift):
            return changed
        if self._free.fell_back:
            self.look_again()
        return changed or bool(self._live)

    def has_ended(self, sign: Sign) -> bool:
        free = self._free.held
        return free is not None and self.is_after(free, sign)

    def ended_words(self) -> str:
        free = self._free.held
        return timed(_FREE, self.ledger, free) if free is not None else ""


CRACKLING = Rule(
    name="crackling",
    by_rivals=URGENT_LEVEL,
    title=mark("Crackling under the skin"),
    raised=mark("Crackling was felt under the skin at the stoma."),
    level=mark("urgent"),
    clears=mark("Somebody was told."),
    sources=(ROCHESTER,),
    told=True,
    until_told=(Said("stoma", "crackling", (True,)),),
    reads=(Said("stoma", "crackling"),),
)


def shows_crackling(details: Details) -> bool:
    """Crackling under the skin."""
    return details.get("crackling") is True


PLUG = Rule(
    name="plug",
    title=mark("Mucus plug"),
    raised=mark("A plug of mucus was seen in a suction."),
    level=mark("call"),
    clears=mark("24 h."),
    sources=(PRACTICE,),
    day=True,
    reads=(Said("suction", "consistency", ("plug",)),),
)


def shows_plug(details: Details) -> bool:
    """A plug in the suction."""
    return bool(details.get("consistency") == "plug")


FOOD = Rule(
    name="food_seen",
    title=mark("Food or drink seen"),
    raised=mark("Food or drink was seen in a suction."),
    level=mark("call"),
    clears=mark("24 h."),
    sources=(PRACTICE,),
    day=True,
    reads=(Said("suction", "food_seen"),),
)


def shows_food(details: Details) -> bool:
    """Food or drink in the suction."""
    return details.get("food_seen") is True


SMELL = Rule(
    name="smell",
    title=mark("New smell"),
    raised=mark("Secretions smell in a new way. Or the stoma smells and didn't at the look before."),
    level=mark("call"),
    clears=mark("24 h."),
    sources=(ROCHESTER,),
    day=True,
    stands=(Said("stoma", "smell"),),
    reads=(Said("suction", "smell"), Said("stoma", "smell")),
)


_NEW_SMELL = mark("A new smell of the secretions at {time}.")
_STOMA_SMELL = mark("A smell at the stoma at {time}.")


def _smell(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    details = held.entry.details
    if held.entry.kind == "suction":
        if details.get("smell") != "new":
            return None
        return evidence(rule, ledger, held, Level.CALL, timed(_NEW_SMELL, ledger, held))
    if details.get("smell") is not True or _smelled_before(ledger, held):
        return None
    return evidence(rule, ledger, held, Level.CALL, timed(_STOMA_SMELL, ledger, held))


def _smelled_before(ledger: Ledger, held: Held) -> bool:
    for earlier in ledger.shelf("stoma").backward(order_of(held)):
        if "smell" in earlier.entry.details and earlier.first.id != held.first.id:
            return earlier.entry.details["smell"] is True
    return False


class SmellEvents(Events):
    """Smells; a look at the stoma is judged against the one before it."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("suction", "stoma"), partial(_smell, rule))

    def beside(self, shift: Shift) -> Iterator[str]:
        if shift.kind != "stoma":
            return
        for held in (shift.before, shift.after):
            if held is not None:
                later = self.ledger.shelf("stoma").forward(order_of(held))
                yield from islice((each.first.id for each in later if "smell" in each.entry.details), 1)


ROWS: tuple[Row, ...] = (
    (FROTH, single(("suction",), shows_froth, Level.URGENT, mark("Froth with blood at {time}."))),
    (
        BREATHING,
        single(
            ("suction",),
            shows_harder_breathing,
            Level.URGENT,
            mark("Breathing harder after suction at {time}."),
        ),
    ),
    (CATHETER, CatheterEvents),
    (
        CRACKLING,
        single(
            ("stoma",),
            shows_crackling,
            Level.URGENT,
            mark("Crackling under the skin at the stoma at {time}."),
        ),
    ),
    (SMELL, SmellEvents),
    (PLUG, single(("suction",), shows_plug, Level.CALL, mark("A mucus plug in the suction at {time}."))),
    (FOOD, single(("suction",), shows_food, Level.CALL, mark("Food or drink in the suction at {time}."))),
)
