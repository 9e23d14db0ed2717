"""An entry: one dated fact, written once and never changed."""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from json.encoder import encode_basestring
from typing import Any

from carelog.domain.moment import Instant, Moment, utc_text

Json = Any
Details = Mapping[str, Json]

LIVE = "live"
PAPER = "paper"
SOURCES = (LIVE, PAPER)
FIRST_LINK = "0" * 64
_UUID_FORM = re.compile(
    r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}", re.ASCII | re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry; its id is lower-case text, its details are settled JSON (see `number.settle`)."""

    id: str
    kind: str
    at: Moment
    recorded_at: Instant
    zone: str = ""
    by: str = ""
    details: Details = field(default_factory=dict)
    note: str = ""
    source: str = LIVE
    amends: str | None = None
    reason: str = ""
    withdrawn: bool = False

    def __hash__(self) -> int:
        return hash(self.id)


def is_uuid(text: str) -> bool:
    """Whether a text has the form of a UUID."""
    return _UUID_FORM.fullmatch(text) is not None


def new_id(now: Instant, random: bytes) -> str:
    """A UUID version 7 (RFC 9562) from the time and ten random bytes."""
    millisecond = max(now // 1000, 0) & ((1 << 48) - 1)
    tail = int.from_bytes(random[:10], "big")
    value = millisecond << 80 | 0x7 << 76 | (tail >> 68 & 0xFFF) << 64 | 0b10 << 62 | (tail & ((1 << 62) - 1))
    digits = f"{value:032x}"
    return "-".join(digits[start:end] for start, end in pairwise((0, 8, 12, 16, 20, 32)))


def details_text(details: Json) -> str:
    """Details, or a value of them, as written and hashed: keys sorted by code point at every depth."""
    return _details_encoder.encode(details)


# Made once: an encoder that escapes only what JSON demands costs more to make than to use.
_details_encoder = json.JSONEncoder(ensure_ascii=False, sort_keys=True, allow_nan=False)


def line(entry: Entry) -> str:
    """The entry's line in the exchange file, without its line feed."""
    return written(entry, details_text(entry.details))


def written(entry: Entry, details: str) -> str:
    """The entry's line, its details being at hand as `details_text` writes them."""
    quote = encode_basestring
    return (
        f'{{"id": {quote(entry.id)}, "kind": {quote(entry.kind)}, "at": {quote(entry.at.text())}, '
        f'"zone": {quote(entry.zone)}, "recorded_at": {quote(utc_text(entry.recorded_at))}, '
        f'"by": {quote(entry.by)}, "details": {details}, "note": {quote(entry.note)}, '
        f'"source": {quote(entry.source)}, "amends": {_quote(entry.amends)}, '
        f'"reason": {quote(entry.reason)}, "withdrawn": {"true" if entry.withdrawn else "false"}}}'
    )


def _quote(text: str | None) -> str:
    return "null" if text is None else encode_basestring(text)


def content_hash(entry: Entry) -> str:
    """SHA-256 over the line: the same on every computer."""
    return hash_of_line(line(entry))


def hash_of_line(text: str) -> str:
    """The content hash of an entry whose line is at hand."""
    return _sha256(text)


def link(before: str, content: str) -> str:
    """SHA-256 over the link before and the content hash, in the order of arrival at this installation."""
    return _sha256(before + content)


def paper_mark(content_hashes: Iterable[str]) -> str:
    """The mark printed on a sheet: the first 16 digits, in fours, over the sorted, joined content hashes."""
    digits = _sha256("".join(sorted(content_hashes)))[:16]
    return " ".join(digits[n : n + 4] for n in range(0, 16, 4))


def _sha256(text: str) -> str:
    import hashlib  # with the first hash: a window is on screen sooner without it

    return hashlib.sha256(text.encode()).hexdigest()
