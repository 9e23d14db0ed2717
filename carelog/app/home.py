"""The home zone of a record, found without reading its whole history."""

from carelog.analysis.in_force import Held, Reading
from carelog.app.ports import Record
from carelog.domain.moment import Home, Instant


def home_of(record: Record) -> Home:
    """The home zone's clock: the newest person's, else the first entry's that gives one, else UTC."""
    return Reading([entry for held in zone_givers(record) for entry in held.chain]).home


def zone_givers(record: Record, known_by: Instant | None = None) -> list[Held]:
    """The entries in force that settle the home zone: the persons', else the first with a zone."""
    persons = Reading(record.of_kinds(["person"]), known_by).held
    if any("home_zone" in each.entry.details for each in persons):
        return list(persons)
    # Only a household that never gave its home zone gets here: then every entry has to be looked at.
    first = next((each for each in Reading(record.everything(), known_by).held if each.entry.zone), None)
    return [first] if first else []
