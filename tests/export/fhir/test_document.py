"""The record as an HL7 FHIR R4B document: valid by the published models, and what was recorded reads back."""

import json
from collections.abc import Sequence
from typing import Any

import pytest
from fhir.resources.R4B.bundle import Bundle
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.field import Number
from carelog.domain.flag import Flag, Level
from carelog.domain.kind import Kind
from carelog.domain.moment import Moment
from carelog.export.extract import Extract
from carelog.export.fhir.document import PEOPLE, Beside, document
from carelog.export.fhir.findings import components
from carelog.export.fhir.words import LOINC, OWN_SYSTEM, SNOMED, TRACHEOSTOMY_TUBE, UCUM, UNITS
from carelog.kinds import ALL
from tests.export.fhir.reading import details_of
from tests.export.fhir.rules import faults
from tests.store.making import START, change, entry
from tests.strategies import details

PERSON = "5f6f4e0a-9d52-4a0a-8d6c-0d1f6d0b7c11"
every_kind = pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
TUBE = {"id_mm": 8, "cuff": "air", "inner_tube": "disposable", "lot": "A1", "expiry": "2027-03"}


def made(entries: Sequence[Entry], given: Beside | None = None) -> dict[str, Any]:
    """The document of these entries, as another program reads it."""
    parts = document(Extract(entries, PERSON, "Odette Farrow", START), given or Beside())
    found: dict[str, Any] = json.loads(b"".join(parts))
    return found


def resources(bundle: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    """The resources of a type in a document."""
    return [each["resource"] for each in bundle["entry"] if each["resource"]["resourceType"] == kind]


def is_sayable(value: Any) -> bool:
    """Whether the published models take every text in a value: none is blank, none holds a bare control."""
    if isinstance(value, str):
        return bool(value.strip()) and all(letter.isprintable() or letter in "\n\t\r" for letter in value)
    if isinstance(value, dict):
        return all(is_sayable(each) for each in value.values())
    return all(is_sayable(each) for each in value) if isinstance(value, list) else True


@every_kind
@given(data=st.data())
def test_any_entry_of_each_kind_makes_a_valid_document(kind: Kind, data: st.DataObject) -> None:
    at = Moment(START, 60)
    given_details = data.draw(details(kind).filter(lambda found: not kind.problems(found, at.instant)))
    bundle = made([entry(1, kind.name, details=given_details, at=at, note="as it was & <seen>")])
    assert faults(bundle) == []
    if is_sayable(given_details):
        Bundle.model_validate(bundle)


def test_a_text_with_controls_makes_no_document_that_a_strict_system_refuses() -> None:
    text = "seen\x00\x1b[31m \x7f\u2028\u00a0\ufeff =1+1 \u202eevil <b>"
    kinds = ("note", "suction", "incident", "question", "a kind of later on")
    found = [entry(n, kind, note=text, by=text) for n, kind in enumerate(kinds, 1)]
    found += [
        change(10, 1, "note", note=text + text, by="\ufeff"),
        entry(11, "phrase", details={"text": text}),
    ]
    bundle = made(found)
    assert faults(bundle) == []
    Bundle.model_validate(bundle)
    assert "[U+001B][31m" in json.dumps(bundle)


@every_kind
@given(data=st.data())
def test_the_findings_of_each_kind_read_back_as_they_were(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    written = json.loads(json.dumps({"component": list(components(kind, found))}))
    blank = {name for name, value in found.items() if isinstance(value, str) and not value.strip()}
    numbers = [each for each in kind.fields if isinstance(each.type, Number) and each.type.unit_field]
    lone = {each.type.unit_field for each in numbers if isinstance(each.type, Number)}
    lone -= {e.type.unit_field for e in numbers if isinstance(e.type, Number) and e.name in found}
    assert details_of(kind, written) == {n: v for n, v in found.items() if n not in blank | lone}


def test_every_entry_in_force_says_who_wrote_it_when() -> None:
    entries = [entry(number, kind.name, details=_least(kind)) for number, kind in enumerate(ALL, 1)]
    bundle = made(entries)
    assert faults(bundle) == []
    told = {
        each["identifier"][0]["value"].removeprefix("urn:uuid:")
        for kind in ("Observation", "Procedure", "Communication", "CarePlan")
        for each in resources(bundle, kind)
    }
    assert told == {e.id for e, kind in zip(entries, ALL, strict=True) if kind.export.resource not in PEOPLE}
    origins = resources(bundle, "Provenance")
    assert len(origins) == len(told)
    assert all(each["agent"] and each["recorded"] and each["occurredDateTime"] for each in origins)


def _least(kind: Kind) -> dict[str, Any]:
    """Details with what a kind needs, and nothing else."""
    from hypothesis import Phase, find, settings

    at = START + 60_000_000
    quick = settings(phases=(Phase.generate, Phase.shrink))
    return find(details(kind), lambda found: not kind.problems(found, at), settings=quick)


def test_a_change_names_what_it_changed_and_struck_entries_are_left_out() -> None:
    entries = [
        entry(1, "cuff_pressure", details={"value": 52, "unit": "cmH2O"}),
        change(2, 1, "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        entry(3, "mouth_care"),
        change(4, 3, "mouth_care", withdrawn=True),
    ]
    bundle = made(entries)
    (reading,) = resources(bundle, "Observation")
    assert reading["status"] == "amended"
    assert reading["component"][0]["valueQuantity"] == {
        "value": 25,
        "unit": "cmH2O",
        "system": UCUM,
        "code": "cm[H2O]",
    }
    assert resources(bundle, "Procedure") == []
    (origin,) = resources(bundle, "Provenance")
    assert origin["entity"][0]["what"]["identifier"]["value"] == f"urn:uuid:{entries[0].id}"
    assert origin["reason"] == [{"text": "typed wrongly"}]


def test_the_tube_in_place_is_there_though_it_was_placed_before_the_period() -> None:
    tube = Reading([entry(1, "tube_change", details=TUBE)]).held[0]
    bundle = made([entry(2)], Beside(tube=tube))
    assert faults(bundle) == []
    Bundle.model_validate(bundle)
    device = next(each for each in resources(bundle, "Device") if "type" in each)
    snomed = {"system": SNOMED, "code": TRACHEOSTOMY_TUBE[0], "display": TRACHEOSTOMY_TUBE[1]}
    assert snomed in device["type"]["coding"]
    assert device["lotNumber"] == "A1"
    size = {"value": 8, "unit": "mm", "system": UCUM, "code": "mm"}
    assert [size] in [each.get("valueQuantity") for each in device["property"]]
    (use,) = resources(bundle, "DeviceUseStatement")
    assert use["device"]["reference"] == f"urn:uuid:{device['id']}"


def test_flags_and_the_sheet_go_with_it() -> None:
    flag = Flag("cuff_high", None, Level.CALL, START, None, None, "Cuff 34 cmH2O", "over 30", ())
    bundle = made([entry(1)], Beside(flags=[flag], sheet=b"%PDF-1.7 made up"))
    assert faults(bundle) == []
    Bundle.model_validate(bundle)
    assert [each["status"] for each in resources(bundle, "Flag")] == ["active"]
    assert (
        resources(bundle, "DocumentReference")[0]["content"][0]["attachment"]["contentType"]
        == "application/pdf"
    )


def test_no_code_of_others_is_used_but_the_two_that_were_seen() -> None:
    found = {"temperature_c": 37.2, "spo2_percent": 97, "breaths_per_min": 18, "pulse_per_min": 80}
    bundle = made(
        [entry(1, "observations", details=found)],
        Beside(Reading([entry(2, "tube_change", details=TUBE)]).held[0]),
    )
    codes = {(each["system"], each["code"]) for each in _codings(bundle) if each["system"] != OWN_SYSTEM}
    assert codes == {(LOINC, "9279-1"), (SNOMED, "129121000")}


def _codings(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        own = value.get("coding", [])
        return [*own, *(each for part in value.values() for each in _codings(part))]
    return [each for part in value for each in _codings(part)] if isinstance(value, list) else []


def test_every_unit_of_a_declaration_is_one_of_ucum() -> None:
    types = [each.type for kind in ALL for each in kind.fields]
    units = {each.unit for each in types if isinstance(each, Number) and each.unit}
    assert units <= set(UNITS)


def test_an_empty_record_makes_a_document_that_says_so() -> None:
    bundle = made([])
    assert faults(bundle) == []
    Bundle.model_validate(bundle)


@pytest.mark.parametrize("spoil", ["type", "identifier", "composition", "reference", "narrative", "twice"])
def test_a_spoiled_document_is_found(spoil: str) -> None:
    bundle = made([entry(1)])
    if spoil in ("type", "identifier"):
        del bundle[spoil]
    elif spoil == "composition":
        bundle["entry"] = bundle["entry"][1:]
    elif spoil == "reference":
        bundle["entry"][-1]["resource"]["target"][0]["reference"] = "urn:uuid:none"
    elif spoil == "narrative":
        del bundle["entry"][1]["resource"]["text"]
    else:
        bundle["entry"].append(bundle["entry"][-1])
    assert faults(bundle)


def test_what_was_changed_after_a_nurse_signed_says_so_and_so_does_her_visit() -> None:
    visit = entry(5, "visit", details={"nurse": "Nell", "until": "2026-11-02", "signed": True})
    entries = [
        entry(1, "cuff_pressure", details={"value": 52, "unit": "cmH2O"}),
        entry(2, "suction", details={"colour": "white"}),
        entry(3, "mouth_care"),
        visit,
        change(6, 1, "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        change(7, 3, "mouth_care", withdrawn=True),
    ]
    parts = document(Extract(entries, PERSON, "Odette Farrow", START, visits=[visit]), Beside())
    bundle = json.loads(b"".join(parts))
    assert faults(bundle) == []
    Bundle.model_validate(bundle)
    tagged = {
        (each["resourceType"], each["meta"]["tag"][0]["display"].replace("\xa0", " "))
        for each in (one["resource"] for one in bundle["entry"])
        if "meta" in each
    }
    changed, told = "changed after these days were signed, 08:06", "Since then 2 entries were changed."
    assert tagged == {(kind, words) for kind in ("Observation", "Provenance") for words in (changed, told)}
    readings = [each for each in resources(bundle, "Observation") if "meta" in each]
    assert all(each["meta"]["tag"][0]["display"] in each["text"]["div"] for each in readings)
