"""Writing a message: typed, or spelled by buttons; shown large; the last ten stay at hand."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.cards import KEPT_MESSAGES, CardPage, page_named
from carelog.app.readymade import LETTERS, NUMBERS, WORDS
from carelog.text import say
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.ringed import Line, Ringed, Scrolled
from carelog.ui.theme import STEP, Size, dress
from carelog.ui.words import ToldWords, Words

SIDE = 56  # px, of a letter


class SpellButton(Button):
    """A word or a letter, larger than other buttons: it is pressed often."""

    def sizeHint(self) -> QSize:
        return super().sizeHint().expandedTo(QSize(SIDE, SIDE))


class WritePage(QWidget):
    """The line, what can be done with it, words and letters to spell with, and the last messages."""

    def __init__(
        self, shown: Callable[[str], object], kept: Callable[[str], object], back: Callable[[], object]
    ) -> None:
        """`shown` is told a message that is to be shown, `kept` one that is to be a card."""
        super().__init__()
        self._shown = shown
        self._kept = kept
        self._back = back
        self._pages: Sequence[CardPage] = ()
        self.messages: tuple[str, ...] = ()
        self.line = Line("write_text", say("Your message"))
        self.line.setPlaceholderText(say("Your message"))
        dress(self.line, Size.RECEIPT)
        self.line.returnPressed.connect(self.show_it)
        self._said = ToldWords()
        self._spelling, self._last = QWidget(), QWidget()
        self._column = QVBoxLayout()
        self._lay_out()

    def _lay_out(self) -> None:
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        # What is seldom pressed stands beneath: the letters have to be in sight in large text too.
        self._column.addWidget(
            row(
                Words(say("Write"), Size.HEAD, wraps=False),
                Main.calling(say("Show it large"), "write_show", self.show_it),
                Button.calling(say("Space"), "write_space", lambda: self.spell(" ", is_word=False)),
                Button.calling(say("Take one back"), "write_back", self.line.backspace),
            )
        )
        self._column.addWidget(Ringed(self.line))
        self._column.addWidget(self._said)
        self._said.hide()
        self._column.addWidget(self._spelling)
        self._column.addWidget(
            row(
                Button.calling(say("Begin anew"), "write_clear", self.line.clear),
                Button.calling(say("Make it a card"), "write_keep", self._keep),
                Button.calling(say("To the cards"), "write_cards", lambda: self._back()),
            )
        )
        self._column.addWidget(self._last)
        self._column.addStretch(1)
        scrolled = Scrolled(body, say("Write"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(scrolled)

    # What it is made of -----------------------------------------------------------------------------

    def take(self, pages: Sequence[CardPage], messages: tuple[str, ...]) -> None:
        """The words and letters to spell with, and the last messages, newest first."""
        if messages != self.messages:
            self.messages = messages
            self._last = self._put(self._last, self._made_last())
        if pages != self._pages:
            self._pages = pages
            self._spelling = self._put(self._spelling, self._made_spelling())

    def _put(self, old: QWidget, new: QWidget) -> QWidget:
        self._column.replaceWidget(old, new)
        new.show()
        old.hide()
        old.deleteLater()
        return new

    def _made_spelling(self) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        for name in (WORDS, LETTERS, NUMBERS):
            cards = page_named(self._pages, name).cards
            column.addWidget(
                row(*(self._piece(name, number, card.text) for number, card in enumerate(cards, start=1)))
            )
        return holder

    def _piece(self, name: str, number: int, text: str) -> Button:
        button = SpellButton(text, f"spell_{name}_{number}", size=Size.TILE)
        button.clicked.connect(lambda: self.spell(text, is_word=name == WORDS))
        return button

    def _made_last(self) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        if self.messages:
            column.addWidget(Words(say("Written last"), Size.NAME, heading=True))
            column.addWidget(
                row(*(self._message(number, text) for number, text in enumerate(self.messages, start=1)))
            )
        return holder

    def _message(self, number: int, text: str) -> Button:
        button = Button(shortened(text), f"message_{number}")
        button.setAccessibleName(text)
        button.clicked.connect(lambda: self._shown(text))
        return button

    # What is done -----------------------------------------------------------------------------------

    def spell(self, piece: str, *, is_word: bool) -> None:
        """Add a word or a letter at the end."""
        self.line.setText(spelled(self.line.text(), piece, is_word=is_word))

    def show_it(self) -> None:
        """Show what was written, and begin anew."""
        text = self.line.text().strip()
        if text:
            self.line.clear()
            self._said.hide()
            self._shown(text)

    def _keep(self) -> None:
        text = self.line.text().strip()
        if text:
            self._kept(text)

    def say(self, sentence: str) -> None:
        """How it went."""
        self._said.say(sentence)
        self._said.setVisible(bool(sentence))


def spelled(before: str, piece: str, *, is_word: bool) -> str:
    """What was written with a word, set apart, or a letter at its end: small but for the first."""
    if is_word:
        gap = "" if not before or before.endswith(" ") else " "
        return f"{before}{gap}{piece} "
    return before + (piece.lower() if before else piece)


def shortened(text: str, most: int = 40) -> str:
    """So much of a message as has room on a button."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def with_newest(messages: tuple[str, ...], text: str) -> tuple[str, ...]:
    """The last messages once another one was shown."""
    return (text, *(each for each in messages if each != text))[:KEPT_MESSAGES]
