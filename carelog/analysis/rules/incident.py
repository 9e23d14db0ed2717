"""Incidents, by what happened."""

from collections.abc import Iterator
from dataclasses import replace

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.night import helped_by
from carelog.analysis.rules.rule import ANY_LEVEL, EMERGENCY, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row, root_of
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.text import mark, say

CALLED_FOR_CALL = ("team", "emergency")
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
    by_rivals=ANY_LEVEL,
    title=mark("Incident"),
    subject=mark("what happened"),
    raised=mark("An incident was recorded. One that only ends another raises nothing."),
    level=mark(
        "urgent: tube out, tube blocked, bleeding, breathing hard, a power cut with a ventilator always. "
        "call: another power cut, failed equipment. note: all others. One step less where somebody was "
        "called: for an urgent one the emergency number, for a call the team too."
    ),
    clears=mark("Its end was recorded. Somebody was told. 24 h, if not urgent."),
    sources=(
        Source(mark("University of Rochester children's programme"), Status.FOUND),
        Source(mark("critical-care nursing review"), Status.FOUND),
    ),
    told=True,
    day=True,
    falls=True,
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


def level_of(details: Details, helped: str | None) -> Level:
    """How serious an incident is; `helped`: what helped the person to breathe at that time."""
    what, called = details["what"], details.get("called")
    level = LEVELS[what]
    if what == "power_cut" and helped == "ventilator_always":
        level = Level.URGENT
    if level is Level.URGENT:
        return Level.CALL if called == "emergency" else level
    return Level.NOTE if level is Level.CALL and called in CALLED_FOR_CALL else level


def _incident(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    details = held.entry.details
    what = details.get("what")
    if "ends" in details or what not in LEVELS:
        return None
    level = level_of(details, helped_by(ledger, held.time))
    sign = evidence(rule, ledger, held, level, timed(_WORDS[what], ledger, held), subject=what)
    why = f"{sign.why} {say(EMERGENCY)}" if what == "breathing" else sign.why
    return replace(sign, why=why, called=details.get("called") in CALLED_FOR_CALL)


class IncidentEvents(Events):
    """Incidents, until the end that points at any entry of their chains."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("incident", "person"), self._judged)
        self._ends: dict[str, str] = {}

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        return _incident(self.rule, ledger, held) if held.entry.kind == "incident" else None

    def beside(self, shift: Shift) -> Iterator[str]:
        """How serious a power cut is depends on what is known of the person."""
        if shift.kind == "person":
            held = self.ledger.shelf("incident").held
            yield from (each.first.id for each in held if each.entry.details.get("what") == "power_cut")

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        ended = self._ends.pop(shift.root, None)
        if ended is not None:
            self.look_again()
        is_here = shift.kind == "incident" and shift.after is not None
        target = shift.after.entry.details.get("ends") if is_here and shift.after is not None else None
        if target is not None:
            self._ends[shift.root] = target.lower()
        return changed or ended is not None or target is not None

    def has_ended(self, sign: Sign) -> bool:
        return any(self.ledger.root_of(target) == root_of(sign) for target in self._ends.values())

    def ended_words(self) -> str:
        return say(_ENDED)


ROWS: tuple[Row, ...] = ((INCIDENT, IncidentEvents),)
