"""Reading entries out of a record, always with the whole chains of changes they belong to."""

import json
from collections.abc import Iterable, Iterator, Sequence
from itertools import compress
from typing import Any

from carelog.domain.moment import Instant
from carelog.domain.record import Saying
from carelog.store.fit import Known
from carelog.store.readings import Connection, one_value
from carelog.store.rows import STORED

Found = Sequence[Any]

_IS_AMENDED = "EXISTS (SELECT 1 FROM entry AS change WHERE change.amends = entry.id)"
_COLUMNS = f"SELECT {STORED}, {_IS_AMENDED} FROM"
_SELECT = f"{_COLUMNS} entry"
_CHAIN = f"""WITH RECURSIVE member (id) AS (
  SELECT value FROM json_each(?)
  UNION SELECT entry.amends FROM member JOIN entry ON entry.id = member.id WHERE entry.amends IS NOT NULL
  UNION SELECT entry.id FROM member JOIN entry ON entry.amends = member.id)
SELECT {STORED} FROM member CROSS JOIN entry ON entry.id = member.id"""

_SPAN = "SELECT (SELECT min(at) FROM entry), (SELECT max(recorded_at) FROM entry)"
_RECENT = """(SELECT entry.* FROM (
  SELECT arrival FROM entry WHERE kind = ? AND at >= ?
  UNION ALL
  SELECT arrival FROM entry INDEXED BY entry_recorded_at WHERE recorded_at >= ? AND at < ? AND kind = ?
) AS near CROSS JOIN entry ON entry.arrival = near.arrival) AS entry"""

FIRST: Instant = -1 << 62
KINDS = 8
"""Of so many entries about one is of a kind that is asked for."""
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


def saying(
    connection: Connection,
    kind: str,
    field: str,
    values: Sequence[Any] | None,
    count: int,
    since: Instant,
    before: Instant,
    each: Sequence[str] = (),
) -> list[Found]:
    """The newest rows of a kind that give a field, or give it one of some values, and their chains.

    `since`: only those that happened, or were recorded, from then on; `each`: so many of every combination
    of what these fields say.
    """
    test, given = _says(field, values)
    rows, bounds = _since(connection, kind, since) if since > FIRST else ("entry", [])
    found, asked = f"{rows} WHERE kind = ? AND at < ? AND {test}", [*bounds, kind, before, *given]
    sql, names = f"{_COLUMNS} {found} ORDER BY at DESC LIMIT ?", [_path(name) for name in each]
    if each:
        things = ", ".join("json_extract(details, ?)" for _ in each)
        place = f"row_number() OVER (PARTITION BY {things} ORDER BY at DESC) AS place"
        sql = f"{_COLUMNS} (SELECT *, {place} FROM {found}) AS entry WHERE place <= ?"
    return with_chains(connection, _all(connection, sql, (*names, *asked, count)))


def sayings(
    connection: Connection, kind: str, sought: Sequence[Saying], before: Instant
) -> list[list[Found]]:
    """What `saying` finds of each of these: each row of the kind is looked at once.

    One of which enough was found is left out of the looking from there on.
    """
    places: list[list[int]] = [[] for _ in sought]
    lacking = [number for number, each in enumerate(sought) if each.count]
    at, arrival = before, FIRST
    while lacking:
        rows = _saying_any(connection, kind, [sought[number] for number in lacking], at, arrival)
        is_enough = False
        while not is_enough and (row := next(rows, None)) is not None:
            arrival, at, says = row[0], row[1], row[2:]
            for number in compress(lacking, says):
                places[number].append(arrival)
                is_enough = is_enough or len(places[number]) == sought[number].count
        lacking = [each for each in lacking if is_enough and len(places[each]) < sought[each].count]
    return [with_chains(connection, _at(connection, each)) for each in places]


def _saying_any(
    connection: Connection, kind: str, sought: Sequence[Saying], at: Instant, arrival: int
) -> Iterator[Found]:
    """The rows of a kind before a place in it that say any of these, newest first; and which of them."""
    told = [_says(each.field, each.values or None) for each in sought]
    tests, given = [test for test, _ in told], [value for _, values in told for value in values]
    sql = f"""SELECT arrival, at, {", ".join(tests)} FROM entry
WHERE kind = ? AND (at, arrival) < (?, ?) AND ({" OR ".join(tests)}) ORDER BY at DESC, arrival DESC"""
    return iter(connection.exec_driver_sql(sql, (*given, kind, at, arrival, *given)))


def _at(connection: Connection, places: Sequence[int]) -> list[Found]:
    """The rows at some places in the order of arrival."""
    sql = f"{_COLUMNS} json_each(?) AS place CROSS JOIN entry ON entry.arrival = place.value"
    return _all(connection, sql, (json.dumps(places),))


def _since(connection: Connection, kind: str, since: Instant) -> tuple[str, list[Any]]:
    """Where those of a kind are that happened, or were recorded, from a moment on.

    What was recorded late lies among all of the kind from before, or among all that was recorded since: taken
    is what is less to look through.
    """
    first, last = _all(connection, _SPAN, ())[0]
    if first is None or (last - since) * KINDS > since - first:
        return "(SELECT * FROM entry WHERE kind = ? AND (at >= ? OR recorded_at >= ?)) AS entry", [
            kind,
            since,
            since,
        ]
    return _RECENT, [kind, since, since, since, kind]


def _path(field: str) -> str:
    return f'$."{field}"'


def _says(field: str, values: Sequence[Any] | None) -> tuple[str, list[Any]]:
    # The text is searched first: of the many rows that don't give the field none is read as JSON.
    name = f'"{field}": '
    if not field:
        return "1", []
    if values is None:
        return "instr(details, ?) AND json_type(details, ?) IS NOT NULL", [name, _path(field)]
    any_of = " OR ".join("instr(details, ?)" for _ in values)
    test = f"({any_of}) AND json_extract(details, ?) IN (SELECT value FROM json_each(?))"
    return test, [*(f"{name}{json.dumps(value)}" for value in values), _path(field), json.dumps(list(values))]


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
