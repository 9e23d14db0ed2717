"""What the plan in the editor would have meant: a sentence and a table, worked out in a thread of its own."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget
from shiboken6 import isValid

from carelog.domain.entry import Details
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.analysis.meant import Meant

PATIENCE = 5  # s; a window that closes waits no longer
_HEADS = (mark("The last two weeks"), mark("as they were"), mark("under this plan"))
_WORKING = mark("Working out the last two weeks …")
_OLD = mark("The plan was changed since. Ask again.")


class MeantPanel(QWidget):
    """Hidden until it is asked; what is asked last is shown."""

    def __init__(self, access: Access, present: Present) -> None:
        super().__init__()
        self.setObjectName("plan_meant_panel")
        self._access = access
        self._present = present
        self._newest = Newest()
        self._worker: Worker | None = None
        self._said = Words("", Size.STRONG)
        self._said.setObjectName("plan_meant_words")
        self._table: QWidget | None = None
        self._foot = Words("", soft=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(STEP)
        for widget in (self._said, self._foot):
            self._column.addWidget(widget)
        self.hide()
        access.when_ending.append(self._end)

    def ask(self, details: Details) -> None:
        """Work it out for these details of a plan."""
        self._show(say(_WORKING))
        now, asking = self._present.now(), self._newest.ask()
        from carelog.app.meant import meant_of

        if self._worker is None:
            self._worker = Worker("plan", self._access.bridge, self._access.turn)
        self._access.read(
            lambda record: meant_of(record, details, now),
            asking.only(self._on_found),
            asking.only(self._show),
            self._worker,
        )

    def outdate(self) -> None:
        """The plan isn't the one that was asked about any more."""
        self._newest.forget()
        if not self.isHidden():
            self._show(say(_OLD))

    def _show(self, words: str, foot: str = "", table: QWidget | None = None) -> None:
        if not isValid(self):
            return
        if self._table is not None:
            self._table.setParent(None)
            self._table.deleteLater()
        self._table = table
        if table is not None:
            self._column.insertWidget(1, table)
        self._said.say(words)
        self._foot.say(foot)
        self._foot.setHidden(not foot)
        self.show()
        announce(self, words)

    def _on_found(self, found: "Meant") -> None:
        if not isValid(self):
            return
        self._show(found.sentence, found.foot, table_of(found))

    def _end(self) -> None:
        self._newest.forget()
        if self._worker is not None:
            self._worker.end(PATIENCE)
            self._worker = None


def table_of(found: "Meant") -> QWidget:
    """Each thing that differs as a row: as it was, and as it would have been; then those that don't."""
    holder = QWidget()
    grid = QGridLayout(holder)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(2 * STEP)
    for column, words in enumerate(_HEADS):
        grid.addWidget(Words(say(words), soft=True), 0, column)
        grid.setColumnStretch(column, 1)
    rows = sorted(found.rows, key=lambda each: not each.is_changed)
    for number, each in enumerate(rows, start=1):
        size = Size.STRONG if each.is_changed else Size.TEXT
        for column, text in enumerate((each.title, each.before, each.after)):
            grid.addWidget(Words(text, size), number, column)
    return holder
