"""Codes, units, references and narrative as FHIR R4B writes them.

Only codes that were seen in their source are used: LOINC 9279-1 (respiratory rate) and SNOMED CT 129121000
(tracheostomy tube). Everything else has its words and a code of our own system, which names no other's.
"""

import uuid
from collections.abc import Iterable
from html import escape

from carelog.domain.entry import Json
from carelog.text import say

Resource = dict[str, Json]
OWN_SYSTEM = "urn:uuid:6f0d2d53-5b0e-4c5b-9a7e-0b6f2c1f4d7a"
LOINC = "http://loinc.org"
SNOMED = "http://snomed.info/sct"
UCUM = "http://unitsofmeasure.org"
ENTRY_IDS = "urn:ietf:rfc:3986"
TRACHEOSTOMY_TUBE = ("129121000", "Tracheostomy tube")
UNITS = {
    "cmH2O": "cm[H2O]",
    "mmHg": "mm[Hg]",
    "kPa": "kPa",
    "Fr": "[Ch]",
    "°C": "Cel",
    "°F": "[degF]",
    "%": "%",
    "/min": "/min",
    "L/min": "L/min",
    "mm": "mm",
    "min": "min",
    "h": "h",
    "days": "d",
}
"""Our units in UCUM's own letters."""
_SPACE = uuid.UUID("3f1f64a2-6c1b-4f57-8d6b-52c1cf0d1f88")


def derived(*parts: str) -> str:
    """The id of a resource that isn't an entry itself: the same each time it is made."""
    return str(uuid.uuid5(_SPACE, "\x1f".join(parts)))


def url(identity: str) -> str:
    """The address of a resource within its document."""
    return f"urn:uuid:{identity}"


def reference(identity: str, words: str = "") -> Resource:
    """A reference to a resource of the same document."""
    return {"reference": url(identity), **({"display": words} if words.strip() else {})}


def named(words: str) -> Resource:
    """A reference to somebody who has no resource of their own."""
    return {"display": words}


def concept(code: str, words: str, *more: Resource) -> Resource:
    """What something is: codes of others that are known to fit, ours, and the words."""
    own = {"system": OWN_SYSTEM, "code": code, "display": words or code}
    return {"coding": [*more, own], "text": words or code}


def quantity(value: Json, unit: str) -> Resource:
    """A number with its unit."""
    found: Resource = {"value": value}
    if unit:
        found["unit"] = say(unit)
        if unit in UNITS:
            found |= {"system": UCUM, "code": UNITS[unit]}
    return found


def narrative(lines: Iterable[str]) -> Resource:
    """The same for people, as FHIR's part of XHTML; no text becomes a tag."""
    body = "".join(f"<p>{_text(line)}</p>" for line in lines if line.strip()) or "<p>–</p>"
    return {"status": "generated", "div": f'<div xmlns="http://www.w3.org/1999/xhtml">{body}</div>'}


def _text(text: str) -> str:
    return escape("".join(letter if _is_plain(letter) else f"[U+{ord(letter):04X}]" for letter in text))


def _is_plain(letter: str) -> bool:
    """Whether XML 1.0 lets a character stand in a text."""
    code = ord(letter)
    return letter in "\t\n\r" or 0x20 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code >= 0x10000
