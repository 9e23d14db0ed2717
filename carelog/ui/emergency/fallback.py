"""What the newest good backup shows, for the page that must never be empty."""

from pathlib import Path
from typing import TYPE_CHECKING

from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble
from carelog.text import say
from carelog.ui.parts import Parts

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.domain.paper import SheetRequest


def backup_sheet(parts: "Parts", path: Path, request: "SheetRequest") -> bytes:
    """A sheet of what the newest good backup of a record holds; `Trouble` where there is none."""
    from carelog.app.history import of_days

    newest = parts.newest_backup(path) if parts.newest_backup is not None else None
    if newest is None:
        raise Trouble(say("There is no copy that can be read."))
    _written, record = newest
    sheets = parts.sheets()
    try:
        found = of_days(record, sheets.days(request), request.now)
        name = record.person().name
        return sheets.make(request, found.entries, name, find_flags=found.find_flags, usual=found.usual)
    finally:
        record.close()


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
