"""The written form of an entry, its hashes, ids and numbers."""

import hashlib
import json
import uuid

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.domain.entry import FIRST_LINK, Entry, content_hash, line, link, new_id, paper_mark
from carelog.domain.moment import Moment
from carelog.domain.number import settle, typed
from carelog.domain.trouble import Refused
from tests.strategies import entries

SUCTION = Entry(
    id="00000000-0000-4000-8000-000000000001",
    kind="suction",
    at=Moment.read("2026-11-22T03:10:00+00:00"),
    zone="Europe/London",
    recorded_at=Moment.read("2026-11-22T03:11:30+00:00").instant,
    by="AB",
    details={"colour": "white", "amount": "small"},
    note='Zoë "said"\n\x01\x7f\u2028',
)


def test_a_line_has_all_keys_in_order_and_escapes_only_what_json_demands() -> None:
    assert line(SUCTION) == (
        '{"id": "00000000-0000-4000-8000-000000000001", "kind": "suction", '
        '"at": "2026-11-22T03:10:00+00:00", '
        '"zone": "Europe/London", "recorded_at": "2026-11-22T03:11:30+00:00", "by": "AB", '
        '"details": {"amount": "small", "colour": "white"}, "note": "Zoë \\"said\\"\\n\\u0001\x7f\u2028", '
        '"source": "live", "amends": null, "reason": "", "withdrawn": false}'
    )


@given(entry=entries)
def test_a_line_is_one_json_object_without_a_line_feed(entry: Entry) -> None:
    written = line(entry)
    assert "\n" not in written
    found = json.loads(written)
    assert (found["id"], found["details"], found["note"]) == (entry.id, entry.details, entry.note)


def test_hash_link_and_mark_are_plain_sha_256() -> None:
    content = hashlib.sha256(line(SUCTION).encode()).hexdigest()
    assert content_hash(SUCTION) == content
    assert link(FIRST_LINK, content) == hashlib.sha256(("0" * 64 + content).encode()).hexdigest()
    other = "f" * 64
    digits = hashlib.sha256("".join(sorted([content, other])).encode()).hexdigest()
    assert paper_mark([other, content]) == f"{digits[:4]} {digits[4:8]} {digits[8:12]} {digits[12:16]}"


@given(st.integers(0, 2**47 * 1000), st.binary(min_size=10, max_size=10))
def test_a_new_id_is_a_uuid_version_7_that_begins_with_its_time(now: int, random: bytes) -> None:
    text = new_id(now, random)
    found = uuid.UUID(text)
    assert text == str(found)
    assert (found.version, found.variant) == (7, uuid.RFC_4122)
    assert found.int >> 80 == now // 1000


@pytest.mark.parametrize(
    ("given_", "kept"),
    [
        (8.0, "8"),
        (-0.0, "0"),
        (1e3, "1000"),
        (2**53 - 1, "9007199254740991"),
        (2**53, "9007199254740992.0"),
        (0.1, "0.1"),
    ],
)
def test_numbers_have_one_written_form(given_: float, kept: str) -> None:
    assert json.dumps(settle(given_)) == kept


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 10**400])
def test_a_number_beyond_range_is_refused(value: float) -> None:
    with pytest.raises(Refused):
        settle(value)


@pytest.mark.parametrize(
    ("text", "value"), [("8,5", 8.5), (" 8.0 ", 8), ("0", 0), (".5", 0.5), ("−3", -3), ("+2", 2)]
)
def test_a_typed_number_takes_comma_or_point(text: str, value: float) -> None:
    assert typed(text) == value


@pytest.mark.parametrize(
    "text", ["", "nan", "inf", "1_000", "٣", "1e5", "1,000.5", "8 5", "0x10", "--1", "1."]
)
def test_what_is_not_plainly_a_number_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        typed(text)
