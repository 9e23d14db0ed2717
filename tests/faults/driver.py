"""A DB-API face over an apsw connection: the store above, a disk of our own making beneath.

apsw carries its own SQLite, so a VFS of its own is seen by no other driver. What the standard driver does
with a real disk is shown by the tests with kill -9 and with a real file system.
"""

import re
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import apsw

_KINDS: dict[int, type[sqlite3.Error]] = {
    apsw.SQLITE_CONSTRAINT: sqlite3.IntegrityError,
    apsw.SQLITE_CORRUPT: sqlite3.DatabaseError,
    apsw.SQLITE_NOTADB: sqlite3.DatabaseError,
    apsw.SQLITE_MISUSE: sqlite3.ProgrammingError,
}


def translated(error: apsw.Error) -> sqlite3.Error:
    """The standard driver's exception for one of apsw's."""
    result = getattr(error, "result", -1)
    kind = _KINDS.get(result, sqlite3.OperationalError)
    found = kind(re.sub(r"^\w+Error: ", "", str(error)))
    extended = getattr(error, "extendedresult", result)
    names = apsw.mapping_extended_result_codes if extended > 255 else apsw.mapping_result_codes
    found.sqlite_errorcode = extended
    found.sqlite_errorname = str(names.get(extended, apsw.mapping_result_codes.get(result, "")))
    return found


class Cursor:
    """What the store and SQLAlchemy use of a cursor."""

    arraysize = 100
    rowcount = -1
    lastrowid = None

    def __init__(self, connection: apsw.Connection) -> None:
        self._cursor = connection.cursor()
        self._cursor.exec_trace = self._before
        self._rows: Iterator[tuple[Any, ...]] = iter(())
        self.description: tuple[tuple[Any, ...], ...] | None = None

    def _before(self, cursor: apsw.Cursor, _sql: str, _bindings: object) -> bool:
        found = cursor.get_description()
        self.description = tuple((name, None, None, None, None, None, None) for name, *_ in found) or None
        return True

    def execute(self, statement: str, parameters: Sequence[Any] = ()) -> "Cursor":
        """Run one statement."""
        self.description = None
        self._rows = iter(())
        try:
            # All rows at once: no statement stays open, as none does when the standard driver lets go of it.
            self._rows = iter(self._cursor.execute(statement, parameters or None).fetchall())
        except apsw.Error as error:
            raise translated(error) from error
        return self

    def executemany(self, statement: str, rows: Sequence[Sequence[Any]]) -> "Cursor":
        """Run one statement many times."""
        for row in rows:
            self.execute(statement, row)
        return self

    def fetchone(self) -> tuple[Any, ...] | None:
        """The next row."""
        return next(iter(self), None)

    def fetchmany(self, size: int | None = None) -> list[tuple[Any, ...]]:
        """Some rows."""
        return [row for _, row in zip(range(size or self.arraysize), self, strict=False)]

    def fetchall(self) -> list[tuple[Any, ...]]:
        """The rest of the rows."""
        return list(self)

    def __iter__(self) -> Iterator[tuple[Any, ...]]:
        return self._rows

    def close(self) -> None:
        """Let go of the statement."""
        self._cursor.close(True)


class Connection:
    """What the store and SQLAlchemy use of a connection, in the manner of `isolation_level=None`."""

    isolation_level = None

    def __init__(self, uri: str, vfs: str | None = None) -> None:
        flags = apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE | apsw.SQLITE_OPEN_URI
        try:
            self.real = apsw.Connection(uri, flags, vfs)
        except apsw.Error as error:
            raise translated(error) from error

    @property
    def in_transaction(self) -> bool:
        """Whether a transaction is open."""
        return self.real.in_transaction

    def cursor(self) -> Cursor:
        """A new cursor."""
        return Cursor(self.real)

    def execute(self, statement: str, parameters: Sequence[Any] = ()) -> Cursor:
        """Run one statement."""
        return self.cursor().execute(statement, parameters)

    def commit(self) -> None:
        """End the transaction, if there is one."""
        if self.in_transaction:
            self.execute("COMMIT")

    def rollback(self) -> None:
        """Undo the transaction, if there is one."""
        if self.in_transaction:
            self.execute("ROLLBACK")

    def create_function(self, name: str, count: int, function: Any, **_more: Any) -> None:
        """A function for SQL."""
        self.real.create_scalar_function(name, function, count)

    def backup(
        self,
        target: "Connection",
        *,
        pages: int = -1,
        progress: Callable[[int, int, int], None] | None = None,
        sleep: float = 0,
    ) -> None:
        """Copy all pages into another database, some at a time."""
        try:
            with target.real.backup("main", self.real, "main") as job:
                while not job.done:
                    job.step(pages)
                    if progress is not None:
                        progress(0, job.remaining, job.page_count)
        except apsw.Error as error:
            raise translated(error) from error

    def close(self) -> None:
        """Let go of the file."""
        try:
            self.real.close(True)
        except apsw.Error as error:
            raise translated(error) from error
