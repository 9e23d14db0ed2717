"""Left home without what is needed at once: a spare tube, the portable suction, catheters."""

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import at, evidence
from carelog.analysis.rules.newest import NewestSaying
from carelog.analysis.rules.rule import PRACTICE, Rule
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import Instant
from carelog.kinds.words import ITEM
from carelog.text import mark, say

NEEDED = ("spare_same", "spare_smaller", "portable_suction", "catheters")

LEFT_WITHOUT = Rule(
    name="left_without",
    title=mark("Left home without"),
    raised=mark(
        "An outing began, and what was missing holds a spare tube, the portable suction or the catheters."
    ),
    level=mark("call"),
    clears=mark("Back from the outing. A later outing without these missing. The tube taken out for good."),
    sources=(PRACTICE,),
    with_tube=True,
    matter=Matter.KIT,
)
_LEFT = mark("Left home at {time} without: {items}.")
_BACK = mark("back {time}")
_COMPLETE = mark("left with all of it {time}")


def lacking(details: Details) -> list[str]:
    """What is needed at once and was missing when leaving, in the order of the box."""
    missing = details.get("missing", []) if details.get("action") == "leaving" else []
    return [item for item in NEEDED if item in missing]


def ends(details: Details) -> bool:
    """Back, or off again with all that is needed."""
    return not lacking(details)


class OutingEvents(Events):
    """Outings without what is needed, until somebody is back or leaves with it."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("outing",), self._judged)
        self._end = NewestSaying(ledger, "outing", ends)

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        items = lacking(held.entry.details)
        if not items:
            return None
        names = ", ".join(ITEM.words(item) for item in items)
        headline = say(_LEFT).format(time=at(ledger, held), items=names)
        return evidence(self.rule, ledger, held, Level.CALL, headline)

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        if shift.kind != "outing" or not self._end.take(shift):
            return changed
        if self._end.fell_back:
            self.look_again()
        return changed or bool(self._live)

    def has_ended(self, sign: Sign) -> bool:
        held = self._end.held
        return held is not None and order_of(held) > order_of(self.held_of(sign))

    def ended_words(self) -> str:
        held = self._end.held
        if held is None:
            return ""
        words = _BACK if held.entry.details.get("action") == "back" else _COMPLETE
        return say(words).format(time=at(self.ledger, held))


ROWS: tuple[Row, ...] = ((LEFT_WITHOUT, OutingEvents),)
