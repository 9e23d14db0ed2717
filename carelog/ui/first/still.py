"""What is still to fill in, without what was put aside for good: one quiet line on the board."""

from typing import TYPE_CHECKING

from carelog.text import say
from carelog.ui.desk import Desk
from carelog.ui.preferences import Preferences

if TYPE_CHECKING:
    from carelog.app.basics.questions import Question


class StillOpen:
    """Putting aside is this user's choice on this computer; the record holds only what is known."""

    def __init__(self, desk: Desk, preferences: Preferences) -> None:
        self._desk = desk
        self._preferences = preferences

    def questions(self) -> "tuple[Question, ...]":
        """The questions without an answer; of a made-up household nobody has anything to fill in."""
        picture = self._desk.present.picture
        if picture is None or picture.person.invented:
            return ()
        from carelog.app.basics.questions import still_open  # with the record: the board is painted before

        return still_open(picture, self.aside())

    def words(self) -> str:
        """The line with its count; empty for nothing."""
        count = len(self.questions())
        return say("Still to fill in: {count}").format(count=count) if count else ""

    def aside(self) -> list[str]:
        """The names of the questions of this record that were put aside for good, and keys of the plan's."""
        start = f"{self._person()}/"
        found = self._preferences.now.basics_aside
        return [each.removeprefix(start) for each in found if each.startswith(start)]

    def put_aside(self, name: str, *, is_aside: bool = True) -> None:
        """Ask for it no longer, or again; on the page of the basics it can be answered all the same."""
        wanted = f"{self._person()}/{name}"
        before = self._preferences.now.basics_aside
        kept = tuple(each for each in before if each != wanted)
        if is_aside == (wanted in before):
            return
        self._preferences.change(basics_aside=(*kept, wanted) if is_aside else kept)
        self._desk.present.when_changed.tell()

    def taken(self, name: str) -> list[str]:
        """The lines that plans' notes were given here about a question, in whatever language it was."""
        start = f"{self._person()}/{name}/"
        found = self._preferences.now.basics_taken
        return [each.removeprefix(start) for each in found if each.startswith(start)]

    def keep_taken(self, name: str, line: str) -> None:
        """Keep a line before it is written, so that another answer finds it again."""
        if line and line not in self.taken(name):
            before = self._preferences.now.basics_taken
            self._preferences.remember(basics_taken=(*before, f"{self._person()}/{name}/{line}"))

    def _person(self) -> str:
        """The record's own id, since a computer may hold several."""
        return self._desk.slips.saved_here.person
