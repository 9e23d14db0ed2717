"""The quick choices that fit the moment: stuck, blood streaks, who did it, was it yesterday."""

import sys
import threading
from collections.abc import Sequence

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPushButton

from carelog.analysis import quick
from carelog.analysis.in_force import Held
from carelog.domain.entry import Entry
from carelog.domain.kind import Kind, Pick
from carelog.domain.moment import HOUR, MINUTE
from carelog.ui.button import ChoiceButton
from tests.ui.conftest import Opened, Painted


def test_stuck_and_blood_streaks_are_one_press_after_the_tile_and_nobody_is_asked_why(opened: Opened) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.press("tile_inner_tube")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("pick_outcome_stuck")
    opened.wait(lambda: "stuck" in opened.receipt())
    change = opened.written("inner_tube")[-1]
    assert change.details["outcome"] == "stuck"
    assert change.reason
    assert "cleaned" not in opened.receipt()
    opened.wait(lambda: "stuck_inner_tube" in [each.rule for each in opened.window.desk.present.flags or ()])
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    opened.press("pick_blood_streaks")
    opened.wait(lambda: "blood streaks" in opened.receipt())
    assert opened.written("suction")[-1].details == {"blood": "streaks"}
    assert opened.written("suction")[-1].reason == ""


def test_choices_are_worked_out_for_the_kind_that_is_pressed_alone(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked_out: list[str] = []
    real = quick.quick_picks

    def noted(kind: Kind, newest: Sequence[Held]) -> tuple[Pick, ...]:
        worked_out.append(kind.name)
        return real(kind, newest)

    monkeypatch.setattr(quick, "quick_picks", noted)
    opened.clock.instant += 5 * MINUTE
    opened.window.tick()
    opened.wait(lambda: opened.picture().now == opened.clock.instant)
    assert worked_out == []
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert opened.find("minutes_10")
    assert set(worked_out) == {"suction"}


def test_who_did_it_is_two_presses_and_who_records_stays(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("who_else")
    opened.press("by_MO")
    opened.wait(lambda: opened.receipt().endswith("MO"))
    assert opened.written("suction")[-1].by == "MO"
    assert opened.window.desk.recorder.who == "LR"
    assert opened.window.findChildren(QPushButton, "pick_blood_streaks")


def test_what_was_asked_for_yesterday_can_be_put_there_and_taken_back(opened: Opened) -> None:
    opened.clock.instant += 21 * HOUR
    opened.window.tick()
    asked = opened.clock.instant - 12 * MINUTE - 4 * HOUR
    opened.wait(lambda: any(due.due_at == asked for due in opened.picture().dues))
    opened.press("tile_mouth_care")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("yesterday")
    opened.wait(lambda: opened.written("mouth_care")[-1].at.instant == asked)
    assert opened.find("yesterday").words == "yesterday 20:00?"
    pressed = opened.written("mouth_care")[-2].at.instant
    opened.wait(lambda: opened.find("yesterday").isChecked())
    opened.pause()
    opened.press("yesterday")
    opened.wait(lambda: opened.written("mouth_care")[-1].at.instant == pressed)
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    assert opened.find("pick_consistency_thick")
    assert not opened.window.findChildren(QPushButton, "yesterday")


def test_a_time_that_is_pressed_again_is_taken_back(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("minutes_10")
    opened.wait(lambda: opened.written("suction")[-1].at.instant == opened.clock.instant - 10 * MINUTE)
    opened.wait(lambda: opened.find("minutes_10").isChecked())
    opened.pause()
    opened.press("minutes_10")
    opened.wait(lambda: opened.written("suction")[-1].at.instant == opened.clock.instant)


def test_a_change_by_its_form_asks_for_no_reason_within_ten_minutes_and_does_after(opened: Opened) -> None:
    opened.press("tile_inner_tube")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("more_details")
    opened.wait(lambda: opened.window.page() == "form")
    assert not [each for each in opened.window.findChildren(QLineEdit, "reason") if each.isVisible()]
    opened.press("pick_outcome_replaced")
    opened.clock.instant += 11 * MINUTE
    opened.press("save")
    opened.wait(lambda: opened.find("reason").isVisible())
    opened.find("reason").setText("misread")
    opened.press("save")
    opened.wait(lambda: opened.written("inner_tube")[-1].reason == "misread")


def test_a_choice_that_stays_is_of_the_entry_pressed_last_alone(opened: Opened) -> None:
    ties = [plate.name for plate in opened.window.board.placed].index("ties") + 1
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    before = opened.find("minutes_10", QPushButton)
    before.setFocus()
    before.click()
    opened.wait(lambda: "03:02" in opened.receipt() and before.isChecked())
    opened.window.press_tile(ties)
    opened.wait(lambda: "Ties" in opened.receipt() and "saved" in opened.receipt())
    assert opened.find("minutes_10") is before
    assert not before.isChecked()
    before.click()  # at once: it isn't the press of before
    opened.wait(lambda: opened.written("ties")[-1].at.instant == opened.clock.instant - 10 * MINUTE)


def test_a_choice_that_was_held_down_before_another_tile_was_pressed_does_nothing(opened: Opened) -> None:
    ties = [plate.name for plate in opened.window.board.placed].index("ties") + 1
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    choice = opened.find("minutes_10", QPushButton)
    choice.setFocus()
    QTest.mousePress(choice, Qt.MouseButton.LeftButton)
    assert choice.isDown()
    opened.window.press_tile(ties)
    opened.wait(lambda: "Ties" in opened.receipt() and "saved" in opened.receipt())
    QTest.mouseRelease(choice, Qt.MouseButton.LeftButton)
    opened.pause()
    assert opened.written("ties")[-1].at.instant == opened.clock.instant


def test_choices_come_once_it_is_saved_and_the_line_is_painted_and_those_of_before_go_at_once(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_go, append = threading.Event(), opened.record.append

    def slow(entries: Sequence[Entry]) -> None:
        may_go.wait(30)
        append(entries)

    opened.press("tile_ties")
    opened.wait(lambda: "Ties" in opened.receipt() and "saved" in opened.receipt())
    before = opened.find("minutes_10", QPushButton)
    choices = before.parent()
    monkeypatch.setattr(opened.record, "append", slow)
    opened.press("tile_suction")
    assert "not saved yet" in opened.receipt()
    assert not choices.isVisible()
    before.click()  # a reader of the screen may press what isn't seen
    shown = list[tuple[bool, bool]]()
    painted = Painted(opened.window.board.receipt, lambda: shown.append((is_saved(), choices.isVisible())))

    def is_saved() -> bool:
        return "Suction saved" in opened.receipt()

    may_go.set()
    thick = opened.find("pick_consistency_thick")
    opened.wait(lambda: (True, True) in shown)
    painted.end()
    assert (True, False) in shown[: shown.index((True, True))]
    assert (False, True) not in shown
    assert thick.isVisible()
    assert not thick.isChecked()
    assert opened.find("minutes_10") is before
    opened.pause()
    assert [each.details for each in opened.written("suction")[-1:]] == [{}]
    assert len(opened.written("ties")) == len({each.at for each in opened.written("ties")})


@pytest.mark.parametrize("percent", [100, 200])
def test_nothing_on_the_receipt_moves_when_the_choices_come(opened: Opened, percent: int) -> None:
    opened.window.theme.set_percent(percent)
    receipt = opened.window.board.receipt
    opened.press("tile_ties")
    assert opened.find("more_details")
    opened.pause()
    places: dict[bool, list[object]] = {False: [], True: []}
    choices = opened.find("more_details").parent()
    receipt._soon.setInterval(300)  # until the new line has its place
    painted = Painted(
        receipt, lambda: places[choices.isVisible()].append((receipt.geometry(), receipt.undo.geometry()))
    )
    opened.press("tile_suction")
    opened.wait(lambda: bool(places[True]))
    opened.pause()
    painted.end()
    assert places[False][-1] == places[True][0] == places[True][-1]


def test_a_choice_that_was_taken_out_and_is_not_deleted_yet_does_nothing(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    choice = opened.find("minutes_10", ChoiceButton)
    choices, faults, before = choice.parent(), list[object](), len(opened.record.entries)
    monkeypatch.setattr(sys, "excepthook", lambda *fault: faults.append(fault))
    choice.switched.emit(True)  # the control
    opened.wait(lambda: len(opened.record.entries) == before + 1)
    opened.wait(lambda: "saved" in opened.receipt())
    choices.show_for(None, is_on=False)
    choice.switched.emit(False)
    opened.pause()
    assert faults == []
    assert len(opened.record.entries) == before + 1


def test_a_press_is_shown_as_ever_where_its_choices_cannot_be_made(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    faults, real = list[BaseException](), quick.quick_picks

    def fails(_kind: Kind, _newest: Sequence[Held]) -> tuple[Pick, ...]:
        monkeypatch.setattr(quick, "quick_picks", real)
        raise ArithmeticError

    monkeypatch.setattr(sys, "excepthook", lambda _kind, fault, _traceback: faults.append(fault))
    monkeypatch.setattr(quick, "quick_picks", fails)
    opened.press("tile_suction")
    opened.wait(lambda: "Suction saved" in opened.receipt())
    opened.wait(lambda: [type(each) for each in faults] == [ArithmeticError])
    assert opened.find("undo").isVisible()
    opened.window.tick()  # they are made again with what is told next
    assert opened.find("pick_consistency_thick").isVisible()
