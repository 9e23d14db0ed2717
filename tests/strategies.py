"""Hypothesis strategies for valid details of any kind, and for entries, drawn from the declarations alone."""

import string
import uuid
from collections.abc import Callable
from functools import singledispatch
from typing import Any

from hypothesis import strategies as st

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.entry import Entry
from carelog.domain.field import (
    CLOCK,
    WEEK,
    ZONE,
    Choice,
    Date,
    Field,
    Group,
    ListOf,
    MapOf,
    Number,
    Reference,
    Text,
    Type,
    When,
    YesNo,
)
from carelog.domain.kind import Kind
from carelog.domain.moment import MINUTE, Moment
from carelog.domain.number import settle
from carelog.kinds import ALL

# From 2026-01-01 on, for two years: both clock changes are in it.
FIRST = Moment.read("2026-01-01T00:00:00Z").instant
LAST = Moment.read("2028-01-01T00:00:00Z").instant

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
words = st.text(string.ascii_letters + " -äłзضế🙂<&\"'", min_size=1, max_size=20)
uuids = st.builds(lambda number: str(uuid.UUID(int=number)), st.integers(0, 2**128 - 1))
zones = st.sampled_from(["", "Europe/London", "America/New_York", "Australia/Lord_Howe", "Mars/Olympus_Mons"])
offsets = st.sampled_from([0, 60, -300, 345, 660, -570])
moments = st.builds(Moment, st.integers(FIRST // MINUTE, LAST // MINUTE).map(lambda n: n * MINUTE), offsets)
exact_moments = st.builds(Moment, st.integers(FIRST, LAST), offsets)
dates = st.dates().map(str).filter(lambda text: text >= "1900")
clocks = st.times().map(lambda time: f"{time:%H:%M}")


@singledispatch
def values(type_: Type) -> st.SearchStrategy[Any]:
    """Valid values of a field's type."""
    raise NotImplementedError(type_)


@values.register
def _(type_: Choice) -> st.SearchStrategy[Any]:
    return st.sampled_from([option.value for option in type_.options])


@values.register
def _(type_: YesNo) -> st.SearchStrategy[Any]:
    return st.booleans()


@values.register
def _(type_: Number) -> st.SearchStrategy[Any]:
    low = type_.low if type_.low is not None else (type_.above if type_.above is not None else -1000)
    high = type_.high if type_.high is not None else 1000
    whole = st.integers(int(low), int(high))
    found = whole if type_.whole else whole | st.floats(float(low), float(high)).map(settle)
    return found.filter(lambda value: type_.problem(value) is None)


@values.register
def _(type_: Text) -> st.SearchStrategy[Any]:
    if type_ is CLOCK:
        return clocks
    if type_ is ZONE:
        return zones.filter(bool)
    if type_ is WEEK:
        return st.dates().map(lambda day: f"{day:%G-W%V}").filter(lambda text: type_.problem(text) is None)
    return texts


@values.register
def _(type_: Date) -> st.SearchStrategy[Any]:
    return dates | dates.map(lambda text: text[:7]) if type_.month else dates


@values.register
def _(type_: When) -> st.SearchStrategy[Any]:
    return exact_moments.map(Moment.text)


@values.register
def _(type_: Reference) -> st.SearchStrategy[Any]:
    return uuids


@values.register
def _(type_: ListOf) -> st.SearchStrategy[Any]:
    most = type_.most if type_.most is not None else type_.least + 3
    return st.lists(values(type_.item), min_size=type_.least, max_size=most)


@values.register
def _(type_: ChoiceOrText) -> st.SearchStrategy[Any]:
    return values(type_.choice) | texts


@values.register
def _(type_: OrNone) -> st.SearchStrategy[Any]:
    return st.none() | values(type_.type)


@values.register
def _(type_: MapOf) -> st.SearchStrategy[Any]:
    return st.dictionaries(values(type_.names), values(type_.item), max_size=3)


@values.register
def _(type_: Group) -> st.SearchStrategy[Any]:
    return given_fields(type_.fields).filter(lambda value: type_.problem(value) is None)


def given_fields(fields: tuple[Field, ...]) -> st.SearchStrategy[dict[str, Any]]:
    """Objects with all required fields, some of the others, and each number's unit."""
    needed = {each.name: values(each.type) for each in fields if each.required}
    free = {each.name: values(each.type) for each in fields if not each.required}
    units = {
        each.type.unit_field: next(values(f.type) for f in fields if f.name == each.type.unit_field)
        for each in fields
        if isinstance(each.type, Number) and each.type.unit_field
    }
    return st.fixed_dictionaries(needed | units, optional={k: v for k, v in free.items() if k not in units})


def once(make: Callable[[Kind], st.SearchStrategy[Any]]) -> Callable[[Kind], st.SearchStrategy[Any]]:
    """Made once a kind: what Hypothesis needs of a strategy it works out anew for each that it is given."""
    made: dict[int, tuple[Kind, st.SearchStrategy[Any]]] = {}

    def kept(kind: Kind) -> st.SearchStrategy[Any]:
        if id(kind) not in made:
            made[id(kind)] = kind, make(kind)
        return made[id(kind)][1]

    return kept


@once
def details(kind: Kind) -> st.SearchStrategy[dict[str, Any]]:
    """Valid details of a kind."""
    return given_fields(kind.fields).filter(lambda found: not kind.problems(found))


@once
def entries_of(kind: Kind) -> st.SearchStrategy[Entry]:
    """Entries of a kind that change no other."""
    return st.builds(
        Entry,
        id=uuids,
        kind=st.just(kind.name),
        at=exact_moments,
        recorded_at=st.integers(FIRST, LAST),
        zone=zones,
        by=st.sampled_from(["", "AB", "LR", "Łé"]),
        details=details(kind),
        note=texts,
        source=st.sampled_from(["live", "paper"]),
    ).filter(lambda made: not kind.problems(made.details, made.at.instant))


kinds = st.sampled_from(ALL)
entries = kinds.flatmap(entries_of)
