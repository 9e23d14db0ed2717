"""How far giving out the record has come, and where it stops when somebody asks for that."""

from collections.abc import Iterable, Iterator

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H
from carelog.domain.paper import Cancelled, IsCancelled, Progress
from carelog.export.archive import PER_SHEET, ROW
from carelog.text import mark, say

_STOPPED = mark("The export was stopped; nothing was written.")
_ROWS_AT_ONCE = 500
MOST_SHEETS = 4


class Headway:
    """Passes pieces on and tells the share of them in hundredths, each once; it may stop between two."""

    def __init__(self, progress: Progress | None, is_cancelled: IsCancelled | None) -> None:
        self._progress, self._is_cancelled = progress, is_cancelled
        self._whole, self._done, self._told = 1.0, 0.0, -1

    def expect(self, form: str, entries: list[Entry]) -> None:
        """Say how much there will be: about so many pieces, or so much work where they differ."""
        rows, days = len(entries), _days(entries)
        found = {
            "exchange": rows,
            "html": days,
            "fhir": 2 * rows,
            "zip": rows + ROW * rows + min(MOST_SHEETS, days // 7 + 1) * PER_SHEET,
        }
        self._whole = max(1.0, found.get(form, 2 * rows / _ROWS_AT_ONCE))

    def check(self) -> None:
        """Stop here, if somebody asked for that."""
        if self._is_cancelled is not None and self._is_cancelled():
            raise Cancelled(say(_STOPPED))

    def seen(self, pieces: Iterable[bytes], each: float = 1) -> Iterator[bytes]:
        """The pieces; `each`: how much of the whole one of them is."""
        for piece in pieces:
            self.step(each)
            yield piece

    def step(self, each: float = 1) -> None:
        """One piece more."""
        self.check()
        self._done += each
        share = min(99, int(100 * self._done / self._whole))
        if self._progress is not None and share > self._told:
            self._told = share
            self._progress(share)


def _days(entries: list[Entry]) -> int:
    """About how many days have entries."""
    moments = [entry.at.instant for entry in entries]
    return min(len(moments), (max(moments) - min(moments)) // DAY_24_H + 1) if moments else 0
