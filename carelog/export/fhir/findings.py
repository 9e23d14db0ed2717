"""An entry's details as the components of an Observation, and back."""

from collections.abc import Iterator, Mapping

from carelog.domain.entry import Details, Json, details_text
from carelog.domain.field import Choice, Date, Field, Number, YesNo, is_date
from carelog.domain.kind import Kind
from carelog.export.fhir.words import LOINC, OWN_SYSTEM, Resource, concept, quantity
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


def details_of(kind: Kind, found: Mapping[str, Json]) -> dict[str, Json]:
    """The details that the components of a resource hold: what `components` wrote, read back."""
    import json

    details: dict[str, Json] = {}
    for each in found.get("component", ()):
        (own,) = (code["code"] for code in each["code"]["coding"] if code["system"] == OWN_SYSTEM)
        field = kind.field(own.partition(".")[2])
        assert field is not None
        if "valueQuantity" in each:
            details[field.name] = each["valueQuantity"]["value"]
            if isinstance(field.type, Number) and field.type.unit_field:
                details[field.type.unit_field] = each["valueQuantity"]["unit"]
        elif "valueCodeableConcept" in each:
            value = each["valueCodeableConcept"]
            code = value["coding"][-1]["code"]
            details[field.name] = json.loads(value["text"]) if code == JSON_TEXT else _option(field, code)
        else:
            (name,) = (name for name in each if name.startswith("value"))
            details[field.name] = each[name]
    return details


def _option(field: Field, code: str) -> Json:
    assert isinstance(field.type, Choice)
    word = code.split(".", 2)[2]
    return next(option.value for option in field.type.options if str(option.value) == word)
