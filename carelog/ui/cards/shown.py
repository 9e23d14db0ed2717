"""A card, shown over the whole screen until it is put away."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from carelog.app.cards import PhraseCard
from carelog.app.readymade import BREATH, PAIN, is_where_unsaid
from carelog.text import say
from carelog.ui.announce import announce
from carelog.ui.button import ChoiceButton, Main, Strong
from carelog.ui.cards.big import LEAST, BigWords
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import Scrolled
from carelog.ui.theme import BEDSIDE_TARGET, STEP, TARGET, Size, dress
from carelog.ui.words import Words

WORST = 10
ALSO_LEAST = 40  # px, of the same in the other language, beneath


class PainScale(QWidget):
    """How much it hurts, 0 to 10, by place alone: nothing at the one end, the worst at the other."""

    def __init__(self, chosen: Callable[[int], object]) -> None:
        super().__init__()
        self._buttons = []
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP // 2)
        layout.addWidget(Words(say("How much does it hurt?"), Size.STRONG))
        numbers, ends = QHBoxLayout(), QHBoxLayout()
        layout.addLayout(numbers)
        layout.addLayout(ends)
        numbers.setSpacing(STEP)
        for number in range(WORST + 1):
            button = ChoiceButton(str(number), f"pain_{number}", is_one_of=True)
            button.padding = 4
            button.setMinimumHeight(TARGET + 2 * STEP)
            button.setAccessibleName(say("{number} of 10").format(number=number))
            button.switched.connect(lambda _is_on, each=number: chosen(each))
            numbers.addWidget(button, 1)
            self._buttons.append(button)
        ends.addWidget(Words(say("no pain"), wraps=False))
        ends.addStretch(1)
        ends.addWidget(Words(say("the worst pain"), wraps=False))

    def clear(self) -> None:
        """Nothing is said yet."""
        for button in self._buttons:
            button.show_on(False)


class ShownCard(QWidget):
    """The words as large as they fit, since when they stand there, and what goes with the card."""

    def __init__(
        self,
        repeats: Repeats,
        closed: Callable[[], object],
        emergency: Callable[[], object],
        hurts: Callable[[str], object],
        where: Callable[[], object],
    ) -> None:
        """`repeats` knows the press that opened it; `hurts` is told the words once a number was added.

        `where` leads to the cards that say where it hurts.
        """
        super().__init__()
        self._repeats = repeats
        self._closed = closed
        self._hurts = hurts
        self._card = PhraseCard("")
        self._words, self._also = BigWords(), BigWords()
        self._since = Words("", Size.NAME)
        self._scale = PainScale(self._add_number)
        self._emergency = Strong(say("Emergency page"), "shown_emergency", size=Size.NAME)
        self._emergency.clicked.connect(lambda: emergency())
        self._where = Strong.calling(say("Where?"), "shown_where", where)
        dress(self._where, Size.NAME)
        self._close = Main(say("Put it away"), "shown_close", size=Size.NAME)
        self._close.clicked.connect(lambda: self.put_away(self._close.taken_stamp()))
        self._lay_out()

    def _lay_out(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        column.addWidget(self._words, 3)
        column.addWidget(self._also, 2)
        column.addWidget(self._since)
        column.addWidget(self._scale)
        scrolled = Scrolled(body, say("The card that is shown"))
        scrolled.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, STEP, 0, STEP)
        layout.addWidget(scrolled, 1)
        foot = QHBoxLayout()
        layout.addLayout(foot)
        foot.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        foot.setSpacing(2 * STEP)
        foot.addWidget(self._close, 2)
        foot.addWidget(self._where, 1)
        foot.addWidget(self._emergency, 1)
        for button in (self._close, self._where, self._emergency):
            button.setMinimumHeight(BEDSIDE_TARGET)

    def show_card(self, card: PhraseCard, time: str) -> None:
        """Show a card, and say it once to whoever can't see it."""
        self._card = card
        self._since.say(say("Since {time}").format(time=time))
        self._scale.clear()
        self._scale.setVisible(card.page == PAIN)
        self._emergency.setVisible(card.page == BREATH)
        self._where.setVisible(is_where_unsaid(card.text))
        self._say(card.text, card.also)
        self._close.setFocus()

    def _say(self, text: str, also: str) -> None:
        self._words.show_words(text)
        self._also.show_words(also, LEAST if len(also) <= len(text) else ALSO_LEAST)
        self._also.setVisible(bool(also))
        announce(self, text)

    def _add_number(self, number: int) -> None:
        text = say("{words}: {number} of 10").format(words=self._card.text, number=number)
        also = self._card.also  # in whatever language: a fraction is read in all of them
        self._say(text, f"{also}: {number}/{WORST}" if also else "")
        self._hurts(text)

    def put_away(self, stamp: int | None) -> None:
        """The second press of a shaking hand, which opened it just now, leaves it there."""
        if self._repeats.is_new("card", stamp):
            self._closed()
