"""A part of a long record answers like the whole."""

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.kit import kit
from carelog.analysis.rules.table import ROWS
from carelog.app import history as module
from carelog.app.demo import demo_entries
from carelog.app.history import history
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, HOUR, Moment
from carelog.store.record import StoredRecord
from tests.app.books import START, Desk, desk_in

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
WEEK = 7 * DAY_24_H
# Two rules have a statistical half, which looks further back than these tests let it.
WRITTEN = {rule.name for rule, _ in ROWS} - {"cuff_leak", "inner_tube_blocking"}


@pytest.fixture(autouse=True)
def _a_short_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look back three weeks, and at four of each kind, so that a small record is a long one."""
    monkeypatch.setattr(module, "SHORT", 0)
    monkeypatch.setattr(module, "WEEKS", 21 * DAY_24_H)
    monkeypatch.setattr(module, "NEWEST", 4)


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory) -> Iterator[StoredRecord]:
    desk = desk_in(tmp_path_factory.mktemp("demo"))
    desk.record.append(demo_entries(NOW))
    yield desk.record
    desk.record.close()


def written(entries: list[Entry], start: int, end: int) -> list[Flag]:
    """The flags by the rules on what was written."""
    return [flag for flag in flags(entries, start, end) if flag.rule in WRITTEN]


@pytest.mark.parametrize("back", [0, WEEK, 2 * WEEK, 3 * WEEK])
def test_a_week_of_a_long_record_has_the_same_flags_and_kit(back: int, household: StoredRecord) -> None:
    start, end = NOW - back - WEEK, NOW - back
    part, whole = history(household, start, end), household.everything()
    assert len(part) < len(whole) * 2 / 3
    assert written(part, start, end) == written(whole, start, end)
    assert kit(Reading(part, end), end).json() == kit(Reading(whole, end), end).json()


def test_a_short_record_is_read_whole(household: StoredRecord, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "SHORT", 100_000)
    assert history(household, NOW) == household.everything()


KINDS: list[tuple[str, dict[str, object]]] = [
    ("suction", {"blood": "fresh"}),
    ("suction", {"catheter_passed": "tight"}),
    ("suction", {"vacuum": 30, "vacuum_unit": "kPa"}),
    ("suction", {}),
    ("cuff_pressure", {"value": 40, "unit": "cmH2O"}),
    ("cuff_state", {"state": "down"}),
    ("valve", {"action": "on"}),
    ("stoma", {"skin": "broken"}),
    ("stoma", {"crackling": True}),
    ("inner_tube", {"outcome": "stuck"}),
    ("inner_tube", {"outcome": "cleaned"}),
    ("observations", {"spo2_percent": 85}),
    ("observations", {"temperature_c": 38.5}),
    ("equipment_check", {"device": "nebuliser", "works": False}),
    ("equipment_check", {"device": "suction_machine", "works": True, "next_service": "2026-12-24"}),
    ("box_check", {"missing": ["gel"]}),
    ("stock", {"item": "suction catheter 10 Fr", "count": 20}),
    ("suction", {"catheter_fr": 10, "passes": 2}),
    ("incident", {"what": "breathing"}),
    ("seen", {"rule": "blood", "told": "the team"}),
    ("mouth_care", {}),
]
PLAN = {
    "set_by": "a nurse",
    "tasks": [{"kind": "mouth_care", "every_h": 24}],
    "limits": {
        "cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"},
        "spo2_percent": {"low": 92},
        "vacuum": {"high": 20, "unit": "kPa"},
    },
}


@settings(max_examples=30)
@given(st.lists(st.tuples(st.sampled_from(KINDS), st.integers(1, 200)), min_size=5, max_size=40))
def test_whatever_was_written_long_ago_still_counts(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[tuple[str, dict[str, object]], int]]
) -> None:
    desk = desk_in(tmp_path_factory.mktemp("long"))
    desk.record.append(_entries(desk, steps))
    end = desk.clock.instant + HOUR
    start = end - WEEK
    part = history(desk.record, start, end)
    assert written(part, start, end) == written(desk.record.everything(), start, end)
    desk.record.close()


def _entries(desk: Desk, steps: list[tuple[tuple[str, dict[str, object]], int]]) -> list[Entry]:
    desk.clock.instant = START
    found = [desk.book.draft("plan", PLAN, "AB")]
    found.append(desk.book.draft("tube_change", {"id_mm": 8, "cuff": "air", "inner_tube": "none"}, "AB"))
    for (kind, details), hours in steps:
        desk.clock.instant += hours * HOUR
        found.append(desk.book.draft(kind, details, "AB"))
    return found
