"""A call from its beginning to “I am coming”: the words on every screen, and the noise."""

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtWidgets import QWidget

from carelog.app.outlook import Picture
from carelog.domain.moment import Instant
from carelog.text import say
from carelog.ui import times
from carelog.ui.cards.call import CallSign, CallView, other_screens
from carelog.ui.cards.kept import KeptPhrases
from carelog.ui.cards.sound import ToneRinger
from carelog.ui.present import Present
from carelog.ui.recorder import names


class Calling:
    """Goes on, whatever page is opened meanwhile, until somebody comes or nobody is needed."""

    def __init__(self, present: Present, kept: KeptPhrases, folder: Path, over: Callable[[], object]) -> None:
        """`over` is called when it has ended."""
        self._present = present
        self._kept = kept
        self._over = over
        self._signs: list[CallSign] = []
        self._since: Instant = 0
        self.is_on = False
        self.view = self._view()
        self.ringer = ToneRinger(folder, self._show, self.view)

    def _view(self) -> CallView:
        return CallView(self._comes, self._stop)

    def begin(self, window: QWidget) -> None:
        """Call on the window's screen, on all others, and by sound."""
        self.end()
        self.is_on, self._since = True, self._present.now()
        self._signs = [CallSign(self._view(), screen) for screen in other_screens(window)]
        self.ringer.start()
        self._show()
        self.view.begin()

    def _show(self) -> None:
        if not self.is_on:
            return
        picture = self._present.picture
        name = picture.person.name if picture else ""
        words = say("Please come to {name}").format(name=name) if name else say("Please come")
        for view in (self.view, *(sign.view for sign in self._signs)):
            view.show_call(words, self._time(), _who_may_come(picture), self.ringer.words())

    def _time(self) -> str:
        return times.near(self._present.home(), self._since, self._present.now())

    def _comes(self, initials: str) -> None:
        if self.is_on:
            self._kept.coming(initials, say("Called {time}").format(time=self._time()))
            self._stop()

    def _stop(self) -> None:
        self.end()
        self._over()

    def end(self) -> None:
        """No more noise, and no sign on any screen."""
        self.is_on = False
        self.ringer.stop()
        for sign in self._signs:
            sign.hide()
            sign.deleteLater()
        self._signs = []


def _who_may_come(picture: Picture | None) -> Sequence[tuple[str, str]]:
    """Those who record, but for the person who calls."""
    held = picture.recorders if picture is not None else ()
    own = {each.entry.details["initials"] for each in held if each.entry.details.get("role") == "self"}
    return [each for each in names(picture) if each[0] not in own]
