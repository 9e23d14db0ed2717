"""What a rule of care declares about itself: the help page and the program read the same rows."""

from dataclasses import dataclass
from enum import Enum

from carelog.domain.entry import Details, Json, details_text
from carelog.domain.flag import Matter
from carelog.domain.moment import DAY_24_H, Instant
from carelog.text import mark


class Status(Enum):
    """How well a value's source is known."""

    FOUND = mark("the published text was seen")
    SECOND_HAND = mark("seen quoted by another text")
    MEMORY = mark("recalled from the named source, not seen")
    PRACTICE = mark("common practice, no source")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a rule or a value comes from, and how well that is known."""

    name: str
    status: Status


PRACTICE = Source(mark("common practice"), Status.PRACTICE)
EMERGENCY = mark("If breathing is hard: emergency plan.")


@dataclass(frozen=True, slots=True)
class Said:
    """Entries of a kind; with a field those that give it, with values those that give it one of these.

    `each`: fields that tell one thing from another, such as a machine's name: what is said of each counts.
    """

    kind: str
    field: str = ""
    values: tuple[Json, ...] = ()
    each: tuple[str, ...] = ()

    def says(self, details: Details) -> bool:
        """Whether an entry of this kind with these details is one of them."""
        if not self.field:
            return True
        value = details.get(self.field)
        return value is not None and (not self.values or value in self.values)

    def about(self, details: Details) -> str:
        """Of which thing these details are, in a text that is the same for the same thing."""
        return details_text([details.get(name) for name in self.each])


URGENT_LEVEL, ANY_LEVEL = "urgent", "any"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what raises it, how serious it is, what ends it, and why it is there.

    `told`: it ends when somebody was told, `told_urgent`: an urgent one does; `day`: at note and call it ends
    24 h after the last entry that shows it became known; `falls`: a new entry, not only a change, may bring
    its level down; `after`: words that follow every reason; `with_tube`: it ends when the tube is taken out
    for good; `grows_with_time`: time alone makes it true, and grow; `by_rivals`: an entry on the losing side
    of a conflict raises it too, at `URGENT_LEVEL` only or at `ANY_LEVEL`, since nobody has chosen.

    What it needs of the past is declared too (`analysis.past` reads it): `looks_back`, in microseconds, how
    long before a moment an entry may still bear on what shows the rule then; `recorded_days`, the same in
    days on which care was written down; `stands`, of which the newest entry counts until another, however
    old (of each thing, where there are several); `until_told`, of which every entry does, until it was told
    or ended; `reads`, all that it reads at all, where that is less than the kinds of its tracker;
    `leans_on`, rules whose flags it looks at.
    """

    name: str
    title: str
    raised: str
    level: str
    clears: str
    sources: tuple[Source, ...]
    subject: str = ""
    told: bool = False
    told_urgent: bool = False
    day: bool = False
    falls: bool = False
    after: str = ""
    by_statistics: bool = False
    with_tube: bool = False
    by_rivals: str = ""
    matter: Matter = Matter.BODY
    grows_with_time: bool = False
    looks_back: Instant = DAY_24_H
    recorded_days: int = 0
    stands: tuple[Said, ...] = ()
    until_told: tuple[Said, ...] = ()
    reads: tuple[Said, ...] = ()
    leans_on: tuple[str, ...] = ()
