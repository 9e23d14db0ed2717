"""The week above the rows: a button a day, with how many entries it has and the one thing that stood out."""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from functools import partial

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from carelog.analysis.standout import DayGlance, week_of
from carelog.analysis.times import short_day
from carelog.text import say, say_n
from carelog.ui import times
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.palette import INK, SOFT
from carelog.ui.theme import STEP, TARGET, Size, font, percent_now

WEEK = timedelta(days=7)


class DayButton(ChoiceButton):
    """One day: its name and count above, what stood out beneath; pressed, the rows begin with it."""

    padding = STEP

    def __init__(self, number: int) -> None:
        super().__init__("", f"day_{number}")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._glance = DayGlance(date.min, 0)
        self._is_today = self._is_ahead = False

    def show_day(self, glance: DayGlance | None, day: date, today: date) -> None:
        """What is known of a day; None: not read yet."""
        self._glance = glance or DayGlance(day, -1)
        self._is_today, self._is_ahead = day == today, day > today
        self.setEnabled(not self._is_ahead)
        self.setAccessibleName(self.spoken())
        self.setToolTip(self._glance.words)
        self.update()

    def spoken(self) -> str:
        """The day as it is read out."""
        told = [times.day_name(self._glance.day), *([say("today")] if self._is_today else [])]
        if not self._is_ahead:
            told.append(self._counted())
        return ", ".join(part for part in (*told, self._glance.words) if part)

    def _counted(self) -> str:
        count = self._glance.count
        if count < 0:
            return say("not read yet")
        if count == 0:
            return say("nothing recorded yet") if self._is_today else say("nothing recorded")
        return say_n("one entry", "{count} entries", count).format(count=count)

    def _beneath(self) -> str:
        if self._is_ahead:
            return ""
        if self._glance.count <= 0:
            return self._counted()
        return self._glance.words or (say("today") if self._is_today else "")

    def sizeHint(self) -> QSize:
        height = self.fontMetrics().height() * 2 + STEP
        return QSize(7 * self.fontMetrics().averageCharWidth() + 2 * self.padding, max(height, TARGET))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.draw_frame(painter)
        inner = self.rect().adjusted(self.padding, 3, -self.padding, -3)
        half = QRect(inner.x(), inner.y(), inner.width(), inner.height() // 2)
        colours = self.palette()
        lead = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        name = short_day(self._glance.day) if self._glance.day > date.min else ""
        strong = font(Size.STRONG, percent_now())
        painter.setPen(colours.color(SOFT if self._is_ahead else INK))
        painter.setFont(strong)
        painter.drawText(half, lead, name)
        painter.setFont(self.font())
        painter.setPen(colours.color(SOFT))
        count = str(self._glance.count)
        room = inner.width() - QFontMetrics(strong).horizontalAdvance(name) - STEP
        if self._glance.count > 0 and self.fontMetrics().horizontalAdvance(count) <= room:
            trail = Qt.AlignmentFlag.AlignTrailing | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(half, trail, count)
        painter.setPen(colours.color(INK if self._glance.words else SOFT))
        beneath, letters = self._beneath(), self.fontMetrics()
        if self._glance.count == 0 and letters.horizontalAdvance(beneath) > inner.width():
            beneath = say("no entry")
        told = letters.elidedText(beneath, Qt.TextElideMode.ElideRight, inner.width())
        painter.drawText(half.translated(0, half.height()), lead, told)


class WeekStrip(QWidget):
    """Seven days and the ways to the weeks beside them."""

    def __init__(self, look: Callable[[Sequence[date]], None], go: Callable[[date | None], None]) -> None:
        """`look` reads a week, which comes by `put`; `go` shows the rows from a day back (None: all)."""
        super().__init__()
        self._look, self._go = look, go
        self._today = self._first = date.min
        self.days: list[DayButton] = []
        self.chosen: date | None = None
        self._earlier = Button.calling(say("earlier"), "week_before", lambda: self.turn(-WEEK))
        self._later = Button.calling(say("later"), "week_after", lambda: self.turn(WEEK))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        layout.setSpacing(STEP)
        layout.addWidget(self._earlier)
        for number in range(7):
            button = DayButton(number)
            button.switched.connect(partial(self._on_day, number))
            self.days.append(button)
            layout.addWidget(button, 1)
        layout.addWidget(self._later)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_later"):
            self._fit()

    def minimumSizeHint(self) -> QSize:
        """As much as one day and the ways beside it need: the others go where there is no room."""
        ways = self._earlier.sizeHint().width() + self._later.sizeHint().width()
        day = self.days[0].sizeHint()
        return QSize(ways + day.width() + 6 * STEP, day.height())

    def _fit(self) -> None:
        """Of the week so many days as have room, that which is looked at among them."""
        ways = self._earlier.sizeHint().width() + self._later.sizeHint().width() + 6 * STEP
        room = (self.width() - ways) // (self.days[0].sizeHint().width() + STEP)
        week, count = self.week(), min(max(room, 1), 7)
        looked_at = self.chosen or self._today
        place = week.index(looked_at) if looked_at in week else 6
        first = min(max(place - count + 1, 0), 7 - count)
        for number, button in enumerate(self.days):
            button.setVisible(first <= number < first + count)

    def week(self) -> list[date]:
        """The days that are shown."""
        return week_of(self._first) if self._first > date.min else []

    def show_today(self, today: date) -> None:
        """The clock has come to a day: its week, unless another one was turned to."""
        if today == self._today:
            return
        was_now = self._today in self.week() or self._today == date.min
        self._today = today
        if was_now:
            self._first = week_of(today)[0]
        self._read()

    def turn(self, by: timedelta) -> None:
        """To another week."""
        self._first += by
        self._read()

    def choose(self, day: date | None) -> None:
        """Show a day, in its week, as the one that the rows begin with; None: they begin with the newest."""
        self.chosen = day
        shown = day or self._today
        if shown > date.min:
            self._first = week_of(shown)[0]
            self._read()

    def read_again(self, days: Sequence[date]) -> None:
        """Something was written about these days (none: about any)."""
        if self.week() and (not days or set(days) & set(self.week())):
            self._look(self.week())

    def _read(self) -> None:
        self._later.setEnabled(self._today not in self.week())
        self._fit()
        for button, day in zip(self.days, self.week(), strict=True):
            button.show_day(None, day, self._today)
            button.show_on(day == self.chosen)
        self._look(self.week())

    def put(self, glances: Sequence[DayGlance]) -> None:
        """A week that was read, if it is still the one that is shown."""
        if [each.day for each in glances] != self.week():
            return
        for button, glance in zip(self.days, glances, strict=True):
            button.show_day(glance, glance.day, self._today)

    def _on_day(self, place: int, is_on: bool) -> None:
        self.chosen = self.week()[place] if is_on else None
        for number, button in enumerate(self.days):
            button.show_on(is_on and number == place)
        self._go(self.chosen)
