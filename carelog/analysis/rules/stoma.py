"""The stoma worse than at the look before: one rule over many fields, and over several looks."""

from bisect import bisect_left
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from carelog.analysis.flags.ledger import Key, Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause, Episode
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import as_written, at
from carelog.analysis.rules.rule import PRACTICE, Rule
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Tracker
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H, Instant
from carelog.kinds.stoma import STOMA
from carelog.text import mark, say

WITHIN = 7 * DAY_24_H
LASTS = 7 * DAY_24_H
PAIN_UP = 3

STOMA_WORSE = Rule(
    name="stoma_worse",
    title=mark("Stoma worse"),
    raised=mark(
        "Something is worse than at the newest look within 7 days that tells of it. With no such look, it "
        "is held against whole skin, no fluid, a crust that wipes off, no pain, no swelling, no heat and "
        "redness that fades. Fluid from the tube and blood are kept apart. Pain counts from 3 more."
    ),
    level=mark(
        "note. call for broken skin, for coloured fluid from the skin edge, or for redness that doesn't "
        "fade. call also when two things are worse and not yet back, or with a temperature flag at the "
        "same time."
    ),
    clears=mark("One later look in which all that got worse is back where it was. Else 7 days."),
    sources=(PRACTICE,),
    looks_back=60 * DAY_24_H,
    leans_on=("temperature",),
)
SCALES: Mapping[str, Mapping[object, int]] = {
    "skin": {"whole": 0, "red": 1, "broken": 2, "overgrown": 2},
    "fluid": {"none": 0, "clear": 1, "coloured": 2},
    "crust": {"none": 0, "wipes_off": 1, "stuck": 2},
    "swelling": {False: 0, True: 1},
    "heat": {False: 0, True: 1},
    "redness_fades": {True: 0, False: 1},
}
FIELDS = (*SCALES, "pain")
WITH_NONE_BEFORE = dict.fromkeys(FIELDS, 0) | {"crust": 1}
_HEADLINE = mark("Stoma worse at {time}: {fields}.")
_FIRST = mark("Stoma at {time}: {fields}.")
_COMPARED = mark("No look of the 7 days before tells of it: compared with whole skin and nothing else there.")
_BACK = mark("back to what it was, {time}")
_NOT_BACK = mark("7 days without a worse look; nobody wrote that it is back to what it was")
_FEVER = mark("A temperature is flagged too.")


def ranks(details: Details) -> dict[str, int]:
    """How far each given field is from well; fluid from the tube and blood stand outside the scale."""
    found = {}
    for name, scale in SCALES.items():
        if name in details and details[name] in scale:
            found[name] = scale[details[name]]
    if details.get("fluid_from") == "tube":
        found.pop("fluid", None)
    if "pain" in details:
        found["pain"] = details["pain"]
    return found


def worsened(now: Mapping[str, int], before: Mapping[str, int]) -> dict[str, int]:
    """The fields that are worse than before, with what they were."""
    return {
        name: before[name]
        for name, rank in now.items()
        if rank >= before[name] + (PAIN_UP if name == "pain" else 1)
    }


def calls(details: Details) -> bool:
    """Broken skin, coloured fluid from the skin edge, redness that doesn't fade."""
    edge = details.get("fluid") == "coloured" and details.get("fluid_from") == "skin_edge"
    return details.get("skin") == "broken" or edge or details.get("redness_fades") is False


@dataclass(frozen=True, slots=True)
class Worse:
    """What is worse after some look: each worsened field with what it was before, and those not yet back."""

    before: Mapping[str, int]
    away: frozenset[str]
    last: Instant
    level: Level
    shown: tuple[Held, ...]
    fields: tuple[str, ...]
    is_first: bool = False
    """Whether no earlier look told of what is worse at the newest."""


def after_look(state: Worse | None, held: Held, given: Mapping[str, int]) -> Worse | None:
    """What is worse after this look; `given` is what each field was before it, as far as anybody said."""
    now, earlier = ranks(held.entry.details), {**WITH_NONE_BEFORE, **given}
    if state is not None and held.time >= state.last + LASTS:
        state = None
    worse = worsened(now, earlier)
    if state is not None and all(name in now and now[name] <= was for name, was in state.before.items()):
        state = None
    if not worse:
        return state and replace(state, away=_away(state, now))
    if state is None:
        state = Worse({}, frozenset(), held.time, Level.NOTE, (), ())
    before = {**worse, **state.before}
    away = _away(state, now) | {name for name in worse if now[name] > before[name]}
    is_call = len(away) > 1 or calls(held.entry.details)
    return Worse(
        before=before,
        away=away,
        last=held.time,
        level=max(state.level, Level.CALL if is_call else Level.NOTE),
        shown=(*state.shown, held),
        fields=tuple(worse),
        is_first=not given.keys() & worse.keys(),
    )


def _away(state: Worse, now: Mapping[str, int]) -> frozenset[str]:
    back = {name for name, was in state.before.items() if name in now and now[name] <= was}
    again = {name for name, was in state.before.items() if name in now and now[name] > was}
    return (state.away - back) | again


class StomaTracker(Tracker):
    """What is worse after each look, in their order; a look that comes late has those after it read anew."""

    kinds = ("stoma", "observations", "plan")

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger)
        self._keys: list[Key] = []
        self._states: list[Worse | None] = []
        self._fever: Episode | None = None
        self.fever: Callable[[], Episode | None] = lambda: None

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind != "stoma":
            return bool(self._states) and self._states[-1] is not None
        places = [order_of(held) for held in (shift.before, shift.after) if held is not None]
        start = bisect_left(self._keys, min(places))
        if shift.before is None and start < len(self._keys) and self._keys[start] == places[0]:
            return True
        del self._keys[start:], self._states[start:]
        state = self._states[-1] if self._states else None
        shelf = self.ledger.shelf("stoma")
        for held in shelf.held[start:]:
            state = after_look(state, held, self._earlier(held))
            self._keys.append(order_of(held))
            self._states.append(state)
        return True

    def _earlier(self, held: Held) -> dict[str, int]:
        found: dict[str, int] = {}
        for look in self.ledger.shelf("stoma").backward(order_of(held)):
            if held.time - look.time > WITHIN or len(found) == len(FIELDS):
                break
            found = {**ranks(look.entry.details), **found}
        return found

    def _state(self, now: Instant) -> Worse | None:
        state = self._states[-1] if self._states else None
        return state if state is not None and now < state.last + LASTS else None

    def wake(self, now: Instant) -> Instant:
        state = self._state(now)
        return state.last + LASTS if state is not None else NEVER

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        state = self._state(now)
        if state is None:
            self._fever = None
            return []
        fever = self._has_fever()
        newest = state.shown[-1]
        details = newest.entry.details
        fields = ", ".join(field_words(name, details) for name in state.fields)
        words = _FIRST if state.is_first else _HEADLINE
        beside = [say(_COMPARED)] if state.is_first else []
        beside += [say(_FEVER)] if fever else []
        why = " ".join([as_written(self.ledger, newest), *beside])
        return [
            Sign(
                key="worse",
                subject=None,
                level=Level.CALL if fever else state.level,
                entries=tuple(held.entry.id for held in state.shown),
                known=newest.known,
                time=newest.time,
                headline=say(words).format(time=at(self.ledger, newest), fields=fields),
                why=why,
            )
        ]

    def _has_fever(self) -> bool:
        """Whether a temperature flag was in force during the episode, and hasn't been taken back since."""
        self._fever = self.fever() or self._fever
        if self._fever is not None and self._fever.annulled:
            self._fever = None
        return self._fever is not None

    def inherit(self, before: Tracker) -> None:
        if isinstance(before, StomaTracker):
            self._fever = before._fever

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        if self._states and self._states[-1] is not None:
            return say(_NOT_BACK)
        if len(self._states) < 2 or self._states[-2] is None:
            return ""
        return say(_BACK).format(time=at(self.ledger, self.ledger.shelf("stoma").held[-1]))


def field_words(name: str, details: Details) -> str:
    """One finding of a look in words."""
    field = STOMA.field(name)
    words = field.type.words(details[name]) if field is not None else str(details[name])
    return (
        f"{say(field.label)} {words}"
        if field is not None and name in ("skin", "fluid", "crust", "pain")
        else words
    )


ROWS: tuple[Row, ...] = ((STOMA_WORSE, StomaTracker),)
