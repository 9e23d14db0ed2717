"""What is given out: the entries of a period, and whose they are."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from carelog.analysis.in_force import Reading
from carelog.analysis.marks import strays
from carelog.analysis.people import person
from carelog.analysis.visit.signed import Signed, signed
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant
from carelog.text import mark, say

IN_FORCE = "in force"
REPLACED = "replaced"
STRUCK = "struck out"
STRIKES = "strikes out"
NO_EFFECT = "without effect"

STATES: dict[str, str] = {
    IN_FORCE: mark("counts"),
    REPLACED: mark("an older version, no longer in force"),
    STRUCK: mark("was struck out"),
    STRIKES: mark("strikes another entry out"),
    NO_EFFECT: mark("a change of an entry that isn't here, or one that lost against another"),
}
"""What an entry is in its chain of changes, and in words."""


@dataclass(frozen=True)
class Extract:
    """Entries with the whole chains of changes they belong to; `since` and `until` are None for all of it.

    `visits` are those of the whole record: a nurse may have signed the period after its end.
    """

    entries: Sequence[Entry]
    person_id: str
    record_name: str
    made_at: Instant
    since: Instant | None = None
    until: Instant | None = None
    visits: Sequence[Entry] = ()

    @cached_property
    def reading(self) -> Reading:
        """The entries in force."""
        return Reading(self.entries)

    @cached_property
    def name(self) -> str:
        """Whom it is about."""
        return str(person(self.reading).name or self.record_name or say(mark("no name recorded")))

    @property
    def home(self) -> Home:
        """The home zone's clock."""
        return self.reading.home

    @cached_property
    def signed(self) -> Signed:
        """What nurses signed."""
        return signed(Reading(self.visits), self.home)

    @cached_property
    def after_signing(self) -> dict[str, Instant]:
        """When something was written or changed after its day was signed, by the ids of all its versions."""
        found: dict[str, Instant] = {}
        for each in self.reading.shown:
            after = self.signed.after(each.chain)
            if after is not None:
                found |= {entry.id: after.time for entry in each.chain}
        return found

    @cached_property
    def since_signed(self) -> dict[str, int]:
        """How many entries were written, changed or struck out since each signature, by its first version."""
        found = (self.signed.after(each.chain) for each in self.reading.shown)
        return dict(Counter(after.signature.held.first.id for after in found if after is not None))

    @cached_property
    def states(self) -> dict[str, str]:
        """What each entry is in its chain of changes, by its id."""
        found = {entry.id: NO_EFFECT for entry in self.entries}
        for held in self.reading.held:
            found.update((each.id, REPLACED) for each in held.chain if not each.withdrawn)
            found[held.entry.id] = IN_FORCE
        for struck in self.reading.withdrawn:
            found.update((each.id, STRUCK) for each in struck.chain if not each.withdrawn)
            found[struck.withdrawal.id] = STRIKES
        found.update((each.id, NO_EFFECT) for each in strays(self.reading, self.entries))
        return found
