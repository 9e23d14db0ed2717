"""What a press does and doesn't do: by a finger, by keys with others held, by an assistive tool."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAccessible, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton

from carelog.ui.access import Stage
from carelog.ui.slip import State
from tests.ui.conftest import Opened, Opener
from tests.ui.household import Memory
from tests.ui.test_board import press_at

CONTROL, ALT, META = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.MetaModifier,
)


def key(opened: Opened, key: Qt.Key, text: str, held: Qt.KeyboardModifier) -> None:
    """A key with others held, and the text that some keyboards send with it all the same."""
    kinds = (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
    for kind in kinds:
        QApplication.sendEvent(opened.window, QKeyEvent(kind, key, held, text))


def switched(button: QPushButton) -> None:
    """An assistive tool's first action of a button, which isn't a click."""
    held = QAccessible.queryAccessibleInterface(button).actionInterface()
    held.doAction(held.actionNames()[0])


# No record --------------------------------------------------------------------------------------------


def test_a_press_where_there_is_no_record_goes_into_none_that_is_begun_afterwards(opener: Opener) -> None:
    opened = opener(Memory(), is_missing=True)
    assert opened.window.desk.access.stage is Stage.MISSING
    opened.press("go_board")
    opened.press("tile_suction")
    assert opened.window.page() == "first"
    assert "no record here yet" in opened.receipt()
    opened.press("begin_record")
    opened.wait(opened.window.desk.access.is_open)
    opened.come_to_rest()
    assert (opened.record.entries, opened.window.desk.slips.all) == ([], [])


def test_a_press_before_anybody_knows_that_there_is_no_record_goes_into_none_either(opener: Opener) -> None:
    opened = opener(Memory(), is_missing=True)
    slips, access = opened.window.desk.slips, opened.window.desk.access
    access.stage, access.has_begun = Stage.OPENING, False
    slips.press("suction", {})
    access.open()
    assert (access.stage, slips.all) == (Stage.MISSING, [])


# Keys -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("held", [CONTROL, ALT, META, CONTROL | ALT])
def test_a_tiles_key_with_another_key_held_records_nothing(opened: Opened, held: Qt.KeyboardModifier) -> None:
    before = len(opened.record.entries)
    for name, text in ((Qt.Key.Key_1, "1"), (Qt.Key.Key_9, "9"), (Qt.Key.Key_0, "0")):
        key(opened, name, text, held)
    opened.come_to_rest()
    assert len(opened.record.entries) == before
    assert opened.window.desk.slips.all == []
    assert opened.window.page() in ("board", "timeline", "course", "kit")


def test_single_keys_press_tiles_only_as_long_as_the_settings_let_them(opened: Opened) -> None:
    opened.press("go_settings")
    opened.press("pick_has_tile_keys_false")
    opened.press("go_board")
    QTest.keyClick(opened.window, Qt.Key.Key_1)
    assert opened.window.desk.slips.all == []
    opened.press("go_settings")
    opened.press("pick_has_tile_keys_true")
    opened.press("go_board")
    QTest.keyClick(opened.window, Qt.Key.Key_1)
    opened.wait(lambda: "Suction saved" in opened.receipt())


def test_undo_by_its_key_strikes_out_only_what_is_seen(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("go_timeline")
    field = opened.find("filter_words", QLineEdit)
    for widget in (opened.window, field):
        QTest.keyClick(widget, Qt.Key.Key_Z, CONTROL)
    opened.press("go_board")
    opened.press("tile_note")
    QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_Z, CONTROL)
    opened.come_to_rest()
    assert opened.window.desk.slips.all[-1].state is State.SAVED
    opened.press("go_board")
    QTest.keyClick(opened.window, Qt.Key.Key_Z, CONTROL)
    opened.wait(lambda: "undone" in opened.receipt())


@pytest.mark.parametrize(
    ("name", "held"),
    [
        (Qt.Key.Key_Plus, CONTROL),
        (Qt.Key.Key_Equal, CONTROL),
        (Qt.Key.Key_Plus, CONTROL | Qt.KeyboardModifier.ShiftModifier),
    ],
)
def test_larger_text_is_one_press_on_every_keyboard(
    opened: Opened, name: Qt.Key, held: Qt.KeyboardModifier
) -> None:
    QTest.keyClick(opened.window, name, held)
    assert opened.window.preferences.now.text_percent == 125


def test_return_presses_the_button_that_has_the_focus(opened: Opened) -> None:
    button = opened.find("go_flags", QPushButton)
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Return)
    assert opened.window.page() == "flags"


def test_keys_lead_to_the_words_of_the_timeline_to_the_page_before_and_to_paper(opened: Opened) -> None:
    QTest.keyClick(opened.window, Qt.Key.Key_4, ALT)
    QTest.keyClick(opened.window, Qt.Key.Key_F, CONTROL)
    assert opened.window.page() == "timeline"
    assert opened.window.focusWidget().objectName() == "filter_words"
    QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_Left, ALT)
    assert opened.window.page() == "due"
    QTest.keyClick(opened.window, Qt.Key.Key_Left, ALT)
    assert opened.window.page() == "board"


@pytest.mark.parametrize("page", ["flags", "due", "plan", "sheet", "help", "settings"])
def test_the_key_for_the_page_before_works_where_the_page_itself_has_the_focus(
    opened: Opened, page: str
) -> None:
    assert opened.window.do(page)
    QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_Left, ALT)
    assert opened.window.page() == "board"


def test_esc_leads_from_an_entry_to_the_list_and_from_there_to_the_board(opened: Opened) -> None:
    opened.rest.ways.open_entry(opened.record.entries[-1].id)
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "amend")))
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.window.page() == "timeline"
    assert opened.find("timeline_list").isVisible()
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.window.page() == "board"


# Two presses in a moment --------------------------------------------------------------------------------


def test_a_double_press_on_undo_is_one_undo(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    undo = opened.find("undo", QPushButton)
    press_at(undo, 50_000)
    opened.wait(lambda: "undone" in opened.receipt())
    press_at(undo, 50_400)
    opened.come_to_rest()
    assert "undone" in opened.receipt()
    press_at(undo, 51_200)
    opened.wait(lambda: "Suction saved" in opened.receipt())


def test_a_double_press_on_a_pick_picks_it_and_a_later_one_takes_it_back(opened: Opened) -> None:
    opened.press("tile_stoma")
    for name in ("pick_crust_true", "pick_checks_skin"):
        found = opened.window.findChildren(QPushButton, name)
        if not found:
            continue
        press_at(found[0], 50_000)
        press_at(found[0], 50_300)
        assert found[0].isChecked(), name
        press_at(found[0], 51_100)
        assert not found[0].isChecked(), name


# Assistive tools ----------------------------------------------------------------------------------------


def test_a_page_opens_when_its_button_is_switched_without_a_click(opened: Opened) -> None:
    for page in ("flags", "plan", "board"):
        switched(opened.find(f"go_{page}", QPushButton))
        assert opened.window.page() == page
        opened.pause()
    assert [b.objectName() for b in opened.window.rail.findChildren(QPushButton) if b.isChecked()] == [
        "go_board"
    ]


def test_a_choice_of_the_receipt_is_recorded_when_it_is_switched_without_a_click(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    switched(opened.find("pick_consistency_thick", QPushButton))
    opened.wait(lambda: "thick" in opened.receipt())
    assert opened.written("suction")[-1].details == {"consistency": "thick"}


def test_of_two_picks_that_exclude_each_other_only_the_last_is_chosen_however_they_are_switched(
    opened: Opened,
) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("more_details")
    opened.wait(lambda: opened.window.page() == "form")
    small = opened.find("pick_amount_small", QPushButton)
    large = opened.find("pick_amount_large", QPushButton)
    switched(small)
    switched(large)
    assert (small.isChecked(), large.isChecked()) == (False, True)
    opened.press("save")
    opened.wait(lambda: opened.written("suction")[-1].details.get("amount") == "large")


def test_pages_and_picks_that_exclude_each_other_are_told_as_one_of_several(opened: Opened) -> None:
    role = QAccessible.queryAccessibleInterface(opened.find("go_flags")).role()
    assert role is QAccessible.Role.RadioButton
    opened.press("go_settings")
    role = QAccessible.queryAccessibleInterface(opened.find("pick_palette_day")).role()
    assert role is QAccessible.Role.RadioButton


def test_who_records_is_chosen_when_it_is_switched_without_a_click(opened: Opened) -> None:
    opened.window.do("who")
    switched(opened.find("choose_MO", QPushButton))
    assert opened.window.desk.recorder.who == "MO"
