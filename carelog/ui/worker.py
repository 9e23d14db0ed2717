"""Threads beside the window, each with one job after another; what is long waits while a page is painted."""

import queue
import sys
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from carelog.domain.trouble import Trouble
from carelog.text import mark, say
from carelog.ui.bridge import Bridge

T = TypeVar("T")
MOST = 5.0  # s; a page that is never painted holds nobody up for longer
AT_ONCE = 0.001  # s; so soon a thread lets the next one run, a fifth of what is usual
UNEXPECTED = mark("Something went wrong that nobody expected. Look whether it was saved.")


class AskedJob(Generic[T]):
    """A job that was asked for, and what is to be done in the window's thread when it is done."""

    def __init__(
        self, job: Callable[[], T], then: Callable[[T], None], failed: Callable[[str], None]
    ) -> None:
        self._job = job
        self._then = then
        self._failed = failed
        self._done = threading.Event()
        self._result: list[T] = []
        self._trouble = ""
        self._is_delivered = False

    def run(self) -> None:
        """Do the job; called in the worker's thread."""
        try:
            self._result.append(self._job())
        except Trouble as trouble:
            self._trouble = trouble.sentence
        except Exception:
            self._trouble = say(UNEXPECTED)
            threading.excepthook(threading.ExceptHookArgs((*sys.exc_info(), threading.current_thread())))
        finally:
            self._done.set()

    def deliver(self) -> None:
        """Hand the result over, once; called in the window's thread."""
        if self._is_delivered:
            return
        self._is_delivered = True
        if self._result:
            self._then(self._result[0])
        else:
            self._failed(self._trouble)

    def wait(self, seconds: float) -> None:
        """Wait a moment in the window's thread: what is done by then is shown without a state between."""
        if self._done.wait(seconds):
            self.deliver()


class Worker:
    """A thread of its own; what a job returns, or its trouble, comes back over the bridge."""

    def __init__(self, name: str, bridge: Bridge) -> None:
        self._bridge = bridge
        self._jobs: queue.SimpleQueue[AskedJob[object] | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    def ask(
        self, job: Callable[[], T], then: Callable[[T], None], failed: Callable[[str], None]
    ) -> AskedJob[T]:
        """Do the job after those asked before; then one of the two is called in the window's thread."""
        asked = AskedJob(job, then, failed)
        self._jobs.put(asked)  # type: ignore[arg-type]
        return asked

    def end(self, seconds: float = 30) -> None:
        """Finish what was asked, then stop."""
        self._jobs.put(None)
        self._thread.join(seconds)

    def _run(self) -> None:
        while (asked := self._jobs.get()) is not None:
            asked.run()
            self._bridge.call(asked.deliver)


class Turn:
    """Taken by the window from the moment that a page is asked for until it is painted.

    Python runs one thread at a time, and the window asks for its turn anew after each of hundreds of calls of
    Qt: beside a thread that reckons, a page took four times as long as alone. What doesn't give way, because
    it takes no time worth the name, lets go sooner than Python has it.
    """

    def __init__(self) -> None:
        """Made in the window's thread."""
        self._is_free = threading.Event()
        self._is_free.set()
        self._is_over = False
        self._window = threading.get_ident()
        sys.setswitchinterval(AT_ONCE)

    def take(self) -> None:
        """A page is asked for."""
        if not self._is_over:
            self._is_free.clear()

    def end(self) -> None:
        """The window closes: nobody waits for what it would still paint."""
        self._is_over = True
        self._is_free.set()

    def give_back(self) -> None:
        """It is painted."""
        self._is_free.set()

    def give_way(self) -> None:
        """In another thread, now and then: wait while the window is at it."""
        if threading.get_ident() != self._window and not self._is_free.wait(MOST):
            self._is_free.set()
