"""Where the keys go on: in the page that was opened, at the field that was refused."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QScrollBar, QWidget

from carelog.domain.flag import Level
from carelog.ui.pages import Spot, standing
from carelog.ui.words import Words
from tests.ui.conftest import Opened
from tests.ui.test_pages import flag, raise_flags


def page_of(opened: Opened) -> QWidget:
    """The page that is open."""
    found = opened.window.stack.currentWidget()
    assert found is not None
    return found


def focused(opened: Opened) -> QWidget:
    """What has the focus."""
    found = opened.window.focusWidget()
    assert found is not None
    return found


def activate(opened: Opened) -> None:
    """Have the window in front: offscreen, one that was closed just before may have taken its place."""
    for _ in range(100):
        if QApplication.focusWidget() is opened.window.focusWidget():
            return
        opened.window.hide()
        opened.window.show()
        opened.window.activateWindow()
        opened.come_to_rest()
    pytest.fail("the window never came to the front")


def name_of(widget: QWidget) -> str:
    """How an assistive tool calls it."""
    return QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


@pytest.mark.parametrize(
    "page",
    [*(page.name for place in (Spot.RAIL, Spot.LIST) for page in standing(place)), "emergency", "more"],
)
def test_opening_a_page_lands_on_something_that_has_a_name_and_a_ring(opened: Opened, page: str) -> None:
    opened.window.activateWindow()
    opened.window.do("help" if page != "help" else "due")
    opened.window.do(page)
    opened.wait(lambda: page_of(opened).isAncestorOf(focused(opened)))
    assert name_of(focused(opened)).strip() != ""
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    activate(opened)
    opened.come_to_rest()
    landed, with_focus = focused(opened), opened.window.grab().toImage()
    landed.clearFocus()
    opened.wait(lambda: not landed.hasFocus())
    assert opened.window.grab().toImage() != with_focus


def test_the_boards_right_side_leaves_the_focus_where_it_is_when_it_fills_anew(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL))
    opened.find("flag_more").setFocus()
    raise_flags(opened, flag(Level.CALL), flag(Level.NOTE))
    assert focused(opened).objectName() == "flag_more"
    tile = opened.find("tile_ties")
    tile.setFocus()
    raise_flags(opened, flag(Level.NOTE))
    assert focused(opened) is tile
    raise_flags(opened, flag(Level.CALL))
    opened.find("flag_more").setFocus()
    raise_flags(opened)
    assert name_of(focused(opened)) == "Flags and what is due"


def test_a_refused_save_goes_to_the_field_and_space_there_throws_nothing_away(opened: Opened) -> None:
    opened.press("tile_cuff_pressure")
    value: QLineEdit = opened.find("field_value", QLineEdit)
    QTest.keyClicks(value, "abc")
    opened.find("save").setFocus()
    QTest.keyClick(focused(opened), Qt.Key.Key_Space)
    assert focused(opened) is value
    QTest.keyClick(value, Qt.Key.Key_Space)
    assert opened.window.page() == "form"
    assert value.text().startswith("abc")


def test_a_save_that_the_disk_refuses_leaves_the_focus_on_save(opened: Opened) -> None:
    opened.press("tile_note")
    QTest.keyClicks(opened.find("field_note"), "slept well")
    opened.record.trouble = "The disk is full."
    opened.find("save").setFocus()
    QTest.keyClick(focused(opened), Qt.Key.Key_Space)
    opened.wait(lambda: opened.rest.shelf.keeper.form("note")._message.text() == "The disk is full.")  # type: ignore[union-attr]
    assert focused(opened).objectName() == "save"
    opened.record.trouble = ""
    QTest.keyClick(focused(opened), Qt.Key.Key_Space)
    opened.wait(lambda: bool(opened.written("note")))


def test_what_was_thrown_away_can_be_brought_back_as_it_was(opened: Opened) -> None:
    opened.press("tile_note")
    QTest.keyClicks(opened.find("field_note"), "slept well")
    opened.press("throw_away")
    assert opened.window.page() == "board"
    assert "Thrown away: Note" in opened.rest.shelf.band.words()
    opened.press("draft_bring_back")
    assert opened.window.page() == "form"
    assert opened.find("field_note").toPlainText() == "slept well"
    opened.press("save")
    opened.wait(lambda: [each.note for each in opened.written("note")] == ["slept well"])
    assert "Thrown away" not in opened.rest.shelf.band.words()


def test_scroll_bars_are_wide_enough_to_be_hit(opened: Opened) -> None:
    for page in ("help", "timeline", "settings"):
        opened.window.do(page)
        opened.come_to_rest()
        bars = [bar for bar in page_of(opened).findChildren(QScrollBar) if bar.isVisible()]
        assert all(bar.width() >= 16 for bar in bars if bar.orientation() is Qt.Orientation.Vertical)
    assert bars


def test_each_cell_of_the_timeline_reads_its_whole_row(opened: Opened) -> None:
    opened.press("go_timeline")
    opened.wait(lambda: opened.find("timeline_list").model().rowCount() > 0)
    model = opened.find("timeline_list").model()
    number = next(n for n in range(model.rowCount()) if not model.row(n).is_heading)
    row = model.row(number)
    for column in range(model.columnCount()):
        words = model.data(model.index(number, column), Qt.ItemDataRole.AccessibleTextRole)
        assert all(part in words for part in (row.clock, row.title, row.line, row.who))


def test_a_question_with_its_answers_and_the_pages_are_told_as_groups_with_a_name(opened: Opened) -> None:
    opened.press("tile_stoma")
    for name, words in (("field_skin", "Skin"), ("rail", "Pages"), ("head", "Who records, and the time")):
        told = QAccessible.queryAccessibleInterface(opened.find(name))
        assert told.role() is QAccessible.Role.Grouping
        assert told.text(QAccessible.Text.Name) == words


def test_the_windows_title_begins_with_the_page(opened: Opened) -> None:
    for name, word in (("timeline", "Days"), ("cards", "Cards"), ("emergency", "Emergency page")):
        opened.window.do(name)
        assert opened.window.windowTitle() == f"{word} – carelog: Nima Albers"


def test_headings_are_told_as_headings(opened: Opened) -> None:
    opened.press("go_flags")
    found = [each for each in page_of(opened).findChildren(Words) if each.is_heading]
    assert found
    for each in found:
        assert QAccessible.queryAccessibleInterface(each).role() is QAccessible.Role.Heading
        assert name_of(each).strip() == each.text().strip()
    others = [each for each in opened.window.findChildren(Words) if not each.is_heading]
    assert QAccessible.queryAccessibleInterface(others[0]).role() is QAccessible.Role.StaticText
