"""Entries as tables: one over all of them, and one a kind, whose columns are the kind's own fields."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
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

    def narrowed(self, names: Sequence[str]) -> "Table":
        """The table over all kinds with some of its columns."""
        columns = tuple(each for each in self.columns if each.name in names)
        return replace(self, columns=columns, rows=replace(self.rows, shared=columns))


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a table, made one by one each time they are asked for.

    `shared` are the columns that each entry has; `kind` brings its own behind them (None: over all kinds).
    """

    extract: Extract
    kind: Kind | None
    entries: Sequence[Entry]
    shared: tuple[Column, ...]

    def __iter__(self) -> Iterator[list[Value]]:
        readers = [_READ[each] for each in self.shared]
        fields = () if self.kind is None else self.kind.fields
        own = [(each.name, holds(each.type)) for each in fields]
        known = {each.name for each in fields}
        for entry in self.entries:
            row = [read(self.extract, entry) for read in readers]
            if self.kind is not None:
                given = entry.details
                row += [cell(each, given[name]) if name in given else None for name, each in own]
                row.append(None if given.keys() <= known else details_text(self.kind.unknown(given)))
            yield row

    def __len__(self) -> int:
        return len(self.entries)


def local(home: Home, entry: Entry) -> datetime | None:
    """The time at home, without its zone; None where no calendar has that day."""
    try:
        return home.local(entry.at.instant).replace(tzinfo=None, microsecond=0)
    except (OverflowError, ValueError):
        return None


def _line(_extract: Extract, entry: Entry) -> Value:
    return named_or_unknown(entry.kind).line(entry.details) if not entry.withdrawn else ""


Read = Callable[[Extract, Entry], Value]
_ENVELOPE: dict[Column, Read] = {
    Column("at", Holds.TIME, mark("when it happened, on the clock at home")): (
        lambda extract, entry: local(extract.home, entry)
    ),
    Column("at_iso", Holds.TEXT, mark("when it happened, with its offset (ISO 8601)")): (
        lambda _extract, entry: entry.at.text()
    ),
    Column("zone", Holds.TEXT, mark("the time zone it was recorded in")): (
        lambda _extract, entry: entry.zone or None
    ),
    Column("recorded_at_iso", Holds.TEXT, mark("when it was written down (ISO 8601, UTC)")): (
        lambda _extract, entry: utc_text(entry.recorded_at)
    ),
    Column("written_by", Holds.TEXT, mark("who wrote it, by initials")): lambda _extract, entry: (
        entry.by or None
    ),
    Column("note", Holds.TEXT, mark("in free words")): lambda _extract, entry: entry.note or None,
    Column("source", Holds.TEXT, mark("live, or paper: typed in from a filled sheet")): (
        lambda _extract, entry: entry.source
    ),
    Column("entry_state", Holds.TEXT, mark("what it is among the changes of one entry")): (
        lambda extract, entry: extract.states[entry.id]
    ),
    Column("change_reason", Holds.TEXT, mark("why it was changed or struck out")): (
        lambda _extract, entry: entry.reason or None
    ),
    Column("amends", Holds.TEXT, mark("the id of the entry that it changes")): (
        lambda _extract, entry: entry.amends
    ),
    Column("id", Holds.TEXT, mark("the entry's own id")): lambda _extract, entry: entry.id,
    Column("after_signing_iso", Holds.TEXT, mark("when it was written or changed after a nurse signed")): (
        lambda extract, entry: (
            utc_text(extract.after_signing[entry.id]) if entry.id in extract.after_signing else None
        )
    ),
}
_OF_ALL: dict[Column, Read] = {
    Column("kind", Holds.TEXT, mark("what sort of entry it is")): lambda _extract, entry: entry.kind,
    Column("title", Holds.TEXT, mark("the same in words")): (
        lambda _extract, entry: say(named_or_unknown(entry.kind).title)
    ),
    Column("line", Holds.TEXT, mark("what was recorded, as one line of words")): _line,
}
_READ = {**_ENVELOPE, **_OF_ALL}
ENVELOPE = tuple(_ENVELOPE)
OF_ALL = tuple(_OF_ALL)
REST = Column(OTHER, Holds.TEXT, mark("fields that this version doesn't know, as JSON"))


def tables(extract: Extract) -> list[Table]:
    """The table over all entries, then one for each kind that has any."""
    ordered = sorted(extract.entries, key=lambda entry: (entry.at.instant, entry.recorded_at, entry.id))
    by_kind: dict[str, list[Entry]] = {}
    for entry in ordered:
        by_kind.setdefault(entry.kind if kind_named(entry.kind) else UNKNOWN_KINDS, []).append(entry)
    found = [_over_all(extract, "entries", say(mark("All entries")), ordered)]
    for kind in ALL:
        if kind.name in by_kind:
            columns = (*ENVELOPE, *map(column, kind.fields), REST)
            rows = Rows(extract, kind, by_kind[kind.name], ENVELOPE)
            found.append(Table(kind.name, say(kind.title), columns, rows))
    if UNKNOWN_KINDS in by_kind:
        title = say(mark("Kinds that this version doesn't know"))
        found.append(_over_all(extract, UNKNOWN_KINDS, title, by_kind[UNKNOWN_KINDS]))
    return found


def _over_all(extract: Extract, name: str, title: str, entries: Sequence[Entry]) -> Table:
    """Entries of whatever kind, each with its line of words."""
    columns = (*ENVELOPE, *OF_ALL)
    return Table(name, title, columns, Rows(extract, None, entries, columns))


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


def cell(holding: Holds, value: Json) -> Value:
    """A field's value in a cell of a column; None where nobody said anything."""
    if isinstance(value, str):
        return date.fromisoformat(value) if holding is Holds.DAY else value
    if value is None or isinstance(value, int | float):
        return value
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return "; ".join(value)
    return details_text(value)
