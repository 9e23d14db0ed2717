"""The newest entry of a kind that passes a test, kept up to date as entries come and go."""

from collections.abc import Callable

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.domain.entry import Details


class NewestSaying:
    """The newest entry of a kind whose details pass a test."""

    def __init__(self, ledger: Ledger, kind: str, test: Callable[[Details], bool]) -> None:
        self.held: Held | None = None
        self.fell_back = False
        self._ledger, self._kind, self._test = ledger, kind, test

    def take(self, shift: Shift) -> bool:
        """Take in an entry; whether another is the newest now (`fell_back`: an older one than before)."""
        if shift.kind != self._kind:
            return False
        before, after = self.held, shift.after
        if before is not None and shift.root == before.first.id:
            self.held = self._find()
        elif after is not None and self._test(after.entry.details):
            if before is not None and order_of(after) < order_of(before):
                return False
            self.held = after
        else:
            return False
        self.fell_back = before is not None and (self.held is None or order_of(self.held) < order_of(before))
        return True

    def _find(self) -> Held | None:
        newest_first = self._ledger.shelf(self._kind).backward()
        return next((held for held in newest_first if self._test(held.entry.details)), None)
