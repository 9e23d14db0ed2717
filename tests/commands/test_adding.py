"""`add`: one entry from the line, or many from a stream."""

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from carelog.commands import surroundings
from carelog.domain.entry import Entry, details_text, is_uuid, line
from carelog.store.lines import read_line
from tests.journeys.household import Household, carelog


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    return home.record()


def entries(record: Path) -> list[Entry]:
    """The record's entries, by way of an export."""
    out = record.with_suffix(".out")
    assert carelog("export", str(out), "--record", str(record)).status == 0
    return [read_line(each).entry for each in out.read_bytes().splitlines()[1:]]


def add(record: Path, *words: str) -> Entry:
    """Add one entry and return what is in the record under the id that was printed."""
    answer = carelog("add", "--record", str(record), *words)
    assert answer.status == 0, answer.err
    (printed,) = answer.out.split()
    return next(each for each in entries(record) if each.id == printed)


TYPED: list[tuple[list[str], dict[str, Any]]] = [
    (["mouth_care"], {}),
    (
        ["suction", "colour=white", "passes=2", "frothy=no", "saline=YES"],
        {"colour": "white", "passes": 2, "frothy": False, "saline": True},
    ),
    (["cuff_pressure", "value=25,5", "unit=cmH2O"], {"value": 25.5, "unit": "cmH2O"}),
    (["observations", "temperature_c=37.0"], {"temperature_c": 37}),
    (["stock", "item=HME", "delta=-3"], {"item": "HME", "delta": -3}),
    (["outing", "action=leaving", "packed=gel, mask"], {"action": "leaving", "packed": ["gel", "mask"]}),
    (
        ["box_check", 'spare_same={"id_mm": 8, "cuff": "air"}', 'expiries={"gel": "2028-05"}'],
        {"spare_same": {"id_mm": 8, "cuff": "air"}, "expiries": {"gel": "2028-05"}},
    ),
    (["plan", "set_by=a nurse", "quiet=23:00,06:00"], {"set_by": "a nurse", "quiet": ["23:00", "06:00"]}),
    (["phrase", "text=a=b"], {"text": "a=b"}),
    (
        ["tube_change", "id_mm=8", "cuff=none", "inner_tube=none", "next_due=2026-12-24"],
        {"id_mm": 8, "cuff": "none", "inner_tube": "none", "next_due": "2026-12-24"},
    ),
]


@pytest.mark.parametrize(
    ("words", "details"), TYPED, ids=lambda each: each[0] if isinstance(each, list) else ""
)
def test_values_are_read_by_their_fields_type(
    words: list[str], details: dict[str, Any], record: Path
) -> None:
    added = add(record, *words)
    assert added.details == details
    assert details_text(added.details) == details_text(details)


def test_an_entry_of_now_carries_who_and_the_note(record: Path) -> None:
    added = add(record, "suction", "--by", "AB", "--note", "żółty 🙂")
    assert (added.by, added.note, added.source) == ("AB", "żółty 🙂", "live")
    assert added.at.instant == added.recorded_at
    assert added.id[14] == "7"


def test_a_time_without_offset_is_at_home(record: Path) -> None:
    added = add(record, "suction", "--at", "2026-06-01T03:10")
    assert (added.at.text(), added.zone) == ("2026-06-01T03:10:00+01:00", "Europe/London")
    far = add(record, "suction", "--at", "2026-06-01T03:10-05:00")
    assert (far.at.text(), far.zone) == ("2026-06-01T03:10:00-05:00", "")


def test_an_id_and_a_time_of_writing_may_be_given_and_given_again(record: Path) -> None:
    words = ["suction", "colour=white", "--at", "2026-06-01T03:10Z", "--recorded-at", "2026-06-01T03:11Z"]
    words += ["--id", "ABCDEF00-0000-4000-8000-000000000001"]
    first = add(record, *words)
    assert first.id == "abcdef00-0000-4000-8000-000000000001"
    assert first.recorded_at == first.at.instant + 60_000_000
    assert add(record, *words) == first
    words[1] = "colour=green"
    answer = carelog("add", "--record", str(record), *words)
    assert (answer.status, answer.out) == (1, "")
    assert "other content" in answer.err


WRONG = {
    "no kind": ([], "Which kind?"),
    "unknown kind": (["suctoin"], "“suctoin” isn't a kind"),
    "unknown field": (["suction", "color=white"], "no field “color”"),
    "no value": (["suction", "white"], "isn't like field=value"),
    "a field twice": (["suction", "colour=white", "colour=red"], "given twice"),
    "not its own": (["suction", "colour=blue"], "colour must be one of"),
    "not a number": (["cuff_pressure", "value=25x", "unit=cmH2O"], "value: “25x” isn't a number"),
    "python's idea of a number": (["suction", "passes=1_0"], "isn't a number"),
    "no unit": (["cuff_pressure", "value=25"], "unit is missing"),
    "missing": (["cuff_state"], "state is missing"),
    "no time": (["suction", "--at", "noon"], "isn't a time"),
    "a doubled hour": (["suction", "--at", "2026-10-25T01:30"], "comes twice"),
    "no id": (["suction", "--id", "7"], "isn't a UUID"),
    "no id, as a field": (["suction", "id=7"], "isn't a UUID"),
    "an id twice": (["suction", "id=7", "--id", "7"], "given twice"),
    "a kind without fields": (["mouth_care", "x=1"], "has no fields"),
    "a name twice": (["box_check", 'expiries={"gel": "2028-05", "gel": "2028-06"}'], "readable as JSON"),
    "a stream and a kind": (["suction", "--stream"], "--stream takes its entries"),
    "a stream and who": (["--stream", "--by", "AB"], "--stream takes its entries"),
    "half a character": (["phrase", "text=\ud800"], "UTF-8"),
}


@pytest.mark.parametrize(("words", "sentence"), WRONG.values(), ids=WRONG)
def test_wrong_values_are_one_sentence_and_nothing_is_added(
    words: list[str], sentence: str, record: Path, tmp_path: Path
) -> None:
    for target in (record, tmp_path / "new.carelog"):
        if target != record and "--at" in words:
            continue
        answer = carelog("add", "--record", str(target), *words)
        assert (answer.status, answer.out) == (2, "")
        assert sentence in answer.err
        assert answer.err.count("\n") == 1
    assert len(entries(record)) == 1
    assert not (tmp_path / "new.carelog").exists()


def test_an_id_and_a_time_of_writing_may_be_given_like_fields(record: Path) -> None:
    words = ["note", "id=ABCDEF00-0000-4000-8000-000000000002", "recorded_at=2026-06-01T03:11"]
    found = add(record, *words, "--at", "2026-06-01T03:10", "--note", "a knock")
    assert found.id == "abcdef00-0000-4000-8000-000000000002"
    assert '"recorded_at": "2026-06-01T02:11:00+00:00"' in line(found)
    assert found.details == {}


def test_a_missing_record_is_made_and_that_is_said(tmp_path: Path) -> None:
    path = tmp_path / "new.carelog"
    answer = carelog("add", "--record", str(path), "mouth_care")
    assert answer.status == 0
    assert is_uuid(answer.out.strip())
    assert "new.carelog” is a new record" in answer.err
    assert carelog("add", "--record", str(path), "mouth_care").err == ""
    assert len(entries(path)) == 2


# The stream ---------------------------------------------------------------------------------------


def stream(record: Path, text: bytes, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Run `add --stream` over these bytes."""
    real = surroundings.real_surroundings

    def fed() -> surroundings.Surroundings:
        return real()._replace(lines=lambda: io.BytesIO(text))

    monkeypatch.setattr("carelog.cli.real_surroundings", fed)
    return carelog("add", "--record", str(record), "--stream")


GOOD = {"id": "00000000-0000-4000-8000-000000000001", "kind": "mouth_care", "at": "2026-11-22T03:10:00Z"}


def test_each_line_is_saved_by_itself_and_bad_ones_are_told(
    record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [
        json.dumps(GOOD).encode(),
        b"not json",
        b"",
        json.dumps({"kind": "suction", "at": "2026-11-22T03:11:00Z", "details": {"colour": "blue"}}).encode(),
        json.dumps({**GOOD, "note": "other"}).encode(),
        json.dumps({"kind": "sunshine", "at": "2026-11-22T03:12:00Z", "details": {"hours": 3}}).encode(),
    ]
    answer = stream(record, b"\r\n".join(lines), monkeypatch)
    assert answer.status == 1
    first, last = answer.out.split()
    assert first == GOOD["id"]
    assert [each.split(":")[1].strip() for each in answer.err.splitlines()] == ["Line 2", "Line 4", "Line 5"]
    found = {each.id: each for each in entries(record)}
    assert len(found) == 3
    assert found[last].details == {"hours": 3}
    assert found[first].recorded_at == found[first].at.instant


def test_a_stream_sent_again_adds_nothing(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = b'{"kind": "mouth_care", "at": "2026-11-22T03:10:00Z"}\n' * 2
    first = stream(record, text, monkeypatch)
    assert first.status == 0
    assert len(set(first.out.split())) == 2
    assert stream(record, text, monkeypatch).out == first.out
    assert len(entries(record)) == 3


def test_changes_come_through_the_stream_too(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = GOOD["id"]
    change = {
        **GOOD,
        "id": "00000000-0000-4000-8000-000000000002",
        "amends": target,
        "reason": "slip",
        "withdrawn": True,
    }
    ring = {**change, "id": target, "amends": change["id"]}
    text = b"".join(json.dumps(each).encode() + b"\n" for each in (GOOD, change, ring))
    answer = stream(record, text, monkeypatch)
    assert answer.out.split() == [target, change["id"]]
    assert answer.err.startswith("carelog: Line 3: ")


def test_a_line_without_end_is_refused_and_the_rest_goes_on(
    record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (
        b'{"kind": "note", "at": "2026-11-22T03:10:00Z", "note": "'
        + b"x" * 5_000_000
        + b'"}\n'
        + json.dumps(GOOD).encode()
    )
    answer = stream(record, text, monkeypatch)
    assert answer.out.split() == [GOOD["id"]]
    assert "longer than 4 MiB" in answer.err


def test_an_id_is_printed_while_the_stream_is_still_open(record: Path) -> None:
    command = [sys.executable, "-m", "carelog", "add", "--record", str(record), "--stream"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(json.dumps(GOOD).encode() + b"\n")
        process.stdin.flush()
        assert process.stdout.readline().decode().strip() == GOOD["id"]
        assert line(next(each for each in entries(record) if each.id == GOOD["id"]))
        process.kill()
    assert GOOD["id"] in [each.id for each in entries(record)]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
@pytest.mark.parametrize("is_stream", [False, True])
def test_what_is_saved_is_no_failure_where_its_id_cannot_be_written_out(
    tmp_path: Path, is_stream: bool
) -> None:
    record = tmp_path / "r.carelog"
    line = json.dumps({"kind": "mouth_care", "at": "2026-11-02T08:00:00Z"})
    words = ["--stream"] if is_stream else ["mouth_care"]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "carelog", "add", "--record", str(record), *words],
            input=line,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 0
    assert "The entry is saved, but its id could not be written out" in done.stderr
    assert carelog("check", "--record", str(record)).out.startswith("No damage found: ")


def test_a_moment_without_an_offset_is_home_time(record: Path) -> None:
    entry = add(record, "gap", "since=2026-07-03 21:00", "--at", "2026-07-04T09:00")
    assert entry.details == {"since": "2026-07-03T21:00:00+01:00"}
    assert add(record, "gap", "since=2026-01-03", "--at", "2026-01-04T09:00").details == {
        "since": "2026-01-03T00:00:00+00:00"
    }


@pytest.mark.parametrize(
    ("since", "sentence"),
    [("2026-10-25T01:30", "comes twice in Europe/London"), ("yesterday", "since: “yesterday” isn't a time")],
)
def test_a_moment_that_isnt_one_time_at_home_is_refused(record: Path, since: str, sentence: str) -> None:
    answer = carelog("add", "--record", str(record), "gap", f"since={since}", "--at", "2026-11-04T09:00")
    assert (answer.status, sentence in answer.err) == (2, True), answer.err
