"""Entries as tables: one over all of them, and one a kind, whose columns are the kind's own fields."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum

from carelog.domain.either import OrNone
from carelog.domain.entry import Entry, Json, details_text
from carelog.domain.field import Choice, Date, Field, ListOf, Number, Type, YesNo
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, utc_text
from carelog.export.extract import Extract
from carelog.kinds import ALL, kind_named, named_or_unknown
from carelog.text import mark, say

_UNIT = mark("unit in column {field}")
OTHER = "other_fields"
UNKNOWN_KINDS = "other_kinds"
Value = str | int | float | bool | datetime | date | None


class Holds(Enum):
    """What a column's cells are."""

    TEXT = "text"
    NUMBER = "number"
    YES_NO = "yes or no"
    DAY = "day"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, its unit in words (empty: none), what it holds, and what that means."""

    name: str
    holds: Holds
    means: str
    unit: str = ""

    @property
    def head(self) -> str:
        """The words at its top; a number never stands without its unit."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its name in the file, its title, its columns, its rows in the order of time."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: "Rows"


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a table, made one by one each time they are asked for."""

    extract: Extract
    kind: Kind | None
    entries: Sequence[Entry]
    is_whole: bool

    def __iter__(self) -> Iterator[list[Value]]:
        for entry in self.entries:
            yield [*_envelope(self.extract, entry), *self._own(entry)]

    def __len__(self) -> int:
        return len(self.entries)

    def _own(self, entry: Entry) -> Iterator[Value]:
        if self.kind is None or self.is_whole:
            kind = named_or_unknown(entry.kind)
            yield from (entry.kind, say(kind.title), kind.line(entry.details) if not entry.withdrawn else "")
            return
        for each in self.kind.fields:
            yield cell(each.type, entry.details.get(each.name))
        rest = self.kind.unknown(entry.details)
        yield details_text(rest) if rest else None


ENVELOPE = (
    Column("at", Holds.TIME, mark("when it happened, on the clock at home")),
    Column("at_iso", Holds.TEXT, mark("when it happened, with its offset (ISO 8601)")),
    Column("zone", Holds.TEXT, mark("the time zone it was recorded in")),
    Column("recorded_at_iso", Holds.TEXT, mark("when it was written down (ISO 8601, UTC)")),
    Column("by", Holds.TEXT, mark("who wrote it, by initials")),
    Column("note", Holds.TEXT, mark("in free words")),
    Column("source", Holds.TEXT, mark("live, or paper: typed in from a filled sheet")),
    Column("state", Holds.TEXT, mark("what it is among the changes of one entry")),
    Column("reason", Holds.TEXT, mark("why it was changed or struck out")),
    Column("amends", Holds.TEXT, mark("the id of the entry that it changes")),
    Column("id", Holds.TEXT, mark("the entry's own id")),
)
OF_ALL = (
    Column("kind", Holds.TEXT, mark("what sort of entry it is")),
    Column("title", Holds.TEXT, mark("the same in words")),
    Column("line", Holds.TEXT, mark("what was recorded, as one line of words")),
)
REST = Column(OTHER, Holds.TEXT, mark("fields that this version doesn't know, as JSON"))


def tables(extract: Extract) -> list[Table]:
    """The table over all entries, then one for each kind that has any."""
    ordered = sorted(extract.entries, key=lambda entry: (entry.at.instant, entry.recorded_at, entry.id))
    by_kind: dict[str, list[Entry]] = {}
    for entry in ordered:
        by_kind.setdefault(entry.kind if kind_named(entry.kind) else UNKNOWN_KINDS, []).append(entry)
    found = [
        Table("entries", say(mark("All entries")), ENVELOPE + OF_ALL, Rows(extract, None, ordered, True))
    ]
    for kind in ALL:
        if kind.name in by_kind:
            columns = (*ENVELOPE, *map(column, kind.fields), REST)
            rows = Rows(extract, kind, by_kind[kind.name], False)
            found.append(Table(kind.name, say(kind.title), columns, rows))
    if UNKNOWN_KINDS in by_kind:
        found.append(_unknown(extract, by_kind[UNKNOWN_KINDS]))
    return found


@dataclass(frozen=True, slots=True)
class Narrowed:
    """Some of a table's columns."""

    table: Table
    names: Sequence[str]

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns that stay, in the table's order."""
        return tuple(each for each in self.table.columns if each.name in self.names)

    @property
    def rows(self) -> Iterator[list[Value]]:
        """The rows with what stays of them."""
        places = [place for place, each in enumerate(self.table.columns) if each.name in self.names]
        for row in self.table.rows:
            yield [row[place] for place in places]


def _unknown(extract: Extract, entries: Sequence[Entry]) -> Table:
    """Entries of kinds that this version doesn't know, their details as they are."""
    title = say(mark("Kinds that this version doesn't know"))
    return Table(UNKNOWN_KINDS, title, ENVELOPE + OF_ALL, Rows(extract, None, entries, True))


def column(field: Field) -> Column:
    """The column of a field."""
    kind = field.type.type if isinstance(field.type, OrNone) else field.type
    unit = ""
    if isinstance(kind, Number):
        unit = say(_UNIT).format(field=kind.unit_field) if kind.unit_field else say(kind.unit)
    return Column(field.name, holds(kind), say(field.asked or field.label or field.name), unit)


def holds(kind: Type) -> Holds:
    """What the cells of a field of this type are."""
    if isinstance(kind, Number):
        return Holds.NUMBER
    if isinstance(kind, YesNo):
        return Holds.YES_NO
    if isinstance(kind, Date) and not kind.month:
        return Holds.DAY
    return Holds.TEXT


def choices(field: Field) -> str:
    """What a field's value may be, in the words of the file."""
    kind = field.type.item if isinstance(field.type, ListOf) else field.type
    return ", ".join(str(option.value) for option in kind.options) if isinstance(kind, Choice) else ""


def cell(kind: Type, value: Json) -> Value:
    """A field's value in a cell; None where nobody said anything."""
    if value is None:
        return None
    if holds(kind) is Holds.DAY and isinstance(value, str):
        return date.fromisoformat(value)
    if isinstance(value, str | int | float):
        return value
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return "; ".join(value)
    return details_text(value)


def local(home: Home, entry: Entry) -> datetime | None:
    """The time at home, without its zone; None where no calendar has that day."""
    try:
        return home.local(entry.at.instant).replace(tzinfo=None, microsecond=0)
    except (OverflowError, ValueError):
        return None


def _envelope(extract: Extract, entry: Entry) -> Iterable[Value]:
    return (
        local(extract.home, entry),
        entry.at.text(),
        entry.zone or None,
        utc_text(entry.recorded_at),
        entry.by or None,
        entry.note or None,
        entry.source,
        extract.states[entry.id],
        entry.reason or None,
        entry.amends,
        entry.id,
    )
