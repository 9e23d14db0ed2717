"""An entry as it lies in its row: times as integers, details as the text that is hashed."""

import json
from collections.abc import Iterable, Sequence
from functools import lru_cache
from sys import intern
from typing import Any, NamedTuple

from carelog.domain.entry import Details, Entry, details_text, hash_of_line, written
from carelog.domain.moment import Moment
from carelog.domain.trouble import Refused
from carelog.domain.turn import give_way
from carelog.text import say

STORED = (
    'entry.id, entry.kind, entry.at, entry.at_offset, entry.zone, entry.recorded_at, entry."by", '
    "entry.details, entry.note, entry.source, entry.amends, entry.reason, entry.withdrawn"
)
INSERT = (
    'INSERT INTO entry (id, kind, at, at_offset, zone, recorded_at, "by", details, note, source, amends, '
    "reason, withdrawn, content_hash, link, installation) VALUES "
)
PLACES = "(?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)"
AT_ONCE = 250
"""So many entries are made of rows before others may go first: about 5 ms."""
ALIKE = 2048
"""So many texts of details are kept with what they say: most entries say what others said before."""


class StoredRow(NamedTuple):
    """The columns of one entry, in the order of `INSERT`; link and installation come with the writing."""

    id: str
    kind: str
    at: int
    at_offset: int
    zone: str
    recorded_at: int
    by: str
    details: str
    note: str
    source: str
    amends: str | None
    reason: str
    withdrawn: int
    content_hash: str


def row_of(entry: Entry) -> StoredRow:
    """The row of an entry; `Refused` when a text in it can't be written as UTF-8."""
    details = details_text(entry.details)
    try:
        digest = hash_of_line(written(entry, details))
    except UnicodeEncodeError:
        raise Refused(say("The entry holds a character that can't be saved.")) from None
    return StoredRow(
        entry.id,
        entry.kind,
        entry.at.instant,
        entry.at.offset,
        entry.zone,
        entry.recorded_at,
        entry.by,
        details,
        entry.note,
        entry.source,
        entry.amends,
        entry.reason,
        int(entry.withdrawn),
        digest,
    )


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry of a row that begins with the columns of `STORED`; what entries have alike they share."""
    id_, kind, at, offset, zone, recorded_at, by, details, note, source, amends, reason, withdrawn = row[:13]
    return Entry(
        id_,
        intern(kind),
        Moment(at, offset),
        recorded_at,
        intern(zone),
        intern(by),
        _details_of(details),
        note,
        intern(source),
        amends,
        reason,
        withdrawn == 1,
    )


@lru_cache(ALIKE)
def _details_of(text: str) -> Details:
    """The details of a text. Whoever holds some never changes them: they are other entries' too."""
    found: Details = json.loads(text)
    return found


def entries_of(rows: Iterable[Sequence[Any]]) -> list[Entry]:
    """The entries of some rows in the order of (recorded_at, id)."""
    found = []
    for number, row in enumerate(rows):
        if number % AT_ONCE == 0:
            give_way()
        found.append(entry_of(row))
    return sorted(found, key=lambda entry: (entry.recorded_at, entry.id))
