"""What stands in the way of a check is told apart: damage is reported, anything else isn't called damage."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError

from carelog.domain.record import Damage
from carelog.store import soundness
from carelog.store.engine import plain_connect, reading
from carelog.store.errors import Busy, is_damage
from carelog.store.opening import open_record
from carelog.store.readings import Bare
from carelog.store.record import StoredRecord
from tests.store.making import HERE, entry

PAGE = 4096
CHECKS = (soundness.quick, soundness.newest, soundness.whole)
Check = Callable[[Bare], list[Damage]]


@pytest.fixture
def filled(record: StoredRecord, path: Path) -> Path:
    """A record of some pages."""
    record.append([entry(n, note="n" * 300) for n in range(100)])
    record.close()
    return path


@contextmanager
def looking(path: Path) -> Iterator[Bare]:
    """A reading connection to a record."""
    engine = reading(path, plain_connect, 0)
    with engine.connect() as connection:
        yield connection
    engine.dispose()


def driver(connection: Bare) -> sqlite3.Connection:
    """The driver's own connection."""
    found = connection.driver
    assert isinstance(found, sqlite3.Connection)
    return found


def spoil(path: Path) -> None:
    """Zeros in place of every page behind the first, which holds the schema."""
    content = path.read_bytes()
    assert len(content) > 4 * PAGE
    path.write_bytes(content[:PAGE] + bytes(len(content) - PAGE))


@pytest.mark.parametrize("check", CHECKS)
def test_pages_that_can_not_be_read_are_reported_as_damage(filled: Path, check: Check) -> None:
    with looking(filled) as connection:
        assert check(connection) == []
    spoil(filled)
    with looking(filled) as connection:
        found = check(connection)
    assert {each.where for each in found} == {soundness.FILE}
    assert all(each.what for each in found)


@pytest.mark.parametrize("check", CHECKS)
def test_a_check_that_is_broken_off_is_not_taken_for_damage(filled: Path, check: Check) -> None:
    with looking(filled) as connection:
        assert check(connection) == []
        driver(connection).set_progress_handler(lambda: 1, 1)
        with pytest.raises(sqlite3.OperationalError, match="interrupted"):
            check(connection)
        driver(connection).set_progress_handler(None, 1)
        assert check(connection) == []


def failed(name: str) -> OperationalError:
    """An error of the database with SQLite's name of it."""
    cause = sqlite3.OperationalError("no matter")
    cause.sqlite_errorname = name
    return OperationalError("SELECT 1", (), cause)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("SQLITE_CORRUPT", True),
        ("SQLITE_CORRUPT_VTAB", True),
        ("SQLITE_NOTADB", True),
        ("SQLITE_ERROR", True),
        ("SQLITE_FULL", False),
        ("SQLITE_READONLY_DIRECTORY", False),
        ("SQLITE_CANTOPEN", False),
        ("SQLITE_IOERR_READ", False),
        ("SQLITE_BUSY", False),
        ("SQLITE_INTERRUPT", False),
        ("SQLITE_NOMEM", False),
    ],
)
def test_only_what_is_wrong_with_the_file_itself_is_damage(name: str, expected: bool) -> None:
    assert is_damage(failed(name)) is expected


def test_a_record_that_another_program_holds_is_not_called_damaged(filled: Path) -> None:
    record = open_record(filled, installation=HERE, read_patience_ms=0)
    other = sqlite3.connect(filled, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(Busy):
        record.check()
    other.execute("COMMIT")
    other.close()
    record.append([entry(101)])
    assert record.check() == []
    record.close()


@pytest.mark.parametrize("check", [StoredRecord.quick_check, StoredRecord.check_newest, StoredRecord.check])
def test_what_was_read_before_the_file_was_damaged_hides_no_damage(
    filled: Path, check: Callable[[StoredRecord], list[Damage]]
) -> None:
    with closing(open_record(filled, installation=HERE)) as record:
        assert check(record) == []
        spoil(filled)
        assert check(record) != []
