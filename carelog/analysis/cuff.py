"""Whether the cuff is up, as far as the entries say."""

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.tube import has_air_cuff, is_decannulated, tube_events, tube_in_place
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant
from carelog.domain.units import comparable

LEFT_UP = 5
"""cmH2O: a cuff left at this or more counts as up (common practice, no source)."""


def cuff_says(entry: Entry) -> bool | None:
    """What an entry says of the cuff: up (True), down (False), or nothing (None)."""
    details = entry.details
    if entry.kind == "cuff_state":
        return bool(details["state"] == "up")
    if entry.kind == "valve":
        return not details["cuff_down"] if "cuff_down" in details else None
    if entry.kind == "cuff_pressure":
        left = details.get("value_after", details["value"])
        if comparable(left, details["unit"], "cmH2O") >= LEFT_UP:
            return True
        return False if details.get("value_after", 1) <= 0 else None
    return None


SAYS = ("cuff_state", "valve", "cuff_pressure")
"""The kinds that may say whether the cuff is up."""
TUBE = ("tube_change", "decannulation")
"""After these nothing that was said of the cuff before counts."""


def cuff_events(reading: Reading) -> list[Held]:
    """What bears on the cuff, in reading order: tubes placed or taken out, and what says up or down."""
    said = [held for kind in SAYS for held in reading.of(kind) if cuff_says(held.entry) is not None]
    return sorted([*tube_events(reading), *said], key=order_of)


def active_cuff(reading: Reading) -> list[tuple[Instant, bool]]:
    """The moments at which an air cuff went up, or came down or away: (when, is up); up before the first."""
    found: list[tuple[Instant, bool]] = []
    has_air, is_up = True, True
    for held in cuff_events(reading):
        if held.entry.kind in TUBE:
            has_air = held.entry.kind == "tube_change" and has_air_cuff(held)
            is_up = True
        else:
            is_up = cuff_says(held.entry) is True
        if (has_air and is_up) != (found[-1][1] if found else True):
            found.append((held.time, has_air and is_up))
    return found


def is_known_up(reading: Reading, at: Instant | None = None) -> bool | None:
    """What was said last of the cuff since the tube in place was placed: up, down, or nothing (None)."""
    said: bool | None = None
    for held in cuff_events(reading):
        if at is None or held.time <= at:
            said = None if held.entry.kind in TUBE else cuff_says(held.entry)
    return said


def cuff_is_up(reading: Reading, at: Instant | None = None) -> bool:
    """Whether the cuff counts as up: it does where nothing was said since the tube was placed.

    A tube without a cuff has none up, and no tube after a decannulation either.
    """
    tube = tube_in_place(reading, at)
    if tube is not None and tube.entry.details["cuff"] == "none":
        return False
    return not is_decannulated(reading, at) and is_known_up(reading, at) is not False


def put_up(reading: Reading, at: Instant | None = None) -> Instant | None:
    """When an air cuff was last put up: it was down just before, or the tube before had no air cuff."""
    ups = [time for time, is_up in active_cuff(reading) if is_up and (at is None or time <= at)]
    return ups[-1] if ups else None
