"""Several people write in one window: each entry stays its own writer's, and what another changed says so."""

from PySide6.QtWidgets import QApplication, QPushButton

from carelog.analysis.in_force import Reading
from carelog.analysis.marks import row_marks
from carelog.domain.moment import HOUR, MINUTE, Home
from tests.ui.conftest import Opened
from tests.ui.household import ZONE


def test_adding_a_second_carer_leaves_the_first_one_recording(opened: Opened) -> None:
    opened.window.do("who")
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "add_recorder")))
    opened.come_to_rest()
    opened.press("add_recorder")
    opened.find("field_initials").setText("ZZ")
    opened.press("save")
    opened.wait(lambda: "ZZ" in [entry.details.get("initials") for entry in opened.written("recorder")])
    assert opened.window.desk.recorder.who == "LR"
    opened.press("tile_ties")
    opened.wait(lambda: opened.receipt().endswith("LR"))


def test_the_first_carer_who_is_added_records_from_then_on(opened: Opened) -> None:
    opened.window.desk.recorder.choose("")
    opened.rest.ways.open_form("recorder")
    opened.find("field_initials").setText("ZZ")
    opened.press("save")
    opened.wait(lambda: opened.window.desk.recorder.who == "ZZ")


def test_what_another_adds_to_an_entry_leaves_the_first_ones_initials_and_bears_a_mark(
    opened: Opened,
) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    first = opened.written("suction")[-1]
    opened.clock.instant += 3 * MINUTE
    opened.window.desk.recorder.choose("MO")
    opened.rest.ways.open_entry(first.id)
    opened.wait(lambda: bool(opened.window.findChildren(QPushButton, "amend")))
    opened.press("amend")
    opened.press("pick_amount_small")
    opened.press("save")
    opened.wait(lambda: opened.written("suction")[-1].amends == first.id)
    held = Reading(opened.record.everything()).get(first.id)
    assert held is not None
    assert (held.first.by, held.entry.by) == ("LR", "MO")
    assert [words for words in row_marks(held, Home(ZONE)) if "MO" in words]


def test_undo_leaves_when_another_has_taken_over_and_the_entry_is_hours_old(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("who_MO")
    assert opened.find("undo", QPushButton).isVisible()
    opened.clock.instant += 5 * HOUR
    opened.window.tick()
    opened.wait(lambda: not opened.window.board.receipt.undo.isVisible())
    opened.window.board.receipt.take_back()
    opened.come_to_rest()
    assert "saved" in opened.receipt()
    opened.window.desk.recorder.choose("LR")
    assert opened.window.board.receipt.undo.isVisible()


def test_initials_that_are_chosen_twice_in_a_moment_open_no_window_of_their_own(opened: Opened) -> None:
    for initials in ("MO", "LR"):
        opened.window.desk.recorder.choose(initials)
    QApplication.processEvents()
    assert [each for each in QApplication.topLevelWidgets() if each.isVisible()] == [opened.window]
