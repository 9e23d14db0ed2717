"""What the plan asks for next, on the board's right side: the nearest, and the way to all of it."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.due import Due
from carelog.domain.moment import Instant
from carelog.text import say, say_n
from carelog.ui.button import Button
from carelog.ui.due.row import DueRows
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture

MOST_DUES = 4


class AskedFor(QWidget):
    """Made once: with each entry and each minute only the words on it change."""

    def __init__(self, go: Callable[[str], object]) -> None:
        super().__init__()
        self.leave: Callable[[], None] = lambda: None
        """Told before a button goes that has the focus."""
        self._rows = DueRows()
        self._more = Button.calling("", "due_more", lambda: go("due"))
        self._told = Words(soft=True)
        self._write = Button.calling(say("Write the plan"), "go_write_plan", lambda: go("plan"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP)
        layout.addWidget(Words(say("Asked for by the plan"), Size.NAME))
        layout.addWidget(self._rows)
        layout.addWidget(self._more, 0, Qt.AlignmentFlag.AlignLeading)
        layout.addWidget(self._told)
        layout.addWidget(self._write, 0, Qt.AlignmentFlag.AlignLeading)

    def tell(self, picture: "Picture", dues: Sequence[Due], now: Instant) -> None:
        """Show these dues, which aren't told elsewhere."""
        is_known = picture.plan is not None and picture.as_of is None
        nearest = dues[:MOST_DUES] if is_known else ()
        self._rows.tell(nearest, picture.home, now)
        self._rows.setVisible(is_known)
        more = len(dues) - len(nearest) if is_known else 0
        if more > 0:
            self._more.setText(say_n("one more", "{count} more", more).format(count=more))
        self._keep(self._more, more > 0)
        told = _told_instead(picture, dues)
        self._told.say(told)
        self._told.setVisible(bool(told))
        self._keep(self._write, picture.plan is None)

    def _keep(self, button: Button, is_wanted: bool) -> None:
        if not is_wanted and button.hasFocus():
            self.leave()
        button.setVisible(is_wanted)


def unknown_dues() -> str:
    """What stands for the dues while the clock can't be believed."""
    return say("What is due: not known while the clock is wrong.")


def _told_instead(picture: "Picture", dues: Sequence[Due]) -> str:
    """What is said where no due is listed; empty: some are."""
    if picture.plan is None:
        return say("No plan recorded yet")
    if picture.as_of is not None:
        return unknown_dues()
    if dues:
        return ""
    return say("The plan asks for nothing else now") if picture.dues else say("The plan asks for nothing now")
