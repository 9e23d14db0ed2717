"""What a record is at home, found without reading its whole history: its zone, and whether it has begun."""

from carelog.analysis.in_force import Held, Reading
from carelog.domain.moment import Home, Instant
from carelog.domain.record import FAR, Past
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER

OLDEST = 16
SET_UP = (RECORDER.name, PERSON.name, CONTACT.name, PLAN.name)  # what the first steps write


def home_of(record: Past) -> Home:
    """The home zone's clock: the newest person's, else the first entry's that gives one, else UTC.

    It is `Reading.home` of the few entries that settle it; `tests/flags/test_ledger.py` holds them together.
    """
    return Reading([entry for held in zone_givers(record) for entry in held.chain]).home


def holds_no_care(record: Past) -> bool:
    """Whether nothing stands in a record yet but who records, whom it is about, and what is planned."""
    return len(record.of_kinds(SET_UP)) == record.count()


def zone_givers(record: Past, known_by: Instant | None = None) -> list[Held]:
    """The entries in force that settle the home zone: the persons', else the first with a zone."""
    persons = Reading(record.of_kinds([PERSON.name]), known_by).held
    if any("home_zone" in each.entry.details for each in persons):
        return list(persons)
    return _first_zoned(record, known_by)


def _first_zoned(record: Past, known_by: Instant | None) -> list[Held]:
    """The first entry in force that names a zone, if any does: one of the oldest, hardly ever a later one."""
    count = OLDEST
    while True:
        found = record.zoned(count)
        times = sorted(entry.at.instant for entry in found if entry.zone)
        is_all = len(times) < count
        before = FAR if is_all else times[count - 1]
        # What a clock ahead dated to later counts from when it was written.
        early = [] if is_all else record.written(-FAR, before)
        held = Reading([*found, *early], known_by).held
        first = next((each for each in held if each.entry.zone and each.time < before), None)
        if first is not None or is_all:
            return [first] if first else []
        count *= 8
