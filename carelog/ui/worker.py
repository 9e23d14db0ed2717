"""Threads beside the window, each with one job after another; what is long waits while a page is painted."""

import queue
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

from carelog.domain.trouble import Trouble
from carelog.text import mark, say
from carelog.ui.bridge import Bridge

T = TypeVar("T")
MOST = 1.0  # s; who has waited so long for pages goes on, painted or not
SHARE = 0.5  # s; and for so long no other page holds anybody up
UNEXPECTED = mark("Something went wrong that nobody expected. Look whether it was saved.")


class Turn:
    """Taken by the window from the moment that a page is asked for until it is painted.

    Python runs one thread at a time, and the window asks for its turn anew after each of hundreds of calls of
    Qt: beside a thread that reckons, a page took four times as long as alone. Who has waited for a second
    goes on for half a second all the same: beside somebody who pages without pause the first flags come too.
    """

    def __init__(self) -> None:
        """Made in the window's thread."""
        self._changed = threading.Condition()
        self._is_taken = self._is_over = False
        self._awaited: object = None
        self._window = threading.get_ident()
        self.taken = 0
        """How often it was taken: which page was asked for last."""
        self._is_free_until = 0.0

    def take(self) -> None:
        """A page is asked for."""
        with self._changed:
            self.taken += 1
            self._is_taken = not self._is_over and time.monotonic() >= self._is_free_until

    def end(self) -> None:
        """The window closes: nobody waits for what it would still paint."""
        self._is_over = True
        self.give_back()

    def give_back(self, taken: int | None = None) -> None:
        """It is painted; `taken`: how often it was taken by then, since a page asked for after it is not."""
        with self._changed:
            if taken not in (None, self.taken):
                return
            self._is_taken = False
            self._changed.notify_all()

    def give_way(self, worker: object = None) -> None:
        """In another thread, now and then: wait while the window is at it, unless it waits for this one."""
        if not self._is_taken or threading.get_ident() == self._window:
            return
        with self._changed:
            may_go = self._changed.wait_for(lambda: not self._is_taken or self._is_awaited(worker), MOST)
        if not may_go:
            self._is_free_until = time.monotonic() + SHARE
            self.give_back()

    @contextmanager
    def waiting_for(self, worker: object) -> Iterator[None]:
        """The window itself waits for a job of a worker: that one goes on, and so do those before it."""
        with self._changed:
            self._awaited = worker
            self._changed.notify_all()
        try:
            yield
        finally:
            self._awaited = None

    def _is_awaited(self, worker: object) -> bool:
        return worker is not None and worker is self._awaited


def _always() -> bool:
    return True


class AskedJob(Generic[T]):
    """A job that was asked for, and what is to be done in the window's thread when it is done."""

    def __init__(
        self,
        job: Callable[[], T],
        then: Callable[[T], None],
        failed: Callable[[str], None],
        turn: Turn | None = None,
        is_wanted: Callable[[], bool] = _always,
        worker: object = None,
    ) -> None:
        """`turn`: what it gives way to; then it ends once it isn't wanted. None: it is done in any case.

        `worker`: who does it, after what was asked of the same one before.
        """
        self._job = job
        self._then = then
        self._failed = failed
        self._turn = turn
        self._is_wanted = is_wanted
        self._worker = worker
        self._done = threading.Event()
        self._result: list[T] = []
        self._trouble: str | None = None
        self._is_delivered = False

    def run(self) -> None:
        """Do the job; called in the worker's thread."""
        from carelog.domain.turn import Unwanted, asking

        try:
            if self._turn is None:
                self._result.append(self._job())
            else:
                with asking(self._ask):
                    self._ask()
                    self._result.append(self._job())
        except Unwanted:
            pass
        except Trouble as trouble:
            self._trouble = trouble.sentence
        except Exception:
            self._trouble = say(UNEXPECTED)
            threading.excepthook(threading.ExceptHookArgs((*sys.exc_info(), threading.current_thread())))
        finally:
            self._done.set()

    def _ask(self) -> None:
        """Wait until the page that was asked for is painted; end here where nobody waits for the job."""
        if self._turn is not None:
            self._turn.give_way(self._worker)
        if not self._is_wanted():
            from carelog.domain.turn import Unwanted

            raise Unwanted

    def deliver(self) -> None:
        """Hand the result over, once; called in the window's thread."""
        if self._is_delivered:
            return
        self._is_delivered = True
        if self._result:
            self._then(self._result[0])
        elif self._trouble is not None:
            self._failed(self._trouble)

    def wait(self, seconds: float) -> None:
        """Wait a moment in the window's thread: what is done by then is shown without a state between."""
        if self._turn is None:
            is_done = self._done.wait(seconds)
        else:
            with self._turn.waiting_for(self._worker):
                is_done = self._done.wait(seconds)
        if is_done:
            self.deliver()


class Worker:
    """A thread of its own; what a job returns, or its trouble, comes back over the bridge."""

    def __init__(self, name: str, bridge: Bridge, turn: Turn | None = None) -> None:
        """`turn`: its jobs give way to the window, and end with it; None: what it does is done to its end."""
        self._bridge = bridge
        self._turn = turn
        self._is_ended = False
        self._jobs: queue.SimpleQueue[AskedJob[object] | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    def ask(
        self,
        job: Callable[[], T],
        then: Callable[[T], None],
        failed: Callable[[str], None],
        is_wanted: Callable[[], bool] = _always,
    ) -> AskedJob[T]:
        """Do the job after those asked before; then one of the two is called in the window's thread.

        Neither is, where the job gives way and was found not to be wanted any more.
        """
        asked = AskedJob(job, then, failed, self._turn, lambda: not self._is_ended and is_wanted(), self)
        self._jobs.put(asked)  # type: ignore[arg-type]
        return asked

    def settle(self, seconds: float) -> None:
        """In another worker's thread: wait until all is done that was asked for by now."""
        done = threading.Event()
        self._jobs.put(AskedJob(done.set, lambda _none: None, lambda _trouble: None))
        done.wait(seconds)

    def end(self, seconds: float = 30) -> None:
        """Stop: what gives way ends where it next does, all else that was asked is finished."""
        self._is_ended = True
        self._jobs.put(None)
        self._thread.join(seconds)

    def _run(self) -> None:
        while (asked := self._jobs.get()) is not None:
            asked.run()
            self._bridge.call(asked.deliver)
