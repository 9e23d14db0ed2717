"""Which presses are repeats of the one before: a shaking hand, a key that bounces."""

import time

SAME_PRESS = 700  # ms since the last press of the same tile or key


class Repeats:
    """Remembers when each tile or key was pressed last, by the times of the input events."""

    def __init__(self) -> None:
        self._last: dict[str, tuple[bool, int]] = {}

    def is_new(self, name: str, stamp: int | None) -> bool:
        """Whether this press stands for itself; each press starts the 700 ms again.

        `stamp` is the input event's time in ms; None: pressed without one (by a screen reader), then a
        running clock is asked, which is never compared with an event's time.
        """
        has_stamp = bool(stamp)
        moment = stamp if stamp else time.monotonic_ns() // 1_000_000
        before = self._last.get(name)
        self._last[name] = (has_stamp, moment)
        if before is None or before[0] != has_stamp:
            return True
        return not 0 <= moment - before[1] < SAME_PRESS
