"""The file guards itself: nothing is changed or removed, and each setting is what it must be."""

import sqlite3
import traceback
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from carelog.domain.trouble import Trouble
from carelog.store import engine
from carelog.store.readings import Connection, one_value
from carelog.store.record import StoredRecord
from carelog.store.tables import APPLICATION, VERSION
from tests.store.making import entry, id_of, opened


@pytest.fixture
def plain(record: StoredRecord, path: Path) -> Iterator[sqlite3.Connection]:
    """The file as any other program opens it."""
    record.append([entry(1), entry(2)])
    connection = sqlite3.connect(path, isolation_level=None)
    yield connection
    connection.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET note = 'x'",
        "UPDATE OR REPLACE entry SET id = 'x' WHERE arrival = 1",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE arrival = 1",
        'REPLACE INTO entry SELECT 7, * FROM (SELECT id, kind, at, at_offset, zone, recorded_at, "by", '
        "details, 'x', source, amends, reason, withdrawn, content_hash, link, installation FROM entry)",
        "UPDATE installation SET id = 'x'",
        "DELETE FROM installation",
        "UPDATE heading SET value = 'x'",
        "DELETE FROM heading",
    ],
)
def test_nothing_is_changed_or_removed(plain: sqlite3.Connection, statement: str) -> None:
    before = plain.execute("SELECT * FROM entry").fetchall()
    with pytest.raises(sqlite3.IntegrityError, match=r"never|once|stays"):
        plain.execute(statement)
    assert plain.execute("SELECT * FROM entry").fetchall() == before


def test_without_its_trigger_an_entry_would_be_changed(plain: sqlite3.Connection) -> None:
    plain.execute("DROP TRIGGER entry_same")
    plain.execute("UPDATE entry SET note = 'x'")
    assert plain.execute("SELECT DISTINCT note FROM entry").fetchall() == [("x",)]


def test_a_missing_trigger_is_found_and_stops_all_writing(plain: sqlite3.Connection, path: Path) -> None:
    plain.execute("DROP TRIGGER entry_same")
    record = opened(path)
    with pytest.raises(Trouble, match="damaged"):
        record.append([entry(3)])
    assert "entry_same" in record.check()[0].what
    assert record.count() == 2
    record.close()


@pytest.mark.parametrize("column", ["at", "recorded_at", "withdrawn", "installation"])
def test_numbers_stay_numbers(plain: sqlite3.Connection, column: str) -> None:
    plain.executescript("DROP TRIGGER entry_same")
    with pytest.raises(sqlite3.IntegrityError):
        plain.execute(f"UPDATE entry SET {column} = 'x'")


def test_details_are_json(plain: sqlite3.Connection) -> None:
    plain.executescript("DROP TRIGGER entry_same")
    with pytest.raises(sqlite3.IntegrityError, match="json_valid"):
        plain.execute("UPDATE entry SET details = '{'")


def test_the_file_says_whose_it_is(plain: sqlite3.Connection) -> None:
    assert plain.execute("PRAGMA application_id").fetchone() == (APPLICATION,)
    assert plain.execute("PRAGMA user_version").fetchone() == (VERSION,)


SETTINGS = {
    "journal_mode": "truncate",
    "synchronous": 3,
    "fullfsync": 1,
    "foreign_keys": 1,
    "busy_timeout": 5000,
}


@pytest.mark.parametrize(("name", "value"), SETTINGS.items(), ids=SETTINGS.keys())
def test_every_write_is_made_under_the_durable_settings(
    record: StoredRecord, name: str, value: object
) -> None:
    record.append([entry(1)])
    assert record.write(lambda found: one_value(found, f"PRAGMA {name}")) == value
    record.append([entry(2)])
    assert record.write(lambda found: one_value(found, f"PRAGMA {name}")) == value


def test_the_drivers_own_settings_would_lose_entries() -> None:
    plain = engine.plain_connect("file::memory:")
    found = {name: plain.execute(f"PRAGMA {name}").fetchone()[0] for name in SETTINGS}
    plain.close()
    assert {name for name in SETTINGS if found[name] != SETTINGS[name]} >= {"journal_mode", "synchronous"}


def setting(name: str, found: Connection) -> object:
    """What a setting is on this connection."""
    return one_value(found, f"PRAGMA {name}")


def test_reading_can_not_write(record: StoredRecord) -> None:
    record.append([entry(1)])
    for name, value in {"query_only": 1, "trusted_schema": 0}.items():
        assert record.read(partial(setting, name)) == value
    with pytest.raises(Trouble, match="read-only"):
        record.read(lambda found: found.exec_driver_sql("DELETE FROM heading"))


def test_no_error_repeats_what_was_to_be_written(record: StoredRecord) -> None:
    record.append([entry(1)])
    private = " ".join(("settled", "badly"))
    statement = "INSERT INTO entry (id, note) VALUES (?, ?)"
    with pytest.raises(Trouble) as caught:
        record.write(lambda found: found.exec_driver_sql(statement, ("7", private)))
    told = "".join(traceback.format_exception(caught.value))
    assert statement in told
    assert private not in told


class Deaf:
    """A driver whose database takes a setting and keeps its own."""

    def __init__(self, real: sqlite3.Connection) -> None:
        self._real = real

    def __getattr__(self, name: str) -> object:
        return getattr(self._real, name)

    def execute(self, statement: str, *more: Any) -> object:
        """Everything but one setting."""
        deaf = statement == "PRAGMA synchronous = EXTRA"
        return self._real.execute("SELECT 1" if deaf else statement, *more)


def test_a_setting_that_does_not_hold_stops_the_write(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    deaf = opened(path, connect=lambda uri: Deaf(engine.plain_connect(uri)))
    with pytest.raises(Trouble, match="synchronous is 2"):
        deaf.append([entry(2)])
    assert [each.id for each in record.everything()] == [id_of(1)]
    deaf.close()
