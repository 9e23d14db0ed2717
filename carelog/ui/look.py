"""What the window shows of the record at a moment, worked out in the reader's thread."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Instant
from carelog.ui.board.order import every_tile

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held, Reading
    from carelog.app.outlook import Outlook, Picture
    from carelog.app.reckoning import Doubt


@dataclass(frozen=True, slots=True)
class Looked:
    """The picture, whom to call for each level, and what each tile recorded last."""

    picture: "Picture"
    calls: Mapping[Level, str]
    lasts: "Mapping[str, Held]"
    flags: Sequence[Flag] | None
    """None: not read yet."""


def look(outlook: "Outlook", now: Instant, doubt: "Doubt | None" = None) -> Looked:
    """Look at the record through the outlook; its cost doesn't grow with the history.

    While the clock is in doubt, flags are those of the newest entry's moment, and dues aren't known.
    """
    from carelog.analysis.people import contact_for, contact_words

    picture, reading = outlook.picture(now), outlook.reading()
    if doubt is not None:
        as_of = picture.last_known or now
        picture = replace(outlook.picture(as_of), as_of=as_of, dues=())
    calls = {level: contact_words(level, contact_for(level, reading, picture.plan, now)) for level in Level}
    return Looked(picture, calls, lasts(reading), picture.flags)


def lasts(reading: "Reading") -> "dict[str, Held]":
    """The newest entry that a tile's words are true of, by the tile's name."""
    found: dict[str, Held] = {}
    for placed in every_tile():
        records = placed.tile.records or {}
        for held in reversed(reading.of(placed.kind.name)):
            details = held.entry.details
            if all(details.get(name) == value for name, value in records.items()):
                found[placed.name] = held
                break
    return found
