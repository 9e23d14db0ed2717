"""Small records and entries for the tests of the store."""

import uuid
from pathlib import Path
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE, Moment
from carelog.domain.record import PersonHeading
from carelog.store.engine import Connect, plain_connect
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord

HERE, THERE = "installation-here", "installation-there"
PERSON = PersonHeading("d4861c73-fcb3-5875-a6d2-ca3574a04fd9", "Odette Farrow")
START = Moment.read("2026-11-02T08:00:00+00:00").instant


def id_of(number: int) -> str:
    """The id of the entry with a number."""
    return str(uuid.UUID(int=number))


def entry(number: int, kind: str = "suction", **given: Any) -> Entry:
    """An entry a minute after the one before, recorded ten seconds later."""
    instant = START + number * MINUTE
    usual: dict[str, Any] = {"at": Moment(instant, 60), "recorded_at": instant + 10_000_000, "by": "AB"}
    return Entry(id=id_of(number), kind=kind, **(usual | given))


def change(number: int, of: int, kind: str = "suction", **given: Any) -> Entry:
    """An amendment of another entry."""
    return entry(number, kind, amends=id_of(of), reason="typed wrongly", **given)


def fresh(path: Path, installation: str = HERE, connect: Connect = plain_connect) -> StoredRecord:
    """A record that isn't there yet."""
    return open_record(path, installation=installation, create=PERSON, connect=connect)


def opened(path: Path, installation: str = HERE, connect: Connect = plain_connect) -> StoredRecord:
    """A record that is there."""
    return open_record(path, installation=installation, connect=connect)


def numbers(entries: list[Entry]) -> list[int]:
    """The numbers of entries that `entry` made."""
    return [uuid.UUID(each.id).int for each in entries]
