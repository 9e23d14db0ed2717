"""Whether entries fit a record: nothing twice with other content, no ring of changes, no change of kind."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from carelog.domain.trouble import Refused
from carelog.store.rows import StoredRow
from carelog.text import say


class Known(NamedTuple):
    """What has to be known of an entry that is here."""

    kind: str
    amends: str | None
    content_hash: str


class Misfit(Refused):
    """One entry doesn't fit; `row` is the one."""

    def __init__(self, row: StoredRow, sentence: str) -> None:
        super().__init__(sentence)
        self.row = row


class Fit:
    """Judges rows one by one, in their order, against a record and the rows beside them.

    What was judged at one call is in the record by the next one, or it is forgotten.
    """

    def __init__(
        self,
        stored: Callable[[Sequence[str]], dict[str, Known]],
        amended: Callable[[Sequence[str]], set[str]],
    ) -> None:
        """`stored` finds entries of the record by id, `amended` which ids its entries want to change."""
        self._stored = stored
        self._amended = amended
        self._here: dict[str, Known] = {}
        self._asked: set[str] = set()
        self._awaited: set[str] = set()
        self._above: dict[str, str] = {}

    def are_new(self, rows: Sequence[StoredRow]) -> list[bool]:
        """For each of some rows whether it isn't here yet; `Misfit` for the first that can't be taken."""
        self._here.clear()
        self._asked.clear()
        self._fetch([row.id for row in rows])
        changes = [row.amends for row in rows if row.amends]
        if changes:
            self._fetch(changes)
        self._awaited = self._amended([row.id for row in rows if row.amends])
        return [self._is_new(row) for row in rows]

    def _fetch(self, ids: Iterable[str]) -> None:
        unknown = [each for each in ids if each not in self._asked]
        if unknown:
            self._asked.update(unknown)
            self._here |= {
                id_: known for id_, known in self._stored(unknown).items() if id_ not in self._here
            }

    def _is_new(self, row: StoredRow) -> bool:
        known = self._here.get(row.id)
        if known is not None:
            if known.content_hash == row.content_hash:
                return False
            raise Misfit(row, say("the entry {id} is here, but with other content.").format(id=row.id))
        if row.amends:
            self._judge_change(row, row.amends)
        self._here[row.id] = Known(row.kind, row.amends, row.content_hash)
        return True

    def _judge_change(self, row: StoredRow, target: str) -> None:
        if target == row.id or (row.id in self._awaited and self._top(target) == row.id):
            raise Misfit(row, say("these changes would change one another in a ring."))
        known = self._here.get(target)
        if known is None:
            self._awaited.add(target)
        elif known.kind != row.kind:
            words = say("the change is of kind “{kind}”, but what it changes is of kind “{other}”.")
            raise Misfit(row, words.format(kind=row.kind[:40], other=known.kind[:40]))

    def _top(self, start: str) -> str:
        """Where a chain of changes begins, as far as it is here; walked paths are shortened."""
        path: dict[str, None] = {}
        here = start
        while here not in path:
            above = self._above.get(here) or self._amends(here)
            if above is None:
                break
            path[here] = None
            here = above
        self._above |= dict.fromkeys((each for each in path if each != here), here)
        return here

    def _amends(self, entry: str) -> str | None:
        self._fetch([entry])
        known = self._here.get(entry)
        return known.amends if known else None
