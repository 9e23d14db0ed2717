"""What stands beside the days: plans, tubes, illnesses and stays, and the restarts that follow from them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import Held
from carelog.analysis.plans import in_force
from carelog.analysis.usual.day import Span
from carelog.domain.entry import Details
from carelog.domain.moment import Instant, Moment
from carelog.domain.plan import FALSE_FLAGS_A_YEAR, Plan

BESIDE_THE_DAYS = ("plan", "tube_change", "ill", "stay", "gap")
TUBE_MAKES = ("suction", "secretions", "cuff", "inner_tube")
GROUPS = (*TUBE_MAKES, "readings")
TUBE_ALONE = ("cuff", "inner_tube")
TUBE_MAKE = ("id_mm", "od_mm", "length_mm", "cuff", "fenestrated", "inner_tube", "inner_id_mm", "size_mark")
FAR: Instant = 1 << 62


@dataclass(frozen=True, slots=True)
class Restart:
    """From this moment on a group of channels no longer compares with what was before."""

    time: Instant
    groups: tuple[str, ...]


def setting(plans: Sequence[Plan], now: Instant) -> float:
    """How many flags a year the plan in force allows when nothing has changed."""
    plan = in_force(plans, now)
    return plan.number("false_flags_a_year", FALSE_FLAGS_A_YEAR) if plan else FALSE_FLAGS_A_YEAR


def restarts(plans: Iterable[Plan], stands: Iterable[Held]) -> list[Restart]:
    """All restarts, in order of time."""
    found = []
    for plan in plans:
        groups = tuple(name for name in GROUPS if name in plan.details.get("restarts", ()))
        if groups:
            found.append(Restart(plan.since, groups))
    tube: Details | None = None
    for held in _in_order(stands, "tube_change"):
        details = held.entry.details
        if details.get("ease") != "failed":
            same = tube is None or all(_same(tube, details, name) for name in TUBE_MAKE)
            found.append(Restart(held.time, TUBE_ALONE if same else TUBE_MAKES))
            tube = details
    return sorted(found, key=lambda each: each.time)


def _in_order(stands: Iterable[Held], kind: str) -> list[Held]:
    found = [held for held in stands if held.entry.kind == kind]
    return sorted(found, key=lambda held: (held.time, held.known, held.entry.id))


def _same(before: Details, after: Details, name: str) -> bool:
    """Whether a tube's mark is the same; what only one of two entries says is no difference."""
    return name not in before or name not in after or bool(before[name] == after[name])


def spans(stands: Iterable[Held], kind: str) -> list[Span]:
    """From each start to the next end of illnesses or stays; one that goes on ends far ahead."""
    found: list[Span] = []
    start: Instant | None = None
    for held in _in_order(stands, kind):
        if held.entry.details.get("action") == "start":
            start = held.time if start is None else start
        elif start is not None:
            found.append((start, held.time))
            start = None
    return found if start is None else [*found, (start, FAR)]


def unwritten(stands: Iterable[Held]) -> list[Span]:
    """The times of which somebody said that nothing was written down."""
    found = ((_since(held), held.time) for held in _in_order(stands, "gap"))
    return [(since, until) for since, until in found if since is not None]


def _since(held: Held) -> Instant | None:
    try:
        return Moment.read(held.entry.details["since"]).instant
    except (LookupError, TypeError, ValueError):
        return None
