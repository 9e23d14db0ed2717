"""The page of cards: a card is pressed and shown, a message is written, somebody is called."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from carelog.app.cards import (
    KEPT_MESSAGES,
    CardPage,
    CardRow,
    PhraseCard,
    card_pages,
    change_page,
    page_named,
    read_cards,
    read_messages,
)
from carelog.app.readymade import OWN, PAIN
from carelog.domain.entry import Entry
from carelog.kinds.phrase_card import PHRASE_CARD
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Strong
from carelog.ui.cards.board import CardsView
from carelog.ui.cards.calling import Calling
from carelog.ui.cards.change import CardEditor, rows_of
from carelog.ui.cards.kept import KeptPhrases
from carelog.ui.cards.shown import ShownCard
from carelog.ui.cards.sound import is_heard
from carelog.ui.cards.voice import Voice
from carelog.ui.cards.write import WritePage, with_newest
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.repeats import Repeats
from carelog.ui.slips import Slips
from carelog.ui.stops import reach, stops
from carelog.ui.theme import HUGE, percent_now

if TYPE_CHECKING:
    from carelog.app.ports import Record

Pages = tuple[CardPage, ...]


class CardsPage(QWidget):
    """One view at a time; a card and a call take the whole screen."""

    _trouble = ""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        recorder: Recorder,
        preferences: Preferences,
        folder: Path,
        fill_screen: Callable[[bool], object],
        go: Callable[[str], object],
    ) -> None:
        """`folder` is private, for the tone; `fill_screen` gives the page all of the screen."""
        super().__init__()
        self._access = access
        self._present = present
        self._recorder = recorder
        self._fill_screen = fill_screen
        self._repeats = Repeats()
        self._pages: Pages = card_pages()
        self.voice = Voice(preferences, self._show)
        self.kept = KeptPhrases(present, slips, preferences)
        self.calling = Calling(present, self.kept, folder, self._leave_call)
        access.when_ending += [self.calling.end, self.voice.stop]
        self._cards = CardsView(self.press, self._acts, self.kept.line)
        emergency = partial(go, "emergency")
        self._shown = ShownCard(self._repeats, self.put_away, emergency, self._tell, self.show_where)
        self._messages: tuple[str, ...] = ()
        self._write = WritePage(self.show_message, self._make_card, self._to_cards)
        self._change = CardEditor(access, recorder, self._to_cards)
        self._from: QWidget = self._cards
        self._stack = QStackedWidget()
        for view in (self._cards, self._shown, self._write, self._change, self.calling.view):
            self._stack.addWidget(view)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)
        access.when_told.append(self._on_told)
        access.when_open.append(self._read)
        preferences.when_changed.append(self._show)
        self._show()

    def _acts(self) -> list[Button]:
        call = say("call somebody")
        if not is_heard():
            call = say("call (no sound)") if percent_now() >= HUGE else say("call somebody (no sound)")
        return [
            Strong.calling(call, "cards_call", self.call),
            Button.calling(say("write …"), "cards_write", lambda: self._open(self._write)),
            Button.calling(say("change …"), "cards_change", lambda: self._open(self._change)),
        ]

    # What it shows ----------------------------------------------------------------------------------

    def opened(self) -> None:
        """The page was opened; a card or a call that stands goes on."""
        self._read()
        self._fill_screen(self._is_whole())

    def show_list(self) -> bool:
        """Back to the cards; False when they are shown already. A call ends only by who comes."""
        if self.calling.is_on:
            return True
        is_elsewhere = self._stack.currentWidget() is not self._cards
        if is_elsewhere:
            self._to_cards()
        return is_elsewhere

    def hideEvent(self, event: QHideEvent) -> None:
        """Another page was opened; a window that is only put aside stays as it is."""
        super().hideEvent(event)
        if not event.spontaneous():
            self.kept.line.hide()
            self._fill_screen(False)

    def press_key(self, text: str, stamp: int) -> bool:
        """A plain key: of a card or a subject, while the cards are shown."""
        return self._stack.currentWidget() is self._cards and self._cards.press_key(text, stamp)

    def _is_whole(self) -> bool:
        return self._stack.currentWidget() in (self._shown, self.calling.view)

    def _open(self, view: QWidget) -> None:
        """Show another view; the keys go on in it."""
        self._fill(view)
        self._stack.setCurrentWidget(view)
        self._fill_screen(self._is_whole())
        first = next(stops(view), None)
        if first is not None:
            reach(first, Qt.FocusReason.OtherFocusReason)

    def _to_cards(self) -> None:
        self.voice.stop()
        self._open(self._cards)

    def _show(self) -> None:
        self._cards.take(self._pages, " ".join(filter(None, (self._trouble, self.voice.trouble()))))
        current = self._stack.currentWidget()
        if current is not None:
            self._fill(current)

    def _fill(self, view: QWidget) -> None:
        """Fill what is seldom opened, when it is: it has more on it than the cards themselves."""
        if view is self._write:
            self._write.take(self._pages, self._messages)
        elif view is self._change:
            self._change.take(self._pages)

    # Reading ----------------------------------------------------------------------------------------

    def _on_told(self, entries: Sequence[Entry]) -> None:
        if not entries or any(each.kind == PHRASE_CARD.name for each in entries):
            self._read()

    def _read(self) -> None:
        """The record's own cards; until they are read the ready-made ones can be pressed."""

        def job(record: "Record") -> tuple[Pages, tuple[str, ...]]:
            pages = read_cards(record)
            return pages, read_messages(record, pages)

        if self._access.is_open():
            self._access.read(job, self._on_read, self._on_failed)

    def _on_read(self, found: tuple[Pages, tuple[str, ...]]) -> None:
        self._pages, written = found
        self._trouble = ""
        new = (each for each in written if each not in self._messages)
        self._messages = (*self._messages, *new)[:KEPT_MESSAGES]
        self._show()

    def _on_failed(self, _sentence: str) -> None:
        self._trouble = say("Your own cards couldn't be read. These are the ready-made ones.")
        self._show()

    # Showing a card ---------------------------------------------------------------------------------

    def press(self, card: PhraseCard, stamp: int | None) -> None:
        """Show a card at the time of an input event (ms); the second press of a shaking hand is none."""
        if self._repeats.is_new("card", stamp):
            self._show_card(card)

    def show_message(self, text: str) -> None:
        """Show what was written, and keep it at hand."""
        self._messages = with_newest(self._messages, text)
        self._show_card(PhraseCard(text))

    def _show_card(self, card: PhraseCard) -> None:
        current = self._stack.currentWidget()
        self._from = self._write if current is self._write else self._cards
        self._stack.setCurrentWidget(self._shown)
        self._fill_screen(True)
        self._shown.show_card(card, times.clock(self._present.home(), self._present.now()))
        self._tell(card.text)

    def _tell(self, text: str) -> None:
        self.kept.shown(text)
        self.voice.read(text)

    def put_away(self) -> None:
        """Back to where the card came from."""
        self.voice.stop()
        self._open(self._from)

    def show_where(self) -> None:
        """From “something hurts” to the cards that say where."""
        self._to_cards()
        self._cards.choose_page(PAIN)

    def _make_card(self, text: str) -> None:
        """A message that was written becomes a card of its own."""
        page, by = page_named(self._pages, OWN), self._recorder.who
        rows = [*rows_of(page), CardRow(text)]
        self._access.act(
            lambda logbook, _record: change_page(logbook, page, rows, by),
            lambda _entries: self._write.say(say("It is a card now, under “Our own”.")),
            self._write.say,
        )

    # Calling ----------------------------------------------------------------------------------------

    def call(self) -> None:
        """Call somebody, with the first press; a call that stands goes on."""
        if self.calling.is_on:
            return
        self._stack.setCurrentWidget(self.calling.view)
        self._fill_screen(True)
        self.calling.begin(self.window())

    def _leave_call(self) -> None:
        if self._stack.currentWidget() is self.calling.view:
            self._to_cards()
