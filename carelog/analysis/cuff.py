"""Whether the cuff is up, as far as the entries say."""

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.tube import has_air_cuff, tube_in_place
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


def cuff_events(reading: Reading) -> list[Held]:
    """Everything that bears on the cuff, in reading order: tubes placed, and entries that say up or down."""
    found = [
        held
        for kind in ("tube_change", "cuff_state", "valve", "cuff_pressure")
        for held in reading.of(kind)
        if (
            held.entry.details.get("ease") != "failed"
            if kind == "tube_change"
            else cuff_says(held.entry) is not None
        )
    ]
    return sorted(found, key=order_of)


def is_known_up(reading: Reading, at: Instant | None = None) -> bool | None:
    """What was said last of the cuff since the tube in place was placed: up, down, or nothing (None)."""
    said: bool | None = None
    for held in cuff_events(reading):
        if at is None or held.time <= at:
            said = None if held.entry.kind == "tube_change" else cuff_says(held.entry)
    return said


def cuff_is_up(reading: Reading, at: Instant | None = None) -> bool:
    """Whether the cuff counts as up: it does where nothing was said since the tube was placed.

    A tube without a cuff has none up.
    """
    tube = tube_in_place(reading, at)
    if tube is not None and tube.entry.details["cuff"] == "none":
        return False
    return is_known_up(reading, at) is not False


def put_up(reading: Reading, at: Instant | None = None) -> Instant | None:
    """When an air cuff was last put up: it was down just before, or the tube before had no air cuff."""
    tube: Held | None = None
    is_up, last = True, None
    for held in cuff_events(reading):
        if at is not None and held.time > at:
            break
        was_active = has_air_cuff(tube) and is_up
        if held.entry.kind == "tube_change":
            tube, is_up = held, True
        else:
            is_up = cuff_says(held.entry) is True
        if has_air_cuff(tube) and is_up and not was_active:
            last = held.time
    return last
