"""Reading back what a document says of an entry, as another program would."""

import json
from collections.abc import Mapping

from carelog.domain.entry import Json
from carelog.domain.field import Choice, Field, Number
from carelog.domain.kind import Kind
from carelog.export.fhir.findings import JSON_TEXT
from carelog.export.fhir.words import OWN_SYSTEM


def details_of(kind: Kind, found: Mapping[str, Json]) -> dict[str, Json]:
    """The details that the components of a resource hold."""
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
