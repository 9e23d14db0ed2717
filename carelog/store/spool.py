"""Rows that wait to be added: in memory while they are few, else in a nameless file that only we can read."""

import marshal
import tempfile
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import IO, NamedTuple

from carelog import paths
from carelog.store.rows import StoredRow

IN_MEMORY = 96 * 1024 * 1024
_AT_ONCE = 1000
_BYTES_AT_ONCE = 4 * 1024 * 1024
_PER_ROW = 800  # bytes of a row beside its texts, about


class Numbered(NamedTuple):
    """A row and the line it came from."""

    number: int
    row: StoredRow


class Spool:
    """Keeps rows in their order and gives them back batch by batch, as often as asked."""

    def __init__(self, in_memory: int = IN_MEMORY) -> None:
        """`in_memory`: bytes after which rows go to the disk."""
        self._left = in_memory
        self._kept: list[list[Numbered]] = []
        self._file: IO[bytes] | None = None
        self._starts = [0]
        self._waiting: list[Numbered] = []
        self._waiting_bytes = 0
        self._count = 0

    def __len__(self) -> int:
        return self._count

    def add(self, row: Numbered) -> None:
        """Put one more row behind the others."""
        self._count += 1
        self._waiting.append(row)
        self._waiting_bytes += _PER_ROW + len(row.row.details) + len(row.row.note)
        if len(self._waiting) >= _AT_ONCE or self._waiting_bytes > _BYTES_AT_ONCE:
            self._flush()

    def batches(self) -> Iterator[Sequence[Numbered]]:
        """All rows, in batches of at most 1000 and a few MiB."""
        self._flush()
        yield from self._kept
        for start, end in pairwise(self._starts):
            assert self._file is not None
            self._file.seek(start)
            rows = marshal.loads(self._file.read(end - start))
            yield [Numbered(number, StoredRow(*row)) for number, *row in rows]

    def close(self) -> None:
        """Let the rows go."""
        if self._file is not None:
            self._file.close()

    def _flush(self) -> None:
        batch, size = self._waiting, self._waiting_bytes
        self._waiting, self._waiting_bytes = [], 0
        if not batch:
            return
        if size <= self._left and len(self._starts) == 1:
            self._left -= size
            self._kept.append(batch)
            return
        if self._file is None:
            folder = paths.scratch_place()
            self._file = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115 — closed by `close`
        self._file.seek(self._starts[-1])
        self._file.write(marshal.dumps([(each.number, *each.row) for each in batch]))
        self._starts.append(self._file.tell())
