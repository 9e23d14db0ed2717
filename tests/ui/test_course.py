"""The course's page: drawn, moved over by keys and mouse, read out, opened, chosen, as a table, copied."""

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTableView

from carelog.analysis.course.rows import Signs
from carelog.app.settings import SettingsFile
from carelog.domain.moment import HOUR
from carelog.ui.course.page import CoursePage
from carelog.ui.course.picture import CoursePicture
from carelog.ui.timeline.table import TimelineTable
from carelog.ui.words import Words
from tests.detection.steady import Steady, moment
from tests.ui.conftest import Opened, Opener
from tests.ui.household import Memory, StandingClock

DAYS = 40
NOW = moment(DAYS) + 10 * HOUR


@pytest.fixture
def course(opener: Opener) -> Opened:
    """The course of a household of forty days, more suctions on the last two."""
    house = Steady()
    house.days(0, DAYS - 2)
    house.days(DAYS - 2, DAYS, suctions=20)
    record = Memory(entries=[entry for entry in house.in_order() if entry.recorded_at < NOW])
    opened = opener(record, StandingClock(NOW, "UTC"))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.press("go_course")
    opened.wait(lambda: page(opened).course is not None)
    return opened


def page(opened: Opened) -> CoursePage:
    found = opened.shown()
    assert isinstance(found, CoursePage)
    return found


def picture(opened: Opened) -> CoursePicture:
    found: CoursePicture = opened.find("course_picture", CoursePicture)
    return found


def told(opened: Opened) -> str:
    """What the page says of the column under the cursor, its spaces plain."""
    return picture(opened).accessibleDescription().replace("\xa0", " ")


def sentences(opened: Opened) -> str:
    found = [each.text() for each in page(opened).findChildren(Words) if each.isVisible()]
    return "\n".join(found).replace("\xa0", " ")


def columns(opened: Opened) -> int:
    shown = page(opened).course
    assert shown is not None
    return shown.axis.count


def key(opened: Opened, *keys: Qt.Key) -> None:
    for each in keys:
        QTest.keyClick(opened.window.focusWidget(), each)


def test_four_weeks_are_drawn_and_today_is_read_out_at_once(course: Opened) -> None:
    assert columns(course) == 28
    assert course.window.focusWidget() is picture(course)
    assert "nothing is recorded" in told(course)
    assert "nothing is recorded." in sentences(course)
    assert "Suctions a day" in picture(course).accessibleName()


def test_the_arrow_keys_move_the_cursor_and_each_day_is_told_in_one_sentence(course: Opened) -> None:
    key(course, Qt.Key.Key_Left)
    assert "suctions, usually" in told(course)
    assert sentences(course).count("suctions, usually") == 1
    key(course, Qt.Key.Key_Home)
    assert picture(course).cursor_at == 0
    key(course, Qt.Key.Key_Left)
    assert picture(course).cursor_at == 0
    key(course, Qt.Key.Key_PageDown, Qt.Key.Key_Right)
    assert picture(course).cursor_at == 8
    key(course, Qt.Key.Key_End, Qt.Key.Key_Right)
    assert picture(course).cursor_at == 27


def test_a_press_with_the_mouse_puts_the_cursor_on_the_day_beneath_it(course: Opened) -> None:
    whole = picture(course)
    QTest.mouseClick(
        whole, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(whole.width() - 40, 60)
    )
    assert picture(course).cursor_at == 26
    assert "Sat" in told(course) or "suctions" in told(course)
    QTest.mouseClick(whole, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(5, 60))
    assert picture(course).cursor_at == 0


def test_return_opens_the_day_among_all_entries_and_escape_comes_back_to_the_board(course: Opened) -> None:
    key(course, Qt.Key.Key_Left, Qt.Key.Key_Left, Qt.Key.Key_Return)
    assert course.window.page() == "timeline"
    table: TimelineTable = course.find("timeline_list", TimelineTable)
    course.wait(lambda: table.model().rowCount() > 0)
    last = page_day(course, back=2)
    assert last in table.model().index(0, 0).data()
    course.press("go_timeline")
    course.wait(lambda: table.model().rowCount() > 0)
    assert last not in table.model().index(0, 0).data()


def page_day(course: Opened, back: int) -> str:
    home = course.window.desk.present.home()
    day = home.day(NOW) - timedelta(days=back)
    return f"{day.day}\xa0"


def test_the_length_that_was_chosen_is_kept(course: Opened) -> None:
    course.press("course_week")
    course.wait(lambda: columns(course) == 7)
    assert picture(course).cursor_at == 6
    assert course.window.preferences.now.course_days == 7
    kept = SettingsFile(course.window.desk.parts.places.settings).read()
    assert kept.course_days == 7


def test_a_step_back_shows_the_days_before_and_later_ends_at_today(course: Opened) -> None:
    course.press("course_week")
    course.wait(lambda: columns(course) == 7)
    assert not course.find("course_later").isEnabled()
    course.press("course_earlier")
    whole = page(course)
    course.wait(lambda: whole.course is not None and whole.course.axis.last_day(6) < home_today(course))
    assert course.find("course_later").isEnabled()
    course.press("course_later")
    course.wait(lambda: whole.course is not None and whole.course.axis.last_day(6) == home_today(course))


def home_today(course: Opened) -> date:
    return course.window.desk.present.home().day(NOW)


def test_of_a_year_each_column_is_a_week_and_opening_it_shows_that_week(course: Opened) -> None:
    course.press("course_year")
    course.wait(lambda: columns(course) == 52)
    key(course, Qt.Key.Key_Left)
    shown = page(course).course
    assert shown is not None
    wanted = shown.axis.last_day(50)
    assert course.find("course_open").text() == "Show the week"
    course.press("course_open")
    course.wait(lambda: columns(course) == 7)
    week = page(course).course
    assert week is not None
    assert week.axis.last_day(6) == wanted


def test_rows_are_taken_away_put_back_and_moved_and_the_choice_is_kept(course: Opened) -> None:
    course.press("course_rows")
    course.press("course_away_thickness")
    course.press("course_higher_colour")
    assert course.window.preferences.now.course_rows[:3] == ("suctions", "colour", "amount")
    key(course, Qt.Key.Key_Escape)
    shown = page(course).course
    assert shown is not None
    assert [row.name for row in shown.rows][:2] == ["suctions", "colour"]
    assert course.window.page() == "course"
    course.press("course_rows")
    course.press("course_rows_usual")
    course.press("course_rows_done")
    assert course.window.preferences.now.course_rows == ()


def test_the_table_says_in_words_all_that_is_drawn(course: Opened) -> None:
    course.press("course_as_table")
    table: QTableView = course.find("course_table", QTableView)
    model = table.model()
    assert (model.rowCount(), model.columnCount() >= 3) == (28, True)
    titles = [model.headerData(number, Qt.Orientation.Horizontal) for number in range(model.columnCount())]
    assert titles[0] == "Suctions a day"
    assert model.index(0, 0).data() == "nothing is recorded"
    assert int(model.index(1, 0).data()) >= 19
    course.pause()
    course.press("course_as_table")
    assert picture(course).isVisible()


def test_the_flags_come_after_the_rows_into_the_same_picture(course: Opened) -> None:
    whole = page(course)

    def flagged() -> list[Signs]:
        rows = whole.course.rows if whole.course is not None else ()
        return [row for row in rows if isinstance(row, Signs) and row.is_read]

    course.wait(lambda: bool(flagged()))
    assert any(flagged()[0].cells)


def test_a_copy_is_the_picture_in_the_colours_of_day_even_at_night(course: Opened) -> None:
    course.window.preferences.change(palette="night")
    course.press("course_copy")
    image = QGuiApplication.clipboard().image()
    assert image.width() == 2200
    assert image.pixelColor(3, 3).lightness() > 250
    assert "The picture is copied" in sentences(course)


def test_what_is_recorded_meanwhile_stands_in_the_picture_when_it_is_opened_again(course: Opened) -> None:
    course.press("go_board")
    course.press("tile_suction")
    course.wait(lambda: course.record.entries[-1].kind == "suction")
    course.press("go_course")
    course.wait(lambda: "1 suction so far" in told(course))


def test_days_of_which_nothing_is_recorded_say_so(course: Opened) -> None:
    for _ in range(3):
        course.press("course_earlier")
        course.pause()
    whole = page(course)
    first = home_today(course)
    course.wait(
        lambda: whole.course is not None and (first - whole.course.axis.last_day(27)) == timedelta(days=84)
    )
    assert "Nothing is recorded in these days." in sentences(course)
