"""The course's page: how long, what is drawn, a picture with a cursor, each day read out in one sentence."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtGui import QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from carelog.analysis.course.axis import ColumnState, days_to
from carelog.analysis.course.told import sentence, table
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import row
from carelog.ui.course.picture import CoursePicture
from carelog.ui.course.reader import CourseReader
from carelog.ui.course.rows import RowChoice, rows_drawn
from carelog.ui.course.table import CourseTableView
from carelog.ui.empty import to_board
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.ringed import Ringed, Scrolled
from carelog.ui.theme import STEP, TARGET, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.course.course import WholeCourse

LENGTHS = (
    (7, "course_week", mark("1 week")),
    (28, "course_weeks", mark("4 weeks")),
    (91, "course_months", mark("3 months")),
    (364, "course_year", mark("a year")),
)
"""The lengths that can be chosen, in days."""
USUALLY = 28


class CoursePage(QWidget):
    """Four weeks to today at first; what was chosen is kept."""

    def __init__(
        self,
        access: Access,
        present: Present,
        preferences: Preferences,
        go: Callable[[str], object],
        open_day: Callable[[date], None],
        to_paper: Callable[[], None],
    ) -> None:
        super().__init__()
        self._present = present
        self._preferences = preferences
        self._open_day = open_day
        self._to_paper = to_paper
        self._reader = CourseReader(access, self._on_course, self._failed)
        self._last: date | None = None
        self._asked: object = None
        self._whole: WholeCourse | None = None
        self.course: WholeCourse | None = None
        """What is shown."""
        self._state = Words("", soft=True)
        self.picture = CoursePicture(self._on_cursor, lambda _number: self._open())
        self._table = CourseTableView()
        self._name, self._told = Words("", Size.STRONG), Words("")
        self._empty = to_board("course", say("Nothing is recorded in these days."), "course_board", go)
        self._stack = QStackedWidget()
        self._rows: QWidget | None = None
        self._lay_out()
        access.when_told.append(lambda _entries: self._refresh())
        present.when_changed.append(self._refresh)
        preferences.when_changed.append(self._show)

    # The page's parts -----------------------------------------------------------------------------

    def _lay_out(self) -> None:
        scrolled = QWidget()
        inner = QVBoxLayout(scrolled)
        inner.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, 0)
        inner.setSpacing(STEP // 2)
        inner.addWidget(self._controls())
        inner.addWidget(self._state)
        inner.addWidget(self._empty)
        inner.addWidget(self.picture)
        self._empty.hide()
        self._framed = Ringed(self._table)
        self._framed.hide()
        inner.addWidget(self._framed)
        inner.addStretch(1)
        self._above = Scrolled(scrolled, say("Course"))
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, STEP // 2)
        column.setSpacing(STEP // 2)
        column.addWidget(self._above, 1)
        self._read_out = self._reading()
        column.addWidget(self._read_out)
        self._stack.addWidget(body)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)

    def _show_as(self, is_table: bool) -> None:
        if is_table and self.course is not None:
            self._table.show_table(table(self.course))
        self._show_parts()
        self._framed.setMinimumHeight(max(self._above.height() - 3 * TARGET // 2, 5 * TARGET))

    def _show_parts(self) -> None:
        """The picture or the table, and its sentence; where nothing is recorded, what to do next."""
        is_table, is_empty = self._as_table.isChecked(), self._is_empty()
        self._empty.setVisible(is_empty)
        self.picture.setVisible(not is_empty and not is_table)
        self._framed.setVisible(not is_empty and is_table)
        self._read_out.setVisible(not is_empty)

    def _is_empty(self) -> bool:
        course = self.course
        states = [column.state for column in course.axis.columns] if course is not None else []
        return bool(states) and ColumnState.RECORDED not in states

    def _controls(self) -> QWidget:
        self._lengths = {}
        for days, name, words in LENGTHS:
            button = ChoiceButton(say(words), name, is_one_of=True)
            button.switched.connect(lambda _is_on, length=days: self._choose(length))
            self._lengths[days] = button
        self._as_table = ChoiceButton(say("Table"), "course_as_table")
        self._as_table.switched.connect(self._show_as)
        self._later = Button.calling(say("later"), "course_later", lambda: self._step(1))
        rows = Button.calling(say("Rows …"), "course_rows", self._choose_rows)
        rows.setAccessibleName(say("Rows: what is drawn"))
        copy = Button.calling(say("Copy"), "course_copy", self._copy)
        copy.setAccessibleName(say("Copy the picture"))
        return row(
            *self._lengths.values(),
            Button.calling(say("earlier"), "course_earlier", lambda: self._step(-1)),
            self._later,
            rows,
            self._as_table,
            copy,
            Button.calling(say("Print …"), "course_print", self._to_paper),
        )

    def _reading(self) -> QWidget:
        """The sentence, and the way to what it tells of."""
        holder = QWidget()
        line = QHBoxLayout(holder)
        line.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        text = QWidget()
        column = QVBoxLayout(text)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._name)
        column.addWidget(self._told)
        column.addStretch(1)
        self._opener = Button.calling(say("Open the day"), "course_open", self._open)
        self._text = text
        self._sentence = Scrolled(text, say("What the day holds"))
        line.addWidget(self._sentence, 1)
        line.addWidget(self._opener)
        return holder

    def _fit_sentence(self) -> None:
        """All of a short sentence is seen; a long one scrolls, by whole lines, to leave the picture room."""
        width, edge = self._sentence.viewport().width(), 2 * self._sentence.frameWidth() + 2
        wanted, most = self._text.heightForWidth(width) + edge, max(self.height() // 4, TARGET)
        if wanted > most:
            line, begins = self._told.fontMetrics().lineSpacing(), edge + self._name.heightForWidth(width)
            wanted = begins + max((most - begins) // line, 1) * line
        self._sentence.setFixedHeight(max(wanted, TARGET))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_sentence()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_sentence"):
            self._fit_sentence()

    # Choosing -------------------------------------------------------------------------------------

    @property
    def _length(self) -> int:
        chosen = self._preferences.now.course_days
        return chosen if chosen in self._lengths else USUALLY

    def _today(self) -> date:
        return self._present.home().day(self._now())

    def _now(self) -> int:
        picture = self._present.picture
        return picture.as_of if picture is not None and picture.as_of is not None else self._present.now()

    def _choose(self, days: int, last: date | None = None) -> None:
        self._last = last
        self.picture.cursor_at = days
        self._preferences.change(course_days=days)
        self._refresh()

    def _step(self, by: int) -> None:
        """Go on by the whole length, not behind today."""
        last = (self._last or self._today()) + timedelta(days=by * self._length)
        self._last = None if last >= self._today() else last
        self._refresh()

    def _choose_rows(self) -> None:
        self._rows = Scrolled(RowChoice(self._preferences, self.show_list_quietly), say("What is drawn"))
        self._stack.addWidget(self._rows)
        self._stack.setCurrentWidget(self._rows)
        self._rows.setFocus()

    def show_list_quietly(self) -> None:
        """Back to the picture."""
        self.show_list()

    def show_list(self) -> bool:
        """From the choice of rows back to the picture; False when it is shown already."""
        if self._rows is None:
            return False
        self._stack.setCurrentIndex(0)
        self._stack.removeWidget(self._rows)
        self._rows.deleteLater()
        self._rows = None
        self.picture.setFocus()
        return True

    # Reading --------------------------------------------------------------------------------------

    def opened(self) -> None:
        """Read what is chosen, if the record has changed since; the arrow keys move the cursor at once."""
        self._refresh()
        if self._rows is None:
            self.picture.setFocus()

    def _refresh(self) -> None:
        picture = self._present.picture
        for days, button in self._lengths.items():
            button.show_on(days == self._length)
        if picture is None:
            self._state.say(self._present.unread())
            self._state.show()
            return
        if not self.isVisible():
            return
        today = self._today()
        last = min(self._last or today, today)
        self._later.setEnabled(last < today)
        wanted = (last, self._length, picture.count, picture.last_known)
        if wanted == self._asked:
            return
        self._asked = wanted
        if self.course is None:
            self._state.say(say("Reading, nothing is shown yet"))
        self._reader.ask(days_to(last, self._length), self._now())

    def _failed(self, sentence: str) -> None:
        self._asked = None
        self._state.say(sentence)
        self._state.show()

    def _on_course(self, course: "WholeCourse") -> None:
        before = self._whole
        is_same = before is not None and before.axis.period.days == course.axis.period.days
        self._whole = course
        self._show(self.picture.cursor_at if is_same else course.axis.count - 1)

    def _show(self, cursor_at: int | None = None) -> None:
        if self._whole is None:
            return
        names = rows_drawn(self._preferences)
        self.course = self._whole.chosen(names)
        self.picture.show_course(self.course, self.picture.cursor_at if cursor_at is None else cursor_at)
        if self._as_table.isChecked():
            self._table.show_table(table(self.course))
        is_by_day = self.course.axis.is_by_day
        self._opener.setText(say("Open the day") if is_by_day else say("Show the week"))
        self._state.setVisible(False)
        self._show_parts()
        self._tell(self.picture.cursor_at)

    # The cursor -----------------------------------------------------------------------------------

    def _on_cursor(self, number: int) -> None:
        announce(self.picture, self._tell(number))

    def _tell(self, number: int) -> str:
        """Read a column out; in words for a screen reader too."""
        if self.course is None:
            return ""
        told = sentence(self.course, number)
        self._name.say(told.name.replace("\N{NO-BREAK SPACE}", " "))  # as a whole it is wider than its place
        self._told.say(told.words)
        self.picture.describe(told.text)
        self._fit_sentence()
        return told.text

    def _open(self) -> None:
        """The day in full; of a year's week its seven days."""
        if self.course is None:
            return
        last = self.course.axis.last_day(self.picture.cursor_at)
        if self.course.axis.is_by_day:
            self._open_day(last)
        else:
            self._choose(7, last)
            self.picture.setFocus()

    def _copy(self) -> None:
        image = self.picture.copied()
        if image is not None:
            QGuiApplication.clipboard().setImage(image)
            self._state.say(say("The picture is copied. It can be pasted elsewhere now."))
            self._state.show()
            announce(self._state, self._state.text())

    def print(self) -> None:
        """The course as a sheet for paper."""
        self._to_paper()
