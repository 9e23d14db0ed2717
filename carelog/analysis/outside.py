"""Which numbers of an entry lie outside the limits of the plan in force at that moment.

Comparing is inclusive, in the limit's unit: as typed when the units are the same, else converted and rounded
to the gauge's step. What the plan doesn't limit is inside, but for the defaults below.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from carelog.domain.entry import Details
from carelog.domain.field import Field
from carelog.domain.field import Number as NumberField
from carelog.domain.kind import Kind
from carelog.domain.units import Number, celsius, comparable, exact, with_unit
from carelog.text import mark, say

# Every age: a rule, not a limit (common practice, no source).
FEVER = {"from": 38}

_ABOVE = mark("above {limit}")
_BELOW = mark("below {limit}")
_FROM = mark("{limit} or more")
# A limit of the plan stands under the kind's name for these, since their fields are called just "value".
_BY_KIND = ("value", "value_after")
_AS_CELSIUS = {"temperature_f": "temperature_c"}


@dataclass(frozen=True, slots=True)
class Outside:
    """One number outside its limit: the field, and in words which limit."""

    field: str
    words: str
    is_high: bool


def outside(kind: Kind, details: Details, limits: Details) -> list[Outside]:
    """The numbers of valid details that lie outside the plan's limits, in the order of the fields."""
    found = []
    for each in kind.fields:
        if each.name in details and isinstance(each.type, NumberField):
            name = kind.name if each.name in _BY_KIND else _AS_CELSIUS.get(each.name, each.name)
            limit = limits.get(name)
            if name == "temperature_c":
                found += list(_temperature(each, details, limit))
            elif limit:
                found += list(_judged(each, details, limit))
    return found


def _judged(each: Field, details: Details, limit: Details) -> Iterator[Outside]:
    assert isinstance(each.type, NumberField)
    unit = limit.get("unit") or say(each.type.unit)
    value = _held_against(each, details, unit)
    if "low" in limit and value < exact(limit["low"]):
        yield Outside(each.name, say(_BELOW).format(limit=with_unit(limit["low"], unit)), False)
    if "high" in limit and value > exact(limit["high"]):
        yield Outside(each.name, say(_ABOVE).format(limit=with_unit(limit["high"], unit)), True)


def _temperature(each: Field, details: Details, limit: Details | None) -> Iterator[Outside]:
    number = details[each.name]
    value = celsius(number) if each.name == "temperature_f" else exact(number)
    high: Number = (limit or {}).get("high", FEVER["from"])
    if value >= exact(high):
        yield Outside(each.name, say(_FROM).format(limit=with_unit(high, "°C")), True)


def _held_against(each: Field, details: Details, limit_unit: str) -> Fraction:
    assert isinstance(each.type, NumberField)
    if each.type.unit_field:
        return comparable(details[each.name], details[each.type.unit_field], limit_unit)
    return exact(details[each.name])
