"""The offers for an adult's first plan: each pressed or not, its source one press away."""

from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import row
from carelog.ui.plan.defaults import DEFAULTS, NOT_OFFERED, Default, plan_of
from carelog.ui.words import Words


class Offers(QWidget):
    """Nothing is chosen beforehand."""

    def __init__(self) -> None:
        super().__init__()
        self._choices: dict[str, ChoiceButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(
            Words(say("Press what the plan shall begin with; everything can be changed in its form."))
        )
        for default in DEFAULTS:
            self._add(column, default)
        column.addWidget(Words(say(NOT_OFFERED)))

    def _add(self, column: QVBoxLayout, default: Default) -> None:
        choice = ChoiceButton(default.said(), f"offer_{default.name}")
        source = Words(say(default.source), soft=True)
        source.hide()
        show = Button(say("Source"), f"source_{default.name}")
        show.setAccessibleName(say("Source: {offer}").format(offer=default.said()))
        show.clicked.connect(lambda: source.setVisible(source.isHidden()))
        self._choices[default.name] = choice
        column.addWidget(row(choice, show))
        column.addWidget(source)

    def plan(self) -> dict[str, Any]:
        """The plan that the pressed offers make."""
        return plan_of(name for name, choice in self._choices.items() if choice.isChecked())
