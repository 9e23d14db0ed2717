"""The board: one press records, says so, and can be taken back."""

import threading
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, MINUTE, SECOND, Moment
from carelog.ui.access import Stage
from carelog.ui.board.asked import AskedFor
from carelog.ui.board.order import every_tile, usual
from carelog.ui.pages import CONSTANT, Spot, standing
from carelog.ui.repeats import Repeats
from carelog.ui.slip import State
from carelog.ui.stops import laid_in
from tests.ui.conftest import Opened, Opener, Painted
from tests.ui.household import NOW, Memory


def press_at(widget: QWidget, stamp: int, release: QPoint | None = None) -> None:
    """A press and release with the times of input events (ms)."""
    start = widget.rect().center()
    for kind, place, buttons in (
        (QMouseEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton),
        (QMouseEvent.Type.MouseMove, release or start, Qt.MouseButton.LeftButton),
        (QMouseEvent.Type.MouseButtonRelease, release or start, Qt.MouseButton.NoButton),
    ):
        event = QMouseEvent(
            kind,
            QPointF(place),
            QPointF(widget.mapToGlobal(place)),
            Qt.MouseButton.LeftButton,
            buttons,
            Qt.KeyboardModifier.NoModifier,
        )
        event.setTimestamp(stamp)
        QApplication.sendEvent(widget, event)


def test_one_press_saves_what_the_tile_says_as_of_now(opened: Opened) -> None:
    opened.press("tile_inner_tube")
    opened.wait(lambda: "saved" in opened.receipt())
    (entry,) = [each for each in opened.written("inner_tube") if each.recorded_at == opened.clock.instant]
    assert entry.details == {"outcome": "cleaned"}
    assert (entry.at.instant, entry.by) == (opened.clock.instant, "LR")
    assert opened.receipt() == "Inner tube cleaned saved, 03:12 (Thu), LR"


def test_a_window_starts_on_the_board_with_the_last_recorder_in_large_letters(opened: Opened) -> None:
    assert opened.window.page() == "board"
    assert opened.window.head._who.text().startswith("LR")
    assert opened.window.head._who.font().pixelSize() >= 26


def test_a_press_that_slides_forty_pixels_off_the_tile_counts_and_one_further_off_does_not(
    opened: Opened,
) -> None:
    tile = opened.find("tile_mouth_care")
    before = len(opened.written("mouth_care"))
    press_at(tile, 1000, QPoint(tile.width() // 2, -60))
    assert len(opened.written("mouth_care")) == before
    press_at(tile, 9000, QPoint(tile.width() // 2, -38))
    opened.wait(lambda: len(opened.written("mouth_care")) == before + 1)


def test_presses_of_one_tile_within_700_ms_are_one_entry_and_the_receipt_says_so(opened: Opened) -> None:
    tile = opened.find("tile_suction")
    before = len(opened.written("suction"))
    for stamp in (1000, 1600, 2200):
        press_at(tile, stamp)
    opened.wait(lambda: "One entry" in opened.receipt())
    assert len(opened.written("suction")) == before + 1
    press_at(tile, 2900)
    opened.wait(lambda: len(opened.written("suction")) == before + 2)


def test_each_press_starts_the_700_ms_again() -> None:
    presses = Repeats()
    assert presses.is_new("suction", 1000)
    assert not presses.is_new("suction", 1699)
    assert not presses.is_new("suction", 2398)
    assert presses.is_new("suction", 3098)
    assert presses.is_new("ties", 3099)


def test_a_key_presses_its_tile_and_a_held_key_presses_it_once(opened: Opened) -> None:
    before = len(opened.written("suction"))
    held = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_1, Qt.KeyboardModifier.NoModifier, "1", autorep=True)
    held.setTimestamp(100_000_000)  # ms: long after the first, so that only its being held makes it the same
    QTest.keyClick(opened.window, Qt.Key.Key_1)
    opened.wait(lambda: len(opened.written("suction")) == before + 1)
    opened.clock.instant += MINUTE
    QApplication.sendEvent(opened.window, held)
    opened.press("tile_ties")
    opened.wait(lambda: "Ties" in opened.receipt() and "saved" in opened.receipt())
    assert len(opened.written("suction")) == before + 1


def test_a_quick_choice_completes_the_entry_and_is_ticked_only_once_saved(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    thick = opened.find("pick_consistency_thick", QPushButton)
    assert not thick.isChecked()
    thick.click()
    opened.wait(lambda: "thick" in opened.receipt())
    first, change = opened.written("suction")[-2:]
    assert (change.amends, change.details, change.reason) == (first.id, {"consistency": "thick"}, "")
    assert opened.find("pick_consistency_thick", QPushButton).isChecked()


def test_a_quick_time_moves_the_entry_back_from_the_press(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.press("minutes_10")
    opened.wait(lambda: "03:02" in opened.receipt())
    change = opened.written("suction")[-1]
    assert change.at.instant == opened.clock.instant - 10 * MINUTE
    assert change.reason == ""


def test_what_is_not_of_just_now_is_offered_no_minutes_ago(opened: Opened) -> None:
    held = opened.picture().latest["inner_tube"]
    assert held.time < opened.clock.instant - 10 * MINUTE
    opened.window.desk.access.act(
        lambda logbook, _record: logbook.amend(held, {"outcome": "replaced"}, by="LR", reason="misread"),
        opened.window.desk.slips.note_saved,
        pytest.fail,
    )
    opened.wait(lambda: "changed" in opened.receipt() and "replaced" in opened.receipt())
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "more_details")))
    assert not [n for n in (0, 5, 10, 20, 30, 60) if opened.window.findChildren(QPushButton, f"minutes_{n}")]
    opened.press("tile_suction")
    opened.wait(lambda: "Suction" in opened.receipt() and "saved" in opened.receipt())
    assert opened.find("minutes_10", QPushButton)


def test_minutes_ago_are_reckoned_from_the_press_and_just_now_writes_nothing(opened: Opened) -> None:
    now = opened.clock.instant
    opened.window.desk.access.act(
        lambda logbook, _record: logbook.record("suction", {}, "LR", at=Moment(now - 3 * MINUTE)),
        opened.window.desk.slips.note_saved,
        pytest.fail,
    )
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("minutes_10")
    opened.wait(lambda: opened.written("suction")[-1].at.instant == now - 10 * MINUTE)
    opened.pause()
    count = len(opened.record.entries)
    (just_now,) = opened.window.findChildren(QPushButton, "minutes_0")  # a narrow row leaves it out
    just_now.click()
    opened.wait(lambda: opened.written("suction")[-1].at.instant == now)
    opened.pause()
    just_now.click()
    opened.pause()
    assert len(opened.record.entries) == count + 1


def test_another_choice_of_the_same_detail_is_a_correction_with_a_reason(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.press("pick_colour_white")
    opened.wait(lambda: "white" in opened.receipt())
    opened.press("pick_colour_yellow")
    opened.wait(lambda: "yellow" in opened.receipt())
    assert opened.written("suction")[-1].reason != ""


def test_undo_strikes_out_the_entry_with_what_was_added_and_redo_gives_it_back(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.press("pick_consistency_thin")
    opened.wait(lambda: "thin" in opened.receipt())
    opened.press("undo")
    opened.wait(lambda: "undone" in opened.receipt())
    opened.wait(lambda: opened.picture().latest["suction"].time < opened.clock.instant)
    opened.pause()
    opened.press("undo")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.wait(lambda: opened.picture().latest["suction"].entry.details == {"consistency": "thin"})


def test_the_choices_go_after_ten_minutes_and_the_line_stays(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert opened.find("minutes_5", QPushButton)
    opened.clock.instant += 10 * MINUTE
    opened.window.tick()
    opened.wait(lambda: not opened.window.findChildren(QPushButton, "minutes_5"))
    assert "Suction saved" in opened.receipt()


def test_after_midnight_the_receipt_says_yesterday(opened: Opened) -> None:
    opened.clock.instant += 20 * HOUR
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.clock.instant += 2 * HOUR
    opened.window.tick()
    opened.wait(lambda: "yesterday 23:12" in opened.receipt())


def test_a_press_while_the_record_opens_keeps_its_time_and_is_saved_in_order_once_it_is_open(
    opener: Opener,
) -> None:
    record, gate = Memory(), threading.Event()

    def slowly(_path: Path) -> Memory:
        assert gate.wait(30)
        return record

    opened = opener(record, opener=slowly, is_waiting=False)
    assert opened.window.desk.access.stage is Stage.OPENING
    assert "Opening the record, not read yet" in texts(opened.window.board)
    opened.press("tile_suction")
    opened.clock.instant += 5 * MINUTE
    opened.press("tile_ties")
    assert "not saved yet" in opened.receipt()
    assert record.entries == []
    gate.set()
    opened.wait(lambda: [entry.kind for entry in record.entries] == ["suction", "ties"])
    assert record.entries[0].at.instant == opened.clock.instant - 5 * MINUTE


def test_undo_strikes_out_what_the_receipt_shows_though_an_earlier_press_was_saved_after_it(
    opened: Opened,
) -> None:
    opened.record.trouble = "The disk is full."
    opened.press("tile_mouth_care")
    opened.wait(lambda: opened.window.desk.slips.all[-1].state is State.FAILED)
    opened.record.trouble = ""
    opened.press("tile_suction")
    opened.wait(lambda: opened.window.desk.slips.all[-1].state is State.SAVED)
    opened.press("try_again")
    opened.wait(lambda: opened.window.desk.slips.all[-2].state is State.SAVED)
    care, suction = (slip.first for slip in opened.window.desk.slips.all[-2:])
    opened.press("undo")
    opened.wait(lambda: opened.window.desk.slips.all[-1].state is State.UNDONE)
    assert [entry.amends for entry in opened.record.entries if entry.withdrawn] == [suction.id]
    opened.pause()
    opened.press("undo")
    opened.wait(lambda: opened.window.desk.slips.all[-1].state is State.SAVED)
    assert {held.first.id for held in Reading(opened.record.entries).held} >= {care.id, suction.id}


def test_a_press_that_cannot_be_saved_stays_on_screen_until_it_can(opened: Opened) -> None:
    opened.record.trouble = "The disk is full."
    opened.press("tile_suction")
    opened.wait(lambda: "not saved" in opened.receipt())
    assert "The disk is full." in texts(opened.window.board.receipt)
    pressed = opened.window.desk.slips.all[-1].first
    opened.record.trouble = ""
    opened.press("try_again")
    opened.wait(lambda: opened.window.desk.slips.all[-1].state is State.SAVED)
    assert opened.written("suction")[-1] == pressed


def test_a_record_that_cannot_be_opened_says_why_and_keeps_the_presses(opener: Opener) -> None:
    from carelog.domain.trouble import Trouble

    def refuses(_path: Path) -> Memory:
        raise Trouble("This file isn't a record.")

    opened = opener(Memory(), opener=refuses)
    assert opened.window.desk.access.stage is Stage.FAILED
    assert "This file isn't a record." in texts(opened.window.board)
    opened.press("tile_suction")
    assert "not saved yet" in opened.receipt()


def test_an_unread_record_shows_no_empty_list(opener: Opener) -> None:
    gate = threading.Event()
    opened = opener(Memory(), opener=lambda _path: gate.wait(30) and Memory(), is_waiting=False)
    shown = texts(opened.window.board)
    assert "What is due: not read yet" in shown
    assert "not read yet" in shown
    gate.set()
    opened.wait(lambda: opened.window.desk.access.stage is Stage.OPEN)


def test_the_line_about_the_last_entry_never_says_that_all_is_well(opened: Opened) -> None:
    shown = texts(opened.window.board.aside).lower()
    assert "last entry" in shown or "23:40" in shown
    for word in ("all is well", "fine", "okay", "cleared", "normal"):
        assert word not in shown


def test_switching_who_takes_one_press_and_the_next_entry_has_their_initials(opened: Opened) -> None:
    opened.press("who_MO")
    opened.press("tile_ties")
    opened.wait(lambda: opened.receipt().endswith("MO"))
    assert opened.written("ties")[-1].by == "MO"


def test_every_page_has_its_button_and_carries_the_constant_line(opened: Opened) -> None:
    for name in [*(page.name for place in (Spot.RAIL, Spot.LIST) for page in standing(place)), "emergency"]:
        opened.press(f"go_{name}")
        assert opened.window.page() == name
        assert opened.find("constant_line").text() == CONSTANT


def test_a_second_tile_of_a_kind_has_its_value_in_its_name() -> None:
    names = [placed.name for placed in every_tile()]
    assert "humidity" in names
    assert "humidity_nebuliser" in names
    assert len(names) == len(set(names))
    assert set(usual()) <= set(names)


def test_the_order_of_tiles_is_the_households_own(opened: Opened) -> None:
    opened.window.preferences.change(tiles=("ties", "suction"))
    assert [tile.objectName() for tile in opened.window.board.tiles] == ["tile_ties", "tile_suction"]
    opened.press("tile_ties")
    opened.wait(lambda: "Ties checked saved" in opened.receipt())
    assert [tile.objectName() for tile in opened.window.board.tiles] == ["tile_ties", "tile_suction"]


def test_a_computer_in_another_zone_shows_both_times(opener: Opener) -> None:
    from tests.ui.household import StandingClock

    opened = opener(clock=StandingClock(name="Asia/Tokyo"))
    shown = texts(opened.window.board.aside)
    assert "03:12" in shown
    assert "12:12" in shown
    assert "At home it is" in shown


def test_changing_the_home_zone_opens_the_persons_form_with_the_new_zone_and_saves_it(
    opener: Opener,
) -> None:
    from carelog.analysis.in_force import Reading
    from carelog.analysis.people import person
    from tests.ui.household import StandingClock

    opened = opener(clock=StandingClock(name="Asia/Tokyo"))
    opened.window.do("person")
    opened.window.go("board")
    before = person(Reading(opened.record.everything()))
    opened.press("home_zone")
    assert opened.window.page() == "form"
    opened.press("save")
    opened.wait(lambda: len(opened.written("person")) == 2)
    assert opened.written("person")[-1].details == {"name": before.name, "home_zone": "Asia/Tokyo"}
    after = person(Reading(opened.record.everything()))
    assert (after.born, after.name) == (before.born, before.name)
    opened.wait(lambda: "At home it is" not in texts(opened.window.board.aside))


@pytest.mark.parametrize("percent", [100, 200])
def test_tiles_are_at_least_96_px_and_other_targets_44(opened: Opened, percent: int) -> None:
    opened.window.theme.set_percent(percent)
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())

    def small() -> list[str]:
        tiles = [each.objectName() for each in opened.window.board.tiles if _side(each) < 96]
        shown = (each for each in opened.window.findChildren(QPushButton) if each.isVisible())
        return tiles + [each.objectName() for each in shown if _side(each) < 44]

    opened.wait(lambda: not small())  # what was just put in is laid out in a moment


def _side(button: QWidget) -> int:
    """The shorter of its sides, in px."""
    return min(button.width(), button.height())


def texts(widget: QWidget) -> str:
    """All words that a widget shows."""
    from PySide6.QtWidgets import QLabel

    return " ".join(label.text() for label in widget.findChildren(QLabel) if label.isVisibleTo(widget))


def test_a_picture_that_was_asked_for_earlier_never_replaces_a_newer_one(opened: Opened) -> None:
    desk = opened.window.desk
    for _ in range(20):
        desk.present.look()
        opened.clock.instant += MINUTE
        desk.slips.press("suction", {})
    opened.come_to_rest()
    assert desk.present.picture is not None
    assert opened.picture().latest["suction"].time == opened.clock.instant


def test_after_eight_hours_without_a_press_the_receipt_asks_who_it_was(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert not opened.window.findChildren(QPushButton, "by_MO")
    opened.clock.instant += 8 * HOUR + MINUTE
    opened.pause()
    opened.press("tile_suction")
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "by_MO")))
    assert opened.find("by_LR", QPushButton).words == "LR?"
    opened.press("by_MO")
    opened.wait(lambda: opened.receipt().endswith("MO"))
    change = opened.written("suction")[-1]
    assert (change.by, change.reason) == ("MO", "")
    assert opened.window.desk.recorder.who == "MO"


def test_after_anothers_shift_began_the_receipt_asks_who_it_was(opened: Opened) -> None:
    opened.window.desk.recorder.choose("LR")
    opened.clock.instant += MINUTE
    opened.window.desk.access.act(
        lambda logbook, _record: logbook.record("shift", {"action": "start"}, "MO"),
        lambda _entry: None,
        pytest.fail,
    )
    opened.wait(lambda: "shift" in opened.picture().latest)
    opened.press("tile_ties")
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "by_MO")))


def test_tab_goes_from_the_tiles_over_the_quick_choices_to_undo_and_one_key_goes_there_at_once(
    opened: Opened,
) -> None:
    tile = opened.find("tile_suction")
    tile.setFocus()
    QTest.keyClick(tile, Qt.Key.Key_Space)
    opened.wait(lambda: "saved" in opened.receipt())
    assert opened.find("minutes_5")
    reached = [tile.objectName()]
    for _ in range(60):
        QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_Tab)
        reached.append(opened.window.focusWidget().objectName())
        if reached[-1] == "tile_suction":
            break
    places = [reached.index(name) for name in ("tile_more", "minutes_5", "more_details", "undo", "go_board")]
    assert places == sorted(places)
    assert reached.index("undo") == reached.index("more_details") + 1
    assert len(reached) == len(set(reached)) + 1
    QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_F6)
    assert opened.window.focusWidget().objectName() == "minutes_5"


def is_open(opened: Opened, page: str) -> bool:
    """Whether this page is the open one."""
    return opened.window.page() == page


def test_the_keys_go_on_in_the_page_that_was_opened(opened: Opened) -> None:
    for digit, page in ((Qt.Key.Key_2, "timeline"), (Qt.Key.Key_4, "due"), (Qt.Key.Key_8, "settings")):
        QTest.keyClick(opened.window, digit, Qt.KeyboardModifier.AltModifier)
        opened.wait(partial(is_open, opened, page))
        focus = opened.window.focusWidget()
        assert focus is not None
        assert opened.shown().isAncestorOf(focus), page


def test_what_is_no_care_does_not_hide_how_long_none_was_written_down(opened: Opened) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.clock.instant += 2 * HOUR
    opened.window.tick()
    opened.wait(lambda: "last entry" in texts(opened.window.board.aside).lower())
    before = texts(opened.window.board.aside).lower().partition("last entry ")[2].split(",")[0]
    opened.window.desk.slips.press("question", {}, note="May the ties be shorter?")
    opened.wait(lambda: "last care" in texts(opened.window.board.aside).lower())
    assert f"last care written down {before}," in texts(opened.window.board.aside).lower()


def test_a_correction_is_told_as_changed_and_an_entry_without_its_words_shows_no_id(opened: Opened) -> None:
    at = Moment(NOW)
    one = "30000000-0000-7000-8000-000000000001"
    change = Entry(
        "30000000-0000-7000-8000-000000000002",
        "note",
        at,
        NOW,
        "Europe/London",
        "LR",
        {},
        "said anew",
        amends=one,
        reason="wrong",
    )
    opened.window.desk.slips.note_saved(change)
    assert opened.receipt().startswith("Note changed, ")
    answer = Entry(change.id, "answer", at, NOW, "Europe/London", "LR", {"question": one}, "Yes.")
    opened.window.desk.slips.note_saved(answer)
    assert opened.receipt().startswith("Answer saved, ")


def test_of_the_side_only_what_reads_otherwise_is_made_anew(opened: Opened) -> None:
    def parts() -> list[QWidget]:
        return [body for _key, body in opened.window.board.aside._blocks]

    def press(tile: str) -> None:
        opened.press(f"tile_{tile}")
        opened.wait(lambda: opened.picture().latest[tile].first.id == opened.written(tile)[-1].id)

    opened.wait(lambda: opened.window.desk.present.flags is not None)
    first, flags = parts()
    (asked,) = opened.window.board.aside.findChildren(AskedFor)
    press("ties")  # nothing asks for it
    assert parts() == [first, flags]
    before = texts(asked)
    press("inner_tube")
    assert parts() == [first, flags]
    assert "Inner tube" in texts(asked)
    assert texts(asked) != before
    shown = opened.window.board.aside.layout()
    assert shown is not None
    assert laid_in(shown)[:3] == [first, flags, asked]
    again = parts()
    opened.clock.instant += SECOND
    opened.window.tick()
    opened.wait(lambda: opened.picture().now == opened.clock.instant)
    assert parts() == again


def test_a_pressed_tile_is_painted_pressed_at_once_and_again_only_once_its_press_is_told(
    opened: Opened,
) -> None:
    tile, before = opened.find("tile_suction"), opened.receipt()
    seen = list[tuple[bool, str]]()
    painted = Painted(tile, lambda: seen.append((tile.isDown() or tile._lit.isActive(), opened.receipt())))
    QTest.mousePress(tile, Qt.MouseButton.LeftButton)
    assert seen == [(True, before)]
    QTest.mouseRelease(tile, Qt.MouseButton.LeftButton)
    opened.wait(lambda: "saved" in opened.receipt() and len(seen) > 1)
    assert seen[1][0]
    assert seen[1][1] != before
    opened.wait(lambda: not seen[-1][0])  # after a moment it is as it was
    painted.end()


def test_a_press_that_is_slid_off_a_tile_leaves_it_painted_as_it_was(opened: Opened) -> None:
    tile, away, count = opened.find("tile_suction"), QPoint(-200, -200), len(opened.record.entries)
    seen = list[bool]()
    painted = Painted(tile, lambda: seen.append(tile.isDown()))
    QTest.mousePress(tile, Qt.MouseButton.LeftButton)
    QTest.mouseMove(tile, away)
    QTest.mouseRelease(tile, Qt.MouseButton.LeftButton, pos=away)
    opened.wait(lambda: seen[-1:] == [False])
    assert seen[0]
    assert tile.updatesEnabled()
    assert len(opened.record.entries) == count
    painted.end()


def test_a_flag_that_shows_more_and_reads_the_same_keeps_its_box(opened: Opened) -> None:
    aside, present = opened.window.board.aside, opened.window.desk.present
    opened.wait(lambda: present.flags is not None)

    def parts_with(flags: list[Flag]) -> list[QWidget]:
        present.flags = flags
        aside.refresh()
        return [body for _key, body in aside._blocks]

    flag = Flag("stuck_inner_tube", None, Level.CALL, NOW, None, None, "It is stuck.", "Twice.", ("a",))
    before = parts_with([flag])
    assert "It is stuck. Twice." in texts(aside)
    assert parts_with([replace(flag, entries=("a", "b"), raised_at=NOW - HOUR)]) == before
    changes: list[dict[str, object]] = [
        {"headline": "It was stuck."},
        {"level": Level.URGENT},
        {"ended": "by time", "cleared_at": NOW, "cleared_by": "time"},
    ]
    for change in changes:
        assert parts_with([replace(flag, **change)])[1] is not parts_with([flag])[1]  # type: ignore[arg-type]
    assert parts_with([flag])[1] is not parts_with([flag, flag])[1]
