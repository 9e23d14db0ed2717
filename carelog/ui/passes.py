"""Reads in a thread of its own what takes long: what is soon known is handed over first, then all of it."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, TypeVar

from carelog.ui.access import Access
from carelog.ui.newest import Asking, Newest
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.app.ports import Record

PATIENCE = 5  # s; a window that closes waits no longer
Kept = TypeVar("Kept")
Shown = TypeVar("Shown")


class TwoPasses(Generic[Kept, Shown]):
    """Only what was asked for last is handed over, first without what takes long and then with it."""

    def __init__(
        self, name: str, access: Access, then: Callable[[Shown], None], failed: Callable[[str], None]
    ) -> None:
        """`name` is the thread's; `then` is given each answer twice."""
        self._name = name
        self._access = access
        self._then = then
        self._failed = failed
        self._newest = Newest()
        self._worker: Worker | None = None
        self._is_ended = False
        access.when_ending.append(self._end)

    def ask(
        self,
        first: "Callable[[Record], tuple[Kept, Shown]]",
        second: "Callable[[Record, Kept], Shown]",
    ) -> None:
        """Read it anew: `first` gives what `second` goes on from, too."""
        asking = self._newest.ask()

        def read(record: "Record") -> None:
            if not self._is_ended:
                self._ask_worker(asking, lambda: first(record), lambda kept: second(record, kept))

        self._access.read(lambda record: record, asking.only(read), asking.only(self._failed))

    def beside(self) -> Worker:
        """The thread, for what else takes long."""
        if self._worker is None:
            self._worker = Worker(self._name, self._access.bridge, self._access.turn)
        return self._worker

    def _ask_worker(
        self,
        asking: Asking,
        first: Callable[[], tuple[Kept, Shown]],
        second: Callable[[Kept], Shown],
    ) -> None:
        worker, then, failed = self.beside(), asking.only(self._then), asking.only(self._failed)

        def is_wanted() -> bool:
            return self._newest.is_newest(asking.number) and not self._is_ended

        def show(found: tuple[Kept, Shown]) -> None:
            kept, shown = found
            then(shown)
            worker.ask(lambda: second(kept), then, failed, is_wanted)

        worker.ask(first, show, failed, is_wanted)

    def _end(self) -> None:
        self._is_ended = True
        self._newest.forget()
        if self._worker is not None:
            self._worker.end(PATIENCE)
