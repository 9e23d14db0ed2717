"""An exchange file is added whole or not at all, and never twice."""

import io
import itertools
import json
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from carelog.domain.entry import Entry
from carelog.domain.record import Merged, PersonHeading
from carelog.domain.trouble import Refused
from carelog.store import spool
from carelog.store.exchange import StoredExchange
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord, fit_of
from carelog.store.rows import row_of
from tests.exchange.making import FOUR_WEEKS, HEADING, file, merge, raw, written
from tests.store.making import HERE, PERSON, THERE, change, entry, fresh, id_of, numbers, opened

AT = "2026-11-22T03:10:00+00:00"
TIES = {"kind": "ties", "at": AT, "details": {"action": "checked"}}
SUCTION = {"kind": "suction", "at": AT}


@pytest.fixture(params=[1, 1000], ids=["line by line", "all at once"])
def batches(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """How many lines of a file are judged and added at a time."""
    monkeypatch.setattr(spool, "_AT_ONCE", request.param)


def with_id(number: int, **more: object) -> dict[str, object]:
    """A line with an id."""
    return {"id": id_of(number), **SUCTION, **more}


def test_four_weeks_go_in_once_and_come_out_byte_for_byte(record: StoredRecord) -> None:
    given = FOUR_WEEKS.read_bytes().splitlines(keepends=True)
    assert StoredExchange().merge(io.BytesIO(b"".join(given)), record) == Merged(589, 0, 0, 0)
    assert StoredExchange().merge(given, record) == Merged(0, 589, 0, 0)
    assert written(record) == given[1:]
    assert record.person() == PersonHeading("d4861c73-fcb3-5875-a6d2-ca3574a04fd9", "Tobias Fennimore")
    assert record.check() == []


def test_two_records_with_the_same_entries_write_the_same_lines(record: StoredRecord, path: Path) -> None:
    given = FOUR_WEEKS.read_bytes().splitlines(keepends=True)
    other = fresh(path.with_name("other.carelog"), THERE)
    StoredExchange().merge(given, record)
    for part in (given[400:], given[1:400]):
        StoredExchange().merge([given[0], *reversed(part)], other)
    assert written(other) == written(record) == given[1:]
    other.close()


def test_a_refused_file_leaves_no_record(record: StoredRecord, path: Path) -> None:
    with pytest.raises(Refused, match="Line 3"):
        merge(record, TIES, {**TIES, "details": {}})
    assert list(path.parent.iterdir()) == []
    assert merge(record, TIES).added == 1
    assert path.exists()


def test_a_heading_alone_makes_a_record_about_its_person(record: StoredRecord, path: Path) -> None:
    someone = {"id": "00000000-0000-4000-8000-0000000000AA", "name": "Ama Quist"}
    assert merge(record, heading={**HEADING, "person": someone}) == Merged(0, 0, 0, 0)
    with closing(opened(path)) as made:
        assert made.person() == PersonHeading("00000000-0000-4000-8000-0000000000aa", "Ama Quist")


def test_a_refused_file_adds_nothing_to_a_record(record: StoredRecord) -> None:
    record.append([entry(1)])
    with pytest.raises(Refused, match="Line 3"):
        merge(record, with_id(2), with_id(1, note="other"))
    with pytest.raises(Refused, match="Line 4"):
        merge(record, with_id(2), with_id(3), "{")
    assert numbers(record.everything()) == [1]


def test_another_persons_file_is_refused(record: StoredRecord) -> None:
    other = {**HEADING, "person": {"id": id_of(77), "name": "Somebody else"}}
    merge(record, TIES)
    with pytest.raises(Refused, match=r"Line 1: .*another person"):
        merge(record, SUCTION, heading=other)
    assert record.count() == 1
    assert record.person() == PERSON


def test_a_record_without_entries_takes_the_files_person(record: StoredRecord, path: Path) -> None:
    merge(record)
    other = {**HEADING, "person": {"id": id_of(77), "name": "Ama Quist"}}
    merge(record, TIES, heading=other)
    assert record.person() == PersonHeading(id_of(77), "Ama Quist")


@pytest.mark.parametrize(
    "heading",
    [
        {"format": "carelog-exchange"},
        {"format": "carelog-exchange", "version": 1.0, "person": {"name": "Nobody said who"}},
    ],
)
def test_a_file_that_does_not_say_whom_it_is_about_is_taken(
    record: StoredRecord, heading: dict[str, object]
) -> None:
    record.append([entry(1)])
    assert merge(record, TIES, heading=heading).added == 1
    assert record.person() == PERSON


@pytest.mark.usefixtures("batches")
def test_the_same_id_twice_in_a_file(record: StoredRecord) -> None:
    assert merge(record, with_id(1), with_id(1, zone="", note="")) == Merged(1, 1, 0, 0)
    with pytest.raises(Refused, match="Line 3"):
        merge(record, with_id(2), with_id(2, by="AB"))


SAME = {
    "numbers by value": (
        {"details": {"passes": 2, "vacuum": 20, "vacuum_unit": "kPa"}},
        {"details": {"vacuum_unit": "kPa", "passes": 2.0, "vacuum": 2e1}},
    ),
    "minus zero": ({"kind": "x", "details": {"n": 0}}, {"kind": "x", "details": {"n": -0.0}}),
    "upper case": ({"amends": id_of(0xABC)}, {"amends": id_of(0xABC).upper()}),
    "Z": ({}, {"at": "2026-11-22T03:10Z", "recorded_at": AT}),
    "recorded elsewhere": ({}, {"recorded_at": "2026-11-22T05:10:00.000+02:00"}),
    "an offset of -00:00": ({}, {"at": "2026-11-22T03:10:00-00:00"}),
    "an escape": (
        {"note": "ü"},
        '{"note": "\\u00fc", "kind": "suction", "at": "2026-11-22T03:10Z", "id": "%s"}',
    ),
}


@pytest.mark.parametrize(("one", "other"), SAME.values(), ids=SAME.keys())
def test_the_same_content_is_skipped(
    record: StoredRecord, one: dict[str, Any], other: dict[str, Any] | str
) -> None:
    merge(record, with_id(1, **one))
    second = other % id_of(1) if isinstance(other, str) else with_id(1, **other)
    assert merge(record, second) == Merged(0, 1, record_unknown(record), 0)


def record_unknown(record: StoredRecord) -> int:
    """How many entries are of a kind that this version doesn't know."""
    return sum(each.kind == "x" for each in record.everything())


OTHER = {
    "another offset": {"at": "2026-11-22T04:10:00+01:00"},
    "another instant": {"at": "2026-11-22T03:10:00.000001+00:00"},
    "another record time": {"recorded_at": "2026-11-22T03:11Z"},
    "text that only looks the same": {"note": "u\u0308"},
    "text beside a number": {"details": {"passes": 2, "extra": "2"}},
}


@pytest.mark.parametrize("other", OTHER.values(), ids=OTHER.keys())
def test_other_content_stops_the_import(record: StoredRecord, other: dict[str, object]) -> None:
    merge(record, with_id(1, details={"passes": 2, "extra": 2}, note="ü"))
    with pytest.raises(Refused, match=r"Line 2: .*other content"):
        merge(record, {**with_id(1, details={"passes": 2, "extra": 2}, note="ü"), **other})


def test_lines_without_an_id_get_the_same_one_each_time(record: StoredRecord) -> None:
    assert merge(record, TIES, TIES, SUCTION) == Merged(3, 0, 0, 0)
    assert len({each.id for each in record.everything()}) == 3
    assert merge(record, TIES, TIES, SUCTION) == Merged(0, 3, 0, 0)
    assert merge(record, TIES, {**TIES, "zone": ""}, TIES, {**SUCTION, "by": ""}) == Merged(1, 3, 0, 0)


@pytest.mark.usefixtures("batches")
def test_a_change_before_its_target_is_kept(record: StoredRecord) -> None:
    assert merge(record, with_id(2, amends=id_of(1)), with_id(1)).added == 2
    assert merge(record, with_id(4, amends=id_of(3))).added == 1
    assert merge(record, with_id(3)).added == 1
    # One that then doesn't fit stays, without effect.
    assert merge(record, with_id(6, amends=id_of(5)), {**TIES, "id": id_of(5)}).added == 2


@pytest.mark.usefixtures("batches")
@pytest.mark.parametrize("split", range(1, 4))
def test_a_ring_is_refused_where_it_closes(record: StoredRecord, split: int) -> None:
    ring = [with_id(1, amends=id_of(3)), with_id(2, amends=id_of(1)), with_id(3, amends=id_of(2))]
    merge(record, *ring[: split - 1])
    with pytest.raises(Refused, match=rf"Line {5 - split}: .*ring"):
        merge(record, *ring[split - 1 :])
    assert record.count() == split - 1


@pytest.mark.usefixtures("batches")
def test_a_change_of_kind_is_refused_in_the_file_and_in_the_record(record: StoredRecord) -> None:
    with pytest.raises(Refused, match=r"Line 3: .*of kind"):
        merge(record, with_id(1), {**TIES, "id": id_of(2), "amends": id_of(1)})
    merge(record, with_id(1))
    with pytest.raises(Refused, match=r"Line 2: .*of kind"):
        merge(record, {**TIES, "id": id_of(2), "amends": id_of(1)})
    with pytest.raises(Refused, match=r"Line 2: .*of kind"):
        merge(
            record,
            {"id": id_of(2), "kind": "ties", "at": AT, "amends": id_of(1), "withdrawn": True, "reason": "x"},
        )


def test_unknown_kinds_and_fields_are_kept_and_counted(record: StoredRecord) -> None:
    found = merge(
        record,
        {"kind": "cough_assist", "at": AT, "details": {"sets": [{"n": 1}]}},
        {**SUCTION, "details": {"amount": "small", "posture": "sitting", "who": None}},
    )
    assert found == Merged(2, 0, 1, 2)
    assert {"sets": [{"n": 1}]} in [each.details for each in record.everything()]


def test_the_heading_prints_the_name_that_a_person_entry_gives(record: StoredRecord) -> None:
    record.append([entry(1)])
    assert json.loads(next(StoredExchange().write(record, [], 0)))["person"] == {
        "id": PERSON.id,
        "name": PERSON.name,
    }
    record.append([entry(2, "person", details={"name": "Odette Farrow-Lind"})])
    heading = next(StoredExchange().write(record, [], 0))
    assert json.loads(heading)["person"] == {"id": PERSON.id, "name": "Odette Farrow-Lind"}
    assert json.loads(heading)["written_at"] == "1970-01-01T00:00:00+00:00"


def test_a_cancelled_import_adds_nothing(record: StoredRecord, path: Path) -> None:
    asked = itertools.count()
    lines = file(*(with_id(n) for n in range(1, 5000)))
    with pytest.raises(Refused, match="stopped"):
        StoredExchange().merge(lines, record, is_cancelled=lambda: next(asked) > 7)
    assert next(asked) > 7, "while it was added"
    assert not path.exists()
    heard: list[int] = []
    StoredExchange().merge(lines, record, progress=heard.append, is_cancelled=lambda: False)
    assert heard[:5] == [1000, 2000, 3000, 4000, 4999]
    assert heard == sorted(heard)
    assert record.count() == 4999


def test_a_file_that_is_refused_near_its_end_leaves_a_record_as_it_was(
    record: StoredRecord, path: Path
) -> None:
    record.append([entry(1)])
    before = path.read_bytes()
    with pytest.raises(Refused, match=r"Line 5001: .*of kind"):
        merge(record, *(with_id(n) for n in range(2, 5001)), {**TIES, "id": id_of(6000), "amends": id_of(9)})
    assert path.read_bytes() == before
    assert record.check() == []


def test_what_was_judged_and_added_is_looked_up_in_the_record_and_not_kept_in_memory(
    record: StoredRecord,
) -> None:
    def judge(connection: Any) -> None:
        fit = fit_of(connection)
        for first in range(1, 100, 10):
            rows = [row_of(entry(n)) for n in range(first, first + 10)]
            assert all(fit.are_new(rows))
            record.add(connection, rows)
            assert not any(fit.are_new(rows))
            assert len(fit._here) == len(rows)

    record.append([entry(1000)])
    record.write(judge)
    assert record.count() == 101


def test_what_comes_in_between_check_and_writing_is_judged_too(
    record: StoredRecord, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record.append([entry(1)])
    other = opened(path, THERE)
    write = record.write

    def meanwhile(job: Any) -> Any:
        other.append([entry(2), entry(3, note="other")])
        return write(job)

    lines = written(record, [entry(2), entry(3)])
    monkeypatch.setattr(record, "write", meanwhile)
    with pytest.raises(Refused, match=r"Line 3: .*other content"):
        StoredExchange().merge([raw(HEADING), *lines], record)
    assert numbers(record.everything()) == [1, 2, 3]
    other.close()


def test_three_computers_in_every_order_hold_the_same(tmp_path: Path) -> None:
    parts: list[list[Entry]] = [
        [entry(1), change(11, 1)],
        [entry(1), change(12, 1), entry(2)],
        [entry(3, "ties", details={"action": "checked"}), change(13, 11)],
    ]
    files = []
    for number, part in enumerate(parts):
        one = open_record(tmp_path / f"{number}.carelog", installation=f"i{number}", create=PERSON)
        one.append(part)
        files.append([raw(HEADING), *written(one)])
        one.close()
    outcomes = []
    for number, order in enumerate(itertools.permutations(files)):
        record = open_record(tmp_path / f"all-{number}.carelog", installation=HERE, create=PERSON)
        for each in (*order, *order):
            StoredExchange().merge(each, record)
        outcomes.append(b"".join(written(record)))
        assert record.check() == []
        record.close()
    assert len(set(outcomes)) == 1
    assert len(outcomes[0].splitlines()) == 6
    assert [json.loads(line)["id"] for line in outcomes[0].splitlines()] == [
        id_of(n) for n in (1, 2, 3, 11, 12, 13)
    ]
