"""Reads what nurses signed, whatever else of the record is read: a household has one visit a week at most."""

from carelog.analysis.home import home_of
from carelog.analysis.in_force import Reading
from carelog.analysis.visit.signed import Signed, signed
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.moment import Home
from carelog.kinds.visit import VISIT


def signed_in(record: Record, home: Home) -> Signed:
    """All signatures of a record, by the days of its home zone."""
    return signed(Reading(record.of_kinds([VISIT.name])), home)


def is_signed(record: Record, *entries: Entry) -> bool:
    """Whether a nurse has signed a day on which one of these entries stands."""
    found = signed_in(record, home_of(record))
    return any(found.covering(each.at.instant) is not None for each in entries)
