"""Looking through the spare-tube box: what to look for, and the check that comes of it.

What was typed once, sizes and dates, is carried over for what lay in the box before and lies there now. It
isn't for what was missing or opened: what has come in its place has a date of its own.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from carelog.analysis.box import SPARES, missing
from carelog.domain.entry import Details, Json
from carelog.kinds.words import ITEM
from carelog.text import mark, say

THERE, MISSING, OPENED = "present", "missing", "opened"
"""What may be found of an item, by the names of the fields of a check."""
ITEMS = tuple(str(option.value) for option in ITEM.options)
WHY = {
    "spare_same": mark("It takes the place of the tube if that has to come out."),
    "spare_smaller": mark(
        "For when the same size doesn't go in. Of 30 home kits that were looked at, 22 had none."
    ),
    "inner_tubes": mark("One is at hand while the other is being cleaned."),
    "syringe": mark("The cuff of a spare tube needs it."),
    "ties": mark("They hold the tube in place."),
    "dressing": mark("The stoma needs a fresh one after each change."),
    "mask": mark("It is small enough to cover the stoma."),
    "gel": mark("A tube goes in more easily with it."),
    "gloves": mark("They keep hands and stoma clean."),
    "scissors": mark("With round ends they cut the ties and not the skin."),
    "catheters": mark("Suction away from home needs them."),
    "tube_details": mark("Whoever helps reads the tube's size there."),
    "portable_suction": mark("It goes along wherever the person goes."),
    "contacts": mark("Whoever helps finds the numbers there."),
}
"""Why an item is in the box. Lists: SickKids family pages, St George's emergency equipment (FOUND); 22 of 30
(73 %): Amin et al., Pediatr Pulmonol 2017;52:1605-1609 (FOUND); the reasons: common practice, no source."""


def items_of(last: Details | None, tube: Details | None) -> list[str]:
    """What is looked for: what this tube needs, and what the last check named; in the order of the list."""
    needed = missing({}, tube)
    named: set[str] = set()
    if last is not None:
        named = {item for field in (THERE, MISSING, OPENED) for item in last.get(field, ())}
        named |= {item for item in SPARES if last.get(item)}
        if any(last.get(item, {}).get("cuff", "none") != "none" for item in SPARES):
            named.add("syringe")
    return [item for item in ITEMS if item in needed | named]


@dataclass(frozen=True, slots=True)
class BoxLook:
    """A look through the box that isn't saved yet: what was found of each item."""

    items: tuple[str, ...]
    found: Mapping[str, str]

    def find(self, item: str, state: str | None) -> "BoxLook":
        """The same with one item found so, or not looked at yet."""
        kept = {name: each for name, each in self.found.items() if name != item}
        return BoxLook(self.items, kept if state is None else kept | {item: state})

    @property
    def unseen(self) -> tuple[str, ...]:
        """The items that nobody looked at yet."""
        return tuple(item for item in self.items if item not in self.found)

    def all_else_there(self) -> "BoxLook":
        """The same with everything that wasn't looked at yet there."""
        return BoxLook(self.items, {item: self.found.get(item, THERE) for item in self.items})

    def check(self, last: Details | None) -> dict[str, Json]:
        """The details of the check; with what of the last one still holds."""
        made: dict[str, Json] = {}
        for state in (THERE, MISSING, OPENED):
            of_state = [item for item in self.items if self.found.get(item) == state]
            if of_state:
                made[state] = of_state
        kept = set(self._kept(last or {}))
        dates = {item: day for item, day in (last or {}).get("expiries", {}).items() if item in kept}
        if dates:
            made["expiries"] = dates
        for item in SPARES:
            if item in kept and (last or {}).get(item):
                made[item] = dict((last or {})[item])
        return made

    def _kept(self, last: Details) -> Iterable[str]:
        """What lay in the box at the last check, and lies there now, opened or not."""
        gone = {item for state in (MISSING, OPENED) for item in last.get(state, ())}
        for item in self.items:
            state = self.found.get(item)
            if (state == THERE and item not in gone) or (
                state == OPENED and item not in last.get(MISSING, ())
            ):
                yield item


def begin(last: Details | None, tube: Details | None) -> BoxLook:
    """A look at which nothing was found yet."""
    return BoxLook(tuple(items_of(last, tube)), {})


def why_words(item: str) -> str:
    """Why an item matters, in a sentence."""
    return say(WHY[item])
