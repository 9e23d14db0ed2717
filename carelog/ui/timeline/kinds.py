"""Which kinds are shown among the days: a button each, folded away at first."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from carelog.kinds import ALL
from carelog.text import say
from carelog.ui.button import ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import STEP

HIGHEST = 160  # px


class KindFilter(Scrolled):
    """No kind chosen shows all of them."""

    def __init__(self, changed: Callable[[], None]) -> None:
        holder = QWidget()
        super().__init__(holder, say("Kinds"))
        self._buttons: dict[str, ChoiceButton] = {}
        flow = Flow(holder, gap=STEP // 2)
        flow.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        for kind in ALL:
            button = ChoiceButton(say(kind.title), f"filter_{kind.name}")
            button.switched.connect(lambda _is_on: changed())
            self._buttons[kind.name] = button
            flow.addWidget(button)
        self.setMaximumHeight(HIGHEST)
        self.hide()

    def chosen(self) -> frozenset[str]:
        """The names of the kinds that are chosen."""
        return frozenset(name for name, button in self._buttons.items() if button.isChecked())

    def clear(self) -> None:
        """Choose none."""
        for button in self._buttons.values():
            button.show_on(False)
