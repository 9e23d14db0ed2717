"""Swelling at the stoma within a day after a tube change."""

from collections.abc import Iterator
from dataclasses import replace

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.rule import PRACTICE, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H
from carelog.text import mark

WITHIN = DAY_24_H

SWELLING = Rule(
    name="swelling_after_change",
    title=mark("Swelling after a tube change"),
    raised=mark("The stoma was swollen within 24 h after a tube change, one that failed too."),
    level=mark("call"),
    clears=mark("Somebody was told. 24 h."),
    sources=(PRACTICE,),
    told=True,
    day=True,
    looks_back=2 * DAY_24_H,
    reads=(Said("stoma", "swelling", (True,)),),
)
_SWOLLEN = mark("Swelling at the stoma at {time}, within 24 h after a tube change.")


class SwellingEvents(Events):
    """Looks at a swollen stoma, each with the change before it."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("stoma", "tube_change"), self._judged)

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        if held.entry.kind != "stoma" or held.entry.details.get("swelling") is not True:
            return None
        change = next((each for each in self._before(held)), None)
        if change is None:
            return None
        sign = evidence(self.rule, ledger, held, Level.CALL, timed(_SWOLLEN, ledger, held))
        known = ledger.first_known(change, lambda each: _is_change(each) and _is_near(each, held))
        return replace(sign, entries=(held.entry.id, change.entry.id), known=max(sign.known, known))

    def _before(self, held: Held) -> Iterator[Held]:
        """The tube changes in the 24 h before a look, the newest first."""
        for change in self.ledger.shelf("tube_change").backward(order_of(held)):
            if not _is_near(change, held):
                return
            if _is_change(change):
                yield change

    def beside(self, shift: Shift) -> Iterator[str]:
        if shift.kind != "tube_change":
            return
        for change in (shift.before, shift.after):
            if change is not None:
                near = self.ledger.shelf("stoma").between(change.time, change.time + WITHIN)
                yield from (look.first.id for look in near)


def _is_change(held: Held) -> bool:
    """Whether a tube was changed then, or somebody tried; the first entry tells of a tube placed before."""
    return bool(held.entry.details.get("reason") != "first_entry")


def _is_near(change: Held, look: Held) -> bool:
    return change.time <= look.time <= change.time + WITHIN


ROWS: tuple[Row, ...] = ((SWELLING, SwellingEvents),)
