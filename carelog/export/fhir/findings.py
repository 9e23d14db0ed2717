"""An entry's details as the components of an Observation."""

from collections.abc import Iterator

from carelog.domain.entry import Details, details_text
from carelog.domain.field import Choice, Date, Field, Number, YesNo
from carelog.domain.kind import Kind
from carelog.domain.moment import is_date
from carelog.export.fhir.words import LOINC, Resource, concept, quantity
from carelog.text import say

JSON_TEXT = "json"


def components(kind: Kind, details: Details) -> Iterator[Resource]:
    """One component a field that was given; a unit stands with its number."""
    units = {each.type.unit_field for each in kind.fields if isinstance(each.type, Number)}
    for each in kind.fields:
        if each.name in details and each.name not in units:
            value = _value(kind, each, details)
            if value:
                yield {"code": _code(kind, each), **value}


def _code(kind: Kind, field: Field) -> Resource:
    words = say(field.asked or field.label or field.name)
    loinc = kind.export.loinc.get(field.name)
    known = [{"system": LOINC, "code": loinc[0], "display": loinc[1]}] if loinc else []
    return concept(f"{kind.name}.{field.name}", words, *known)


def _value(kind: Kind, field: Field, details: Details) -> Resource:
    value, type_ = details[field.name], field.type
    if isinstance(type_, Number):
        unit = str(details.get(type_.unit_field, "")) if type_.unit_field else type_.unit
        return {"valueQuantity": quantity(value, unit)}
    if isinstance(type_, YesNo):
        return {"valueBoolean": value}
    if isinstance(type_, Choice):
        code = f"{kind.name}.{field.name}.{value}"
        return {"valueCodeableConcept": concept(code, type_.words(value))}
    if isinstance(type_, Date) and is_date(str(value)):
        return {"valueDateTime": value}
    if isinstance(value, str):
        return {"valueString": value} if value.strip() else {}
    return {"valueCodeableConcept": {**concept(JSON_TEXT, JSON_TEXT), "text": details_text(value)}}
