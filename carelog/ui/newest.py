"""Numbers what is asked again and again, so that only the answer to what was asked last is taken."""

import threading
from collections.abc import Callable
from typing import ParamSpec

P = ParamSpec("P")


class Newest:
    """One question of the window; an answer to anything but its last asking is dropped."""

    def __init__(self) -> None:
        self._number = 0
        self._lock = threading.Lock()

    def ask(self) -> "Asking":
        """It is asked once more; may be called from any thread."""
        with self._lock:
            self._number += 1
            return Asking(self, self._number)

    def forget(self) -> None:
        """Nobody waits for an answer any more."""
        self.ask()

    def is_newest(self, number: int) -> bool:
        """Whether nothing was asked since this number was given."""
        return number == self._number


class Asking:
    """One number of the question."""

    def __init__(self, of: Newest, number: int) -> None:
        self.number = number
        self._of = of

    def only(self, then: Callable[P, None]) -> Callable[P, None]:
        """`then`, which does nothing once the question was asked again."""

        def taken(*given: P.args, **named: P.kwargs) -> None:
            if self._of.is_newest(self.number):
                then(*given, **named)

        return taken
