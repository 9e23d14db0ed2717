"""What the words mean where somebody is: told below the page, with the way to the page about it."""

from collections.abc import Callable, Iterator

from PySide6.QtWidgets import QLabel, QWidget

from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.band import Band
from carelog.ui.button import Button
from carelog.ui.help.words import TermPlace, places

MOST = 3  # words told at once


class Meaning:
    """A band below the page: nothing above it moves."""

    def __init__(self, open_word: Callable[[str], None], open_help: Callable[[str], None]) -> None:
        """`open_word` opens the page of all words at one of them, `open_help` a page of the help."""
        self._open_word = open_word
        self._open_help = open_help
        self._word = self._topic = ""
        self.band = Band("meaning_band")
        self.band.add_button(say("More about it"), "meaning_more", self._on_more)
        self.band.add_button(say("What the words mean"), "meaning_words", self._on_words)
        self.band.add_button(say("Close"), "meaning_close", self._on_close)

    def tell(self, widget: QWidget | None, topic: str) -> None:
        """Tell the trade words that a widget shows; where it has none, open the page about it, `topic`."""
        found = _found(widget)
        if not found:
            self.close()
            self._open_help(topic)
            return
        self._word, self._topic = found[0].term.name, topic
        words = "\n".join(place.term.told() for place in found[:MOST])
        self.band.say(words)
        announce(self.band, words)

    def close(self) -> bool:
        """Take it away; False when there was nothing to take away."""
        was_open = not self.band.isHidden()
        self.band.say("")
        return was_open

    def _on_close(self) -> None:
        self.close()

    def _on_more(self) -> None:
        self.close()
        self._open_help(self._topic)

    def _on_words(self) -> None:
        self.close()
        self._open_word(self._word)


def _found(widget: QWidget | None) -> list[TermPlace]:
    """The trade words of a widget: those it shows first, then those of its name."""
    found: dict[str, TermPlace] = {}
    for text in _texts(widget):
        for place in places(text):
            found.setdefault(place.term.name, place)
    return list(found.values())


def _texts(widget: QWidget | None) -> Iterator[str]:
    if isinstance(widget, QLabel):
        yield widget.text()
    elif widget is not None:
        if isinstance(widget, Button):
            yield widget.words
        yield widget.accessibleName()
        yield widget.accessibleDescription()
