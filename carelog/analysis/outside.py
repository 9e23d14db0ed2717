"""Which numbers of an entry in force lie outside the limits of its moment, for the marks on rows."""

from bisect import bisect_left, bisect_right
from functools import cached_property

from carelog.analysis.cuff import TUBE, cuff_events, cuff_says
from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.limits import READ, Against, Cuff, Outside, outside, outside_words
from carelog.analysis.people import comes_of_age, person
from carelog.analysis.plans import plans
from carelog.analysis.revision import revision_of
from carelog.domain.entry import Details
from carelog.domain.kind import Kind
from carelog.domain.moment import Instant
from carelog.domain.units import plain, with_unit
from carelog.text import mark, say

_LEFT = mark("left {words}")
_UNJUDGED: tuple[Outside, ...] = ()
BEARING = ("plan", "person", *TUBE)
"""The kinds that settle the limits of a moment, however old; beside them `cuff.SAYS` how the cuff stood."""


class Judging:
    """The entries in force of a reading, each held against the limits of its own moment."""

    def __init__(self, reading: Reading) -> None:
        self._reading = reading
        self._plans = plans(reading)
        born = person(reading).born
        self._adult_from = None if born is None else reading.home.start_of(comes_of_age(born))

    def outside(self, held: Held) -> tuple[Outside, ...]:
        """What of an entry lies outside, in the order of its fields."""
        if held.entry.kind not in READ:
            return _UNJUDGED
        return outside(held.entry.kind, held.entry.details, self.against(held))

    def revision(self, held: Held) -> str | None:
        """What a plan changed of the one before it; None for any other entry."""
        return revision_of(self._plans, held.entry.id) if held.entry.kind == "plan" else None

    def against(self, held: Held) -> Against:
        """What an entry is held against."""
        place = bisect_right(self._plans, held.time, key=lambda plan: plan.since)
        given: Details = self._plans[place - 1].details.get("limits", {}) if place else {}
        is_adult = self._adult_from is not None and held.time >= self._adult_from
        is_cuff = held.entry.kind == "cuff_pressure"
        return Against(given, is_adult, self._cuff(held) if is_cuff else Cuff())

    def _cuff(self, held: Held) -> Cuff:
        keys, states = self._cuffs
        place = bisect_left(keys, order_of(held))
        is_air, was_up = states[place - 1] if place else (True, True)
        says = cuff_says(held.entry)
        return Cuff(is_air, was_up, was_up if says is None else says)

    @cached_property
    def _cuffs(self) -> tuple[list[tuple[Instant, Instant, str]], list[tuple[bool, bool]]]:
        """After each entry that bears on the cuff, by its place: whether it is air, and counts as up."""
        events = cuff_events(self._reading)
        return [order_of(each.held) for each in events], [(each.is_air, each.is_up) for each in events]


def mark_words(kind: Kind, details: Details, found: tuple[Outside, ...]) -> list[str]:
    """The marks of what lies outside, each with the number where it isn't in sight: “above 30 cmH2O”."""
    return [_words(kind, details, each) for each in found]


def _words(kind: Kind, details: Details, each: Outside) -> str:
    declared, words = kind.field(each.field), outside_words(each)
    if each.field == "value" or declared is None:
        return words
    if each.field == "value_after":
        return say(_LEFT).format(words=words)
    unit = details.get(f"{each.field}_unit", "")
    value = with_unit(details[each.field], unit) if unit else plain(details[each.field])
    return f"{say(declared.label)} {value} {words}".strip()
