"""What a rule of care declares about itself: the help page and the program read the same rows."""

from dataclasses import dataclass
from enum import Enum

from carelog.domain.flag import Matter
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
class Rule:
    """One rule: what raises it, how serious it is, what ends it, and why it is there.

    `told`: it ends when somebody was told, `told_urgent`: an urgent one does; `day`: at note and call it ends
    24 h after the last entry that shows it became known; `falls`: a new entry, not only a change, may bring
    its level down; `after`: words that follow every reason; `with_tube`: it ends when the tube is taken out
    for good.
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
    matter: Matter = Matter.BODY
