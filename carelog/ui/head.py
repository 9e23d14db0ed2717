"""The head of the window: who records, the day and time, the emergency page's button at its fixed corner."""

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from carelog.text import say
from carelog.ui.access import Access, Stage
from carelog.ui.button import Button, ChoiceButton, Strong
from carelog.ui.numbers import MIDDLE, RIGHT
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder, names
from carelog.ui.theme import HUGE, STEP, Size, percent_now
from carelog.ui.words import Words

MOST_OTHERS = 3
LONGEST_NAME = 18  # letters


class Head(QWidget):
    """Large initials and name of who records, the others' initials beside: one press switches."""

    is_group = True

    def __init__(
        self, access: Access, present: Present, recorder: Recorder, go: Callable[[str], None]
    ) -> None:
        super().__init__()
        self.setObjectName("head")
        self.setAccessibleName(say("Who records, and the time"))
        self._access = access
        self._present = present
        self._recorder = recorder
        self._go = go
        self._shown: object = None
        self._is_covered = False
        self._buttons: list[ChoiceButton] = []
        self._who = Words("", Size.HEAD, wraps=False)
        self._change = Button(say("change"), "who_change")
        self._change.clicked.connect(lambda: go("who"))
        self._clock = Words("", Size.NAME)
        self._clock.align(RIGHT | MIDDLE)
        self._made_up = Words("", Size.SMALL)
        self._made_up.align(RIGHT | MIDDLE)
        self.emergency = Strong("", "go_emergency", size=Size.NAME)
        self.emergency.padding = 14
        self.emergency.clicked.connect(lambda: go("emergency"))
        self._lay_out()
        present.when_changed.append(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        self._others = QHBoxLayout()
        self._others.setSpacing(STEP // 2)
        for button in (self._change, self.emergency):
            button.keep_height()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(2 * STEP, STEP // 2, 2 * STEP, 0)
        layout.setSpacing(STEP)
        layout.addWidget(self._who)
        layout.addLayout(self._others)
        layout.addWidget(self._change)
        middle = QVBoxLayout()
        layout.addLayout(middle, 1)
        middle.setSpacing(0)
        middle.addWidget(self._clock)
        middle.addWidget(self._made_up)
        layout.addWidget(self.emergency)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def refresh(self) -> None:
        """Show who records and what time it is."""
        is_wide = self._is_wide()
        self._say_emergency(is_wide)
        self._say_middle(is_wide)
        wanted = (
            self._present.stage,
            self._recorder.who,
            names(self._present.picture),
            self._room(),
            self._is_wide(),
        )
        if wanted != self._shown:
            self._shown = wanted
            self._show_who()

    def _say_middle(self, is_wide: bool) -> None:
        """The day and time, and whether all of it is made up: as much of it as has room."""
        if self._access.has_begun:
            from carelog.ui import times  # with the record: the board is painted before

            now, home = self._present.now(), self._present.home()
            shown = times.head(home, now), times.short_head(home, now), times.clock(home, now)
            self._clock.say(self._first_that_fits(self._clock, *shown[0 if is_wide else 1 :]))
        person = self._present.picture.person if self._present.picture else None
        is_made_up = bool(person is not None and person.invented)
        long, short = say("A made-up household: nothing here is real"), say("Made-up household")
        told = ((long,) if is_wide else ()) + (short, say("Made up"))
        self._made_up.say(self._first_that_fits(self._made_up, *told) if is_made_up else "")
        self._made_up.setVisible(is_made_up)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest and percent_now() >= HUGE:
            self._say_middle(self._is_wide())
        return super().event(event)

    def _first_that_fits(self, label: Words, *texts: str) -> str:
        """The first of them that has room in one line between the buttons, else the last."""
        beside = [
            each for each in (self._who, self._change, self.emergency, *self._buttons) if each.isVisible()
        ]
        room = self.width() - sum(each.sizeHint().width() + STEP for each in beside) - 5 * STEP
        metrics = label.fontMetrics()
        return next((each for each in texts if metrics.horizontalAdvance(each) <= room), texts[-1])

    def _say_emergency(self, is_wide: bool) -> None:
        """Its whole name where it has room; a reader of the screen hears that always."""
        whole = say("Emergency page")
        shown = whole if is_wide else say("Emergency")
        if self.emergency.text() != shown:
            self.emergency.setText(shown)
            self.emergency.setAccessibleName(whole)

    def set_covered(self, is_covered: bool) -> None:
        """Hide the names, under the cover of the screen or where a page has all of it."""
        self._is_covered = is_covered
        self._show_names()

    def _show_names(self) -> None:
        for widget in (self._who, *self._buttons):
            widget.setVisible(not self._is_covered)
        self._change.setVisible(self._access.is_open() and not self._is_covered)

    def _show_who(self) -> None:
        known = dict(names(self._present.picture))
        who = self._recorder.who
        if who:
            name = shortened(known.get(who, ""), LONGEST_NAME) if self._is_wide() else ""
            self._who.say(f"{who}\N{NO-BREAK SPACE} {name}".strip())
        elif self._present.stage is Stage.MISSING:
            self._who.say("")
        elif self._present.picture is None:
            self._who.say(say("Who? Not read yet") if self._is_wide() else say("Who?"))
        else:
            self._who.say(say("Who records?") if self._is_wide() else say("Who?"))
        for button in self._buttons:
            self._others.removeWidget(button)
            button.hide()  # else what Qt shows of a new one a moment later would be a window of its own
            button.setParent(None)
            button.deleteLater()
        others = [each for each in known if each != who]
        self._buttons = [self._other(each, known[each]) for each in others[: self._room()]]
        self._show_names()

    def _other(self, initials: str, name: str) -> ChoiceButton:
        button = ChoiceButton(initials, f"who_{initials}")
        button.setCheckable(False)
        button.keep_height()
        button.setAccessibleName(
            say("{initials}: {name} records now").format(initials=initials, name=name or initials)
        )
        button.clicked.connect(lambda: self._recorder.choose(initials))
        self._others.addWidget(button)
        return button

    def _is_wide(self) -> bool:
        return self.width() >= 900 * self.fontMetrics().height() / 22

    def _room(self) -> int:
        """How many other initials have room beside the name; huge letters leave them none."""
        if percent_now() >= HUGE:
            return 0
        clock = self._clock.fontMetrics().horizontalAdvance(self._clock.text())
        beside = (self.emergency, self._who, self._change)
        free = self.width() - sum(each.sizeHint().width() for each in beside) - clock - 12 * STEP
        return max(min(free // (self.fontMetrics().horizontalAdvance("MM") + 40), MOST_OTHERS), 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.refresh()


def shortened(name: str, letters: int) -> str:
    """A name that has room; the whole one stands on the page of who records."""
    return name if len(name) <= letters else f"{name[: letters - 1].rstrip()}…"
