"""Seeks that keep a long record cheap: before an instant, by what is said, by when it was written."""

from random import Random

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, MINUTE, Moment
from carelog.domain.record import FAR, Saying
from carelog.store.record import StoredRecord
from tests.store.making import START, change, entry


def numbers(found: list[Entry]) -> list[int]:
    """The numbers that the entries were made with."""
    return [int(each.id[-12:], 16) for each in found]


def test_the_newest_before_an_instant(record: StoredRecord) -> None:
    record.append([entry(n) for n in range(1, 6)])
    assert numbers(record.newest("suction", 2, START + 4 * MINUTE)) == [2, 3]
    assert numbers(record.newest("suction", 2, START + 4 * MINUTE + 1)) == [3, 4]
    assert numbers(record.newest("suction", 2)) == [4, 5]


def test_entries_that_give_a_field_or_one_of_its_values(record: StoredRecord) -> None:
    record.append(
        [
            entry(1, details={"blood": "fresh"}),
            entry(2, details={"blood": "none"}),
            entry(3, details={"frothy": True}),
            entry(4, details={"frothy": False, "passes": 2}),
            entry(5, kind="stoma", details={"fluid": "blood"}),
            change(6, of=1, details={"blood": "streaks"}),
        ]
    )
    assert numbers(record.saying("suction", "blood", ["fresh", "streaks"])) == [1, 6]
    assert numbers(record.saying("suction", "blood")) == [1, 2, 6]
    assert numbers(record.saying("suction", "frothy", [True])) == [3]
    assert numbers(record.saying("suction", "passes", [2])) == [4]
    assert numbers(record.saying("suction", "frothy", count=1)) == [4]
    assert numbers(record.saying("suction", "frothy", before=START + 4 * MINUTE)) == [3]
    assert record.saying("suction", "fluid") == []
    assert record.saying("suction", 'a"b') == []


def test_several_are_looked_for_in_one_pass_as_each_is_by_itself(record: StoredRecord) -> None:
    random = Random(11)
    choices = [{"blood": "fresh"}, {"blood": "none", "passes": 2}, {"frothy": True}, {"passes": 3}, {}]
    at = [Moment(START + random.randrange(40) * MINUTE) for _ in range(120)]
    some = [entry(n, at=at[n], details=random.choice(choices)) for n in range(120)]
    record.append([*some, change(500, of=7, details={"blood": "fresh"}), entry(501, kind="ties")])
    sought = [
        Saying("blood", ("fresh",)),
        Saying("blood", count=3),
        Saying("passes", (2, 3), 9),
        Saying("frothy", (True,), 1),
        Saying("", count=5),
        Saying("frothy", count=0),
        Saying("smell"),
    ]
    for before in (START + 25 * MINUTE, FAR):
        alone = [
            record.saying("suction", each.field, each.values or None, each.count, before=before)
            for each in sought
        ]
        found = record.sayings("suction", sought, before)
        assert [numbers(each) for each in found] == [numbers(each) for each in alone]
        assert len(found[0]) > 9
    assert record.sayings("suction", [Saying("")], START) == [[]]
    assert record.sayings("suction", [], FAR) == []


def test_what_happened_or_was_recorded_lately_is_the_same_by_either_index(record: StoredRecord) -> None:
    days = [
        entry(n, at=Moment(START + n * DAY_24_H), recorded_at=START + n * DAY_24_H) for n in range(1, 200)
    ]
    late = entry(300, at=Moment(START + 5 * DAY_24_H), recorded_at=START + 195 * DAY_24_H)
    of_another_kind = entry(301, "ties", at=late.at, recorded_at=late.recorded_at)
    record.append([*days, late, of_another_kind])
    for day in (3, 100, 190, 194, 196):
        since, before = START + day * DAY_24_H, START + 198 * DAY_24_H
        found = set(numbers(record.saying("suction", "", since=since, before=before)))
        assert found == {*range(day, 198)} | ({300} if day <= 195 else set())
    assert numbers(
        record.saying("suction", "", since=START + 194 * DAY_24_H, before=START + 9 * DAY_24_H)
    ) == [300]


def test_entries_by_when_they_were_written(record: StoredRecord) -> None:
    late = entry(9, recorded_at=START + DAY_24_H)
    record.append([entry(1), entry(2), late, change(3, of=1)])
    assert numbers(record.written(START + DAY_24_H, START + 2 * DAY_24_H)) == [9]
    assert record.written(START + 9, START + 9) == []
    assert numbers(record.written(START + 3 * MINUTE, START + DAY_24_H)) == [1, 3]


def test_entries_that_say_they_are_still_to_come(record: StoredRecord) -> None:
    early = entry(9, at=Moment(START + 2 * DAY_24_H), recorded_at=START)
    record.append([entry(1), early, entry(2, recorded_at=START + 3 * DAY_24_H)])
    assert numbers(record.ahead(START + DAY_24_H)) == [9]
    assert record.ahead(START + 2 * DAY_24_H + 1) == []


def test_the_entry_that_somebody_wrote_last(record: StoredRecord) -> None:
    record.append([entry(1, by="AB"), entry(3, by="AB"), entry(5, by="CD")])
    last = record.last_written(by="AB")
    assert last is not None
    assert numbers([last]) == [3]
    assert record.last_written(by="EF") is None
    assert record.last_written(last.recorded_at, by="CD") is None


def test_the_entry_that_was_written_last(record: StoredRecord) -> None:
    assert record.last_written() is None
    record.append([entry(1), entry(5), entry(3)])
    last = record.last_written()
    assert last is not None
    assert numbers([last]) == [5]
