"""What an update changed in the rules of the flags, told here until somebody has read it."""

from carelog.analysis.rules.version import changed_since, newest
from carelog.text import say
from carelog.ui.preferences import Preferences


class News:
    """The rules as they were when the record was last opened here, and as they are now."""

    def __init__(self, preferences: Preferences) -> None:
        self._preferences = preferences
        if not preferences.now.rules_seen:  # a first start: there is nothing that they were before
            preferences.remember(rules_seen=str(newest().day))

    def sentences(self) -> list[str]:
        """What changed since somebody here read of it; empty when nothing did."""
        return changed_since(self._preferences.now.rules_seen)

    def line(self) -> str:
        """The line of the board."""
        return say("An update changed the rules of the flags: see Flags.") if self.sentences() else ""

    def read(self) -> None:
        """Somebody has read it."""
        self._preferences.change(rules_seen=str(newest().day))
