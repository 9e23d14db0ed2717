"""Exchange files for the tests, line by line."""

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.record import Merged
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from tests.store.making import PERSON

HEADING = {
    "format": "carelog-exchange",
    "version": 1,
    "person": {"id": PERSON.id, "name": PERSON.name},
    "written_at": "2026-11-23T09:00:00+00:00",
}
FOUR_WEEKS = Path(__file__).with_name("four-weeks.jsonl")

Line = bytes | str | dict[str, Any]


def raw(line: Line) -> bytes:
    """One line with its end; an object is written as JSON."""
    text = json.dumps(line, ensure_ascii=False) if isinstance(line, dict) else line
    data = text.encode() if isinstance(text, str) else text
    return data + b"\n"


def file(*lines: Line, heading: Line = HEADING) -> list[bytes]:
    """A whole exchange file."""
    return [raw(heading), *map(raw, lines)]


def merge(record: StoredRecord, *lines: Line, heading: Line = HEADING) -> Merged:
    """Import these lines under a heading."""
    return StoredExchange().merge(file(*lines, heading=heading), record)


def written(record: StoredRecord, entries: Iterable[Entry] | None = None) -> Sequence[bytes]:
    """A record as an exchange file, without its heading."""
    chosen = record.everything() if entries is None else entries
    return list(StoredExchange().write(record, chosen, 0))[1:]
