"""When a task can be, and from when it is asked for: stays, the cuff, tubes, plans that change."""

from typing import Any

import pytest

from carelog.analysis.cuff import cuff_is_up, is_known_up, put_up
from carelog.analysis.due import dues
from carelog.analysis.plans import in_place, plan_at, plans
from carelog.analysis.tube import tube_in_place
from carelog.domain.due import DueState
from carelog.domain.plan import Plan
from tests.analysis.notebook import TUBE, Notebook, at

PRESSURE = {"kind": "cuff_pressure", "every_h": 12}
CARE = {"kind": "mouth_care", "every_h": 8}


def book_with(*tasks: dict[str, Any], tube: dict[str, Any] | None = None) -> Notebook:
    book = Notebook()
    if tube is not None:
        book.write("1 00:00", "tube_change", **tube)
    book.plan("1 00:00", *tasks)
    return book


SAYS = [
    ("cuff_state", {"state": "down"}, False),
    ("cuff_state", {"state": "up", "voice_heard": True}, True),
    ("valve", {"action": "on", "cuff_down": True}, False),
    ("valve", {"action": "on", "cuff_down": False}, True),
    ("valve", {"action": "on"}, None),
    ("cuff_pressure", {"value": 5, "unit": "cmH2O"}, True),
    ("cuff_pressure", {"value": 4.9, "unit": "cmH2O"}, None),
    ("cuff_pressure", {"value": 3.3, "unit": "mmHg"}, None),
    ("cuff_pressure", {"value": 3.4, "unit": "mmHg"}, True),
    ("cuff_pressure", {"value": 0.4, "unit": "kPa"}, None),
    ("cuff_pressure", {"value": 0.5, "unit": "kPa"}, True),
    ("cuff_pressure", {"value": 30, "unit": "cmH2O", "value_after": 0}, False),
    ("cuff_pressure", {"value": 30, "unit": "cmH2O", "value_after": 4}, None),
    ("cuff_pressure", {"value": 0, "unit": "cmH2O"}, None),
    ("cuff_pressure", {"value": 0, "unit": "cmH2O", "value_after": 25}, True),
]


@pytest.mark.parametrize(("kind", "details", "says"), SAYS)
def test_what_each_entry_says_of_the_cuff(kind: str, details: dict[str, Any], says: bool | None) -> None:
    book = book_with(tube=TUBE)
    book.write("3 08:00", kind, **details)
    assert is_known_up(book.read()) is says
    opposite = book.write("3 07:00", "cuff_state", state="down" if says is not False else "up")
    assert is_known_up(book.read()) is (says if says is not None else opposite.details["state"] == "up")


def test_an_air_cuff_of_which_nothing_was_said_counts_as_up_and_so_it_does_with_no_tube() -> None:
    assert cuff_is_up(Notebook().read()) is True
    book = book_with(tube=TUBE)
    assert (cuff_is_up(book.read()), is_known_up(book.read())) == (True, None)
    book.write("2 08:00", "cuff_state", state="down")
    assert cuff_is_up(book.read()) is False
    book.write("3 08:00", "tube_change", **TUBE)
    assert (cuff_is_up(book.read()), is_known_up(book.read())) == (True, None)


def test_a_tube_without_a_cuff_has_none_up() -> None:
    assert cuff_is_up(book_with(tube={**TUBE, "cuff": "none"}).read()) is False


def test_a_failed_tube_change_changes_nothing_in_place() -> None:
    book = book_with(tube=TUBE)
    book.write("2 08:00", "cuff_state", state="down")
    book.write("3 08:00", "tube_change", **{**TUBE, "id_mm": 7, "ease": "failed"})
    tube = tube_in_place(book.read())
    assert tube is not None
    assert tube.entry.details["id_mm"] == 8
    assert cuff_is_up(book.read()) is False


def test_a_tube_change_written_down_late_does_not_become_the_tube_in_place() -> None:
    book = book_with(tube={**TUBE, "id_mm": 7})
    book.write("5 08:00", "tube_change", **TUBE)
    book.write("2 08:00", "tube_change", known="6 08:00", **{**TUBE, "id_mm": 9})
    tube = tube_in_place(book.read())
    assert tube is not None
    assert tube.entry.details["id_mm"] == 8


def test_a_tube_of_doubtful_time_is_in_place_from_when_it_was_known() -> None:
    book = book_with(tube=TUBE)
    book.write("9 08:00", "tube_change", known="3 08:00", **{**TUBE, "id_mm": 7})
    book.write("4 08:00", "tube_change", **{**TUBE, "id_mm": 6})
    tube = tube_in_place(book.read())
    assert tube is not None
    assert tube.entry.details["id_mm"] == 6
    earlier = tube_in_place(book.read(), at("3 12:00"))
    assert earlier is not None
    assert earlier.entry.details["id_mm"] == 7


@pytest.mark.parametrize(
    ("tube", "asked"),
    [
        (None, True),
        (TUBE, True),
        ({**TUBE, "cuff": "none"}, False),
        ({**TUBE, "cuff": "water"}, False),
        ({**TUBE, "cuff": "foam"}, False),
    ],
)
def test_a_cuff_pressure_is_asked_for_only_with_an_air_cuff(tube: dict[str, Any] | None, asked: bool) -> None:
    found = dues(book_with(PRESSURE, CARE, tube=tube).read(), at("1 06:00"))
    assert {due.kind for due in found} == {"mouth_care"} | ({"cuff_pressure"} if asked else set())


def test_a_cuff_put_up_moves_the_start_of_its_pressure_task_and_of_no_other() -> None:
    book = book_with(PRESSURE, CARE, tube=TUBE)
    book.write("2 08:00", "cuff_pressure", value=25, unit="cmH2O")
    book.write("2 08:00", "mouth_care")
    book.write("2 09:00", "valve", action="on", cuff_down=True)
    assert [due.kind for due in dues(book.read(), at("2 12:00"))] == ["mouth_care"]
    book.write("3 09:00", "cuff_state", state="up")
    care, pressure = dues(book.read(), at("3 09:30"))
    assert (care.kind, care.state) == ("mouth_care", DueState.LATE)
    assert (pressure.due_at, pressure.late_at, pressure.state) == (
        at("2 20:00"),
        at("3 10:00"),
        DueState.DUE,
    )


def test_saying_up_again_is_no_cuff_put_up() -> None:
    book = book_with(tube=TUBE)
    book.write("2 08:00", "cuff_state", state="down")
    book.write("2 09:00", "cuff_state", state="up")
    book.write("2 10:00", "cuff_pressure", value=25, unit="cmH2O")
    book.write("2 11:00", "cuff_state", state="up")
    assert put_up(book.read()) == at("2 09:00")


@pytest.mark.parametrize(
    ("before", "put"),
    [
        (None, None),
        (TUBE, None),
        ({**TUBE, "cuff": "none"}, "3 08:00"),
        ({**TUBE, "cuff": "foam"}, "3 08:00"),
    ],
)
def test_a_new_air_cuff_is_put_up_when_the_tube_before_had_none(
    before: dict[str, Any] | None, put: str | None
) -> None:
    book = book_with(tube=before)
    book.write("3 08:00", "tube_change", **TUBE)
    assert put_up(book.read()) == (at(put) if put else None)


def test_a_new_tube_after_a_cuff_that_was_down_is_put_up() -> None:
    book = book_with(tube=TUBE)
    book.write("2 08:00", "cuff_state", state="down")
    book.write("3 08:00", "tube_change", **TUBE)
    assert put_up(book.read()) == at("3 08:00")


def test_nothing_is_asked_for_during_a_stay_and_its_end_moves_the_start() -> None:
    book = book_with(CARE)
    book.write("2 08:00", "stay", action="start", where="hospital")
    assert [due.kind for due in dues(book.read(), at("2 07:59"))] == ["mouth_care"]
    assert dues(book.read(), at("2 08:00")) == []
    book.write("5 08:00", "stay", action="end")
    (due,) = dues(book.read(), at("5 08:00"))
    assert (due.due_at, due.state) == (at("5 16:00"), DueState.LATER)
    assert due.last_at is None


def test_the_end_of_a_stay_that_had_not_begun_moves_nothing() -> None:
    book = book_with(CARE)
    book.write("1 04:00", "stay", action="end")
    assert dues(book.read(), at("1 05:00"))[0].due_at == at("1 08:00")
    book.write("1 03:00", "stay", action="start")
    assert dues(book.read(), at("1 05:00"))[0].due_at == at("1 12:00")
    book.write("1 04:30", "stay", action="end")
    assert dues(book.read(), at("1 05:00"))[0].due_at == at("1 12:00")


def test_slots_before_the_start_are_not_asked_for() -> None:
    book = book_with()
    book.plan("1 08:30", {"kind": "mouth_care", "times": ["08:00", "20:00"]})
    assert dues(book.read(), at("1 08:30"))[0].due_at == at("1 20:00")
    book.plan("1 08:00", {"kind": "mouth_care", "times": ["08:00", "20:00"]})
    assert dues(book.read(), at("1 08:30"))[0].due_at == at("1 08:00")


def test_nothing_needed_in_a_shift_is_no_doing() -> None:
    book = book_with(CARE)
    book.write("1 07:00", "shift", action="end", nothing_needed=["mouth_care"])
    assert dues(book.read(), at("1 08:00"))[0].last_at is None


@pytest.mark.parametrize(
    ("kind", "details", "does"),
    [
        ("inner_tube", {"outcome": "clear"}, True),
        ("inner_tube", {"outcome": "replaced"}, True),
        ("inner_tube", {"outcome": "stuck"}, False),
        ("tube_change", {**TUBE}, True),
        ("tube_change", {**TUBE, "ease": "hard"}, True),
        ("tube_change", {**TUBE, "ease": "failed"}, False),
        ("humidity", {"device": "hme", "action": "changed"}, True),
        ("humidity", {"device": "hme", "action": "given"}, True),
        ("humidity", {"device": "hme", "action": "started"}, True),
        ("humidity", {"device": "hme", "action": "stopped"}, False),
        ("equipment_check", {"device": "other", "works": False}, True),
        ("an_unknown_kind", {"x": 1}, True),
    ],
)
def test_what_counts_as_doing_a_task(kind: str, details: dict[str, Any], does: bool) -> None:
    book = book_with({"kind": kind, "every_h": 8})
    book.write("1 02:00", kind, **details)
    (due,) = dues(book.read(), at("1 03:00"))
    assert (due.last_at == at("1 02:00")) is does
    assert (due.last_by == "AB") is does


def test_where_takes_true_for_true_only() -> None:
    book = book_with({"kind": "an_unknown_kind", "where": {"deep": True}, "every_h": 8})
    book.write("1 02:00", "an_unknown_kind", deep=1)
    assert dues(book.read(), at("1 03:00"))[0].last_at is None
    book.write("1 02:00", "an_unknown_kind", deep=True, more=1)
    assert dues(book.read(), at("1 03:00"))[0].last_at == at("1 02:00")


def test_a_doing_of_doubtful_time_counts_from_when_it_was_known_and_one_struck_out_not_at_all() -> None:
    book = book_with(CARE)
    done = book.write("9 02:00", "mouth_care", known="1 02:00")
    assert dues(book.read(), at("1 03:00"))[0].due_at == at("1 10:00")
    book.withdraw(done, "1 03:00")
    assert dues(book.read(), at("1 03:00"))[0].last_at is None


def test_plans_stand_in_the_order_of_their_from_not_of_being_written() -> None:
    book = Notebook()
    first = book.plan("5 08:00", CARE)
    book.plan("6 08:00", **{"from": "2026-11-03T08:00:00+00:00"})
    reading = book.read()
    assert [plan.since for plan in plans(reading)] == [at("3 08:00"), at("5 08:00")]
    found = plan_at(reading, at("7 08:00"))
    assert found is not None
    assert found.entry == first.id
    assert plan_at(reading, at("3 07:59")) is None


def test_a_plan_written_with_the_same_from_later_is_the_newer() -> None:
    book = Notebook()
    book.plan("5 08:00", CARE)
    newer = book.plan("6 08:00", **{"from": "2026-11-05T08:00:00+00:00"})
    found = plan_at(book.read(), at("7 08:00"))
    assert found is not None
    assert found.entry == newer.id


def test_a_plan_to_come_asks_for_nothing_yet() -> None:
    book = Notebook()
    book.plan("5 08:00", CARE, **{"from": "2026-11-09T08:00:00+00:00"})
    assert dues(book.read(), at("9 07:59")) == []
    assert len(dues(book.read(), at("9 08:00"))) == 1


def test_another_plan_takes_the_place_of_those_in_force_from_a_moment_on() -> None:
    book = Notebook()
    book.plan("1 00:00", CARE)
    book.plan("3 00:00", {**CARE, "every_h": 6})
    book.plan("9 00:00", {**CARE, "every_h": 5})
    recorded = plans(book.read())
    details = {"set_by": "x", "tasks": [CARE]}
    same_from = Plan.of("", at("3 00:00"), details)
    assert in_place(recorded, same_from, at("5 00:00")) == [recorded[0], same_from]
    later = Plan.of("", at("4 00:00"), details)
    assert in_place(recorded, later, at("5 00:00")) == [*recorded[:2], later]
    still_to_come = Plan.of("", at("12 00:00"), details)
    assert in_place(recorded, still_to_come, at("5 00:00")) == [*recorded[:2], still_to_come]
    assert dues(book.read(), at("5 00:00"), same_from)[0].due_at == at("1 08:00")
    assert dues(book.read(), at("5 00:00"), later)[0].due_at == at("4 08:00")


def test_a_task_that_was_gone_in_between_starts_anew() -> None:
    book = Notebook()
    book.plan("1 00:00", CARE)
    book.plan("2 00:00", {"kind": "ties", "every_h": 8})
    book.plan("3 00:00", CARE)
    assert dues(book.read(), at("3 01:00"))[0].due_at == at("3 08:00")
