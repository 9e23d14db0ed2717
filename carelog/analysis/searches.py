"""Searches of a record for what entries say, of which many are one pass over the entries."""

from collections.abc import Iterable

from carelog.analysis.rules.rule import Said
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant
from carelog.domain.record import FAR, Past, Saying

Search = tuple[Said, int, Instant]
"""The newest so many entries that say something, from before a moment."""


class Searches:
    """What a record says, asked for one by one; and what will be asked for, looked for together."""

    def __init__(self, record: Past) -> None:
        """Nothing is looked for yet."""
        self._record = record
        self._foreseen: dict[Search, list[Entry]] = {}

    def foresee(self, wanted: Iterable[Search]) -> None:
        """Look for what will be asked for."""
        searches = list(dict.fromkeys(wanted))
        sought = [
            Saying(said.kind, said.field, said.values or None, count, before, said.each)
            for said, count, before in searches
        ]
        self._foreseen = dict(zip(searches, self._record.sayings(sought), strict=True))

    def newest(self, said: Said, count: int, before: Instant) -> list[Entry]:
        """The newest so many entries from before a moment that say something, and their chains."""
        foreseen = self._foreseen.get((said, count, before))
        if foreseen is not None:
            return foreseen
        values = said.values or None
        return self._record.saying(said.kind, said.field, values, count, before=before, each=said.each)

    def since(self, said: Said, since: Instant, before: Instant) -> list[Entry]:
        """The entries that say something and happened, or were recorded, from then on; and their chains."""
        if since == -FAR:
            return self.newest(said, FAR, before)
        return self._record.saying(said.kind, said.field, said.values or None, since=since, before=before)

    def let_go(self) -> None:
        """Forget what was found."""
        self._foreseen.clear()
