"""An open record file: values in, values out, and no connection that outlives one action."""

import os
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from itertools import compress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from carelog.domain.entry import Entry
from carelog.domain.record import Arrival, Damage, PersonHeading
from carelog.domain.trouble import Trouble
from carelog.domain.turn import give_way
from carelog.store import engine, journal, reader, soundness
from carelog.store.birth import placed
from carelog.store.errors import DAMAGED, READ_ONLY, Damaged, cause_of, code_of, failures, plain
from carelog.store.fit import Fit
from carelog.store.pages import copy_pages
from carelog.store.queries import Job, Queries, Result
from carelog.store.readings import Connection
from carelog.store.rows import StoredRow, entries_of, row_of
from carelog.store.writer import add, put_heading
from carelog.text import say

if TYPE_CHECKING:
    import sqlalchemy as sa

Identity = tuple[int, int]
CUT_OFF = ("SQLITE_READONLY", "SQLITE_CANTOPEN")
"""What SQLite says where half a transaction has to be rolled back first, and it may not write."""


class StoredRecord(Queries):
    """A record file that is open; made by `opening.open_record`.

    Reads never wait longer than the patience they were opened with, and see one moment of the file each.
    Every write is durable when it returns; the file is damaged, moved or replaced: nothing is written.
    """

    def __init__(
        self,
        path: Path,
        installation: str,
        connect: engine.Connect,
        patience_ms: int,
        name: Path | None = None,
    ) -> None:
        """`name` is what people call the file when `path` is where it really lies."""
        self.path = name or path
        self._file = path
        self._installation = installation
        self.connect = connect
        self._patience_ms = patience_ms
        self._halted: Trouble | None = None
        self._folder: TemporaryDirectory[str] | None = None
        self._is_verified = self._is_current = False
        self._unborn: PersonHeading | None = None
        self._reads = engine.reading(path, connect, patience_ms)
        self._writing: sa.Engine | None = None
        self._making = threading.Lock()
        self._identity: Identity | None = None
        self._seen: Arrival = 0
        self._growing: Arrival = 0

    # Opening and closing ------------------------------------------------------------------------------

    def begin(self, only_to_check: bool = False) -> None:
        """Take up a file that is there; `only_to_check` also one that is too damaged to be read."""
        with plain(self.path):
            self._identity = _identity(self._file)
        if not only_to_check:
            self._seen = self.last_arrival()

    def await_birth(self, person: PersonHeading) -> None:
        """Be an empty record whose file is made, whole, by the first thing that is written."""
        self._unborn = person
        self._reads = engine.in_memory(lambda connection: put_heading(connection, person))

    def recover(self) -> None:
        """Let a transaction that a power cut left half done be rolled back; needs the right to write."""
        with plain(self.path):
            journal.check(self._file)
            # Reading on a connection that may write is enough, and doesn't queue behind those that do.
            pooled = self._writes().raw_connection()
            try:
                ask = partial(pooled.cursor().execute, "SELECT count(*) FROM sqlite_master")
                engine.patiently(lambda: ask().close(), engine.PATIENCE_MS)
            finally:
                pooled.close()

    def is_cut_off(self) -> bool:
        """Whether the journal beside the file was left by a power cut, and not by somebody writing now.

        Only SQLite can tell, by its locks. A file and its journal, copied meanwhile, wouldn't fit together.
        """
        with plain(self.path):
            try:
                self._read_once(lambda connection: reader.number(connection, "SELECT count(*) FROM entry"))
            except failures() as error:
                if code_of(error) in CUT_OFF:
                    return True
                raise
        return False

    def only_read(self, folder: TemporaryDirectory[str]) -> None:
        """Take no writes: what is open is a copy in a folder that goes away with the record."""
        self._folder = folder
        self._halted = Trouble(say(READ_ONLY).format(name=self.path.name))

    def close(self) -> None:
        """Let go of the file."""
        self._reads.dispose()
        with self._making:
            if self._writing is not None:
                self._writing.dispose()
        if self._folder:
            self._folder.cleanup()

    # Reading ------------------------------------------------------------------------------------------

    def changed(self) -> bool:
        """Whether another process has written since this was asked last; `Trouble` if the file was moved."""
        if self._unborn and self._file.exists():
            with plain(self.path):
                self._identity = _identity(self._file)
            self._take_up()
        self._check_place()
        last = self.last_arrival()
        has_grown, self._seen = last > self._seen, last
        return has_grown

    def check(self) -> list[Damage]:
        """Everything that is wrong with the record; empty when it is sound."""
        return self._checked(soundness.whole)

    def quick_check(self) -> list[Damage]:
        """What SQLite's quick check finds (0.3 s for ten years); with damage, nothing is written any more."""
        return self._checked(soundness.quick)

    def check_newest(self) -> list[Damage]:
        """What is wrong with the newest entries (some 10 ms); with damage, nothing is written any more."""
        return self._checked(soundness.newest)

    # Writing ------------------------------------------------------------------------------------------

    def append(self, entries: Sequence[Entry]) -> None:
        """Add entries in one durable transaction: all or none; `Trouble` when the disk doesn't take them.

        The same id with the same content is skipped; with other content it is `Refused`.
        """
        rows = [row_of(entry) for entry in entries]
        if rows:
            self.write(lambda connection: self._add(connection, rows))

    def copy_into(self, new: Path) -> None:
        """Copy the file, as it is at one moment, through SQLite's own backup into an empty one."""
        with plain(self.path), self._reads.connect() as connection:
            other = self.connect(engine.uri_of(new, "rw"))
            try:
                # Nobody relies on the copy before it was read back: its journal need not lie on a disk. With
                # none at all, what is overtaken couldn't be taken back, and nothing be put in its place.
                other.execute("PRAGMA journal_mode = MEMORY")
                other.execute("PRAGMA synchronous = OFF")
                copy_pages(connection.driver, other)
            finally:
                other.close()

    def write(self, job: Job[Result]) -> Result:
        """Do something in one durable transaction; the job may be done twice, the first time in vain."""
        if self._halted:
            raise self._halted
        try:
            return self._born_with(job) if self._unborn else self._written(job)
        except Damaged as damage:
            self._halted = damage
            raise

    def get_ready(self) -> None:
        """Do now what the first write would wait for, and a reading doesn't need."""
        self._writes()

    def bring_up(self) -> None:
        """Bring an older record up to this version, once; one that can't be just now is left as it is.

        It is written to all the same, and the next start tries again.
        """
        if self._is_current or self._unborn or self._halted:
            return
        self._is_current = True
        from carelog.store.upgrades import bring_up

        bring_up(self)

    def upgrade(self, job: Job[None]) -> None:
        """Change the file's own shape in one durable transaction; only `upgrades` does."""
        self._check_place()
        try:
            with plain(self.path), self._writes().begin() as connection:
                job(connection)
                self._check_place()
        except BaseException:
            self._writes().dispose()
            raise

    def add(self, connection: Connection, rows: Sequence[StoredRow]) -> None:
        """Put rows that fit behind those that are here, inside a `write`."""
        before, last = add(connection, self._installation, rows)
        if before == self._growing:
            self._growing = last

    def _add(self, connection: Connection, rows: Sequence[StoredRow]) -> None:
        self.add(connection, list(compress(rows, fit_of(connection).are_new(rows))))

    def _writes(self) -> "sa.Engine":
        # A thread that reads comes here too, where another program was cut off while it wrote.
        with self._making:
            if self._writing is None:
                self._writing = engine.writing(self._file, self.connect)
            return self._writing

    def _written(self, job: Job[Result]) -> Result:
        self._check_place()
        if not self._is_verified:
            self._verify()
        self.bring_up()
        try:
            with plain(self.path), self._writes().begin() as connection:
                self._growing = self._seen
                result = job(connection)
                self._check_place()
            self._seen = self._growing
            return result
        except BaseException:
            # After a failure nobody knows what the connection holds: the next one begins anew.
            self._writes().dispose()
            raise

    def _verify(self) -> None:
        found = self.check_newest()
        if found:
            raise self._halted or Damaged(say(DAMAGED).format(name=self.path.name))
        self._is_verified = True

    def _born_with(self, job: Job[Result]) -> Result:
        person, results = self._unborn or PersonHeading("", ""), []

        def make(new: Path) -> None:
            made = engine.writing(new, self.connect)
            try:
                with made.begin() as connection:
                    engine.make_tables(connection)
                    put_heading(connection, person)
                    self._growing = 0
                    results.append(job(connection))
            finally:
                made.dispose()
            # Its name will be another, the file the same: nothing that can fail is left for afterwards.
            self._identity = _identity(new)

        with plain(self.path):
            try:
                placed(self._file, make)
            except FileExistsError:
                results.clear()
                self._seen, self._identity = 0, _identity(self._file)
        if results:
            self._seen = self._growing
        self._take_up()
        return results[0] if results else self._written(job)

    def _take_up(self) -> None:
        """Read from the file from now on, which is there."""
        self._unborn = None
        memory, self._reads = self._reads, engine.reading(self._file, self.connect, self._patience_ms)
        memory.dispose()

    # Inside -------------------------------------------------------------------------------------------

    def read(self, job: Job[Result]) -> Result:
        """Read in one moment of the file; the job may be done twice."""
        give_way()  # before, and not while the file is held
        with plain(self.path):
            try:
                return self._read_once(job)
            except failures() as error:
                # Another program was cut off while it wrote: its half transaction is rolled back first.
                if code_of(error) not in CUT_OFF:
                    raise
                self.recover()
                return self._read_once(job)

    def _read_once(self, job: Job[Result]) -> Result:
        # Rolled back, not committed: a commit fails on a page that is damaged, after all else was read.
        with self._reads.connect() as connection, self._telling_damage():
            return job(connection)

    def made_of(self, rows: "Sequence[reader.Found]") -> list[Entry]:
        """The entries of rows that were read; `Damaged` where one of them isn't what was written."""
        with self._telling_damage():
            return entries_of(rows)

    @contextmanager
    def _telling_damage(self) -> Iterator[None]:
        """What isn't as this program writes it is damage."""
        try:
            yield
        except (ValueError, TypeError, OverflowError, RecursionError) as error:
            raise Damaged(say(DAMAGED).format(name=self.path.name)) from error

    def _checked(self, job: Job[list[Damage]]) -> list[Damage]:
        try:
            found = self.read(partial(soundness.of_the_file, job))
        except Damaged as error:
            found = [Damage(say(soundness.FILE), cause_of(error))]
        if found:
            self._halted = Damaged(say(DAMAGED).format(name=self.path.name))
        return found

    def _check_place(self) -> None:
        """`Trouble` when the name no longer leads to the file that was opened."""
        if self._unborn:
            return
        with plain(self.path):
            try:
                here = _identity(self._file)
            except FileNotFoundError:
                here = None
        if here != self._identity:
            words = say("“{name}” was moved, renamed or replaced. Nothing is written. Open the record again.")
            raise Trouble(words.format(name=self.path.name))


def fit_of(connection: Connection) -> Fit:
    """What judges rows against the record behind a connection."""
    return Fit(lambda ids: reader.known(connection, ids), lambda ids: reader.amended(connection, ids))


def _identity(path: Path) -> Identity:
    found = os.stat(path)
    return found.st_dev, found.st_ino
