"""As much of a record as going out needs, and what is taken along as things stand now."""

from carelog.analysis.outing import GoingOut, going_out
from carelog.app.kit import reading_of
from carelog.app.ports import Record
from carelog.domain.moment import Instant


def going_out_of(record: Record, now: Instant) -> GoingOut:
    """What is taken along now."""
    return going_out(reading_of(record, now), now)
