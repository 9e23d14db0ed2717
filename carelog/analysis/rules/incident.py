"""Incidents, by what happened."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.rule import EMERGENCY, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.text import mark, say

LEVELS = {
    "tube_out": Level.URGENT,
    "tube_blocked": Level.URGENT,
    "bleeding": Level.URGENT,
    "breathing": Level.URGENT,
    "power_cut": Level.CALL,
    "equipment": Level.CALL,
    "other": Level.NOTE,
}
INCIDENT = Rule(
    name="incident",
    title=mark("Incident"),
    subject=mark("what happened"),
    raised=mark("An incident was recorded. One that only ends another raises nothing."),
    level=mark(
        "urgent: tube out, tube blocked, bleeding, breathing hard. call: power cut, failed equipment. "
        "note: all others."
    ),
    clears=mark("Its end was recorded. Somebody was told. 24 h, if not urgent."),
    sources=(
        Source(mark("University of Rochester children's programme"), Status.FOUND),
        Source(mark("critical-care nursing review"), Status.FOUND),
    ),
    told=True,
    day=True,
)
_WORDS = {
    "tube_out": mark("Tube out at {time}."),
    "tube_blocked": mark("Tube blocked at {time}."),
    "bleeding": mark("Bleeding at {time}."),
    "breathing": mark("Breathing hard at {time}."),
    "power_cut": mark("Power cut at {time}."),
    "equipment": mark("Equipment failed at {time}."),
    "other": mark("An incident at {time}."),
}
_ENDED = mark("its end was recorded")


def _incident(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    details = held.entry.details
    what = details.get("what")
    if "ends" in details or what not in LEVELS:
        return None
    sign = evidence(rule, ledger, held, LEVELS[what], timed(_WORDS[what], ledger, held), subject=what)
    return sign if what != "breathing" else replace(sign, why=f"{sign.why} {say(EMERGENCY)}")


class IncidentEvents(Events):
    """Incidents, until the end that points at any entry of their chains."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("incident",), partial(_incident, rule))
        self._ends: dict[str, str] = {}

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        ended = self._ends.pop(shift.root, None)
        if ended is not None:
            self.look_again()
        target = shift.after.entry.details.get("ends") if shift.after is not None else None
        if target is not None:
            self._ends[shift.root] = target.lower()
        return changed or ended is not None or target is not None

    def needs(self, cut: Instant) -> Iterator[str]:
        """The incidents, and the ends of those that are kept or aren't here yet."""
        yield from super().needs(cut)
        kept = {sign.key for sign in self.kept_signs(cut)}
        for root, target in self._ends.items():
            if self.ledger.root.get(target) in {None, *kept}:
                yield root

    def has_ended(self, sign: Sign) -> bool:
        return any(self.ledger.root.get(target) == sign.key for target in self._ends.values())

    def ended_words(self) -> str:
        return say(_ENDED)


ROWS: tuple[Row, ...] = ((INCIDENT, IncidentEvents),)
