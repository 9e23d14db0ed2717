"""Which sticks and disks are plugged in, looked for in a thread of its own: one that hangs stops nothing."""

import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QTimer

from carelog.app.medium import find
from carelog.text import say
from carelog.ui.bridge import Bridge
from carelog.ui.worker import AskedJob, Worker

AT_HAND = 0.2  # s in which a look is waited for by who shows it
AWAITED = 5  # s in which one is waited for by who copies onto the stick
STUCK = 60  # s after which a look that hasn't come back is said

Found = tuple[Sequence[Path], Path | None]


class Media:
    """Looks at what is mounted, one look at a time: it hangs where a folder of another computer does."""

    def __init__(
        self,
        bridge: Bridge,
        mounted: Callable[[], Sequence[Path]],
        chosen: Callable[[], str],
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        """`chosen` gives the id of the second medium; `now` is in seconds and only goes on."""
        self._bridge = bridge
        self._mounted = mounted
        self._chosen = chosen
        self._now = now
        self._worker: Worker | None = None
        self._look: AskedJob[Found] | None = None
        self._looked_at = 0.0
        self._waiting: list[Callable[[Path | None], None]] = []
        self.roots: Sequence[Path] = ()
        self.chosen: Path | None = None
        self.has_looked = False

    def look(self, then: Callable[[Path | None], None]) -> None:
        """Look, and call this with where the chosen medium is: None where it isn't, or no look comes back."""
        if self._look is None:
            self._begin()
        elif self._now() - self._looked_at >= AWAITED:
            then(None)
            return
        self._waiting.append(then)

    def wait(self, seconds: float) -> None:
        """Wait so long here for the look that was just asked for: what is found by then is shown at once."""
        if self._look is not None and self._waiting:
            self._look.wait(seconds)

    def at_exit(self) -> Path | None:
        """Where the chosen medium is when the window closes."""
        found: list[Path | None] = []
        self.look(found.append)
        self.wait(AWAITED)
        if self._worker is not None:
            self._worker.end(0)
        return found[0] if found else None

    def words(self) -> str:
        """That a look hasn't come back for long; else nothing."""
        if self._look is None or self._now() - self._looked_at < STUCK:
            return ""
        return say(
            "Sticks can't be looked for: a disk, or a folder that isn't here, doesn't answer. "
            "Copies are made on this computer alone until it does."
        )

    def _begin(self) -> None:
        mounted, chosen = self._mounted, self._chosen()

        def job() -> Found:
            roots = mounted()
            return roots, find(chosen, roots)

        self._worker = self._worker or Worker("media", self._bridge)
        self._looked_at = self._now()
        self._look = self._worker.ask(job, self._on_found, lambda _sentence: self._on_found(((), None)))
        QTimer.singleShot(round(AWAITED * 1000), partial(self._give_up, self._look))

    def _on_found(self, found: Found) -> None:
        self._look, self.has_looked = None, True
        self.roots, self.chosen = found
        self._answer(self.chosen)

    def _give_up(self, look: AskedJob[Found]) -> None:
        """Whoever waits for it goes on without a stick; it may come back later all the same."""
        if self._look is look:
            self._answer(None)

    def _answer(self, root: Path | None) -> None:
        waiting, self._waiting = self._waiting, []
        for then in waiting:
            then(root)
