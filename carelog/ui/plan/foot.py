"""The foot of the plan's editor: what changes, and the buttons; little of it stays there in large text."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.ui.column import row
from carelog.ui.flow import Flow
from carelog.ui.theme import LARGE, STEP, percent_now
from carelog.ui.words import Words


class PlanFoot(QWidget):
    """Stands beneath the scrolled page; `above` is a place in the page for what it has no room for."""

    def __init__(self, change: Words, message: Words, save: QWidget, acts: Sequence[QWidget]) -> None:
        super().__init__()
        self.above = QWidget()
        self._acts = acts
        self._above = Flow(self.above)
        beside = row(save)
        flow = beside.layout()
        assert isinstance(flow, Flow)
        self._beside, self._save, self._row = flow, save, beside
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * STEP, 0, 2 * STEP, STEP)
        column.setSpacing(STEP)
        for widget in (change, message, beside):
            column.addWidget(widget)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        """Saving, and what changes, are always in sight; the other buttons where the page has room."""
        is_large = percent_now() >= LARGE
        place = self._above if is_large else self._beside
        for act in self._acts:
            place.addWidget(act)
        self.above.setVisible(is_large)
        self._row.setMinimumHeight(self._save.sizeHint().height())
