"""The document: a Composition first, and all that it speaks of."""

import base64
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from carelog import __version__
from carelog.analysis.in_force import Held
from carelog.analysis.people import contacts, person, recorders
from carelog.domain.entry import Json
from carelog.domain.flag import Flag
from carelog.export.extract import Extract
from carelog.export.fhir import resources
from carelog.export.fhir.words import OWN_SYSTEM, Resource, concept, derived, narrative, reference, url
from carelog.kinds import named_or_unknown
from carelog.kinds.incident import INCIDENT
from carelog.kinds.observations import OBSERVATIONS
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say

PEOPLE = ("Patient", "Practitioner")
SECTIONS = (
    ("tube", mark("Tube in place"), ("Device", "DeviceUseStatement")),
    ("flags", mark("Flags"), ("Flag",)),
    ("plan", mark("Care plan"), ("CarePlan",)),
    ("care", mark("What was recorded"), ("Observation", "Procedure", "Communication")),
    ("people", mark("Who records"), ("Practitioner", "RelatedPerson")),
    ("origin", mark("Who wrote it, and when"), ("Provenance",)),
    ("sheet", mark("The sheet"), ("DocumentReference",)),
)
_NONE = mark("Nothing recorded.")
WORTH = (OBSERVATIONS.name, INCIDENT.name, TUBE_CHANGE.name)
"""What a hospital reads first of what was recorded."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What goes into a document beside the entries: the tube, however long in place, flags, the sheet."""

    tube: Held | None = None
    flags: Sequence[Flag] = ()
    sheet: bytes | None = None


def document(extract: Extract, given: Beside) -> Iterator[bytes]:
    """The Bundle as JSON in pieces, one resource at a time."""
    found = list(_resources(extract, given))
    stamp = resources.instant(extract.made_at)
    heading = {
        "resourceType": "Bundle",
        "id": derived("bundle", extract.person_id, stamp),
        "identifier": {"system": OWN_SYSTEM, "value": url(derived("document", extract.person_id, stamp))},
        "type": "document",
        "timestamp": stamp,
    }
    yield f'{_json(heading)[:-1]}, "entry": [\n'.encode()
    for number, each in enumerate([_composition(extract, found, stamp), *found]):
        line = _json({"fullUrl": url(each["id"]), "resource": each})
        yield f"{',' if number else ''}{line}\n".encode()
    yield b"]}\n"


_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufeff]")
"""What no text of the format holds (FHIR R4B, 2.24.0.1: string); of U+FEFF not all readers think so."""
_OTHER_SPACE = re.compile(r"[^\S \r\n\t]")


def _json(value: Mapping[str, Json]) -> str:
    return json.dumps(_spaced(value), ensure_ascii=False, allow_nan=False)


def _spaced(value: Json) -> Json:
    """The format's texts know four kinds of space: any other becomes the plain one; a blank text goes.

    A system that keeps to the format refuses all of a document for one control character in a note.
    """
    if isinstance(value, str):
        return _OTHER_SPACE.sub(" ", _FORBIDDEN.sub(lambda found: f"[U+{ord(found[0]):04X}]", value))
    if isinstance(value, Mapping):
        return {name: _spaced(each) for name, each in value.items() if not _is_blank(each)}
    return [_spaced(each) for each in value] if isinstance(value, list) else value


def _is_blank(value: Json) -> bool:
    return isinstance(value, str) and not value.strip()


def _resources(extract: Extract, given: Beside) -> Iterator[Resource]:
    reading, patient = extract.reading, derived("patient", extract.person_id)
    people = recorders(reading)
    who = {held.entry.details["initials"]: resources.recorder(held, patient) for held in people}
    known = [held.entry.details for held in contacts(reading)]
    yield resources.person(patient, extract.name, person(reading).details, known)
    yield _program()
    yield from (each for each in who.values() if each is not None)
    writer = resources.ResourceWriter(
        patient,
        {
            initials: reference(patient if each is None else each["id"], initials)
            for initials, each in who.items()
        },
        extract.home,
        extract.signed,
        extract.since_signed,
    )
    if given.tube is not None:
        yield from writer.device(given.tube)
    yield from map(writer.flag, given.flags)
    for held in sorted(reading.held, key=lambda each: (_worth(each), each.time, each.first.id)):
        if named_or_unknown(held.entry.kind).export.resource not in PEOPLE:
            yield from writer.of(held)
    if given.sheet is not None:
        yield _sheet(patient, given.sheet, extract)


def _worth(held: Held) -> int:
    kind = held.entry.kind
    return WORTH.index(kind) if kind in WORTH else len(WORTH)


def _program() -> Resource:
    """The program that wrote the document."""
    return {
        "resourceType": "Device",
        "id": derived("program"),
        "text": narrative([f"carelog {__version__}"]),
        "deviceName": [{"name": "carelog", "type": "user-friendly-name"}],
        "version": [{"value": __version__}],
    }


def _sheet(patient: str, pdf: bytes, extract: Extract) -> Resource:
    return {
        "resourceType": "DocumentReference",
        "id": derived("sheet", extract.person_id),
        "text": narrative([say(mark("The sheet as it is printed"))]),
        "status": "current",
        "type": concept("sheet", say(mark("The sheet as it is printed"))),
        "subject": reference(patient),
        "date": resources.instant(extract.made_at),
        "content": [
            {"attachment": {"contentType": "application/pdf", "data": base64.b64encode(pdf).decode()}}
        ],
    }


def _composition(extract: Extract, found: Sequence[Resource], stamp: str) -> Resource:
    program = derived("program")
    title = say(mark("Care record · {name}")).format(name=extract.name)
    return {
        "resourceType": "Composition",
        "id": derived("composition", extract.person_id, stamp),
        "text": narrative([title, say(mark("What isn't here was not recorded."))]),
        "status": "final",
        "type": concept("record", say(mark("Care record"))),
        "subject": reference(derived("patient", extract.person_id)),
        "date": stamp,
        "author": [reference(program, "carelog")],
        "title": title,
        "section": [_section(code, say(words), kinds, found, program) for code, words, kinds in SECTIONS],
    }


def _section(
    code: str, title: str, kinds: Sequence[str], found: Sequence[Resource], program: str
) -> Resource:
    inside = [each for each in found if each["resourceType"] in kinds and each["id"] != program]
    section: Resource = {"title": title, "code": concept(f"section.{code}", title)}
    if inside:
        return section | {"entry": [reference(each["id"]) for each in inside]}
    return section | {"text": narrative([say(_NONE)])}
