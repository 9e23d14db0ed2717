"""What two rules see, said once where people read it; each rule keeps its own flag."""

from collections.abc import Iterable

from carelog.analysis.box import SPARES
from carelog.domain.flag import Flag, Level


def said_once(flags: Iterable[Flag]) -> list[Flag]:
    """The flags without an expired spare tube's own, where the box's says it at the same time."""
    found = list(flags)
    boxes = [flag for flag in found if flag.rule == "box_incomplete"]
    return [flag for flag in found if not (_is_of_spare(flag) and any(_overlap(flag, box) for box in boxes))]


def _is_of_spare(flag: Flag) -> bool:
    return flag.rule == "expiry" and flag.subject in SPARES and flag.level is Level.CALL


def _overlap(flag: Flag, box: Flag) -> bool:
    """Whether the box says it too, as long as the spare's own is there."""
    if flag.cleared_at is None:
        return box.cleared_at is None
    return box.raised_at < flag.cleared_at and (box.cleared_at is None or box.cleared_at > flag.raised_at)
