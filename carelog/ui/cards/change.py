"""Changing the cards of a page: words in two languages, their order, what is added and taken away."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from carelog.app.cards import CardPage, CardRow, change_page, page_named
from carelog.app.readymade import SETS
from carelog.domain.entry import Entry
from carelog.text import mark, say, say_n
from carelog.ui.access import Access
from carelog.ui.button import RING_WIDTH, Button, ChoiceButton, Main, Strong
from carelog.ui.column import row
from carelog.ui.columns import SideBySide
from carelog.ui.recorder import Recorder
from carelog.ui.ringed import Line, Ringed, Scrolled
from carelog.ui.theme import STEP, Size
from carelog.ui.words import ToldWords, Words

MOST = 36  # cards of a page: an alphabet has room
LEAST = (480, 180)  # px at 100 %, of the two lines and of the two buttons side by side
READY = frozenset(each.name for each in SETS)
_HOW = mark(
    "At the left what the card says. At the right the same in another language, if one of you reads it."
)


class EditedCard(QWidget):
    """One card's two lines, and its way up and away."""

    def __init__(
        self, number: int, edited: CardRow, earlier: Callable[[], object], away: Callable[[], object]
    ) -> None:
        super().__init__()
        self._held = edited.held
        place = number + 1
        self.text = Line(f"card_text_{place}", say("Card {number}: words").format(number=place))
        self.also = Line(
            f"card_also_{place}", say("Card {number}: in the other language").format(number=place)
        )
        self.text.setText(edited.text)
        self.also.setText(edited.also)
        up = Button.calling(say("earlier"), f"card_earlier_{place}", earlier)
        up.setAccessibleName(say("Card {number} earlier").format(number=place))
        up.setEnabled(number > 0)
        off = Button.calling(say("take away"), f"card_away_{place}", away)
        off.setAccessibleName(say("Take card {number} away").format(number=place))
        typed = QWidget()
        line = QHBoxLayout(typed)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(Words(f"{place}", Size.STRONG, wraps=False))
        line.addWidget(Ringed(self.text), 1)
        line.addWidget(Ringed(self.also), 1)
        moves = row(up, off)
        moves.setContentsMargins(0, RING_WIDTH, 0, 0)
        layout = SideBySide(self, least=LEAST, share=0.78)
        layout.addWidget(typed)
        layout.addWidget(moves)

    def read(self) -> CardRow:
        """The card as it is typed now."""
        return CardRow(self.text.text().strip(), self.also.text().strip(), self._held)


class CardEditor(QWidget):
    """One page of cards at a time; nothing is written before Save, and Undo takes all of it back."""

    def __init__(self, access: Access, recorder: Recorder, back: Callable[[], object]) -> None:
        super().__init__()
        self._access = access
        self._recorder = recorder
        self._pages: Sequence[CardPage] = ()
        self._name = SETS[0].name
        self._rows: list[EditedCard] = []
        self._begun: dict[str, list[CardRow]] = {}
        """What is typed into other pages and isn't saved yet."""
        self._saved: Sequence[Entry] = ()
        self._choice, self._list = QWidget(), QWidget()
        self._new_name = Line("cards_new_name", say("The name of another page"))
        self._new_name.setPlaceholderText(say("The name of another page"))
        self._message = ToldWords()
        self._undo = Strong.calling(say("Undo"), "cards_undo", self.take_back)
        self._undo.hide()
        self._back = Button.calling(say("To the cards"), "change_cards", back)
        self._column = QVBoxLayout()
        self._lay_out()

    def _lay_out(self) -> None:
        body = QWidget()
        column = self._column = QVBoxLayout(body)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        column.addWidget(Words(say("Change the cards"), Size.HEAD))
        column.addWidget(self._choice)
        column.addWidget(Words(say(_HOW), soft=True))
        column.addWidget(self._list)
        self._ready = Button.calling(say("Back to the ready-made"), "cards_ready", self._ready_made)
        column.addWidget(row(Button.calling(say("Add a card"), "cards_add", self._add), self._ready))
        column.addWidget(Words(say("Another page"), Size.NAME, heading=True))
        column.addWidget(Ringed(self._new_name))
        column.addWidget(row(Button.calling(say("Begin that page"), "cards_new", self._begin_page)))
        column.addStretch(1)
        foot = row(
            Main.calling(say("Save the page"), "cards_save", self.save),
            self._undo,
            self._back,
            self._message,
        )
        foot.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(body, say("Change the cards")), 1)
        layout.addWidget(foot)

    # What it shows ----------------------------------------------------------------------------------

    def take(self, pages: Sequence[CardPage]) -> None:
        """The pages as they are; what is half typed stays where they are the same."""
        if pages == self._pages:
            return
        self._pages = pages
        self._fill_choice()
        self.choose(self._name)

    def choose(self, name: str) -> None:
        """Change this page; what was begun there goes on."""
        self._name = name
        page = page_named(self._pages, name)
        begun = self._begun.pop(name, None)
        self._show(rows_of(page) if begun is None else begun)
        self._ready.setVisible(page.is_own and name in READY)

    def _fill_choice(self) -> None:
        buttons = []
        for page in self._pages:
            button = ChoiceButton(page.title, f"change_{page.name}", is_one_of=True)
            button.show_on(page.name == self._name)
            button.switched.connect(lambda _is_on, name=page.name: self._chosen(name))
            buttons.append(button)
        self._choice = self._put(self._choice, row(*buttons))

    def _chosen(self, name: str) -> None:
        self._tell("")
        self._put_aside()
        self.choose(name)
        for button in self._choice.findChildren(ChoiceButton):
            button.show_on(button.objectName() == f"change_{name}")

    def _put_aside(self) -> None:
        """Keep what is typed here and isn't saved, and say so."""
        page, typed = page_named(self._pages, self._name), self._typed()
        if typed != rows_of(page):
            self._begun[self._name] = typed
            self._tell(say("“{page}” isn't saved yet. What you typed stays there.").format(page=page.title))

    def _show(self, rows: Sequence[CardRow]) -> None:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        self._rows = []
        for number, each in enumerate(rows):
            made = EditedCard(number, each, partial(self._earlier, number), partial(self._away, number))
            self._rows.append(made)
            column.addWidget(made)
        self._list = self._put(self._list, holder)

    def _put(self, old: QWidget, new: QWidget) -> QWidget:
        self._column.replaceWidget(old, new)
        new.show()
        old.hide()
        old.deleteLater()
        return new

    # What is typed ----------------------------------------------------------------------------------

    def _typed(self) -> list[CardRow]:
        return [each.read() for each in self._rows]

    def _earlier(self, place: int) -> None:
        rows = self._typed()
        rows[place - 1], rows[place] = rows[place], rows[place - 1]
        self._show(rows)
        self._rows[place - 1].text.setFocus()

    def _away(self, place: int) -> None:
        rows = self._typed()
        del rows[place]
        self._show(rows)
        if rows:
            self._rows[min(place, len(rows) - 1)].text.setFocus()

    def _add(self) -> None:
        rows = self._typed()
        if len(rows) >= MOST:
            self._tell(say("So many cards are the most of a page: {count}.").format(count=MOST))
            return
        self._show([*rows, CardRow("")])
        self._rows[-1].text.setFocus()

    def _begin_page(self) -> None:
        name = self._new_name.text().strip()
        if name:
            self._new_name.clear()
            self._tell(say("A new page: “{name}”.").format(name=name))
            self._put_aside()
            self.choose(name)
            self._add()

    # Saving -----------------------------------------------------------------------------------------

    def save(self) -> None:
        """All of the page in one act."""
        self._save([each for each in self._typed() if each.text])

    def _ready_made(self) -> None:
        """Take the household's own away: what is ready-made stands there again."""
        self._save([])

    def _save(self, rows: Sequence[CardRow]) -> None:
        page, by = page_named(self._pages, self._name), self._recorder.who
        if rows == rows_of(page):
            self._tell(say("Nothing was changed."))
            return
        self._access.act(
            lambda logbook, _record: change_page(logbook, page, rows, by), self._on_saved, self._tell
        )

    def _on_saved(self, entries: Sequence[Entry]) -> None:
        self._saved = entries
        self._undo.setVisible(bool(entries))
        words = say_n("Saved: 1 card.", "Saved: {count} cards.", len(entries))
        self._tell(words.format(count=len(entries)) if entries else say("Nothing was changed."))

    def take_back(self) -> None:
        """Undo the last save, as one."""
        saved, by = self._saved, self._recorder.who
        self._access.act(
            lambda logbook, _record: logbook.strike_together(saved, by), self._on_taken_back, self._tell
        )

    def _on_taken_back(self, _entries: Sequence[Entry]) -> None:
        self._saved = ()
        self._undo.hide()
        self._tell(say("Undone."))

    def _tell(self, sentence: str) -> None:
        self._message.say(sentence)


def rows_of(page: CardPage) -> list[CardRow]:
    """The cards of a page as they can be changed."""
    return [CardRow(card.text, card.also, card.held) for card in page.cards]
