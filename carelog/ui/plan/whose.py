"""Who set a plan: proposed from who records and from who set the last one, or typed."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize

from carelog.domain.entry import Json
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import percent_now

if TYPE_CHECKING:
    from carelog.app.outlook import Picture

NURSE = "nurse"
WIDTH = 380  # px at 100 %


class NameLine(Ringed):
    """A line that has room for a name, and takes less where there is less."""

    def sizeHint(self) -> QSize:
        return QSize(WIDTH * percent_now() // 100, super().sizeHint().height())


class SetBy(Control):
    """One line, and a button a name that it is likely to be; a nurse who records now is there already."""

    def __init__(self, present: Present, recorder: Recorder) -> None:
        super().__init__()
        self._line = Line("field_set_by", say(mark("Set by: who in the team, or which hospital")))
        self._line.setPlaceholderText(say(mark("who in the team, or which hospital")))
        self._line.textChanged.connect(lambda _text: self.touched())
        self._own = nurses_name(present.picture, recorder.who)
        flow = Flow(self)
        for number, name in enumerate(proposed(present.picture, self._own)):
            flow.addWidget(self._name(name, number))
        flow.addWidget(NameLine(self._line))

    def _name(self, name: str, number: int) -> Button:
        made = Button.calling(name, f"set_by_{number}", lambda: self._line.setText(name))
        made.setAccessibleName(say(mark("Set by {name}")).format(name=name))
        return made

    def show_value(self, value: Value) -> None:
        self._line.setText(value if isinstance(value, str) else self._own)

    def read(self) -> Value:
        return self._line.text().strip() or ABSENT

    def typed(self) -> Json:
        return self._line.text()

    def restore(self, typed: Json) -> None:
        self._line.setText(str(typed))

    def value(self) -> Value:
        """A nurse's own name, which she didn't type, counts too."""
        return self.read() if self._put is ABSENT else super().value()

    def focus(self) -> Line:
        return self._line


def nurses_name(picture: "Picture | None", initials: str) -> str:
    """The name of who records now, where that is a nurse; else empty."""
    for held in reversed(picture.recorders if picture is not None else ()):
        details = held.entry.details
        if details["initials"] == initials and details.get("role") == NURSE:
            return str(details.get("name", ""))
    return ""


def proposed(picture: "Picture | None", own: str) -> list[str]:
    """The nurses who record here, and whoever set the last plans."""
    if picture is None:
        return [own] if own else []
    nurses = [
        str(held.entry.details.get("name", ""))
        for held in picture.recorders
        if held.entry.details.get("role") == NURSE
    ]
    setters = [str(plan.details.get("set_by", "")) for plan in reversed(picture.plans)]
    return [name for name in dict.fromkeys([own, *setters, *nurses]) if name][:4]
