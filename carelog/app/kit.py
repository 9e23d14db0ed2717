"""As much of a record as the household's things need, and the things as they stand now."""

from datetime import timedelta

from carelog.analysis.home import zone_givers
from carelog.analysis.in_force import Reading
from carelog.analysis.past import FEW
from carelog.analysis.supplies import USING
from carelog.analysis.things import Things, things
from carelog.app.ports import FAR, Record
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant
from carelog.domain.record import Saying
from carelog.domain.sure import SURE
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.stock import STOCK

DAYS = 112
"""So many days are read whole: use and pace of late, and how they vary."""
MACHINE = ("device", "name")
ENOUGH = 60
"""Of each machine so many checks that say a thing: the newest may have been changed since."""


def things_of(record: Record, now: Instant, sure: int = SURE[0]) -> Things:
    """The household's things now; in so many of 100, `sure`, the stock is to outlast a delivery."""
    return things(reading_of(record, now), now, sure)


def reading_of(record: Record, now: Instant) -> Reading:
    """What the things are read from; what it costs grows with how long ago something was last counted."""
    entries = {entry.id: entry for entry in record.of_kinds(FEW)}
    entries |= {entry.id: entry for held in zone_givers(record) for entry in held.chain}
    reading = Reading(entries.values(), live_now=now)
    home = reading.home
    recent = _start(home, now)
    for found in (record.period(recent, FAR), *_uses(record, reading, recent), *_checks(record)):
        entries |= {entry.id: entry for entry in found}
    return Reading(entries.values(), live_now=now)


def _start(home: Home, now: Instant) -> Instant:
    try:
        return home.start_of(home.day(now) - timedelta(days=DAYS))
    except OverflowError:  # a clock at the calendar's beginning
        return -FAR


def _uses(record: Record, reading: Reading, before: Instant) -> list[list[Entry]]:
    """What was used up since the oldest of the newest counts, where that lies further back."""
    counted = {
        held.entry.details["item"]: held.time
        for held in reading.of(STOCK.name)
        if "count" in held.entry.details
    }
    oldest = min(counted.values(), default=before)
    return [record.saying(kind, "", since=oldest, before=before) for kind in USING] if oldest < before else []


def _checks(record: Record) -> list[list[Entry]]:
    """The newest checks of each machine, and the newest that say each thing."""
    fields = [each.name for each in EQUIPMENT_CHECK.fields if each.name not in MACHINE]
    return record.sayings([Saying(EQUIPMENT_CHECK.name, name, count=ENOUGH, each=MACHINE) for name in fields])
