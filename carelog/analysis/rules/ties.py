"""Ties that are loose or tight, until one finger fits beneath them."""

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.newest import NewestSaying
from carelog.analysis.rules.rule import PRACTICE, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.text import mark

TIES_FIT = Rule(
    name="ties_fit",
    title=mark("Ties loose or tight"),
    raised=mark("The ties were found, or left, loose or tight."),
    level=mark("note"),
    clears=mark("A later entry about the ties: one finger fits. The tube taken out for good."),
    sources=(PRACTICE,),
    with_tube=True,
    stands=(Said("ties", "fit", ("one_finger",)),),
    until_told=(Said("ties", "fit", ("loose", "tight")),),
    reads=(Said("ties", "fit"),),
)
_WORDS = {
    "loose": mark("The ties were loose at {time}."),
    "tight": mark("The ties were tight at {time}."),
}
_FITS = mark("one finger fits, {time}")


def fits(details: Details) -> bool:
    """One finger fits beneath."""
    return bool(details.get("fit") == "one_finger")


class TiesEvents(Events):
    """Ties that don't fit, until they do."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("ties",), self._judged)
        self._fits = NewestSaying(ledger, "ties", fits)

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        words = _WORDS.get(held.entry.details.get("fit", ""))
        if words is None:
            return None
        return evidence(self.rule, ledger, held, Level.NOTE, timed(words, ledger, held))

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        if shift.kind != "ties" or not self._fits.take(shift):
            return changed
        if self._fits.fell_back:
            self.look_again()
        return changed or bool(self._live)

    def has_ended(self, sign: Sign) -> bool:
        held = self._fits.held
        return held is not None and order_of(held) > order_of(self.held_of(sign))

    def ended_words(self) -> str:
        return timed(_FITS, self.ledger, self._fits.held) if self._fits.held is not None else ""


ROWS: tuple[Row, ...] = ((TIES_FIT, TiesEvents),)
