"""A record's pages into another file, some at a time: whoever saves meanwhile waits for those alone."""

from typing import Any

from carelog.domain.turn import give_way

STRETCH = 500
"""So many pages (2 MB) are copied between two moments at which others may write: some 10 ms."""
OVERTAKEN = 3
"""So often SQLite begins anew because something was written meanwhile; then all goes in one stretch."""
_DONE = (0, 101)  # SQLITE_OK, SQLITE_DONE: pages were copied, and the file was not somebody else's just then


class _Overtaken(Exception):
    """Others write more quickly than is copied."""


def copy_pages(source: Any, target: Any, stretch: int = STRETCH) -> None:
    """Copy the file behind one connection of the driver, as it is at one moment, into that behind another.

    Between two stretches nobody holds the file. SQLite sees it when something was written to it meanwhile,
    and begins anew: what comes out is never put together from before and after.
    """
    left: int | None = None
    anew = 0

    def look(status: int, remaining: int, _total: int) -> None:
        nonlocal left, anew
        if status in _DONE:
            anew += left is not None and remaining >= left
            left = remaining
        if anew > OVERTAKEN:
            raise _Overtaken
        give_way()

    try:
        source.backup(target, pages=stretch, progress=look, sleep=0.005)
    except _Overtaken:
        source.backup(target, sleep=0.005)
