"""What a line may hold, and the sentence for what it may not."""

import io
import json
import uuid

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.domain.entry import Entry, line
from carelog.domain.moment import Moment
from carelog.domain.trouble import Refused
from carelog.store.exchange import StoredExchange
from carelog.store.lines import DEEPEST, LONGEST, Unnamed, lines_of, numbered, read_line
from carelog.store.record import StoredRecord
from tests.exchange.making import HEADING, file, merge, raw
from tests.store.making import id_of
from tests.strategies import entries

AT = "2026-11-22T03:10:00+00:00"
TIES = {"kind": "ties", "at": AT, "details": {"action": "checked"}}


def nested(depth: int) -> str:
    """A line with an unknown field so deep that its innermost list is at this depth."""
    inner = "[" * (depth - 2) + "]" * (depth - 2)
    return f'{{"kind": "ties", "at": "{AT}", "details": {{"action": "checked", "x": {inner}}}}}'


def long(size: int) -> str:
    """A line of exactly this many bytes."""
    start = f'{{"kind": "note", "at": "{AT}", "note": "'
    return start + "x" * (size - len(start) - 2) + '"}'


def details(kind: str, **found: object) -> dict[str, object]:
    """A line with these details."""
    return {"kind": kind, "at": AT, "details": found}


def task(**found: object) -> dict[str, object]:
    """A plan with one task."""
    return details("plan", set_by="Nurse", tasks=[{"kind": "suction", **found}])


REFUSED = {
    "not UTF-8": (b'{"kind": "note", "at": "\xff"}', "isn't UTF-8"),
    "UTF-8 of half a character": (b'{"kind": "note", "at": "\xed\xa0\x80"}', "isn't UTF-8"),
    "half a character": ('{"kind": "note", "at": "2026-11-22T03:10Z", "note": "\\ud83d"}', "surrogate"),
    "half a character in a key": (
        '{"kind": "x", "at": "2026-11-22T03:10Z", "details": {"\\ude00": 1}}',
        "surrogate",
    ),
    "too long": (long(LONGEST + 1), "4 MiB"),
    "too deep": (nested(DEEPEST + 1), "deeper than 32"),
    "far too deep": ("[" * 200_000, "deeper than 32"),
    "a note too deep": (
        '{"kind": "x", "at": "2026-11-22T03:10Z", "note": ' + "[" * 900 + '"\\u00e9"' + "]" * 900 + "}",
        "must be text|deeper than 32",
    ),
    "objects far too deep": ('{"a":' * 100_000, "deeper than 32"),
    "not JSON": ("{", "isn't JSON"),
    "two objects": ("{} {}", "isn't JSON"),
    "a list": ("[]", "isn't a JSON object"),
    "a name twice": ('{"kind": "ties", "kind": "ties", "at": "2026-11-22T03:10Z"}', "stands twice"),
    "a name twice, deep": (
        '{"kind": "x", "at": "2026-11-22T03:10Z", "details": {"a": [{"b": 1, "\\u0062": 2}]}}',
        "“b” stands twice",
    ),
    "NaN": ('{"kind": "x", "at": "2026-11-22T03:10Z", "details": {"a": NaN}}', "isn't a number"),
    "infinity": ('{"kind": "x", "at": "2026-11-22T03:10Z", "details": {"a": -Infinity}}', "isn't a number"),
    "1e999": ('{"kind": "x", "at": "2026-11-22T03:10Z", "details": {"a": 1e999}}', "too large"),
    "10**400": (f'{{"kind": "x", "at": "{AT}", "details": {{"a": 1{"0" * 400}}}}}', "too large"),
    "10**9999": (f'{{"kind": "x", "at": "{AT}", "details": {{"a": 1{"0" * 9999}}}}}', "too large"),
    "an unknown key": ({**TIES, "place": "home"}, "“place”"),
    "id": ({**TIES, "id": "123"}, "isn't a UUID"),
    "id in braces": ({**TIES, "id": "{" + id_of(1) + "}"}, "isn't a UUID"),
    "id null": ({**TIES, "id": None}, "“id” must be text"),
    "amends": ({**TIES, "amends": ""}, "isn't a UUID"),
    "no kind": ({"at": AT}, "“kind” is missing"),
    "no at": ({"kind": "note"}, "“at” is missing"),
    "no offset": ({**TIES, "at": "2026-11-22T03:10:00"}, "isn't a time"),
    "a space": ({**TIES, "at": "2026-11-22 03:10Z"}, "isn't a time"),
    "seven digits": ({**TIES, "at": "2026-11-22T03:10:00.1234567Z"}, "isn't a time"),
    "a leap second": ({**TIES, "at": "2026-11-22T23:59:60Z"}, "isn't a time"),
    "no such day": ({**TIES, "at": "2026-02-30T03:10Z"}, "exists"),
    "before year 1": ({**TIES, "at": "0001-01-01T00:00+14:00"}, "exists"),
    "Arabic digits": ({**TIES, "at": "٢٠٢٦-11-22T03:10Z"}, "isn't a time"),
    "an ending line": ({**TIES, "at": AT + "\n"}, "isn't a time"),
    "recorded_at": ({**TIES, "recorded_at": "22.11.2026"}, "isn't a time"),
    "at null": ({**TIES, "at": None}, "“at” must be text"),
    "zone": ({**TIES, "zone": "Europe London"}, "zone like Europe"),
    "zone of a path": ({**TIES, "zone": "../etc/passwd"}, "zone like Europe"),
    "zone null": ({**TIES, "zone": None}, "“zone” must be text"),
    "note null": ({**TIES, "note": None}, "“note” must be text"),
    "by a number": ({**TIES, "by": 3}, "“by” must be text"),
    "source": ({**TIES, "source": "phone"}, "live or paper"),
    "withdrawn text": ({**TIES, "withdrawn": "false"}, "true or false"),
    "withdrawn null": ({**TIES, "withdrawn": None}, "true or false"),
    "withdrawn alone": ({"kind": "ties", "at": AT, "withdrawn": True, "reason": "x"}, "must say which"),
    "withdrawn with details": ({**TIES, "withdrawn": True, "reason": "x", "amends": id_of(1)}, "no details"),
    "withdrawn without reason": (
        {"kind": "ties", "at": AT, "withdrawn": True, "reason": " ", "amends": id_of(1)},
        "reason",
    ),
    "details a list": ({**TIES, "details": []}, "must be an object"),
    "a required field": (details("ties"), "“action” is missing"),
    "a unit": (details("cuff_pressure", value=24), "“unit” is missing"),
    "null in a field": (details("suction", amount=None), "“amount” must be"),
    "true for a number": (details("suction", passes=True), "“passes” must be"),
    "half a pass": (details("suction", passes=1.5), "whole number"),
    "a new value": (details("suction", colour="blue"), "“colour” must be one of"),
    "two times": (task(every_h=3, times=["08:00"]), "every_h or times"),
    "no time": (task(), "every_h or times"),
    "a task twice": (
        details(
            "plan", set_by="N", tasks=[{"kind": "ties", "every_h": 3}, {"kind": "ties", "times": ["08:00"]}]
        ),
        "twice",
    ),
}


@pytest.mark.parametrize(("line", "words"), REFUSED.values(), ids=REFUSED.keys())
def test_a_line_is_refused_with_its_number_in_one_sentence(
    record: StoredRecord, line: object, words: str
) -> None:
    with pytest.raises(Refused, match=words) as caught:
        merge(record, TIES, "", "  \t", line)  # type: ignore[arg-type]
    assert caught.value.sentence.startswith("Line 5: ")
    assert len(caught.value.sentence) < 300
    assert caught.value.sentence.isprintable()
    assert record.count() == 0


HEADINGS = {
    "none": ("", "heading"),
    "an entry": (TIES, "heading"),
    "another format": ({**HEADING, "format": "other"}, "heading"),
    "not JSON": ("suction;03:10", "isn't JSON"),
    "newer": ({**HEADING, "version": 2, "more": True}, "newer carelog"),
    "version 0": ({**HEADING, "version": 0}, "whole number"),
    "version text": ({**HEADING, "version": "1"}, "whole number"),
    "version true": ({**HEADING, "version": True}, "whole number"),
    "version null": ({**HEADING, "version": None}, "whole number"),
    "unknown key": ({**HEADING, "house": "x"}, "“house”"),
    "unknown key of the person": ({**HEADING, "person": {**HEADING["person"], "born": "x"}}, "“born”"),  # type: ignore[dict-item]
    "person's id": ({**HEADING, "person": {"id": "7", "name": "x"}}, "isn't a UUID"),
    "person's name": ({**HEADING, "person": {"id": id_of(1), "name": None}}, "must be text"),
    "person null": ({**HEADING, "person": None}, "must be an object"),
    "written_at": ({**HEADING, "written_at": "yesterday"}, "isn't a time"),
}


@pytest.mark.parametrize(("heading", "words"), HEADINGS.values(), ids=HEADINGS.keys())
def test_a_heading_is_refused_in_one_sentence(record: StoredRecord, heading: object, words: str) -> None:
    with pytest.raises(Refused, match=words) as caught:
        merge(record, TIES, heading=heading)  # type: ignore[arg-type]
    assert caught.value.sentence.startswith(f"Line {2 if heading == '' else 1}: ")


TAKEN = {
    "depth 32": nested(DEEPEST),
    "4 MiB": long(LONGEST),
    "4 MiB and CRLF": long(LONGEST) + "\r",
    "an unknown zone": {**TIES, "zone": "Mars/Olympus_Mons"},
    "before 1970": {**TIES, "at": "1604-01-01T00:00:00+00:00"},
    "far ahead": {**TIES, "at": "9999-12-31T23:59:59.999999-12:00", "recorded_at": AT},
    "at after recorded_at": {**TIES, "recorded_at": "2020-01-01T00:00Z"},
    "null in an unknown field": details("suction", posture=None),
    "quiet null": task(every_h=3, quiet=None),
    "a task with another where": details(
        "plan",
        set_by="N",
        tasks=[
            {"kind": "equipment_check", "every_h": 24},
            {"kind": "equipment_check", "every_h": 24, "where": {"device": "suction_machine"}},
        ],
    ),
    "a whole number with a point": details("suction", passes=2.0),
    "nothing said": details("suction"),
    "a withdrawal": {"kind": "ties", "at": AT, "amends": id_of(1), "withdrawn": True, "reason": "twice"},
    "spaces": '  { "at" :\t"2026-11-22T03:10Z" , "kind" : "mouth_care" }  \r',
}


@pytest.mark.parametrize("line", TAKEN.values(), ids=TAKEN.keys())
def test_a_line_is_taken(record: StoredRecord, line: object) -> None:
    assert merge(record, line).added == 1  # type: ignore[arg-type]
    assert record.check() == []


def test_a_byte_order_mark_and_crlf_do_not_matter(record: StoredRecord) -> None:
    lines = [each.replace(b"\n", b"\r\n") for each in file(TIES, TIES)]
    lines[0] = b"\xef\xbb\xbf" + lines[0]
    assert StoredExchange().merge(lines, record).added == 2


def test_defaults_stand_for_what_is_not_given() -> None:
    found = read_line(raw({"kind": "mouth_care", "at": "2026-11-22T03:10+01:00"}))
    at = Moment.read("2026-11-22T03:10+01:00")
    assert found.entry == Entry(id="", kind="mouth_care", at=at, recorded_at=at.instant)
    assert not found.has_id


def test_ids_in_details_are_kept_in_lower_case() -> None:
    found = read_line(raw(details("answer", question=id_of(0xABC).upper())))
    assert found.entry.details == {"question": id_of(0xABC)}


def test_an_id_is_made_from_the_line_and_its_number() -> None:
    unnamed = Unnamed()
    made = [unnamed.named(read_line(raw(TIES)).entry) for _ in (1, 2)]
    empty = (
        '{"id": "", "kind": "ties", "at": "2026-11-22T03:10:00+00:00", "zone": "", '
        '"recorded_at": "2026-11-22T03:10:00+00:00", "by": "", "details": {"action": "checked"}, "note": "", '
        '"source": "live", "amends": null, "reason": "", "withdrawn": false}'
    )
    space = uuid.UUID("8d0f6f1c-6c0e-4f57-9c0c-3d2f0a5b7e21")
    expected = [str(uuid.uuid5(space, f"{empty} {number}")) for number in (1, 2)]
    assert [each.id for each in made] == expected


@pytest.mark.parametrize("wrong", [{"id": "?" * 99}, {"amends": "?" * 99}, {"?" * 99: 1}, {"zone": "?" * 99}])
def test_a_sentence_repeats_of_what_is_wrong_40_letters_at_most(wrong: dict[str, object]) -> None:
    with pytest.raises(Refused, match=r"“\?{40}”"):
        read_line(json.dumps({**TIES, **wrong}).encode())


@given(entry=entries)
def test_any_entry_is_read_back_as_it_was_written(entry: Entry) -> None:
    assert read_line(line(entry).encode()).entry == entry


@given(entry=entries)
def test_key_order_and_spacing_do_not_matter(entry: Entry) -> None:
    shuffled = dict(reversed(json.loads(line(entry)).items()))
    text = json.dumps(shuffled, indent=1).replace("\n", " ")
    assert read_line(text.encode()).entry == entry


@given(st.binary(max_size=200))
def test_any_bytes_are_an_entry_or_refused(data: bytes) -> None:
    refused = ""
    try:
        taken = read_line(data).entry.kind
    except Refused as error:
        taken, refused = "", error.sentence
    assert bool(taken) != bool(refused)


def test_an_endless_line_is_not_held_in_memory() -> None:
    class Endless(io.RawIOBase):
        """A file of one line of 64 MiB, and one more."""

        def __init__(self) -> None:
            self.left = 64 * 1024 * 1024

        def readable(self) -> bool:
            return True

        def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
            size = min(len(buffer), self.left)
            buffer[:size] = b"x" * size
            self.left -= size
            if size and self.left == 0:
                buffer[size - 1 : size] = b"\n"
            return size

    found = list(numbered(lines_of(io.BufferedReader(Endless()))))
    assert [number for number, _ in found] == [1]
    assert LONGEST < len(found[0][1]) < LONGEST + 100
