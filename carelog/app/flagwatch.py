"""The flags of now, entry by entry, with a derived file beside the record that saves reading all of it."""

import contextlib
from collections.abc import Iterable
from pathlib import Path

from carelog import paths
from carelog.analysis.flags.watch import Watch
from carelog.analysis.usual.comparison import Comparison
from carelog.app.ports import Arrival, Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant


def file_beside(record: Path) -> Path:
    """Where the state of a record's flags is kept; it may be deleted at any moment."""
    return record.with_name(f"{record.name}.flags")


class FlagWatch:
    """Keeps the flags of a record; `at` is slow once in a long record without its file, then never again."""

    def __init__(self, record: Record, file: Path | None) -> None:
        """`file` None keeps nothing on the disk."""
        self._record = record
        self._file = file
        self._watch = Watch.begin(self._kept(), record.everything, record.chain)
        if self._watch.arrival:
            self._watch.add(entry for _, entry in record.arrived(self._watch.arrival))

    def add(self, entries: Iterable[Entry]) -> None:
        """Take in what was saved here or arrived from elsewhere."""
        self._watch.add(entries)

    def at(self, now: Instant) -> tuple[Flag, ...]:
        """The flags in force at a moment, and those that ended within seven days before it."""
        return tuple(self._watch.at(now))

    @property
    def comparison(self) -> Comparison | None:
        """What stood beside the flags by statistics at the last look."""
        return self._watch.comparison

    def save(self, arrival: Arrival) -> None:
        """Keep the state for the next start; every entry up to this place of arrival was taken in.

        A disk that doesn't take it costs the next start some time and nothing else.
        """
        found = self._watch.save(arrival)
        if found is not None and self._file is not None and arrival:
            with contextlib.suppress(OSError):
                paths.replace_private(self._file, self._entry_at(arrival) + b"\n" + found)

    def _kept(self) -> bytes | None:
        """What was kept of this very file: the entry at its place of arrival is still the same."""
        try:
            first, _, rest = self._file.read_bytes().partition(b"\n") if self._file else (b"", b"", b"")
        except OSError:
            return None
        arrival = first.partition(b" ")[0]
        is_ours = arrival.isdigit() and first == self._entry_at(int(arrival))
        return rest if is_ours else None

    def _entry_at(self, arrival: Arrival) -> bytes:
        found = self._record.arrived(arrival - 1)[:1]
        return f"{arrival} {found[0][1].id if found and found[0][0] == arrival else ''}".encode()
