"""What stands beside the days: plans, tubes, illnesses and stays, and the restarts that follow from them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from carelog.analysis.usual.day import Span
from carelog.domain.entry import Details
from carelog.domain.moment import Home, Instant, Moment
from carelog.domain.plan import FALSE_FLAGS_A_YEAR

STANDING_KINDS = ("plan", "tube_change", "ill", "stay", "person")
GROUPS = ("suction", "secretions", "cuff", "inner_tube")
TUBE_ALONE = ("cuff", "inner_tube")
TUBE_MAKE = ("id_mm", "od_mm", "length_mm", "cuff", "fenestrated", "inner_tube", "inner_id_mm", "size_mark")
FAR = 2**62


@dataclass(frozen=True, slots=True, order=True)
class Stand:
    """A standing entry in force."""

    time: Instant
    known: Instant
    id: str
    chain: str
    kind: str
    details: Details


@dataclass(frozen=True, slots=True)
class Restart:
    """From this moment on a group of channels no longer compares with what was before."""

    time: Instant
    groups: tuple[str, ...]


def plan_start(stand: Stand) -> Instant:
    """From when a plan is in force."""
    since = stand.details.get("from")
    return Moment.read(since).instant if since else stand.time


def setting(stands: Iterable[Stand], now: Instant) -> int:
    """How many flags a year the plan in force allows when nothing has changed."""
    plans = sorted((plan_start(each), each) for each in stands if each.kind == "plan")
    in_force = [each for start, each in plans if start <= now]
    found: int = in_force[-1].details.get("false_flags_a_year", FALSE_FLAGS_A_YEAR) if in_force else FALSE_FLAGS_A_YEAR
    return found


def restarts(stands: Iterable[Stand]) -> list[Restart]:
    """All restarts, in order of time."""
    found, tube = [], None
    for stand in sorted(stands):
        if stand.kind == "plan":
            groups = tuple(name for name in stand.details.get("restarts", ()) if name in GROUPS)
            if groups:
                found.append(Restart(plan_start(stand), groups))
        elif stand.kind == "tube_change" and stand.details.get("ease") != "failed":
            same = tube is None or all(_same(tube, stand.details, name) for name in TUBE_MAKE)
            found.append(Restart(stand.time, TUBE_ALONE if same else GROUPS))
            tube = stand.details
    return sorted(found, key=lambda each: each.time)


def _same(before: Details, after: Details, name: str) -> bool:
    """Whether a tube's mark is the same; what only one of two entries says is no difference."""
    return name not in before or name not in after or bool(before[name] == after[name])


def spans(stands: Iterable[Stand], kind: str) -> list[Span]:
    """From each start to the next end of illnesses or stays; one that goes on ends far ahead."""
    found: list[Span] = []
    start: Instant | None = None
    for stand in sorted(each for each in stands if each.kind == kind):
        if stand.details.get("action") == "start":
            start = stand.time if start is None else start
        elif start is not None:
            found.append((start, stand.time))
            start = None
    return found if start is None else [*found, (start, FAR)]


def zone(stands: Iterable[Stand], first: str) -> str:
    """The home zone: the newest that a person entry gives, else the first entry's."""
    named = [each.details["home_zone"] for each in sorted(stands) if each.details.get("home_zone")]
    return named[-1] if named else first


def home_of(stands: Sequence[Stand], first: str) -> Home:
    """The home zone's clock."""
    return Home(zone(stands, first) or "UTC")
