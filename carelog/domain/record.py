"""What a record says about itself, what was done to it, and how its past is read."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from carelog.domain.entry import Entry, Json
from carelog.domain.moment import Instant

Arrival = int

FAR: Instant = 1 << 62
"""Later than any instant, more than any count."""


@dataclass(frozen=True, slots=True)
class PersonHeading:
    """Whom a record is about: an id shared by all computers, and a name until a person entry gives one."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Merged:
    """What an import did: entries added or here before, and how many kinds and fields aren't known here."""

    added: int
    already: int
    unknown_kinds: int
    unknown_fields: int


@dataclass(frozen=True, slots=True)
class Damage:
    """One thing that a check found wrong, and where."""

    where: str
    what: str


@dataclass(frozen=True, slots=True)
class Sought:
    """One word that is looked for in entries as they are stored.

    `texts` are pieces of details that are told by it. Entries of kinds that aren't `narrowed` are all taken,
    since their rows may say it in another way; `may_be_mark`, `may_be_nobody`: so are those that were changed
    or written later, and those without initials.
    """

    word: str
    texts: frozenset[str] = frozenset()
    narrowed: frozenset[str] = frozenset()
    may_be_mark: bool = False
    may_be_nobody: bool = False


@dataclass(frozen=True, slots=True)
class Saying:
    """What is sought: the newest entries of a kind that give a field, or give it one of some values.

    `values`: None for any, and of no values there are no entries; `before`: only those that happened before
    it; `each`: so many of every combination of what these fields say.
    """

    kind: str
    field: str = ""
    values: tuple[Json, ...] | None = None
    count: int = FAR
    before: Instant = FAR
    each: tuple[str, ...] = ()


class Past(Protocol):
    """An open record, as far as its past is read; every list holds whole chains of changes."""

    def period(self, start: Instant, end: Instant) -> list[Entry]:
        """Entries whose `at` lies in [start, end), and the whole chains of changes they belong to."""

    def newest(self, kind: str, count: int, before: Instant = FAR) -> list[Entry]:
        """The newest entries of a kind by `at` (before an instant), and their whole chains."""

    def saying(
        self,
        kind: str,
        field: str,
        values: Sequence[Json] | None = None,
        count: int = FAR,
        since: Instant = -FAR,
        before: Instant = FAR,
        each: Sequence[str] = (),
    ) -> list[Entry]:
        """The newest entries of a kind that give a field (one of these values), and their whole chains.

        `since`: only those that happened, or were recorded, from then on; `values`, `each`: as in `Saying`.
        """

    def sayings(self, sought: Sequence[Saying]) -> list[list[Entry]]:
        """What `saying` finds of each of these, in one pass over the entries of their kinds."""

    def written(self, start: Instant, end: Instant, before: Instant = FAR) -> list[Entry]:
        """Entries recorded in [start, end), and the whole chains of changes they belong to.

        `before`: only those that happened before it.
        """

    def ahead(self, of: Instant) -> list[Entry]:
        """Entries recorded before an instant that say they happened then or later, and their chains."""

    def zoned(self, count: int) -> list[Entry]:
        """The oldest entries by `at` that name a zone, and the whole chains of changes they belong to."""

    def last_written(self, before: Instant = FAR, by: str | None = None) -> Entry | None:
        """The entry with the newest `recorded_at` (before an instant, by somebody); None: there is none."""

    def begins(self) -> Instant:
        """The oldest moment that anything here happened or was recorded at; `FAR` for an empty record."""

    def of_kinds(self, kinds: Sequence[str]) -> list[Entry]:
        """All entries of some kinds, and their whole chains."""

    def count(self) -> int:
        """How many entries there are."""
