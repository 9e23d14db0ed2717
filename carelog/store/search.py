"""Searches for what entries say: many of them are one pass over the rows.

Most entries say what others said before, and few say what is sought. So the different texts of a slice of
rows are searched as one, and only those that hold a piece of what is sought are read as JSON.
"""

import json
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from heapq import heappush, heapreplace
from typing import Any

from carelog.domain.entry import details_text
from carelog.domain.moment import Instant
from carelog.domain.record import FAR, Arrival, Saying
from carelog.store.reader import COLUMNS, Found, with_chains
from carelog.store.readings import Answer, Connection

FIRST_SLICE, SLICE = 32, 1000
"""The first rows hold most of what is sought by count; each slice then is twice the one before it."""
REMEMBERED = 4096
"""So many texts that say nothing of what is wanted are known again in the slices that follow."""
KINDS = 8
"""Of so many entries about one is of a kind that is asked for."""
Place = tuple[Instant, int]
"""When the entry of a row happened, and its place in the order of arrival."""

_TOLD = "SELECT at, arrival, kind || details FROM"
_NEWEST_FIRST = "at < ? ORDER BY at DESC, arrival DESC"
_SPAN = "SELECT (SELECT min(at) FROM entry), (SELECT max(recorded_at) FROM entry)"
_RECENT = """(SELECT entry.* FROM (
  SELECT arrival FROM entry WHERE kind = ? AND at >= ?
  UNION ALL
  SELECT arrival FROM entry INDEXED BY entry_recorded_at WHERE recorded_at >= ? AND at < ? AND kind = ?
) AS near CROSS JOIN entry ON entry.arrival = near.arrival)"""
_LATE = "(SELECT * FROM entry WHERE kind = ? AND (at >= ? OR recorded_at >= ?))"
_THERE = f"{COLUMNS} json_each(?) AS place CROSS JOIN entry ON entry.arrival = place.value"


def saying(connection: Connection, sought: Saying, since: Instant = -FAR) -> list[Found]:
    """The newest rows that say something, and their chains.

    `since`: only those that happened, or were recorded, from then on.
    """
    if since == -FAR:
        return sayings(connection, [sought])[0]
    rows, given = _since(connection, sought.kind, since)
    sql = f"{_TOLD} {rows} AS entry WHERE {_NEWEST_FIRST}"
    return _found(connection, [sought], connection.exec_driver_sql(sql, (*given, sought.before)))[0]


def sayings(connection: Connection, sought: Sequence[Saying]) -> list[list[Found]]:
    """What `saying` finds of each of these, which are all of one kind."""
    before = max((each.before for each in sought), default=-FAR)
    sql = f"{_TOLD} entry WHERE kind = ? AND {_NEWEST_FIRST}"
    kind = next((each.kind for each in sought), "")
    return _found(connection, sought, connection.exec_driver_sql(sql, (kind, before)))


def told(
    connection: Connection, kinds: Collection[str], before: Instant, start: Arrival, end: Arrival
) -> list[Found]:
    """What rows of some kinds say that arrived after a place and up to another, for a `Look` through them.

    By the index of each kind nearly every page of the file would be read once for each of them.
    """
    sql = f"""{_TOLD} entry NOT INDEXED WHERE arrival > ? AND arrival <= ?
AND kind IN (SELECT value FROM json_each(?)) AND at < ?"""
    given = (start, end, json.dumps(sorted(kinds)), before)
    return list(connection.exec_driver_sql(sql, given).fetchall())


def found_by(connection: Connection, searches: "Sequence[Search]") -> list[list[Found]]:
    """The rows that each search found, and the rest of their chains."""
    return [with_chains(connection, _there(connection, search.places)) for search in searches]


def _found(connection: Connection, sought: Sequence[Saying], rows: Answer) -> list[list[Found]]:
    """What each of these finds among some rows, which come newest first, and the rest of their chains."""
    size, look = FIRST_SLICE, Look(sought)
    while (part := rows.fetchmany(size)) and look.through(part):
        size = min(2 * size, SLICE)
    return found_by(connection, look.searches)


class Look:
    """One look through rows for several searches, a slice of them at a time."""

    def __init__(self, sought: Sequence[Saying]) -> None:
        """Nothing is looked through yet."""
        self.searches = [Search(each) for each in sought]
        self._wanting: list[Search] = []
        self._silent = set[str]()
        """Texts that say nothing of what the searches want that wanted some of the newest slice."""

    def through(self, rows: Sequence[Found]) -> bool:
        """Take what searches want of a slice of rows; whether any may have wanted some of it."""
        newest = max(((at, arrival) for at, arrival, _ in rows), default=(-FAR, 0))
        wanting = [search for search in self.searches if search.wants(newest)]
        if len(self._silent) > REMEMBERED or any(search not in self._wanting for search in wanting):
            self._silent.clear()
        self._wanting = wanting
        texts = {text for _, _, text in rows} - self._silent
        together, said = "\n".join(texts), defaultdict[str, list[tuple[Search, str]]](list)
        for search in wanting:
            for text, thing in search.said(texts, together):
                said[text].append((search, thing))
        self._silent |= texts - said.keys()
        if said:
            for at, arrival, text in rows:
                for search, thing in said.get(text, ()):
                    search.take((at, arrival), thing)
        return bool(wanting)


class Search:
    """One thing that is sought, and where it was found so far."""

    def __init__(self, sought: Saying) -> None:
        """Nothing is found yet."""
        self._sought = sought
        self._taken = defaultdict[str, list[Place]](list)
        name = f"{details_text(sought.field)}: " if sought.field else ""
        values = sought.values
        self._pieces = [name] if values is None else [f"{name}{details_text(each)}" for each in values]

    @property
    def places(self) -> list[int]:
        """The places in the order of arrival of what was found."""
        return [arrival for taken in self._taken.values() for _, arrival in taken]

    def wants(self, newest: Place) -> bool:
        """Whether rows of which the newest is this one may hold more: of another thing they always may."""
        taken, sought = self._taken[""], self._sought
        return bool(sought.each) or len(taken) < sought.count or (sought.count > 0 and taken[0] < newest)

    def said(self, texts: set[str], together: str) -> Iterator[tuple[str, str]]:
        """Those of some texts that say it, each with the thing it is said of; `together`: all of them."""
        if any(piece in together for piece in self._pieces):
            kind, each = self._sought.kind, self._sought.each
            for text in texts:
                if text.startswith(f"{kind}{{") and any(piece in text for piece in self._pieces):
                    details = json.loads(text[len(kind) :])
                    if self._is_said(details):
                        yield text, details_text([details.get(name) for name in each]) if each else ""

    def take(self, place: Place, thing: str) -> None:
        """Take a row where it is said of a thing, in place of the oldest where enough were found."""
        taken = self._taken[thing]
        if place[0] >= self._sought.before:
            return
        if len(taken) < self._sought.count:
            heappush(taken, place)
        elif taken and taken[0] < place:
            heapreplace(taken, place)

    def _is_said(self, details: dict[str, Any]) -> bool:
        field, values = self._sought.field, self._sought.values
        return not field or (field in details and (values is None or details[field] in values))


def _there(connection: Connection, places: Sequence[int]) -> list[Found]:
    """The rows at some places in the order of arrival."""
    return list(connection.exec_driver_sql(_THERE, (json.dumps(places),)).fetchall()) if places else []


def _since(connection: Connection, kind: str, since: Instant) -> tuple[str, list[Any]]:
    """Where those of a kind are that happened, or were recorded, from a moment on.

    What was recorded late lies among all of the kind from before, or among all that was recorded since: taken
    is what is less to look through.
    """
    first, last = connection.exec_driver_sql(_SPAN).fetchall()[0]
    if first is None or (last - since) * KINDS > since - first:
        return _LATE, [kind, since, since]
    return _RECENT, [kind, since, since, since, kind]
