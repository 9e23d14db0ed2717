"""What every control of a form can do: give its value, take one, keep what was typed."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from carelog.domain.entry import Json


class Absent:
    """Nothing was said: never recorded as “none”."""


ABSENT = Absent()
Value = Json | Absent


class Control(QWidget):
    """One field's control. What wasn't touched since it was put in comes out exactly as it went in."""

    is_group = True
    """Whether assistive tools are told that what is in it belongs together, under its name."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.when_changed: list[Callable[[], None]] = []
        self._put: Value = ABSENT
        self._typed_at_put: Json = None
        self._was_put = False

    def put(self, value: Value) -> None:
        """Show a recorded value; ABSENT: nothing."""
        self.show_value(value)
        self._put, self._typed_at_put, self._was_put = value, self.typed(), True

    def value(self) -> Value:
        """What was typed or chosen; `Refused` when it isn't a value of this field."""
        if self._was_put and self.typed() == self._typed_at_put:
            return self._put
        return self.read()

    def show_value(self, value: Value) -> None:
        """Show a valid value."""
        raise NotImplementedError

    def read(self) -> Value:
        """The value as it stands in the control."""
        raise NotImplementedError

    def typed(self) -> Json:
        """What stands in the control, valid or not, for the draft."""
        raise NotImplementedError

    def restore(self, typed: Json) -> None:
        """Put back what `typed` gave."""
        raise NotImplementedError

    def focus(self) -> QWidget:
        """The widget that takes the focus for this control."""
        return self

    def touched(self) -> None:
        """Tell whoever listens that a person changed something."""
        for listener in self.when_changed:
            listener()
