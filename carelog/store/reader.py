"""Reading entries out of a record, always with the whole chains of changes they belong to."""

import json
from collections.abc import Iterable, Sequence
from typing import Any

from carelog.domain.moment import Instant
from carelog.store.fit import Known
from carelog.store.readings import Connection, one_value
from carelog.store.rows import STORED

Found = Sequence[Any]

_IS_AMENDED = "EXISTS (SELECT 1 FROM entry AS change WHERE change.amends = entry.id)"
COLUMNS = f"SELECT {STORED}, {_IS_AMENDED} FROM"
_SELECT = f"{COLUMNS} entry"
_CHAIN = f"""WITH RECURSIVE member (id) AS (
  SELECT value FROM json_each(?)
  UNION SELECT entry.amends FROM member JOIN entry ON entry.id = member.id WHERE entry.amends IS NOT NULL
  UNION SELECT entry.id FROM member JOIN entry ON entry.amends = member.id)
SELECT {STORED} FROM member CROSS JOIN entry ON entry.id = member.id"""

BEGINS = "SELECT min((SELECT min(at) FROM entry), (SELECT min(recorded_at) FROM entry))"
LAST_ARRIVAL = "SELECT coalesce(max(arrival), 0) FROM entry"
_AMENDS, _AMENDED = 10, 13


def between(connection: Connection, start: int, end: int) -> list[Found]:
    """Rows after a place in the order of arrival, up to and with another."""
    return _all(connection, f"SELECT {STORED} FROM entry WHERE arrival > ? AND arrival <= ?", (start, end))


def period(connection: Connection, start: Instant, end: Instant) -> list[Found]:
    """Rows whose `at` lies in [start, end), and their chains."""
    found = _all(connection, f"{_SELECT} WHERE at >= ? AND at < ?", (start, end))
    return with_chains(connection, found)


def newest(connection: Connection, kind: str, count: int, before: Instant) -> list[Found]:
    """The newest rows of a kind by `at`, and their chains: one seek, however long the record is."""
    sql = f"{_SELECT} WHERE kind = ? AND at < ? ORDER BY at DESC LIMIT ?"
    return with_chains(connection, _all(connection, sql, (kind, before, count)))


def written(connection: Connection, start: Instant, end: Instant, before: Instant) -> list[Found]:
    """Rows recorded in [start, end) that happened before a moment, and their chains."""
    sql = f"{_SELECT} WHERE recorded_at >= ? AND recorded_at < ? AND at < ?"
    return with_chains(connection, _all(connection, sql, (start, end, before)))


def ahead(connection: Connection, of: Instant) -> list[Found]:
    """Rows recorded before an instant whose `at` lies there or later, and their chains."""
    return with_chains(connection, _all(connection, f"{_SELECT} WHERE at >= ? AND recorded_at < ?", (of, of)))


def zoned(connection: Connection, count: int) -> list[Found]:
    """The oldest rows by `at` that name a zone, and their chains."""
    sql = f"{_SELECT} WHERE zone <> '' ORDER BY at LIMIT ?"
    return with_chains(connection, _all(connection, sql, (count,)))


def last_written(connection: Connection, before: Instant, by: str | None) -> list[Found]:
    """The row with the newest `recorded_at` before an instant, of anybody or by these initials."""
    whose, given = ("", ()) if by is None else ('AND "by" = ? ', (by,))
    order = "ORDER BY recorded_at DESC, id DESC LIMIT 1"
    return _all(
        connection, f"SELECT {STORED} FROM entry WHERE recorded_at < ? {whose}{order}", (before, *given)
    )


def of_kinds(connection: Connection, kinds: Sequence[str]) -> list[Found]:
    """All rows of some kinds, and their chains."""
    sql = f"{_SELECT} WHERE kind IN (SELECT value FROM json_each(?))"
    return with_chains(connection, _all(connection, sql, (json.dumps(list(kinds)),)))


def forked(connection: Connection) -> list[Found]:
    """The chains in which two or more changes want to change one and the same entry."""
    sql = "SELECT amends FROM entry WHERE amends IS NOT NULL GROUP BY amends HAVING count(*) > 1"
    return chain(connection, [row[0] for row in _all(connection, sql, ())])


def chain(connection: Connection, ids: Iterable[str]) -> list[Found]:
    """The whole chains that some entries belong to: what each changes, and what changes it."""
    return _all(connection, _CHAIN, (json.dumps(list(ids)),))


def with_chains(connection: Connection, found: list[Found]) -> list[Found]:
    """Some rows (with “is amended” as their last column) and the rest of their chains."""
    linked = [row[0] for row in found if row[_AMENDS] is not None or row[_AMENDED]]
    if not linked:
        return found
    rows = {row[0]: row for row in found}
    rows |= {row[0]: row for row in chain(connection, linked)}
    return list(rows.values())


def arrived(connection: Connection, after: int) -> list[Found]:
    """Rows after a place in the order of arrival; that place is the last column."""
    sql = f"SELECT {STORED}, arrival FROM entry WHERE arrival > ? ORDER BY arrival"
    return _all(connection, sql, (after,))


def known(connection: Connection, ids: Sequence[str]) -> dict[str, Known]:
    """What has to be known of those of some ids that are here."""
    sql = "SELECT id, kind, amends, content_hash FROM entry WHERE id IN (SELECT value FROM json_each(?))"
    return {row[0]: Known(*row[1:]) for row in _all(connection, sql, (json.dumps(list(ids)),))}


def amended(connection: Connection, ids: Sequence[str]) -> set[str]:
    """Those of some ids that an entry here wants to change, whether they are here or not."""
    if not ids:
        return set()
    sql = "SELECT amends FROM entry WHERE amends IN (SELECT value FROM json_each(?))"
    return {row[0] for row in _all(connection, sql, (json.dumps(list(ids)),))}


def ids(connection: Connection) -> list[str]:
    """The ids of all entries."""
    return [row[0] for row in _all(connection, "SELECT id FROM entry", ())]


def number(connection: Connection, sql: str) -> int:
    """The one number that a query answers."""
    return int(one_value(connection, sql))


def _all(connection: Connection, sql: str, parameters: tuple[Any, ...]) -> list[Found]:
    return list(connection.exec_driver_sql(sql, parameters).fetchall())
