"""As much of a long record as flags, sheets and the kit of a period need; the whole of a short one.

What the rules on what was written look back at, however far: kinds of which a household writes few are taken
whole; of the frequent ones the weeks before the period, everything that shows what only a telling clears, the
newest few, and the newest that give a field whose last value stands until the next. Supplies are counted down
from their last count, so the weeks reach back to the oldest of these.
"""

from collections.abc import Iterable, Iterator

from carelog.analysis.in_force import DOUBTFUL_AFTER, Reading
from carelog.app.home import zone_givers
from carelog.app.ports import FAR, Record
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import DAY_24_H, Instant
from carelog.kinds import ALL

SHORT = 6000
"""Records of so many entries (some seven months) are read whole."""

WEEKS = 150 * DAY_24_H
"""Elapsed time before a period; the usual is judged from at most 75 days, a stay may lie between."""

NEWEST = 16

FREQUENT = (
    "suction",
    "inner_tube",
    "cuff_pressure",
    "cuff_state",
    "stoma",
    "ties",
    "humidity",
    "valve",
    "observations",
    "mouth_care",
    "box_check",
    "equipment_check",
    "shift",
    "note",
    "phrase",
    "outing",
)

SHOWING: tuple[tuple[str, str, tuple[Json, ...]], ...] = (
    ("suction", "blood", ("fresh",)),
    ("suction", "colour", ("red",)),
    ("suction", "frothy", (True,)),
    ("suction", "breathing_after", ("harder",)),
    ("suction", "catheter_passed", ("no", "tight")),
    ("stoma", "fluid", ("blood",)),
    ("stoma", "crackling", (True,)),
    ("inner_tube", "outcome", ("stuck",)),
    ("equipment_check", "works", (False,)),
)
"""What stands until somebody is told or until the next that says otherwise."""

STANDING: tuple[tuple[str, str], ...] = (
    ("suction", "vacuum"),
    ("suction", "smell"),
    ("inner_tube", "fitted"),
    ("stoma", "smell"),
    ("observations", "temperature_c"),
    ("observations", "temperature_f"),
    ("observations", "spo2_percent"),
    ("observations", "breaths_per_min"),
    ("observations", "pulse_per_min"),
    ("equipment_check", "next_service"),
    ("equipment_check", "canister"),
    ("equipment_check", "given_back"),
    ("valve", "cuff_down"),
)
"""Fields whose newest value stands, however old it is."""


def history(record: Record, start: Instant, end: Instant | None = None) -> list[Entry]:
    """The entries for a period from `start` to `end` (None: now, and what a clock ahead wrote)."""
    if record.count() <= SHORT:
        return record.everything()
    stock = record.of_kinds(["stock"])
    since = min([start - WEEKS, *_last_counts(stock, start)])
    found = {entry.id: entry for entry in _parts(record, since, end)}
    return sorted(found.values(), key=lambda entry: (entry.recorded_at, entry.id))


def _parts(record: Record, since: Instant, end: Instant | None) -> Iterator[Entry]:
    yield from record.of_kinds([kind.name for kind in ALL if kind.name not in FREQUENT])
    for held in zone_givers(record):
        yield from held.chain
    until = FAR if end is None else end + DOUBTFUL_AFTER
    yield from record.period(since, until)
    yield from record.written(since, FAR if end is None else end)
    if end is not None:
        yield from record.ahead(until)
    for kind in FREQUENT:
        yield from record.newest(kind, NEWEST, since)
    for kind, field, values in SHOWING:
        yield from record.saying(kind, field, values, before=since)
    for kind, field in STANDING:
        yield from record.saying(kind, field, count=NEWEST, before=since)


def _last_counts(stock: Iterable[Entry], start: Instant) -> Iterator[Instant]:
    """When each item was last counted before a moment."""
    last: dict[str, Instant] = {}
    for held in Reading(stock).of("stock"):
        if held.time < start and "count" in held.entry.details:
            last[held.entry.details["item"]] = held.time
    yield from last.values()
