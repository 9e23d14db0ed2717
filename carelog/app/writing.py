"""Who wrote last. What somebody only said, by a card or by coming, tells nothing of who records."""

from carelog.app.ports import FAR, Record
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant
from carelog.kinds import named_or_unknown

LOOKED_BACK = 20
"""After so many that were only said, nobody is taken for the writer."""


def is_writing(entry: Entry) -> bool:
    """Whether an entry's initials say who records."""
    return not named_or_unknown(entry.kind).is_speech


def last_writing(record: Record, before: Instant = FAR, by: str | None = None) -> Entry | None:
    """What was written last (before an instant, by somebody); None: nothing near says so."""
    for _ in range(LOOKED_BACK):
        found = record.last_written(before, by)
        if found is None or is_writing(found):
            return found
        before = found.recorded_at
    return None
