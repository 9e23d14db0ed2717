"""The connections beneath a record: the settings under which nothing that was told as saved is lost.

Measured by cutting the power (see DEVELOPERS.md, “Never lost”): a rollback journal that is truncated, with
`synchronous=EXTRA`, loses nothing; SQLAlchemy's and SQLite's defaults do.
"""

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from carelog.domain.trouble import Trouble
from carelog.store.errors import is_busy
from carelog.store.readings import Bare, Connection, Reads
from carelog.store.tables import VERSION, schema
from carelog.text import say

if TYPE_CHECKING:  # imported where something is written: who only reads does without
    import sqlalchemy as sa

Connect = Callable[[str], Any]
Settings = tuple[tuple[str, str, object], ...]

PATIENCE_MS = 5000
SLICE_MS = 50

# Setting, the value asked for, the value that must be read back.
_SAFE: Settings = (
    ("foreign_keys", "ON", 1),
    ("cell_size_check", "ON", 1),
    ("temp_store", "MEMORY", 2),
)
# KiB; the system keeps the file's pages anyway, and a long record is to take no more memory than a short one.
_SMALL_CACHE = ("cache_size", "-256", -256)
_UNTRUSTED = ("trusted_schema", "OFF", 0)
# Only for what is known to be our own schema: it is compared with a fresh one before the first write.
_TRUSTED = ("trusted_schema", "ON", 1)
_DURABLE: Settings = (
    ("journal_mode", "TRUNCATE", "truncate"),
    ("synchronous", "EXTRA", 3),
    ("fullfsync", "ON", 1),
)


def plain_connect(uri: str) -> sqlite3.Connection:
    """A connection of the standard driver that leaves every transaction to us."""
    return sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)


def uri_of(path: Path, mode: str) -> str:
    """The database URI of a file; `mode` is ro, rw or rwc."""
    return f"{path.absolute().as_uri()}?mode={mode}"


def reading(path: Path, connect: Connect, patience_ms: int) -> Reads:
    """Connections that can't write; `patience_ms` is how long they wait for another program's write."""
    settings = (*_SAFE, _UNTRUSTED, ("query_only", "ON", 1), _SMALL_CACHE)
    return Reads(
        lambda: connect(uri_of(path, "ro")),
        lambda driver: _set_up(driver, settings, patience_ms),
        lambda driver: _begin(driver, _begin_reading, patience_ms),
    )


def writing(path: Path, connect: Connect, mode: str = "rw") -> "sa.Engine":
    """An engine whose every transaction is durable once it has ended."""
    trust = _UNTRUSTED if may_check_json(connect) else _TRUSTED
    settings = (*_SAFE, *_DURABLE, trust)
    return _engine(lambda: connect(uri_of(path, mode)), settings, PATIENCE_MS, _begin_writing)


def may_check_json(connect: Connect) -> bool:
    """Whether this SQLite lets a distrusted schema check JSON; 3.40 calls its own json_valid unsafe."""
    probe = connect("file::memory:")
    try:
        probe.execute("PRAGMA trusted_schema = OFF")
        probe.execute("CREATE TABLE probe (details TEXT CHECK (json_valid(details)))")
    except sqlite3.Error:
        return False
    finally:
        probe.close()
    return True


@contextmanager
def fresh(version: int) -> Iterator[Connection]:
    """An empty record of a version in memory, to compare with."""
    with closing(plain_connect("file::memory:")) as driver:
        connection = Bare(driver, lambda _driver: None)
        make_tables(connection, version)
        yield connection


def in_memory(fill: Callable[[Connection], None]) -> Reads:
    """Each connection an empty record of its own: what a record shows whose file isn't made yet."""

    def set_up(driver: Any) -> None:
        connection = Bare(driver, lambda _driver: None)
        make_tables(connection)
        fill(connection)

    return Reads(lambda: plain_connect("file::memory:"), set_up, _begin_reading)


def make_tables(connection: Connection, version: int = VERSION) -> None:
    """All tables, indexes and triggers of an empty record, and its marks of what kind of file it is."""
    for statement in schema(version):
        connection.exec_driver_sql(statement)


def _engine(
    creator: Callable[[], Any],
    settings: Settings,
    patience_ms: int,
    begin: Callable[[Any], None],
) -> "sa.Engine":
    import sqlalchemy as sa
    from sqlalchemy.pool import QueuePool

    # What was to be written stands in no message of an error, and so in no log.
    engine = sa.create_engine(
        "sqlite://", creator=creator, poolclass=QueuePool, pool_size=2, hide_parameters=True
    )

    @sa.event.listens_for(engine, "connect")
    def _on_connect(driver: Any, _record: object) -> None:
        _set_up(driver, settings, patience_ms)

    @sa.event.listens_for(engine, "begin")
    def _on_begin(connection: sa.Connection) -> None:
        _begin(connection.connection.driver_connection, begin, patience_ms)

    return engine


def _set_up(driver: Any, settings: Settings, patience_ms: int) -> None:
    driver.execute(f"PRAGMA busy_timeout = {min(SLICE_MS, patience_ms)}")
    for name, wanted, expected in settings:
        patiently(partial(_set, driver, name, wanted, expected), patience_ms)


def _begin(driver: Any, begin: Callable[[Any], None], patience_ms: int) -> None:
    driver.execute(f"PRAGMA busy_timeout = {min(SLICE_MS, patience_ms)}")
    patiently(lambda: begin(driver), patience_ms)
    driver.execute(f"PRAGMA busy_timeout = {patience_ms}")


def _begin_reading(driver: Any) -> None:
    """Take the lock of a reader, which holds until the end."""
    driver.execute("BEGIN")
    try:
        driver.execute("SELECT count(*) FROM sqlite_master").fetchall()
    except sqlite3.Error:
        driver.rollback()
        raise


def _begin_writing(driver: Any) -> None:
    """Take the lock of the one who writes."""
    driver.execute("BEGIN IMMEDIATE")


def patiently(job: Callable[[], None], patience_ms: int) -> None:
    """Do a job that needs a lock, again and again while another program holds it.

    SQLite's own waiting looks ten times a second; beside a script that saves without a pause it may look
    a hundred times in vain. So it waits in short slices, which look more often.
    """
    last = time.monotonic() + patience_ms / 1000
    while True:
        try:
            return job()
        except sqlite3.Error as error:
            if not is_busy(error) or time.monotonic() >= last:
                raise


def _set(driver: Any, name: str, wanted: str, expected: object) -> None:
    driver.execute(f"PRAGMA {name} = {wanted}")
    found = driver.execute(f"PRAGMA {name}").fetchone()
    if found is None or found[0] != expected:
        sentence = say("The database here can't work safely ({name} is {value}). Nothing was opened.")
        raise Trouble(sentence.format(name=name, value=found and found[0]))
