"""What the next presses would wait for is loaded in idle moments, and nothing waits for that."""

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog

from carelog.domain.moment import MINUTE, SECOND
from carelog.ui.ahead import MODULES, STILL, Ahead
from carelog.ui.pages import PAGES, Spot
from tests.ui.conftest import Opened


def ahead_of(opened: Opened) -> Ahead:
    """The one of an open window."""
    return next(each for each in opened.window.children() if isinstance(each, Ahead))


def timer_of(ahead: Ahead) -> QTimer:
    """What drives it."""
    found = ahead.findChild(QTimer)
    assert found is not None
    return found


def test_every_page_of_the_rail_and_the_list_is_loaded_ahead(opened: Opened) -> None:
    for page in PAGES:
        if page.make is not None and page.spot is not Spot.WAYS:
            shown = opened.window.show_page(page.name)
            assert shown is not None
            assert type(shown).__module__.removeprefix("carelog.ui.") in MODULES, page.name


def test_all_is_loaded_once_the_flags_are_read_and_then_nothing_wakes_any_more(opened: Opened) -> None:
    opened.clock.instant += MINUTE
    ahead = ahead_of(opened)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    timer_of(ahead).setInterval(0)
    opened.wait(lambda: ahead.left == [])
    assert not timer_of(ahead).isActive()


def test_nothing_is_loaded_just_after_a_press(opened: Opened) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    ahead = ahead_of(opened)
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    before = list(ahead.left)
    ahead._load_next()
    assert ahead.left == before
    opened.clock.instant += STILL * SECOND
    ahead._touched_at -= STILL
    ahead._load_next()
    assert ahead.left == before[1:]


def test_nothing_is_loaded_just_after_a_key_that_records_nothing(opened: Opened) -> None:
    opened.clock.instant += MINUTE
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    ahead = ahead_of(opened)
    timer_of(ahead).setInterval(MINUTE // 1000)  # by hand alone
    opened.window.go("timeline")
    QTest.keyClick(opened.window.windowHandle(), Qt.Key.Key_Down)  # as the system hands it over
    before = list(ahead.left)
    ahead._load_next()
    assert ahead.left == before
    ahead._touched_at -= STILL
    ahead._load_next()
    assert ahead.left == before[1:]


def test_what_widgets_tell_one_another_passes_no_filter(opened: Opened) -> None:
    """Only what comes to the window of the system is seen; a press on it goes on as quickly as later."""
    opened.clock.instant += MINUTE
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    ahead = ahead_of(opened)
    timer_of(ahead).setInterval(MINUTE // 1000)
    assert timer_of(ahead).isActive()
    seen: list[QObject] = []

    def noted(watched: QObject, event: QEvent) -> bool:
        seen.append(watched)
        return event.type() is QEvent.Type.None_

    ahead.eventFilter = noted  # type: ignore[method-assign]
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.window.go("timeline")
    QTest.mouseClick(opened.window.windowHandle(), Qt.MouseButton.LeftButton)
    assert {*seen} == {opened.window.windowHandle()}


def test_nothing_is_loaded_while_a_dialog_is_open(opened: Opened) -> None:
    opened.clock.instant += MINUTE
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    ahead = ahead_of(opened)
    timer_of(ahead).setInterval(MINUTE // 1000)
    before = list(ahead.left)
    dialog = QDialog(opened.window)
    dialog.open()
    ahead._load_next()
    assert ahead.left == before
    dialog.close()
    ahead._load_next()
    assert ahead.left == before[1:]
