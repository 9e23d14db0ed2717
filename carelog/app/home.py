"""What coming home reads of a record: what was arranged, who was shown what, and the tube in place."""

from carelog.analysis.homecoming import Homecoming, homecoming
from carelog.analysis.in_force import Reading
from carelog.analysis.past import FEW
from carelog.app.ports import Record
from carelog.domain.moment import Instant


def homecoming_of(record: Record, now: Instant) -> Homecoming:
    """Both lists as they stand now."""
    return homecoming(Reading(record.of_kinds(FEW), live_now=now), now)
