"""What a record says about itself and what was done to it: whom it is about, an import, damage."""

from dataclasses import dataclass

Arrival = int


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
