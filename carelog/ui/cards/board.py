"""The cards of one subject as a grid, and above them what is always at hand and the other subjects."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.cards import CardBoard, CardPage, PhraseCard, boards, page_named
from carelog.app.readymade import ANSWERS
from carelog.text import say
from carelog.ui.button import Button
from carelog.ui.cards.card import KEYS, CardButton, CardGrid, SubjectButton
from carelog.ui.flow import Flow, Laid
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import HUGE, STEP, Size, percent_now
from carelog.ui.words import Words

SUBJECT_KEYS = "DEFGHIJKLMNOPQRSTUVWXYZ"
"""The key of the first subject, the second, and so on: those after the keys of the cards."""
AT_HAND = 2
"""So many of the first answers stand above every subject: yes and no."""
Press = Callable[[PhraseCard, int | None], object]


class CardsView(QWidget):
    """Each card is one press or one key away once its subject is chosen, and that is one too."""

    def __init__(self, press: Press, acts: Callable[[], Sequence[Button]], line: QWidget) -> None:
        """`acts` makes what stands beside yes and no, the call first; `line` tells what was written down."""
        super().__init__()
        self._press = press
        self._boards: list[CardBoard] = []
        self._chosen = 0
        self._answers: Sequence[PhraseCard] = ()
        self._cards: list[CardButton] = []
        self._subjects: list[SubjectButton] = []
        self._at_hand: list[Button] = []
        self._acts = acts
        self._notes = Words("")
        self._notes.hide()
        body, self._grid, self._line = QWidget(), QWidget(), line
        self._head, self._rail, self._seldom = QWidget(), QWidget(), QWidget()
        self._head_flow, self._subject_flow = Flow(self._head), Flow(self._rail)
        self._seldom_flow = Flow(self._seldom)
        self._card_grid = CardGrid(self._grid)
        column = self._column = QVBoxLayout(body)
        column.setContentsMargins(2 * STEP, 0, 2 * STEP, STEP)
        scrolled = self._scrolled = Scrolled(body, say("Cards"))
        scrolled.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(scrolled)
        self._head_flow.addWidget(Words(say("Cards"), Size.HEAD, wraps=False))
        self._is_huge: bool | None = None
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        """Huge letters leave a window a few lines: they are for calling, yes, no, and the cards."""
        is_huge = percent_now() >= HUGE
        if is_huge == self._is_huge:
            return
        self._is_huge = is_huge
        above: tuple[QWidget, ...] = (self._head, self._rail, self._line, self._notes)
        below: tuple[QWidget, ...] = ()
        if is_huge:
            above, below = (self._head, self._line, self._notes), (self._rail, self._seldom)
        for widget in (*above, self._grid, *below):
            self._column.removeWidget(widget)
            self._column.addWidget(widget, int(widget is self._grid))
        self._seldom.setVisible(is_huge)
        if self._boards:
            self._fill_head()
            QTimer.singleShot(0, self, self._to_top)

    def _to_top(self) -> None:
        """A button that was replaced had the focus, which Qt hands on, and scrolls there."""
        self._scrolled.verticalScrollBar().setValue(0)

    def take(self, pages: Sequence[CardPage], notes: str) -> None:
        """Show these pages, and what has to be said about them."""
        self._notes.say(notes)
        self._notes.setVisible(bool(notes))
        found = boards(pages)
        if found == self._boards:
            return
        self._boards = found
        self._chosen = min(self._chosen, len(found) - 1)
        self._answers = page_named(pages, ANSWERS).cards[:AT_HAND]
        self._fill_head()
        self._fill_subjects()
        self._fill_cards()

    def _fill_head(self) -> None:
        focused = next((each.objectName() for each in self._at_hand if each.hasFocus()), None)
        for flow in (self._head_flow, self._seldom_flow):
            _empty(flow, self._at_hand)
        self._at_hand = []
        for number, card in enumerate(self._answers, start=1):
            button = Button(card.text, f"quick_{number}")
            button.clicked.connect(lambda _=False, b=button, c=card: self._press(c, b.taken_stamp()))
            self._at_hand.append(button)
        call, *others = self._acts()
        _add(self._head_flow, [*self._at_hand, call])
        _add(self._seldom_flow if self._is_huge else self._head_flow, others)
        self._at_hand += [call, *others]
        for each in self._at_hand:
            if each.objectName() == focused:
                each.setFocus()

    def _fill_subjects(self) -> None:
        _empty(self._subject_flow, self._subjects)
        self._subjects = []
        for number, board in enumerate(self._boards):
            button = SubjectButton(board.title, SUBJECT_KEYS[number : number + 1], number)
            button.show_on(number == self._chosen)
            button.switched.connect(lambda _is_on, at=number: self.choose(at))
            self._subjects.append(button)
        _add(self._subject_flow, self._subjects)

    def _fill_cards(self) -> None:
        _empty(self._card_grid, self._cards)
        self._cards = []
        for number, card in enumerate(self._boards[self._chosen].cards):
            button = CardButton(card, number)
            button.clicked.connect(lambda _=False, b=button: self._press(b.card, b.taken_stamp()))
            self._cards.append(button)
        _add(self._card_grid, self._cards)

    def choose(self, number: int) -> None:
        """Show the cards of this subject."""
        self._chosen = number
        for place, button in enumerate(self._subjects):
            button.show_on(place == number)
        self._fill_cards()
        if self._is_huge:  # the subjects stand beneath the cards
            self._to_top()

    def choose_page(self, name: str) -> None:
        """Show the first cards of a page; the keys go on among them."""
        self.choose(next((n for n, board in enumerate(self._boards) if board.name == name), self._chosen))
        if self._cards:
            self._cards[0].setFocus()

    def press_key(self, text: str, stamp: int) -> bool:
        """Press the card or choose the subject of a key; False: it has none."""
        key = text.upper()
        number = KEYS.find(key)
        if 0 <= number < len(self._cards):
            self._press(self._cards[number].card, stamp)
            return True
        number = SUBJECT_KEYS.find(key)
        if 0 <= number < len(self._subjects):
            self.choose(number)
            return True
        return False


def _add(layout: Laid, widgets: Sequence[QWidget]) -> None:
    for widget in widgets:
        layout.addWidget(widget)
        widget.show()


def _empty(layout: Laid, widgets: Sequence[QWidget]) -> None:
    for widget in widgets:
        layout.removeWidget(widget)
        widget.setParent(None)
        widget.deleteLater()
