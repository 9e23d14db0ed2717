"""What a kind of entry declares about itself; each layer reads from here and knows no kind by name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from carelog.domain import field as fields
from carelog.domain.entry import Details, Json
from carelog.domain.field import Choice, Field, Problem
from carelog.domain.moment import Instant
from carelog.text import say

NOTHING = "none"
"""The value of a choice that says that there was nothing, which a tile leaves out."""


class Draw(Enum):
    """How a week shows a kind: done against due, a count, readings with units, words, or not at all."""

    DOINGS = "doings"
    COUNT = "count"
    READINGS = "readings"
    WORDS = "words"
    SETTING = "setting"


@dataclass(frozen=True, slots=True)
class Tile:
    """A tile of the board: it records exactly what its words say, or opens the form (`records` None)."""

    words: str
    records: Details | None = None
    value: str = ""
    place: int = 0
    """Its place on a board that nobody has arranged; 0: under “More”."""
    glyph: str = ""
    """The drawing on it, a file in `resources/glyphs`; empty: its kind's, which has the kind's name."""


@dataclass(frozen=True, slots=True)
class Pick:
    """One quick choice after a press: it completes the entry with this value."""

    field: str
    value: Json
    words: str = ""
    """The words on it, where those of the value alone would be too long, or say too little."""


@dataclass(frozen=True, slots=True)
class NeedsAnswer:
    """A field that a form asks about once more when it is left open, where the details hold these values."""

    given: Details
    field: str
    words: str


@dataclass(frozen=True, slots=True)
class Export:
    """What a kind maps to in HL7 FHIR R4B.

    `resource` is the resource that an entry becomes. `has_findings`: its details stand beside a Procedure as
    the components of an Observation. `loinc`: by field the code and its name, only where both were seen.
    """

    resource: str = "Observation"
    has_findings: bool = True
    loinc: Mapping[str, tuple[str, str]] = field(default_factory=dict)


def _always(_details: Details) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry."""

    name: str
    title: str
    fields: tuple[Field, ...] = ()
    tiles: tuple[Tile, ...] = ()
    picks: tuple[Pick, ...] = ()
    rare_picks: tuple[Pick, ...] = ()
    """Quick choices of what is rare and weighs much: offered first, whatever is usual."""
    does: Callable[[Details], bool] = _always
    wording: Callable[[Details], str] | None = None
    told_by: str = ""
    """A field that, where it is given, makes a line of text say what the title says."""
    in_short: tuple[str, ...] = ()
    """The fields that a tile says, the most telling first, which is said bare; empty: the first two."""
    check: Callable[[Details], Problem | None] | None = None
    check_time: Callable[[Details, Instant], Problem | None] | None = None
    """What may be wrong with valid details for the time of the entry."""
    draw: Draw = Draw.WORDS
    export: Export = field(default_factory=Export)
    needs_note: bool = False
    note_words: str = ""
    """What the entry's note is called in a form, where the entry is nothing else."""
    is_care: bool = False
    """Whether it makes its day a recorded one: a day without suction is one on which care was written."""
    is_clockwork: bool = False
    """Care done by the clock: where it is missing, the day wasn't written down."""
    has_time: bool = True
    """Whether a form asks when it happened."""
    has_page: bool = False
    """Whether it has a page of its own, and needs no place in the list of what may be recorded."""
    is_lasting: bool = False
    """Every entry of it counts, however old; a household writes few of them."""
    is_weighty: bool = False
    """Rare, and read on a sheet's first page whatever its note says (common practice, no source)."""
    has_section: bool = False
    """Whether a sheet tells it in a section of its own, not among the notes."""
    ends_with_contact: bool = False
    """Whether its form ends with whom to ask."""
    needs_answer: NeedsAnswer | None = None
    is_speech: bool = False
    """Whether somebody only said it: its initials tell nothing of who records."""
    is_frequent: bool = False
    """Written daily, for years: only as much of it is read as somebody needs. Of the others all is."""

    @property
    def is_described_daily(self) -> bool:
        """Whether it is described anew each day: findings to choose from, and nothing that must be given."""
        choices = [each for each in self.fields if isinstance(each.type, Choice)]
        return self.draw is Draw.WORDS and len(choices) > 2 and not any(each.required for each in self.fields)

    def problems(self, details: Details, at: Instant | None = None) -> list[Problem]:
        """What is wrong with details of this kind, for an entry at a time; empty when all is right."""
        found = fields.problems(self.fields, details)
        if found:
            return found
        extra = self.check(details) if self.check else None
        if extra is None and self.check_time and at is not None:
            extra = self.check_time(details, at)
        return [extra] if extra else []

    def field(self, name: str) -> Field | None:
        """The field of that name, if the kind has it."""
        return next((each for each in self.fields if each.name == name), None)

    def unknown(self, details: Details) -> dict[str, Json]:
        """The details this version doesn't know: kept and shown as they are."""
        return {name: value for name, value in details.items() if self.field(name) is None}

    def line(self, details: Details) -> str:
        """The details as one line of text, without the kind's title; unknown ones last, as they are."""
        known = self.wording(details) if self.wording else fields.phrase(self.fields, details)
        return "; ".join(part for part in [known, *self._rest(details)] if part)

    def parts(self, details: Details) -> list[str]:
        """The details one by one, as they stand in the line of text."""
        known = [self.wording(details)] if self.wording else fields.phrases(self.fields, details)
        return [part for part in [*known, *self._rest(details)] if part]

    def brief(self, details: Details, said: Details) -> tuple[str, ...]:
        """The details in a few words each, the most telling first, without what is said already."""
        rest = {name: value for name, value in details.items() if name not in said and value != NOTHING}
        if not self.in_short:
            return tuple(self.parts(rest)[:2])
        found = [each for name in self.in_short if name in rest and (each := self.field(name)) is not None]
        return tuple(
            fields.bare(each, rest) if each.name == self.in_short[0] else fields.phrase((each,), rest)
            for each in found
        )

    def _rest(self, details: Details) -> list[str]:
        return [f"{name}: {value}" for name, value in self.unknown(details).items()]

    def pick_label(self, pick: Pick) -> str:
        """The words on a quick choice."""
        if pick.words:
            return say(pick.words)
        each = self.field(pick.field)
        return each.type.words(pick.value) if each else str(pick.value)


def order(kind: Kind, name: str) -> Mapping[Json, int]:
    """The rank of each value of an ordered choice field, from least (0) to most."""
    each = kind.field(name)
    if each is None or not isinstance(each.type, Choice):
        raise LookupError(name)
    return {option.value: rank for rank, option in enumerate(each.type.options)}
