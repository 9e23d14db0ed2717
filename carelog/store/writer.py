"""Putting rows behind those that are here, each with its link; always inside one transaction."""

from collections.abc import Sequence

from carelog.domain.entry import FIRST_LINK, link
from carelog.domain.record import Arrival, PersonHeading
from carelog.store.readings import Connection, one_value
from carelog.store.rows import INSERT, PLACES, StoredRow
from carelog.store.tables import PERSON_ID, PERSON_NAME

# Many rows in one statement: SQLite keeps what a statement may have to undo once each, not once a row.
_AT_ONCE = 100
_STATE = """SELECT mine.number,
  (SELECT link FROM entry WHERE installation = mine.number ORDER BY arrival DESC LIMIT 1),
  (SELECT coalesce(max(arrival), 0) FROM entry)
FROM (SELECT (SELECT number FROM installation WHERE id = ?) AS number) AS mine"""


def add(connection: Connection, installation: str, rows: Sequence[StoredRow]) -> tuple[Arrival, Arrival]:
    """Add rows that are known to fit; returns the last place before them and the last of them."""
    ((number, last, before),) = connection.exec_driver_sql(_STATE, (installation,)).fetchall()
    if number is None and rows:
        sql = "INSERT INTO installation (id) VALUES (?) RETURNING number"
        number = one_value(connection, sql, (installation,))
    here = last or FIRST_LINK
    for start in range(0, len(rows), _AT_ONCE):
        batch = rows[start : start + _AT_ONCE]
        values: list[object] = []
        for row in batch:
            here = link(here, row.content_hash)
            values += (*row, here, number)
        connection.exec_driver_sql(INSERT + ",".join([PLACES] * len(batch)), tuple(values))
    return before, before + len(rows)


def heading(connection: Connection) -> PersonHeading:
    """Whom the record is about."""
    rows = connection.exec_driver_sql("SELECT name, value FROM heading").fetchall()
    values = {str(name): str(value) for name, value in rows}
    return PersonHeading(values.get(PERSON_ID, ""), values.get(PERSON_NAME, ""))


def put_heading(connection: Connection, person: PersonHeading) -> None:
    """Say whom the record is about; only a record without entries lets it be changed."""
    sql = (
        "INSERT INTO heading (name, value) VALUES (?, ?) "
        "ON CONFLICT (name) DO UPDATE SET value = excluded.value"
    )
    for name, value in ((PERSON_ID, person.id), (PERSON_NAME, person.name)):
        connection.exec_driver_sql(sql, (name, value))
