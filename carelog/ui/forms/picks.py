"""Choices as big buttons: one of several, any of several, yes or no."""

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.text import mark, say
from carelog.ui.button import ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value

Option = tuple[Json, str]
YES_NO: tuple[Option, ...] = ((True, mark("yes")), (False, mark("no")))
NOT_TRIED = "not_tried"


class Picks(Control):
    """Buttons of which none, one, or (`is_many`) any number is pressed; a second press takes it back.

    `not_tried` is a button of its own that records nothing: it says that the question was read.
    """

    def __init__(
        self,
        name: str,
        label: str,
        options: Sequence[Option],
        *,
        is_many: bool = False,
        not_tried: bool = False,
        is_needed: bool = False,
        made_by: Callable[..., ChoiceButton] = ChoiceButton,
    ) -> None:
        """`is_needed`: one is always chosen, and pressed again it stays so.

        `made_by` makes a button of its words and its name, of one of several if `is_one_of`.
        """
        super().__init__()
        self.setObjectName(f"field_{name}")
        self.setAccessibleName(label)
        self._is_many = is_many
        self._is_needed = is_needed
        self._made_by = made_by
        self._options = options
        self._buttons: list[ChoiceButton] = []
        self._unknown: list[Json] = []
        holder = QWidget()
        flow = Flow(holder)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(holder)
        for value, words in options:
            word = str(value).lower() if isinstance(value, bool) else value
            self._buttons.append(self._button(flow, say(words), f"pick_{name}_{word}", label))
        self._not_tried: ChoiceButton | None = None
        if not_tried:
            self._not_tried = self._button(flow, say("not tried"), f"pick_{name}_{NOT_TRIED}", label)

    def _button(self, flow: Flow, words: str, name: str, label: str) -> ChoiceButton:
        button = self._made_by(words, name, is_one_of=not self._is_many)
        button.setAccessibleName(f"{label}: {words}" if label else words)
        button.switched.connect(lambda _is_on: self._pressed(button))
        flow.addWidget(button)
        return button

    def _pressed(self, pressed: ChoiceButton) -> None:
        if self._is_needed and not pressed.isChecked():
            pressed.show_on(True)
            return
        if not self._is_many or pressed is self._not_tried:
            for button in self._all():
                button.show_on(button is pressed and pressed.isChecked())
        elif self._not_tried is not None:
            self._not_tried.show_on(False)
        self.touched()

    def _all(self) -> list[ChoiceButton]:
        return [*self._buttons, self._not_tried] if self._not_tried else self._buttons

    def on_toggle(self, told: Callable[[], None]) -> None:
        """Call this whenever another button is pressed, by a person or by the program."""
        for button in self._buttons:
            button.toggled.connect(lambda _is_on: told())

    def words(self) -> str:
        """The words on the pressed button; empty for none."""
        return next((button.words for button in self._buttons if button.isChecked()), "")

    def show_value(self, value: Value) -> None:
        wanted = value if self._is_many and isinstance(value, list) else [value]
        for (own, _words), button in zip(self._options, self._buttons, strict=True):
            button.show_on(any(own == each and type(own) is type(each) for each in wanted))
        known = [own for own, _words in self._options]
        self._unknown = [each for each in wanted if each not in known] if self._is_many else []

    def read(self) -> Value:
        chosen = [
            own
            for (own, _words), button in zip(self._options, self._buttons, strict=True)
            if button.isChecked()
        ]
        if self._is_many:
            found = [*chosen, *(each for each in self._unknown if each is not ABSENT)]
            return found or ABSENT
        return chosen[0] if chosen else ABSENT

    def typed(self) -> Json:
        return [number for number, button in enumerate(self._all()) if button.isChecked()]

    def restore(self, typed: Json) -> None:
        for number, button in enumerate(self._all()):
            button.show_on(number in typed)

    def focus(self) -> QWidget:
        return next((each for each in self._buttons if each.isChecked()), self._buttons[0])
