"""The tube in place, and the time after it was taken out for good."""

from collections.abc import Sequence

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.domain.moment import Instant

TUBE_TASKS = frozenset(
    (
        "inner_tube",
        "cuff_pressure",
        "cuff_state",
        "ties",
        "humidity",
        "valve",
        "tube_change",
        "box_check",
    )
)
"""What no plan can ask for once the tube was taken out for good."""


def tubes(reading: Reading) -> Sequence[Held]:
    """All tubes that were placed, oldest first: tube changes that didn't fail."""
    return [held for held in reading.of("tube_change") if held.entry.details.get("ease") != "failed"]


def tube_events(reading: Reading) -> list[Held]:
    """The tubes that were placed and the decannulations, in reading order."""
    return sorted([*tubes(reading), *reading.of("decannulation")], key=order_of)


def tube_in_place(reading: Reading, at: Instant | None = None) -> Held | None:
    """The tube in place at an instant (None: by all that is known), or None when there is none."""
    last = _newest(reading, at)
    return last if last is not None and last.entry.kind == "tube_change" else None


def is_decannulated(reading: Reading, at: Instant | None = None) -> bool:
    """Whether the tube was taken out for good, and none was placed since."""
    last = _newest(reading, at)
    return last is not None and last.entry.kind == "decannulation"


def recannulated(reading: Reading, at: Instant | None = None) -> Instant | None:
    """When a tube was last placed after a decannulation, by an instant; None: never."""
    found, is_out = None, False
    for held in tube_events(reading):
        if at is not None and held.time > at:
            break
        if held.entry.kind == "tube_change" and is_out:
            found = held.time
        is_out = held.entry.kind == "decannulation"
    return found


def has_air_cuff(tube: Held | None) -> bool:
    """Whether the tube's cuff is filled with air; with no tube recorded it counts as such."""
    return tube is None or tube.entry.details["cuff"] == "air"


def _newest(reading: Reading, at: Instant | None) -> Held | None:
    found = [held for held in tube_events(reading) if at is None or held.time <= at]
    return found[-1] if found else None
