"""The receipt: what was saved, when, by whom; Undo at its far end; quick choices for time and details."""

from collections.abc import Callable

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.domain.moment import MINUTE
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui import times
from carelog.ui.board.slips import SlipActs
from carelog.ui.button import Button, Choice, Main, Strong, draw_box
from carelog.ui.desk import Desk
from carelog.ui.flow import Flow
from carelog.ui.head import names
from carelog.ui.naming import line_words
from carelog.ui.palette import ACCENT, LINE
from carelog.ui.slip import Slip, State
from carelog.ui.theme import Size, dress, is_dark
from carelog.ui.words import Words

HEIGHT = 86  # px at 100 %
CHOICES_STAND = 10 * MINUTE
MINUTES = (0, 5, 10, 20, 30, 60)


class Receipt(QWidget):
    """Always at the same place, empty or not."""

    def __init__(self, desk: Desk, open_form: Callable[[Slip], None]) -> None:
        super().__init__()
        self.setObjectName("receipt")
        self._desk = desk
        self._acts = SlipActs(desk, self.refresh)
        self._open_form = open_form
        self._shown: tuple[object, ...] = ()
        self._line = Words("", Size.RECEIPT)
        self._more = Words("", Size.TEXT, soft=True)
        self._choices = QWidget()
        self._flow = Flow(self._choices, gap=4)
        self.undo = Strong(say("Undo"), "undo", size=Size.NAME)
        self.undo.clicked.connect(self._on_undo)
        self._again = Main(say("Try again"), "try_again")
        self._again.clicked.connect(desk.try_again)
        self._lay_out()
        desk.when_changed.append(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(2)
        for widget in (self._line, self._more, self._choices):
            left.addWidget(widget)
        left.addStretch(1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 4, 6, 4)
        layout.addLayout(left, 1)
        layout.addWidget(self._again)
        layout.addWidget(self.undo)
        self.setMinimumHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if is_dark():  # its place is known; the line around it would only shine
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        slip = self._slip()
        is_fresh = slip is not None and self._is_fresh(slip)
        draw_box(painter, self.rect(), self.palette(), ACCENT if is_fresh else LINE, 2 if is_fresh else 1)

    # What it shows --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the last press as it stands now."""
        slip = self._slip()
        waiting = [each for each in self._desk.slips if each.state in (State.WAITING, State.FAILED)]
        self._line.say(self._words(slip))
        self._line.set_soft(slip is None or not self._is_fresh(slip))
        more = self._waiting_words(waiting, slip)
        self._more.say(more)
        self._more.setVisible(bool(more))
        self._again.setVisible(any(each.state is State.FAILED for each in waiting))
        self._show_choices(slip)
        self._show_undo(slip)
        self.setAccessibleName(say("Receipt"))
        self._announce(self._line.text())
        self.update()

    def _announce(self, words: str) -> None:
        """A screen reader says what has changed, wherever the focus is."""
        if words == self.accessibleDescription():
            return
        self.setAccessibleDescription(words)
        if self._desk.slips:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def _slip(self) -> Slip | None:
        return self._desk.slips[-1] if self._desk.slips else None

    def _is_fresh(self, slip: Slip) -> bool:
        return self._desk.now() - slip.first.recorded_at < CHOICES_STAND

    def _words(self, slip: Slip | None) -> str:
        if slip is None:
            return say("Nothing recorded in this window yet")
        home, entry = self._desk.home(), slip.entry
        when = times.at_night(home, entry.at.instant, self._desk.now())
        what = entry_words(slip)
        state = {
            State.WAITING: say("not saved yet"),
            State.SAVED: say("saved"),
            State.FAILED: say("not saved"),
            State.UNDONE: say("undone"),
        }[slip.state]
        words = f"{what} {state}, {when}, {entry.by or say('no name')}"
        return f"{words}. {say('One entry.')}" if slip.is_several else words

    def _waiting_words(self, waiting: list[Slip], slip: Slip | None) -> str:
        trouble = next((each.trouble for each in waiting if each.trouble), "")
        others = [entry_words(each) for each in waiting if each is not slip]
        parts = [trouble]
        if others:
            parts.append(say("Not saved yet: {names}.").format(names=", ".join(others)))
        return " ".join(part for part in parts if part)

    def _show_undo(self, slip: Slip | None) -> None:
        can = slip is not None and slip.state in (State.SAVED, State.UNDONE)
        self.undo.setVisible(can)
        if slip is not None and can:
            is_undone = slip.state is State.UNDONE
            self.undo.setText(say("Redo") if is_undone else say("Undo"))
            self.undo.setAccessibleName(f"{self.undo.words}: {entry_words(slip)}")

    # Quick choices --------------------------------------------------------------------------------

    def _show_choices(self, slip: Slip | None) -> None:
        is_on = slip is not None and slip.state is State.SAVED and self._is_fresh(slip)
        wanted: tuple[object, ...] = (
            slip.first.id if slip else "",
            is_on,
            slip is not None and slip.asks_who,
        )
        if wanted != self._shown:
            self._shown = wanted
            self._clear()
            if slip is not None and is_on:
                self._add_choices(slip)
        self._choices.setVisible(is_on)
        if slip is not None and is_on:
            self._mark_chosen(slip)

    def _clear(self) -> None:
        while (item := self._flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()

    def _add_choices(self, slip: Slip) -> None:
        if slip.asks_who:
            self._add_names(slip)
        for minutes in MINUTES:
            button = self._small(minutes_words(minutes), f"minutes_{minutes}")
            button.setAccessibleName(spoken_minutes(minutes))
            button.clicked.connect(lambda _=False, n=minutes: self._acts.move(slip, n))
        kind = named_or_unknown(slip.first.kind)
        for pick in () if slip.asks_who else kind.picks:  # one line of choices: first who, then what
            button = self._small(kind.pick_label(pick), f"pick_{pick.field}_{pick.value}")
            button.clicked.connect(lambda _=False, p=pick: self._pick(slip, p.field, p.value))
        more = Button(say("more …"), "more_details")
        more.padding = 8
        more.setAccessibleName(say("More details, another time or a note"))
        more.clicked.connect(lambda: self._open_form(slip))
        self._flow.addWidget(more)

    def _add_names(self, slip: Slip) -> None:
        known = [initials for initials, _name in names(self._desk)]
        first = [slip.first.by] if slip.first.by else []
        for initials in dict.fromkeys([*first, *known]):
            words = f"{initials}?" if initials == slip.first.by else initials
            button = self._small(words, f"by_{initials}")
            button.setAccessibleName(say("{initials} did it").format(initials=initials))
            button.clicked.connect(lambda _=False, chosen=initials: self._acts.say_who(slip, chosen))

    def _small(self, text: str, name: str) -> Choice:
        button = Choice(text, name)
        button.padding = 8
        dress(button, Size.TEXT)
        self._flow.addWidget(button)
        button.show()
        return button

    def _pick(self, slip: Slip, field: str, value: Json) -> None:
        self._acts.pick(slip, field, value)

    def _mark_chosen(self, slip: Slip) -> None:
        """Tick only what the record holds: a press that isn't saved yet ticks nothing."""
        for minutes in MINUTES:
            button = self._choices.findChild(Choice, f"minutes_{minutes}")
            if button is not None:
                moved = slip.first.at.instant - slip.entry.at.instant
                button.setChecked(minutes > 0 and moved == minutes * MINUTE)
        for pick in named_or_unknown(slip.first.kind).picks:
            button = self._choices.findChild(Choice, f"pick_{pick.field}_{pick.value}")
            if button is not None:
                button.setChecked(slip.entry.details.get(pick.field) == pick.value)

    def _on_undo(self) -> None:
        slip = self._slip()
        if slip is not None and slip.state is State.UNDONE:
            self.give_back()
        else:
            self.take_back()

    def take_back(self) -> None:
        """Undo the last act of this window."""
        slip = self._slip()
        if slip is not None and slip.state is State.SAVED:
            self._acts.undo(slip)

    def give_back(self) -> None:
        """Redo what was undone last."""
        slip = self._slip()
        if slip is not None and slip.state is State.UNDONE:
            self._acts.redo(slip)


def entry_words(slip: Slip) -> str:
    """The entry in words: what the tile says where it says it all, and what was added."""
    kind = named_or_unknown(slip.entry.kind)
    for tile in kind.tiles:
        if tile.records is not None and slip.first.details == tile.records:
            given = {n: v for n, v in slip.entry.details.items() if n not in tile.records}
            extra = kind.line(given)
            return f"{say(tile.words)} ({extra})" if extra else say(tile.words)
    if slip.entry.withdrawn:
        return say("{kind} struck out:").format(kind=say(kind.title))
    line = line_words(slip.entry.kind, slip.entry.details)
    return f"{say(kind.title)} ({line})" if line else say(kind.title)


def minutes_words(minutes: int) -> str:
    """The short words on a time choice."""
    if minutes == 0:
        return say("just now")
    if minutes == 5:
        return say("5 min ago")
    return say("1 h") if minutes == 60 else str(minutes)


def spoken_minutes(minutes: int) -> str:
    """The full words of a time choice."""
    if minutes == 0:
        return say("just now")
    return say("1 hour ago") if minutes == 60 else say("{minutes} minutes ago").format(minutes=minutes)
