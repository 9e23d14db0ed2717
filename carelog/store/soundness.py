"""Whether a record is what it was when it was written: structure, hashes, links, schema."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from typing import Any

from carelog.domain.entry import FIRST_LINK, Entry, hash_of_line, link, written
from carelog.domain.moment import Moment
from carelog.domain.record import Damage
from carelog.domain.turn import give_way
from carelog.store import reader
from carelog.store.engine import fresh
from carelog.store.errors import cause_of, failures, is_damage
from carelog.store.readings import Connection, Row, giving_way, one_value
from carelog.store.rows import STORED
from carelog.store.tables import VERSION
from carelog.text import mark, say

NEWEST = 500
FILE = mark("the file")
SMALL = 3000
MOST_REPORTED = 1000

_COLUMNS = f"{STORED}, content_hash, link, installation, arrival"
_HASH, _LINK, _INSTALLATION, _ARRIVAL = 13, 14, 15, 16
_PARTITION = 250
"""So many rows are held against their hashes before others may go first: about 5 ms."""


def unreadable() -> tuple[type[Exception], ...]:
    """What reading a damaged file raises."""
    return (*failures(), UnicodeDecodeError)


def of_the_file(check: Callable[[Connection], list[Damage]], connection: Connection) -> list[Damage]:
    """What a check finds of the file as it lies on the disk, not of pages that were read before it."""
    connection.exec_driver_sql("PRAGMA shrink_memory")
    return check(connection)


def quick(connection: Connection) -> list[Damage]:
    """What SQLite's quick check finds: the structure of the file, without its indexes.

    It gives way to nobody: it is asked of a record that is written to, and whoever saves waits for it.
    """
    return _structure(connection, "PRAGMA quick_check", nullcontext())


def newest(connection: Connection, count: int = NEWEST) -> list[Damage]:
    """What is wrong with the schema and the newest entries: their hashes and the links between them.

    A record of no more than 3000 entries is checked whole: that takes no longer than a press may.
    """
    try:
        if reader.number(connection, reader.LAST_ARRIVAL) <= SMALL:
            return whole(connection)
        found = shape(connection)
        if found:
            return found
        sql = f"SELECT {_COLUMNS} FROM entry ORDER BY arrival DESC LIMIT {int(count)}"
        rows = list(reversed(connection.exec_driver_sql(sql).fetchall()))
        before = _links_before(connection, rows)
    except unreadable() as error:
        return [_damage(error)]
    return list(_wrong(rows, before))


def whole(connection: Connection) -> list[Damage]:
    """Everything that is wrong with a record; empty when it is sound.

    What takes long in it gives way: a window asks it of copies alone.
    """
    found = _structure(connection, "PRAGMA integrity_check", giving_way(connection))
    try:
        found += _unknown_installations(connection)
        before: dict[Any, str] = {}
        entries = connection.exec_driver_sql(f"SELECT {_COLUMNS} FROM entry ORDER BY arrival")
        while rows := entries.fetchmany(_PARTITION):
            give_way()
            found += _wrong(rows, before)
            if len(found) > MOST_REPORTED:
                break
    except unreadable() as error:
        found.append(_damage(error))
    return found[:MOST_REPORTED]


def sound_ids(connection: Connection) -> list[str]:
    """The ids of the entries that are as they were written, each read by itself; for a damaged file."""
    found: list[str] = []
    for place in range(1, reader.number(connection, reader.LAST_ARRIVAL) + 1):
        try:
            give_way()
            sql = f"SELECT {_COLUMNS} FROM entry WHERE arrival = ?"
            rows = connection.exec_driver_sql(sql, (place,)).fetchall()
        except unreadable():
            continue
        found += [row[0] for row in rows if _is_as_written(row)]
    return found


def _structure(connection: Connection, pragma: str, within: AbstractContextManager[None]) -> list[Damage]:
    """What SQLite's own check finds, done within something that lets others go first or not."""
    try:
        found = shape(connection)
        if found:
            return found
        # The schema is our own, so its checks of JSON may run also where SQLite takes them for unsafe.
        connection.exec_driver_sql("PRAGMA trusted_schema = ON")
        try:
            with within:
                lines = [str(row[0]) for row in connection.exec_driver_sql(pragma)]
        finally:
            connection.exec_driver_sql("PRAGMA trusted_schema = OFF")
    except unreadable() as error:
        return [_damage(error)]
    return [] if lines == ["ok"] else [Damage(say(FILE), " ".join(line.split())) for line in lines]


def _damage(error: Exception) -> Damage:
    """The damage that an error tells of; any other error goes on to whoever asked."""
    if not is_damage(error):
        raise error
    return Damage(say(FILE), cause_of(error))


def shape(connection: Connection) -> list[Damage]:
    """What is otherwise than in a new record of the version that the file says it is of."""
    version = reader.number(connection, "PRAGMA user_version")
    with fresh(version if 1 <= version <= VERSION else VERSION) as other:
        wanted = _declared(other)
    found = _declared(connection)
    names = sorted(name for name in wanted.keys() | found.keys() if wanted.get(name) != found.get(name))
    return [Damage(say(FILE), say("“{name}” isn't as it was made").format(name=name)) for name in names]


def _declared(connection: Connection) -> dict[str, str | None]:
    """Every table, index and trigger with its declaration, and the two marks of the file."""
    rows = connection.exec_driver_sql("SELECT type || ' ' || name, sql FROM sqlite_master").fetchall()
    marks = {
        name: str(one_value(connection, f"PRAGMA {name}")) for name in ("application_id", "user_version")
    }
    return {str(name): sql for name, sql in rows} | marks


def _unknown_installations(connection: Connection) -> list[Damage]:
    rows = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    words = say("an entry whose writer isn't known")
    return [Damage(say("entry number {number}").format(number=row[1]), words) for row in rows]


def _links_before(connection: Connection, rows: Sequence[Row]) -> dict[Any, str]:
    """For each installation, its link before the first of some rows."""
    before: dict[Any, str] = {}
    sql = "SELECT link FROM entry WHERE installation = ? AND arrival < ? ORDER BY arrival DESC LIMIT 1"
    for row in rows:
        if row[_INSTALLATION] not in before:
            last = one_value(connection, sql, (row[_INSTALLATION], row[_ARRIVAL]))
            before[row[_INSTALLATION]] = FIRST_LINK if last is None else last
    return before


def _wrong(rows: Sequence[Row], before: dict[Any, str]) -> Iterator[Damage]:
    """Rows whose hash or link isn't what their content says; `before` moves on with them."""
    for row in rows:
        where = say("entry {id}").format(id=row[0])
        if not _is_as_written(row):
            yield Damage(where, say("its content isn't what was written"))
        elif link(before.get(row[_INSTALLATION], FIRST_LINK), row[_HASH]) != row[_LINK]:
            yield Damage(where, say("it doesn't follow the entry before it"))
        before[row[_INSTALLATION]] = str(row[_LINK])


def _is_as_written(row: Row) -> bool:
    """Whether a row's content still has the hash that was written with it."""
    id_, kind, at, offset, zone, recorded_at, by, details, note, source, amends, reason, withdrawn = tuple(
        row
    )[:13]
    if withdrawn not in (0, 1):
        return False
    try:
        entry = Entry(
            id_, kind, Moment(at, offset), recorded_at, zone, by, {}, note, source, amends, reason, withdrawn
        )
        return bool(hash_of_line(written(entry, details)) == row[_HASH])
    except (TypeError, ValueError, OverflowError):
        return False
