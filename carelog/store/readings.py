"""Reading a file by the standard driver alone: what only asks doesn't wait until SQLAlchemy is imported.

That import takes longer than all the rest of `carelog due`. Whatever writes goes through `engine.writing`.
"""

import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any, Protocol
from weakref import WeakSet

from carelog.domain.turn import give_way, is_asked

Row = Sequence[Any]
KEPT = 2
"""So many connections stay open for the next question."""
STEPS = 20_000
"""So many of its own steps SQLite takes between two askings whether it may go on: about 1 ms."""


class Answer(Protocol):
    """What a statement answers: a cursor of the standard driver, or SQLAlchemy's own result."""

    def __iter__(self) -> Iterator[Row]:
        """Row after row."""

    def fetchall(self) -> Sequence[Row]:
        """All rows."""

    def fetchmany(self, size: int, /) -> Sequence[Row]:
        """The next rows, so many at the most; none at the end."""


class Connection(Protocol):
    """What the record is asked through; SQLAlchemy's own connection is one."""

    def exec_driver_sql(self, statement: str, parameters: Any = None, /) -> Answer:
        """Run a statement of SQLite."""


def one_value(connection: Connection, statement: str, parameters: Any = None) -> Any:
    """The one value that a statement answers; None where it answers no row."""
    rows = connection.exec_driver_sql(statement, parameters).fetchall()
    return rows[0][0] if rows else None


@contextmanager
def giving_way(connection: Connection) -> Iterator[None]:
    """What is asked meanwhile and takes long lets others go first, and ends where nobody waits for it.

    Only the standard driver can: SQLite itself asks between its steps. The file is held all the while, and
    whoever saves would wait as long: so it is for files that nobody writes to, such as copies.
    """
    set_handler = getattr(getattr(connection, "driver", None), "set_progress_handler", None)
    if set_handler is None or not is_asked():
        yield
        return
    ended: list[BaseException] = []

    def ask() -> int:
        try:
            give_way()
        except BaseException as reason:
            ended.append(reason)
        return len(ended)

    set_handler(ask, STEPS)
    try:
        yield
    except sqlite3.Error:
        if ended:
            raise ended[0] from None
        raise
    finally:
        set_handler(None, 0)


class Bare:
    """One connection while it is asked; its transaction begins with the first question."""

    def __init__(self, driver: Any, begin: Callable[[Any], None]) -> None:
        self.driver = driver
        self._begin: Callable[[Any], None] | None = begin
        self._cursors = WeakSet[Any]()

    def exec_driver_sql(self, statement: str, parameters: Any = None, /) -> Answer:
        """Run a statement of SQLite."""
        begin, self._begin = self._begin, None
        if begin is not None:
            begin(self.driver)
        cursor: Answer = self.driver.execute(statement, () if parameters is None else parameters)
        self._cursors.add(cursor)
        return cursor

    def end(self) -> None:
        """Close what was asked and not read to its end: it would hold the file's lock beyond a rollback."""
        for cursor in list(self._cursors):
            cursor.close()
        self.driver.rollback()


class Reads:
    """A few connections to one file, each given out to one thread at a time."""

    def __init__(
        self,
        connect: Callable[[], Any],
        set_up: Callable[[Any], None],
        begin: Callable[[Any], None],
    ) -> None:
        """`set_up` is done once with each new connection, `begin` before the first question of each use."""
        self._connect = connect
        self._set_up = set_up
        self._begin = begin
        self._lock = threading.Lock()
        self._idle: list[Any] = []
        self._most = KEPT

    @contextmanager
    def connect(self) -> Iterator[Bare]:
        """A connection for one reading of one moment of the file; whatever it began is rolled back."""
        with self._lock:
            driver = self._idle.pop() if self._idle else None
        connection = Bare(self._made() if driver is None else driver, self._begin)
        try:
            yield connection
        finally:
            self._put_back(connection)

    def dispose(self) -> None:
        """Keep none from now on: those that wait are closed, all others when they are done."""
        with self._lock:
            idle, self._idle, self._most = self._idle, [], 0
        for driver in idle:
            driver.close()

    def _made(self) -> Any:
        driver = self._connect()
        try:
            self._set_up(driver)
        except BaseException:
            driver.close()
            raise
        return driver

    def _put_back(self, connection: Bare) -> None:
        try:
            connection.end()
        except sqlite3.Error:
            with suppress(sqlite3.Error):
                connection.driver.close()
            return
        with self._lock:
            is_kept = len(self._idle) < self._most
            if is_kept:
                self._idle.append(connection.driver)
        if not is_kept:
            connection.driver.close()
