"""The timeline: piece by piece, filtered, changed, struck out, rivals kept."""

import time
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QWidget

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Instant
from carelog.ui.timeline.model import TimelineModel, shortened
from carelog.ui.timeline.page import Timeline
from carelog.ui.timeline.reader import Place, read_piece
from carelog.ui.timeline.rows import TimelineRow, Wanted, group
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, ZONE, Memory, household

HOME = Home(ZONE)
QUIET = None


def suction(number: int, at: Instant, **given: object) -> Entry:
    """A suction, recorded a minute after."""
    made = Entry(
        f"60000000-0000-7000-8000-{number:012x}",
        "suction",
        HOME.moment(at),
        at + MINUTE,
        ZONE,
        "LR",
        {"colour": "white"},
    )
    return replace(made, **given)  # type: ignore[arg-type]


def all_rows(record: Memory, wanted: Wanted = Wanted()) -> list[TimelineRow]:  # noqa: B008
    place, rows = Place(), []
    while not place.is_done:
        rows += read_piece(record, place, NOW, wanted, HOME, QUIET)
    return rows


@given(st.lists(st.integers(-20 * 365 * 24, 400), max_size=60, unique=True))
def test_every_entry_has_one_row_whatever_the_gaps_between_them(hours: list[int]) -> None:
    record = Memory(entries=[suction(n, NOW + hour * HOUR) for n, hour in enumerate(hours)])
    rows = all_rows(record)
    assert sorted(row.root for row in rows) == sorted(entry.id for entry in record.entries)


def test_rows_come_newest_first_and_the_first_piece_reads_no_more_than_it_needs() -> None:
    record = Memory(entries=[suction(n, NOW - n * HOUR) for n in range(3000)])
    asked: list[Instant] = []
    record.period = lambda start, end: asked.append(start) or Memory.period(record, start, end)  # type: ignore[method-assign, func-returns-value]
    rows = read_piece(record, Place(), NOW, Wanted(), HOME, QUIET)
    assert [row.time for row in rows] == sorted((row.time for row in rows), reverse=True)
    assert len(rows) < 400
    assert min(asked) > NOW - 10 * DAY_24_H


def test_a_moved_entry_and_one_of_doubtful_time_stand_once() -> None:
    first = suction(1, NOW - 30 * DAY_24_H)
    moved = replace(
        first,
        id="60000000-0000-7000-8000-0000000000aa",
        at=HOME.moment(NOW - HOUR),
        amends=first.id,
        reason="wrong day",
    )
    ahead = replace(suction(2, NOW - 2 * DAY_24_H), at=HOME.moment(NOW + 900 * DAY_24_H))
    rows = all_rows(Memory(entries=[first, moved, ahead]))
    assert sorted(row.root for row in rows) == [first.id, ahead.id]
    assert "doubtful" in next(row.marks for row in rows if row.root == ahead.id)


def test_filters_by_kind_and_words_leave_out_the_rest() -> None:
    record = household()
    kinds = all_rows(record, Wanted(frozenset({"cuff_pressure"})))
    assert {row.kind for row in kinds} == {"cuff_pressure"}
    words = all_rows(record, Wanted(words="34 cmh2o"))
    assert [row.kind for row in words] == ["cuff_pressure"]


def test_a_night_is_one_group_by_the_date_of_its_morning() -> None:
    from datetime import date
    from datetime import time as clock

    quiet = (clock(23), clock(6))
    evening, morning, day = (
        HOME.at(date(2026, 11, day), clock(hour)) for day, hour in ((25, 23), (26, 3), (26, 9))
    )
    assert group(HOME, evening, quiet) == group(HOME, morning, quiet) == (date(2026, 11, 26), True)
    assert group(HOME, day, quiet) == (date(2026, 11, 26), False)


def timeline(opened: Opened) -> Timeline:
    """The page of days, open."""
    page = opened.shown()
    assert isinstance(page, Timeline)
    return page


def test_new_rows_are_inserted_never_reset(opened: Opened) -> None:
    opened.press("go_timeline")
    model = timeline(opened).model
    opened.wait(lambda: model.rowCount() > 0)
    resets: list[int] = []
    model.modelReset.connect(lambda: resets.append(1))
    before = model.rowCount()
    opened.press("go_board")
    opened.press("tile_suction")
    opened.wait(lambda: model.rowCount() == before + 1)
    assert resets == []
    assert [model.row(n).title for n in range(2)] == [
        "Night to Thursday 26\N{NO-BREAK SPACE}November 2026",
        "Suction",
    ]


def test_a_row_opens_the_entry_which_can_be_struck_out_only_with_a_reason(opened: Opened) -> None:
    opened.press("go_timeline")
    page = timeline(opened)
    opened.wait(lambda: page.model.rowCount() > 3)
    page._open(1)
    opened.wait(lambda: page.findChild(QWidget, "withdraw") is not None)
    opened.press("withdraw")
    assert not any(entry.withdrawn for entry in opened.record.entries)
    opened.find("reason").setText("written twice")
    opened.press("withdraw")
    opened.wait(lambda: any(entry.withdrawn for entry in opened.record.entries))
    struck = next(entry for entry in opened.record.entries if entry.withdrawn)
    assert (struck.reason, struck.kind) == ("written twice", "suction")
    opened.wait(lambda: page.model.row(1).is_struck)
    assert "written twice" in page.model.row(1).marks


def test_what_was_struck_out_can_be_given_back(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    entry = opened.written("suction")[-1]
    opened.press("undo")
    opened.wait(lambda: "undone" in opened.receipt())
    opened.rest.ways.open_entry(entry.id)
    opened.wait(lambda: bool(opened.window.findChildren(QWidget, "give_back")))
    opened.press("give_back")
    opened.wait(lambda: Reading(opened.record.entries).get(entry.id) is not None)


def test_rivals_are_shown_and_one_press_keeps_one(opener: Opener) -> None:
    record = household()
    first = suction(1, NOW - HOUR)
    sides = [
        replace(
            first,
            id=f"60000000-0000-7000-8000-0000000000b{n}",
            details={"colour": colour},
            amends=first.id,
            reason="seen again",
            recorded_at=NOW - 30 * MINUTE + n,
            by=by,
        )
        for n, (colour, by) in enumerate((("yellow", "MO"), ("cream", "LR")))
    ]
    record.entries += [first, *sides]
    opened = opener(record)
    opened.rest.ways.open_entry(first.id)
    opened.wait(lambda: bool(opened.window.findChildren(QWidget, "keep_1")))
    held = Reading(record.entries).get(first.id)
    assert held is not None
    assert len(held.rivals) == 2
    opened.press("keep_1")
    opened.wait(lambda: len(opened.record.entries[-1].reason) > 0 and opened.record.entries[-1].withdrawn)
    kept = Reading(record.entries).get(first.id)
    assert kept is not None
    assert kept.rivals == ()
    assert kept.entry.id == held.rivals[1].id


@pytest.mark.parametrize("count", [1, 3, 600])
def test_what_an_import_or_another_process_brought_is_shown_without_asking(
    opened: Opened, count: int
) -> None:
    opened.press("go_timeline")
    model = timeline(opened).model
    opened.wait(lambda: model.rowCount() > 0)
    brought = [suction(number, NOW - number * MINUTE) for number in range(1, count + 1)]
    opened.record.entries += brought
    opened.window.desk.present.read_anew()
    wanted = {each.id for each in brought[:3]}
    opened.wait(lambda: wanted <= {model.row(n).root for n in range(min(12, model.rowCount()))})


def test_long_texts_are_shortened_in_the_row_only() -> None:
    assert shortened("short", 20) == "short"
    assert shortened("one two three", 8) == "one two…"


@pytest.mark.parametrize("count", [250, 100_000])
def test_a_model_of_many_rows_gives_the_first_without_touching_the_rest(count: int) -> None:
    model = TimelineModel(lambda: None)
    rows = [
        TimelineRow(time=-n, root=str(n), title="Suction", group=group(HOME, NOW, None)) for n in range(count)
    ]
    model.append(rows, is_done=True)
    start = time.perf_counter()
    model.put(TimelineRow(time=1, root="new", title="Suction", group=group(HOME, NOW, None)))
    assert model.row(1).root == "new"
    assert model.rowCount() == count + 2
    assert time.perf_counter() - start < 5


def test_a_reading_outside_the_plans_limits_is_marked_with_the_limit_of_its_moment() -> None:
    limits = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
    plan = replace(
        suction(1, NOW - 40 * DAY_24_H), kind="plan", details={"set_by": "a nurse", "limits": limits}
    )
    read = {"value": 38, "unit": "cmH2O"}
    high = replace(suction(2, NOW - HOUR), kind="cuff_pressure", details=read)
    before = replace(suction(3, NOW - 41 * DAY_24_H), kind="cuff_pressure", details=read)
    rows = {row.root: row for row in all_rows(Memory(entries=[plan, high, before]))}
    assert rows[high.id].marks.replace("\N{NO-BREAK SPACE}", " ") == "above 30 cmH2O"
    assert rows[before.id].marks == ""
