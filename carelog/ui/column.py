"""A page that is one scrolled column, filled anew when what it shows has changed."""

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.flow import Flow
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import STEP, Size, percent_now
from carelog.ui.words import Words

WIDEST = 840  # px at 100 %: a line of some 100 letters; a longer one is lost on the way back to its start


class ColumnView(QWidget):
    """Subclasses say what it shows (`key`) and fill it (`fill`); the focus stays on the same name."""

    def __init__(self) -> None:
        super().__init__()
        self._key: object = object()
        self._title = ""
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._scrolled: Scrolled | None = None
        self._body = QWidget()
        self._column = QVBoxLayout(self._body)

    def key(self) -> object:
        """What is shown, for comparison."""
        raise NotImplementedError

    def fill(self) -> None:
        """Add the widgets."""
        raise NotImplementedError

    def opened(self) -> None:
        """The page was opened."""
        self.refresh()

    def refresh(self) -> None:
        """Fill it anew, when it is seen and would show something else."""
        if not self.isVisible():
            return
        key = self.key()
        if key != self._key:
            self._key = key
            self._rebuild()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._keep_lines_short()

    def _keep_lines_short(self) -> None:
        self._body.setMaximumWidth(WIDEST * percent_now() // 100)

    def _rebuild(self) -> None:
        focused = self.window().focusWidget()
        has_focus = focused is not None and self.isAncestorOf(focused)
        name = focused.objectName() if focused is not None and has_focus else ""
        place = self._scrolled.verticalScrollBar().value() if self._scrolled is not None else 0
        self._body = QWidget()
        self._column = QVBoxLayout(self._body)
        self._column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._column.setSpacing(STEP)
        self._keep_lines_short()
        self._title = ""
        self.fill()
        self._column.addStretch(1)
        old, self._scrolled = self._scrolled, Scrolled(self._body, self._title or say("This page"))
        self._layout.addWidget(self._scrolled)
        self._scrolled.show()
        again = self._body.findChild(QWidget, name) if name else None
        if again is not None:
            again.setFocus()
        elif has_focus:
            self._scrolled.setFocus()
        if old is not None:
            self._layout.removeWidget(old)
            old.setParent(None)
            old.deleteLater()
        self._scrolled.verticalScrollBar().setValue(place)

    # Filling --------------------------------------------------------------------------------------

    def heading(self, text: str, size: Size = Size.HEAD) -> Words:
        """A heading."""
        made = Words(text, size, heading=True)
        self._column.addWidget(made)
        if not self._title:
            self._title = text
        return made

    def words(self, text: str, size: Size = Size.TEXT, *, soft: bool = False) -> Words:
        """A paragraph."""
        made = Words(text, size, soft=soft)
        self._column.addWidget(made)
        return made

    def widget(self, widget: QWidget) -> None:
        """Any widget over the whole width."""
        self._column.addWidget(widget)

    def row(self, *widgets: QWidget) -> QWidget:
        """Widgets side by side, going on in the next line."""
        made = row(*widgets)
        self._column.addWidget(made)
        return made


def row(*widgets: QWidget) -> QWidget:
    """Widgets side by side, going on in the next line."""
    holder = QWidget()
    flow = Flow(holder)
    for widget in widgets:
        flow.addWidget(widget)
    return holder
