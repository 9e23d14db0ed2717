"""Seeks that keep a long record cheap: before an instant, by what is said, by when it was written."""

from random import Random
from typing import Any

import pytest

from carelog.domain.entry import Entry, details_text
from carelog.domain.moment import DAY_24_H, MINUTE, Moment
from carelog.domain.record import Saying
from carelog.domain.turn import asking
from carelog.store import queries, search
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
    assert record.saying("suction", "blood", []) == []
    assert numbers(record.saying("suction", "frothy", [True])) == [3]
    assert numbers(record.saying("suction", "passes", [2])) == [4]
    assert numbers(record.saying("suction", "frothy", count=1)) == [4]
    assert numbers(record.saying("suction", "frothy", before=START + 4 * MINUTE)) == [3]
    assert record.saying("suction", "fluid") == []
    assert record.saying("suction", 'a"b') == []


TOLD: list[dict[str, Any]] = [
    {"blood": "fresh"},
    {"blood": "none", "passes": 2},
    {"frothy": True, "name": "one"},
    {"frothy": 1, "name": "other"},
    {"passes": 3.0, "name": 'one "frothy": true'},
    {"passes": None, "name": "\n"},
    {"smell": "süß", "inner": {"blood": "fresh"}},
    {},
]
SAYINGS = [
    Saying("suction", "blood", ("fresh",)),
    Saying("suction", "blood", count=3),
    Saying("suction", "passes", (2, 3), 9),
    Saying("suction", "passes"),
    Saying("suction", "frothy", (True,), 1),
    Saying("suction", "frothy", (1,), before=START + 25 * MINUTE),
    Saying("suction", count=5),
    Saying("ties", count=2, before=START + 9 * MINUTE),
    Saying("ties", "smell", ("süß",), 4),
    Saying("ties", "name", count=2, each=("name",)),
    Saying("ties", count=1, before=START + 30 * MINUTE, each=("name", "frothy")),
    Saying("ties", "blood", count=0),
    Saying("tie", "blood"),
    Saying("suction", "odd"),
    Saying("suction", "passes", ()),
]


def plainly(record: StoredRecord, sought: Saying) -> list[int]:
    """The numbers of what a saying finds, looked for entry by entry, and of the rest of their chains."""

    def is_it(entry: Entry) -> bool:
        if entry.kind != sought.kind or entry.at.instant >= sought.before:
            return False
        said = entry.details.get(sought.field)
        same = [
            said == value and isinstance(said, bool) is isinstance(value, bool)
            for value in sought.values or ()
        ]
        return not sought.field or (sought.field in entry.details and (sought.values is None or any(same)))

    found: dict[str, list[str]] = {}
    places = {each.id: place for place, each in record.arrived(0)}
    for each in sorted(record.everything(), key=lambda each: (-each.at.instant, -places[each.id])):
        if is_it(each):
            thing = [each.details.get(name) for name in sought.each]
            found.setdefault(details_text(thing), []).append(each.id)
    return numbers(record.chain([each for ids in found.values() for each in ids[: sought.count]]))


@pytest.mark.parametrize("size", [4, 1000])
def test_several_are_looked_for_in_one_pass_as_each_is_by_itself(
    record: StoredRecord, size: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("FIRST_SLICE", "SLICE", "REMEMBERED"):
        monkeypatch.setattr(search, name, min(size, getattr(search, name)))
    monkeypatch.setattr(queries, "AT_ONCE", size)
    random = Random(11)
    some = [
        entry(
            number,
            random.choice(["suction", "suction", "ties"]),
            at=Moment(START + random.randrange(40) * MINUTE),
            details=random.choice(TOLD),
        )
        for number in range(200)
    ]
    first = next(each for each in some if each.kind == "suction")
    amended = change(500, of=numbers([first])[0], at=first.at, details={"blood": "fresh"})
    record.append([*some, amended, entry(501, kind="tied")])
    expected = [plainly(record, each) for each in SAYINGS]
    assert [numbers(each) for each in record.sayings(SAYINGS)] == expected
    assert [numbers(record.sayings([each])[0]) for each in SAYINGS] == expected
    assert [bool(each) for each in expected] == [True] * 11 + [False] * 4
    assert record.sayings([]) == []


def test_one_pass_lets_go_of_the_file_again_and_again(
    record: StoredRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queries, "AT_ONCE", 10)
    record.append([entry(number) for number in range(100)])
    asked = list[int]()
    with asking(lambda: asked.append(1)):
        (found, none) = record.sayings([Saying("suction"), Saying("ties")])
    assert (len(found), none) == (100, [])
    assert len(asked) > 10  # each before a reading of its own, at which others may have saved


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
