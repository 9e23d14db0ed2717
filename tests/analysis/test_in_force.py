"""Which entries are in force."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.in_force import Reading, is_completion
from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE, Moment
from tests.analysis.chains import BEGIN, IDS, Naive, tangles
from tests.loading import expected, load

FOUR_WEEKS = expected("four-weeks.expected.json")
FACTS = FOUR_WEEKS["facts"]


def entry(number: int, minute: int = 0, **more: object) -> Entry:
    known = BEGIN + minute * MINUTE
    fields = {"kind": "suction", "at": Moment(BEGIN), "recorded_at": known, **more}
    return Entry(id=IDS[number], **fields)  # type: ignore[arg-type]


@given(entries=tangles(), minute=st.none() | st.integers(0, 600))
def test_the_reading_is_the_one_the_rules_word(entries: list[Entry], minute: int | None) -> None:
    known_by = None if minute is None else BEGIN + minute * MINUTE
    reading = Reading(entries, known_by)
    assert {held.entry.id for held in reading.held} == Naive(entries, known_by).in_force()


@given(entries=tangles(), data=st.data())
def test_any_order_of_arrival_gives_the_same_reading(entries: list[Entry], data: st.DataObject) -> None:
    other = data.draw(st.permutations(entries))
    assert Reading(entries).held == Reading(other).held
    assert Reading(entries).withdrawn == Reading(other).withdrawn


@given(entries=tangles())
def test_of_one_chain_never_more_than_one_entry_is_in_force(entries: list[Entry]) -> None:
    reading = Reading(entries)
    roots = Counter(held.first.id for held in reading.held)
    roots.update(struck.first.id for struck in reading.withdrawn)
    assert set(roots.values()) <= {1}
    assert set(roots) == {e.id for e in entries if e.amends is None}


@given(entries=tangles())
def test_held_entries_come_in_the_order_of_time_then_known_then_id(entries: list[Entry]) -> None:
    keys = [(held.time, held.known, held.entry.id) for held in Reading(entries).held]
    assert keys == sorted(keys)


def test_a_withdrawn_change_gives_its_target_back() -> None:
    chain = [entry(0), entry(1, 5, amends=IDS[0]), entry(2, 9, amends=IDS[1], reason="no", withdrawn=True)]
    reading = Reading(chain)
    assert [held.entry.id for held in reading.held] == [IDS[0]]


def test_an_amended_withdrawal_counts_as_the_amendment() -> None:
    chain = [
        entry(0),
        entry(1, 5, amends=IDS[0], reason="no", withdrawn=True),
        entry(2, 9, amends=IDS[1], details={"amount": "small"}),
    ]
    assert [held.entry.id for held in Reading(chain).held] == [IDS[2]]


def test_a_long_chain_is_read_without_running_out_of_depth() -> None:
    ids = [f"00000000-0000-4000-8000-{n:012}" for n in range(5000)]
    chain = [
        Entry(id=i, kind="note", at=Moment(BEGIN), recorded_at=BEGIN + n, amends=ids[n - 1] if n else None)
        for n, i in enumerate(ids)
    ]
    assert [held.entry.id for held in Reading(reversed(chain)).held] == [ids[-1]]


def test_a_time_is_doubtful_from_more_than_15_minutes_after_it_was_known() -> None:
    just, over = (Moment(BEGIN + 15 * MINUTE), Moment(BEGIN + 15 * MINUTE + 1))
    reading = Reading([entry(0, at=just), entry(1, at=over)])
    held = {each.entry.id: each for each in reading.held}
    assert (held[IDS[0]].doubtful, held[IDS[0]].time) == (False, just.instant)
    assert (held[IDS[1]].doubtful, held[IDS[1]].time) == (True, BEGIN)


@pytest.mark.parametrize(
    ("minute", "more", "completes"),
    [
        (2, {"details": {"amount": "small", "colour": "white"}}, True),
        (2, {"details": {"amount": "large"}}, False),
        (2, {"details": {}}, False),
        (2, {"details": {"amount": "small"}, "note": "added"}, True),
        (10, {"details": {"amount": "small"}, "at": Moment(BEGIN - MINUTE), "by": "LR"}, True),
        (11, {"details": {"amount": "small"}, "at": Moment(BEGIN - MINUTE)}, False),
        (11, {"details": {"amount": "small"}, "by": "LR"}, False),
        (90, {"details": {"amount": "small", "colour": "white"}}, True),
    ],
)
def test_a_completion_only_adds_what_nobody_had_given(
    minute: int, more: dict[str, object], completes: bool
) -> None:
    first = entry(0, details={"amount": "small"})
    change = entry(1, minute, amends=IDS[0], **more)
    assert is_completion(first, change) is completes
    (held,) = Reading([first, change]).held
    assert (held.completed, held.corrected) == (completes, not completes)


def test_four_weeks_have_the_entries_in_force_that_must_be_found() -> None:
    entries = load("four-weeks.jsonl")
    reading = Reading(entries)
    assert len(entries) == FOUR_WEEKS["entries_in_file"]
    assert len(reading.held) == FOUR_WEEKS["entries_in_force"]
    week = set(FOUR_WEEKS["counts_in_force"]["suction"])
    counts: dict[str, Counter[str]] = {}
    for held in reading.held:
        day = str(reading.home.day(held.entry.at.instant))
        if day in week:
            counts.setdefault(held.entry.kind, Counter())[day] += 1
    assert counts == FOUR_WEEKS["counts_in_force"]


def test_four_weeks_have_the_chains_that_must_be_found() -> None:
    entries = load("four-weeks.jsonl")
    reading = Reading(entries)
    rivals = reading.get(FACTS["rivals"]["original"])
    assert rivals is not None
    assert [e.id for e in rivals.rivals] == [FACTS["rivals"]["counts"], FACTS["rivals"]["other"]]
    assert rivals.entry.id == FACTS["rivals"]["counts"]
    full = reading.get(FACTS["completion"]["first"])
    assert full is not None
    assert (full.entry.id, full.completed, full.corrected) == (FACTS["completion"]["full"], True, False)
    late = reading.get(FACTS["late_entry"])
    assert late is not None
    assert late.written_late
    assert reading.get(FACTS["withdrawn"]) is None
    assert FACTS["withdrawn"] in {struck.first.id for struck in reading.withdrawn}


def test_an_undone_entry_that_was_done_again_counts_except_in_between() -> None:
    entries, redo = load("four-weeks.jsonl"), FACTS["redo"]
    struck, back = Moment.read(redo["struck_from"]).instant, Moment.read(redo["counts_again_from"]).instant
    for moment, counts in ((struck - 1, True), (struck, False), (back - 1, False), (back, True)):
        assert (Reading(entries, moment).get(redo["entry"]) is not None) is counts
