"""Who goes first: what reckons or reads for long asks now and then, in its own thread, whether it may go on.

Whoever runs it says what it asks (`asking`): to wait a moment, or to end, by an exception. Nothing that is
found depends on it, and where nobody says anything, nothing is asked.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar


class Unwanted(BaseException):
    """Nobody waits any more for what is being worked out; no failure, and nothing to be told."""


def _nothing() -> None:
    """Nobody said what is to be asked."""


_ASKED: ContextVar[Callable[[], None]] = ContextVar("asked", default=_nothing)


def give_way() -> None:
    """Called by what takes long, every few milliseconds: who goes first may go now."""
    _ASKED.get()()


def is_asked() -> bool:
    """Whether anybody said in this thread what is to be asked."""
    return _ASKED.get() is not _nothing


@contextmanager
def asking(ask: Callable[[], None]) -> Iterator[None]:
    """In this thread each `give_way` does this too, after all that it does already."""
    before = _ASKED.get()

    def both() -> None:
        before()
        ask()

    token = _ASKED.set(both)
    try:
        yield
    finally:
        _ASKED.reset(token)
