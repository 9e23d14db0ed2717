"""The rules of a document Bundle (HL7 FHIR R4B, 3.3 Documents), written down once more."""

import re
from collections.abc import Iterator
from typing import Any

_TEXT = re.compile(r"(?:[ \r\n\t]|[^\s\x00-\x1f\ufeff])+")
"""FHIR R4B, 2.24.0.1: string; of what is below 32 only tab and line ends. U+FEFF is a space in ECMAScript."""


def faults(bundle: dict[str, Any]) -> list[str]:
    """What is wrong with a document, by the rules that no schema holds."""
    return list(_faults(bundle))


def _faults(bundle: dict[str, Any]) -> Iterator[str]:
    if bundle.get("type") != "document":
        yield "it is no document"
    for name in ("identifier", "timestamp"):
        if name not in bundle:
            yield f"a document has a {name}"
    entries = bundle.get("entry", [])
    if not entries or entries[0]["resource"]["resourceType"] != "Composition":
        yield "a Composition comes first"
        return
    for name in ("status", "type", "date", "author", "title", "subject"):
        if not entries[0]["resource"].get(name):
            yield f"the Composition has a {name}"
    urls = [each["fullUrl"] for each in entries]
    if len(set(urls)) < len(urls):
        yield "each address stands once"
    for each in entries:
        if each["fullUrl"] != f"urn:uuid:{each['resource']['id']}":
            yield "an address is that of its resource"
        if "div" not in each["resource"].get("text", {}):
            yield f"{each['resource']['resourceType']} has no narrative"
    for text in texts(bundle):
        if not _TEXT.fullmatch(text):
            yield f"{text!r} isn't a text of the format"
    for found in references(bundle):
        if found not in urls:
            yield f"{found} isn't in the document"
    for each in entries[0]["resource"]["section"]:
        if not each.get("entry") and not each.get("text"):
            yield "a section holds something, or says that it doesn't"
    reached = _reached(entries)
    for each in entries:
        if each["resource"]["resourceType"] != "Provenance" and each["fullUrl"] not in reached:
            yield f"{each['resource']['resourceType']} isn't reached from the Composition"


def texts(value: Any) -> Iterator[str]:
    """Every text within a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from texts(each)


def references(value: Any) -> Iterator[str]:
    """Every reference within a value."""
    if isinstance(value, dict):
        if isinstance(value.get("reference"), str):
            yield value["reference"]
        for each in value.values():
            yield from references(each)
    elif isinstance(value, list):
        for each in value:
            yield from references(each)


def _reached(entries: list[dict[str, Any]]) -> set[str]:
    """All that can be come to from the Composition."""
    by_url = {each["fullUrl"]: each["resource"] for each in entries}
    found, todo = set[str](), [entries[0]["fullUrl"]]
    while todo:
        url = todo.pop()
        if url not in found and url in by_url:
            found.add(url)
            todo += references(by_url[url])
    return found
