"""The tube in place."""

from collections.abc import Sequence

from carelog.analysis.in_force import Held, Reading
from carelog.domain.moment import Instant


def tubes(reading: Reading) -> Sequence[Held]:
    """All tubes that were placed, oldest first: tube changes that didn't fail."""
    return [held for held in reading.of("tube_change") if held.entry.details.get("ease") != "failed"]


def tube_in_place(reading: Reading, at: Instant | None = None) -> Held | None:
    """The tube in place at an instant (None: by all that is known), or None when none is recorded."""
    placed = [held for held in tubes(reading) if at is None or held.time <= at]
    return placed[-1] if placed else None


def has_air_cuff(tube: Held | None) -> bool:
    """Whether the tube's cuff is filled with air; with no tube recorded it counts as such."""
    return tube is None or tube.entry.details["cuff"] == "air"
