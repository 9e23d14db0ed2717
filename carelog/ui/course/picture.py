"""The course as a picture with a cursor: by the mouse and by the keys, read out a column at a time."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import (
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from carelog.analysis.course.drawn import DrawnCourse, picture
from carelog.text import say
from carelog.ui.drawing import paint
from carelog.ui.palette import DAY, INK, RING, palette
from carelog.ui.theme import Size, dress

if TYPE_CHECKING:
    from carelog.analysis.course.course import WholeCourse

A_WEEK = 7
COPIED = (1100, 13, 2)
"""A copied picture's width and letters in points, and how many pixels a point is."""


class CoursePicture(QWidget):
    """Left and right move the cursor, Page keys by seven; Enter or a double press opens what it is on."""

    def __init__(self, moved: Callable[[int], None], opened: Callable[[int], None]) -> None:
        super().__init__()
        self._course: WholeCourse | None = None
        self._picture: DrawnCourse | None = None
        self._painted: QPixmap | None = None
        self.setObjectName("course_picture")
        self.setAccessibleName(say("Course"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        dress(self, Size.SMALL)
        self._moved = moved
        self._opened = opened
        self.cursor_at = 0
        """The column that the cursor is on."""

    def show_course(self, course: "WholeCourse", cursor_at: int) -> None:
        """Draw this; the cursor on a column."""
        self._course, self.cursor_at = course, min(max(cursor_at, 0), course.axis.count - 1)
        self._draw()

    def move_to(self, number: int) -> None:
        """Put the cursor on a column, and tell it."""
        if self._course is None:
            return
        self.cursor_at = min(max(number, 0), self._course.axis.count - 1)
        self.update()
        self._moved(self.cursor_at)

    def describe(self, words: str) -> None:
        """What the cursor is on, for a screen reader."""
        self.setAccessibleDescription(words)

    def copied(self) -> QImage | None:
        """The picture in the colours of day, for a letter or a message."""
        if self._course is None:
            return None
        width, letters, scale = COPIED
        drawn = picture(self._course, width, letters).drawing
        colours = palette(DAY)
        image = QImage(width * scale, round(drawn.height + 2) * scale, QImage.Format.Format_RGB32)
        image.fill(colours.color(QPalette.ColorRole.Base))
        image.setDevicePixelRatio(scale)
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for part in drawn.parts:
            paint(painter, part, colours, self.font())
        painter.end()
        return image

    # Drawing --------------------------------------------------------------------------------------

    def _draw(self) -> None:
        if self._course is None or self.width() < 50:
            return
        self._picture = picture(self._course, self.width() - 4, self.font().pixelSize())
        self._painted = None
        height = round(self._picture.drawing.height) + 4
        if height != self.height():
            self.setFixedHeight(height)
        self.setAccessibleName(self._picture.drawing.words)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(300, self.height())

    def _surface(self, shown: DrawnCourse) -> QPixmap:
        """All but the cursor, painted once for a size and a palette."""
        scale = self.devicePixelRatioF()
        made = QPixmap(self.size() * scale)
        made.setDevicePixelRatio(scale)
        made.fill(self.palette().color(QPalette.ColorRole.Base))
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(2, 2)
        for part in shown.drawing.parts:
            paint(painter, part, self.palette(), self.font())
        painter.end()
        return made

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, shown = QPainter(self), self._picture
        if shown is None:
            return
        if self._painted is None:
            self._painted = self._surface(shown)
        painter.drawPixmap(0, 0, self._painted)
        role, width = (RING, 3) if self.hasFocus() else (INK, 2)
        painter.setPen(QPen(self.palette().color(role), width))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        left = shown.left + self.cursor_at * shown.column + 2
        painter.drawRect(QRectF(left, shown.top, shown.column, self.height() - shown.top - 2))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._draw()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._draw()
        elif event.type() == QEvent.Type.PaletteChange:
            self._painted = None
            self.update()

    # The cursor -----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        course = self._course
        if course is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        steps = {
            Qt.Key.Key_Left: self.cursor_at - 1,
            Qt.Key.Key_Right: self.cursor_at + 1,
            Qt.Key.Key_PageUp: self.cursor_at - A_WEEK,
            Qt.Key.Key_PageDown: self.cursor_at + A_WEEK,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: course.axis.count - 1,
        }
        key = Qt.Key(event.key())
        if key in steps:
            self.move_to(steps[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._opened(self.cursor_at)
        else:
            super().keyPressEvent(event)

    def _under(self, event: QMouseEvent) -> int | None:
        if self._course is None or self._picture is None:
            return None
        return self._picture.number(event.position().x() - 2, self._course.axis.count)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        number = self._under(event)
        if number is not None:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self.move_to(number)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        number = self._under(event)
        if number is not None and number != self.cursor_at:
            self.move_to(number)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        number = self._under(event)
        if number is not None:
            self._opened(number)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()
