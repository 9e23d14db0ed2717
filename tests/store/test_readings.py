"""Reading by the standard driver alone: one thread a connection, nothing left open, nothing left behind."""

import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from carelog.domain.turn import asking
from carelog.store.engine import plain_connect, reading
from carelog.store.readings import KEPT, giving_way, one_value
from carelog.store.record import StoredRecord
from tests.store.making import entry, fresh

COUNT = "SELECT count(*) FROM entry"


@pytest.fixture
def filled(record: StoredRecord, path: Path) -> Path:
    """A record of ten entries."""
    record.append([entry(number) for number in range(10)])
    record.close()
    return path


class Watched:
    """Connections that are made, and those that are open."""

    def __init__(self) -> None:
        self.made: list[sqlite3.Connection] = []

    def connect(self, uri: str) -> sqlite3.Connection:
        """A connection of the standard driver."""
        self.made.append(plain_connect(uri))
        return self.made[-1]

    def open(self) -> int:
        """How many of them are open."""
        return sum(_is_open(each) for each in self.made)


def _is_open(connection: sqlite3.Connection) -> bool:
    try:
        connection.execute("SELECT 1")
    except sqlite3.ProgrammingError:
        return False
    return True


def test_many_threads_that_ask_at_once_each_have_a_connection_of_their_own(filled: Path) -> None:
    watched, failed, together = Watched(), list[BaseException](), threading.Barrier(8)
    reads = reading(filled, watched.connect, 5000)

    def ask() -> None:
        try:
            together.wait()
            for _ in range(200):
                with reads.connect() as connection:
                    assert one_value(connection, COUNT) == 10
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert failed == []
    assert watched.open() <= KEPT
    reads.dispose()
    assert watched.open() == 0


def test_one_that_is_in_use_when_the_others_are_let_go_is_closed_when_it_is_done(filled: Path) -> None:
    watched = Watched()
    reads = reading(filled, watched.connect, 5000)
    with reads.connect() as connection:
        reads.dispose()
        assert one_value(connection, COUNT) == 10
    assert watched.open() == 0


def test_what_is_asked_after_they_were_let_go_leaves_none_open(filled: Path) -> None:
    watched = Watched()
    reads = reading(filled, watched.connect, 5000)
    reads.dispose()
    with reads.connect() as connection:
        assert one_value(connection, COUNT) == 10
    assert watched.open() == 0


def test_threads_that_ask_while_they_are_let_go_leave_none_open(filled: Path) -> None:
    watched, together = Watched(), threading.Barrier(5)
    reads = reading(filled, watched.connect, 5000)

    def ask() -> None:
        together.wait()
        for _ in range(100):
            with reads.connect() as connection:
                one_value(connection, COUNT)

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for each in threads:
        each.start()
    together.wait()
    reads.dispose()
    for each in threads:
        each.join()
    assert watched.open() == 0


@pytest.mark.parametrize("kept", [True, False])
def test_an_answer_that_is_read_no_further_holds_up_nobody_who_writes(filled: Path, *, kept: bool) -> None:
    reads = reading(filled, plain_connect, 5000)
    if not kept:
        reads.dispose()
    with reads.connect() as connection:
        rows = iter(connection.exec_driver_sql("SELECT id FROM entry"))
        parts = connection.exec_driver_sql("SELECT id FROM entry")
        assert len(next(rows)) == 1
        assert len(parts.fetchmany(2)) == 2
    with closing(plain_connect(filled.absolute().as_uri())) as writer:
        writer.execute("PRAGMA busy_timeout = 0")
        writer.execute("BEGIN EXCLUSIVE")
        writer.rollback()
    with pytest.raises(sqlite3.ProgrammingError, match="closed cursor"):
        next(rows)
    with pytest.raises(sqlite3.ProgrammingError, match="closed cursor"):
        parts.fetchmany(2)
    reads.dispose()


def test_an_answer_that_nobody_holds_any_more_is_not_remembered(filled: Path) -> None:
    reads = reading(filled, plain_connect, 5000)
    with reads.connect() as connection:
        for _ in range(100):
            one_value(connection, COUNT)
        assert len(connection._cursors) <= 1
    reads.dispose()


def test_a_record_that_is_closed_has_no_connection_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watched = Watched()
    monkeypatch.setattr("carelog.store.engine.plain_connect", watched.connect)
    record = fresh(tmp_path / "record.carelog", connect=watched.connect)
    assert record.count() == 0
    assert watched.open() == 1  # in memory, until the file is made
    record.append([entry(0)])
    record.recover()
    assert record.check() == []
    (tmp_path / "copy.carelog").touch()
    record.copy_into(tmp_path / "copy.carelog")
    assert record.count() == 1
    assert 0 < watched.open() < len(watched.made)
    record.close()
    assert watched.open() == 0
    with closing(fresh(tmp_path / "other.carelog", connect=watched.connect)) as unborn:
        assert unborn.person().name == "Odette Farrow"
    assert watched.open() == 0


def test_a_record_whose_file_is_not_made_yet_is_shown_without_what_only_writing_needs(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from tests.store.making import fresh\n"
        "record = fresh(Path(sys.argv[1]))\n"
        "assert (record.count(), record.person().name, record.changed()) == (0, 'Odette Farrow', False)\n"
        "assert record.check() == []\n"
        "record.close()\n"
        "assert 'sqlalchemy' not in sys.modules"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "record.carelog")],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    assert done.stderr == ""
    assert list(tmp_path.iterdir()) == []


def test_a_reading_sees_one_moment_and_the_next_one_what_came_meanwhile(
    record: StoredRecord, path: Path
) -> None:
    record.append([entry(0)])
    reads = reading(path, plain_connect, 5000)
    with reads.connect() as connection:
        assert one_value(connection, COUNT) == 1
        assert connection.driver.in_transaction
    record.append([entry(1)])
    with reads.connect() as connection:
        assert not connection.driver.in_transaction
        assert one_value(connection, COUNT) == 2
    reads.dispose()


def test_one_value_is_asked_for_and_none_where_no_row_answers(filled: Path) -> None:
    reads = reading(filled, plain_connect, 5000)
    with reads.connect() as connection:
        assert one_value(connection, COUNT) == 10
        assert one_value(connection, "SELECT id FROM entry WHERE id = ?", ("none",)) is None
        assert one_value(connection, "SELECT max(at) FROM entry WHERE id = ?", ("none",)) is None
    reads.dispose()


LONG = (
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 300000) SELECT count(*) FROM n"
)


class Enough(BaseException):
    """Nobody waits any more."""


def test_a_long_question_asks_between_its_steps_whether_it_may_go_on(filled: Path) -> None:
    asked, reads = list[int](), reading(filled, plain_connect, 0)

    def ask() -> None:
        asked.append(1)
        if len(asked) == 3:
            raise Enough

    with reads.connect() as connection, asking(ask), pytest.raises(Enough), giving_way(connection):
        connection.exec_driver_sql(LONG).fetchall()
    with (
        reads.connect() as connection,
        asking(lambda: asked.append(1)),
    ):  # the control, and the connection's use
        assert one_value(connection, LONG) == 300_000
    assert len(asked) == 3
    reads.dispose()


def test_the_check_of_a_record_that_is_written_to_asks_nobody_while_it_holds_the_file(
    record: StoredRecord,
) -> None:
    record.append([entry(number) for number in range(4000)])
    asked = list[int]()
    with asking(lambda: asked.append(1)):
        assert record.quick_check() == []
        assert len(asked) == 1  # before it has the file
        assert record.check() == []
    assert len(asked) > 10  # the control: a check of everything, which copies are for


def test_what_a_question_fails_of_is_told_as_without_it(filled: Path) -> None:
    reads = reading(filled, plain_connect, 0)
    with reads.connect() as connection, pytest.raises(sqlite3.OperationalError), giving_way(connection):
        connection.exec_driver_sql("SELECT nothing FROM nowhere")
    reads.dispose()
