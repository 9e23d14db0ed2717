"""What the newest good backup shows, for the page that must never be empty."""

from pathlib import Path
from typing import TYPE_CHECKING

from carelog.domain.moment import Instant
from carelog.ui.parts import Parts

if TYPE_CHECKING:
    from carelog.app.outlook import Picture


def newest_picture(parts: "Parts", path: Path, now: Instant) -> "tuple[Instant, Picture] | None":
    """When the newest good backup of a record was made, and what it shows at `now`; None: there is none."""
    from carelog.app.outlook import Outlook

    found = parts.newest_backup(path) if parts.newest_backup is not None else None
    if found is None:
        return None
    written, record = found
    try:
        return written, Outlook(record).picture(now)
    finally:
        record.close()
