"""Who is told that something has changed."""

import contextlib
from collections.abc import Callable, Iterator


class Listeners(list[Callable[[], None]]):
    """They are told one after another, in the order in which they were added."""

    _is_later = _is_wanted = False

    def tell(self) -> None:
        """Tell all of them now, or at the end of `once`."""
        self._is_wanted = self._is_later
        for listener in () if self._is_later else self:
            listener()

    @contextlib.contextmanager
    def once(self) -> Iterator[None]:
        """Whatever changes meanwhile is told once, at the end: nothing is painted in between anyway."""
        self._is_later = True
        try:
            yield
        finally:
            self._is_later = False
            if self._is_wanted:
                self.tell()
