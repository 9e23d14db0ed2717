"""Valid details of any kind, drawn from its declaration."""

from typing import Any

from hypothesis import strategies as st

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.field import (
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


def details_of(kind: Kind) -> st.SearchStrategy[dict[str, Any]]:
    """Details that the kind takes."""
    return fields(kind.fields).filter(lambda details: not kind.problems(details))


def fields(of: tuple[Field, ...]) -> st.SearchStrategy[dict[str, Any]]:
    """Values for all required fields and some of the others; a number's unit goes with it."""
    needed = {each.name: value(each.type) for each in of if each.required}
    rest = {each.name: value(each.type) for each in of if not each.required}
    return st.fixed_dictionaries(needed, optional=rest).map(lambda found: with_units(of, found))


def with_units(of: tuple[Field, ...], found: dict[str, Any]) -> dict[str, Any]:
    """The details with a unit beside each number that needs one."""
    for each in of:
        if isinstance(each.type, Number) and each.type.unit_field and each.name in found:
            unit = next(other.type for other in of if other.name == each.type.unit_field)
            assert isinstance(unit, Choice)
            found.setdefault(each.type.unit_field, unit.options[0].value)
    return found


def value(kind: Type) -> st.SearchStrategy[Any]:
    """A value of a type."""
    if isinstance(kind, Choice):
        return st.sampled_from([option.value for option in kind.options])
    if isinstance(kind, YesNo):
        return st.booleans()
    if isinstance(kind, Number):
        low, high = int(kind.low or 1), int(kind.high or 99)
        whole = st.integers(low, high)
        return whole if kind.whole else whole | st.sampled_from([0.1, 2.5, 12.375]).filter(lambda n: n >= low)
    if isinstance(kind, Text):
        if kind.form is not None:
            return st.just(kind.like)
        return st.text(st.characters(codec="utf-8", exclude_characters="\r\n\t\0"), min_size=1, max_size=20)
    if isinstance(kind, Date):
        return st.sampled_from(["2026-11-22", "2027-02", "2028-02-29"] if kind.month else ["2026-11-22"])
    return nested(kind)


def nested(kind: Type) -> st.SearchStrategy[Any]:
    """A value of a type that holds others."""
    if isinstance(kind, When):
        return st.just("2026-11-22T03:10:00+00:00")
    if isinstance(kind, Reference):
        return st.just("50000000-0000-7000-8000-000000000001")
    if isinstance(kind, ListOf):
        return st.lists(value(kind.item), min_size=max(kind.least, 1), max_size=kind.most or 3).filter(
            lambda found: not kind.problem(found)
        )
    if isinstance(kind, ChoiceOrText):
        return value(kind.choice) | st.sampled_from(["blue bag", "two towels, folded"])
    if isinstance(kind, OrNone):
        return value(kind.type)
    if isinstance(kind, MapOf):
        return st.dictionaries(value(kind.names), value(kind.item), max_size=3)
    if isinstance(kind, Group):
        return fields(kind.fields).filter(lambda found: not kind.problem(found))
    raise TypeError(kind)
