"""One question a screen: how far one is, what was saved last, the question, and what may be pressed."""

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from carelog.app.basics.answers import Answer, say_plan, strike
from carelog.domain.entry import Entry
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.announce import announce
from carelog.ui.column import row
from carelog.ui.columns import WideColumns
from carelog.ui.desk import Desk
from carelog.ui.first.asked import Asked, Now
from carelog.ui.first.foot import Presses, saving, ways_back, ways_on
from carelog.ui.first.kept import HalfTyped
from carelog.ui.first.last import LastAnswer
from carelog.ui.first.maker import ScreenMaker, held_for
from carelog.ui.first.saved import SavedLine
from carelog.ui.first.screens import Screen, after, after_step, begin_at, near, progress, steps_done
from carelog.ui.first.still import StillOpen
from carelog.ui.first.team import SetByAsked
from carelog.ui.first.track import Track
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import Line, Scrolled
from carelog.ui.stops import reach
from carelog.ui.theme import LARGE, STEP, Size, percent_now
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook
    from carelog.app.ports import Record

NO_NAME = mark("Say first whom this record is about: its name is needed.")
NO_TEAM = mark("Say first who gave you the plan.")


class QuestionRun(QWidget):
    """The questions in a row, or one alone that is changed at its screen."""

    def __init__(
        self,
        desk: Desk,
        maker: ScreenMaker,
        kept: HalfTyped,
        last: LastAnswer,
        still: StillOpen,
        go: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._desk = desk
        self._maker = maker
        self._kept = kept
        self._go = go
        self.at: Screen | None = None
        """The screen that is shown; None: none yet."""
        self._entry = ""
        self._is_alone = False
        self._is_saving = False
        self._confirmed: list[str] = []
        self._asked: Asked | None = None
        self._repeats = Repeats()
        self._last = last
        self._still = still
        self._awaited = 0
        self._then: Callable[[], None] | None = None
        self._waits: Asked | None = None
        self._message = Words("", Size.STRONG)
        self._scrolled: Scrolled | None = None
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(STEP)
        self._saved_line = SavedLine(desk, last)
        self._layout.addWidget(self._saved_line)
        desk.present.when_changed.append(self._on_changed)
        maker.when_named.append(self._on_named)

    def hideEvent(self, event: QHideEvent) -> None:
        """Another page, or the end: what was typed in the last second is kept too."""
        super().hideEvent(event)
        self._kept.write()

    # Which screen ---------------------------------------------------------------------------------

    @property
    def is_saving(self) -> bool:
        """Whether an answer is on its way, and the next question waits for it."""
        return self._is_saving or self._then is not None

    def opened(self) -> None:
        """Go on where one was; at first where something is half typed, or without an answer."""
        picture = self._desk.present.picture
        if picture is not None and self.at is None:
            self.show_screen(begin_at(picture, self._kept.names(), self._still.aside()))
        elif picture is not None and self.at is not None:
            self.show_screen(near(self.at, picture), self._entry)

    def begin(self) -> None:
        """Go through the questions, from the first without an answer."""
        self.at, self._entry, self._is_alone = None, "", False
        self.opened()

    def show_one(self, screen: Screen, entry_id: str = "") -> None:
        """One question alone; `entry_id`: the contact or the recorder that is changed."""
        self._is_alone = True
        self.show_screen(screen, entry_id)

    def show_screen(self, screen: Screen, entry_id: str = "") -> None:
        """Show a screen as it stands; what was typed into it and isn't saved is there again."""
        picture = self._desk.present.picture
        if picture is None:
            return
        self.at, self._entry, self._confirmed = screen, entry_id, []
        present = self._desk.present
        held = held_for(screen, picture, entry_id)
        still = self._still
        now = Now(picture, present.home(), present.now(), held, still.taken(screen.key), still.aside())
        asked = self._maker.made(screen, now)
        kept = self._kept.typed(self._key())
        if kept is not None:
            asked.restore(kept)
        asked.when_changed.append(self._on_typed)
        asked.when_answered.append(self._on_pressed)
        if asked.is_saved_by_button:
            self._lead_on(asked.findChildren(Line))
        self._asked = asked
        self._lay_out(asked, screen, now)
        # In large print the question comes first: to reach the field would scroll it out of sight.
        landing = (asked.landing() if percent_now() < LARGE else None) or self._scrolled
        if landing is not None and self.isVisible():
            reach(landing, Qt.FocusReason.OtherFocusReason)

    def _lead_on(self, lines: Sequence[Line]) -> None:
        """Return goes to the next line; in the last one it saves, so that nothing is passed over."""
        for line, following in pairwise(lines):
            line.returnPressed.connect(partial(reach, following, Qt.FocusReason.TabFocusReason))
        for line in lines[-1:]:
            line.returnPressed.connect(self.save)

    def _lay_out(self, asked: Asked, screen: Screen, now: Now) -> None:
        body = QWidget()
        column = WideColumns(body, STEP, most=1)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        top = QWidget()
        line = QHBoxLayout(top)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(Track(screen.asked.step, steps_done(now.picture)))
        line.addWidget(Words(progress(screen, now.picture), soft=True), 1)
        column.addWidget(top)
        column.addWidget(Words(screen.asks(), Size.HEAD))
        if screen.told():
            column.addWidget(Words(screen.told()))
        column.addWidget(asked)
        self._message = Words("", Size.STRONG)
        column.addWidget(self._message)
        column.addWidget(self._foot(asked, screen, now))
        old, self._scrolled = self._scrolled, Scrolled(body, screen.asks())
        self._layout.insertWidget(0, self._scrolled, 1)
        self._scrolled.show()
        if old is not None:
            self._layout.removeWidget(old)
            old.hide()
            old.setParent(None)
            old.deleteLater()

    def _foot(self, asked: Asked, screen: Screen, now: Now) -> QWidget:
        presses = Presses(
            save=self.save,
            save_one_more=self.save_one_more,
            on=self._on,
            not_here=self._not_here,
            later=self._later,
            back=self._back,
            strike=self._strike,
            put_aside=self._put_aside,
            to_basics=lambda: self._go("basics"),
            to_board=lambda: self._go("board"),
        )
        is_open = screen.asked in self._still.questions()
        ways = (
            ways_back(screen, now, presses, is_open=is_open)
            if self._is_alone
            else ways_on(screen, now, presses)
        )
        return row(*saving(asked, screen, presses), *ways)

    def _strike(self) -> None:
        self._save(strike(self._entry), self._next)

    def _put_aside(self) -> None:
        if self.at is not None:
            self._still.put_aside(self.at.question)
            self._go("basics")

    def _not_here(self) -> None:
        """Kept beside the record, which can't hold that nothing is asked for."""
        if self.at is not None:
            self._still.put_aside(self.at.key)
            self._on()

    def _move(self, screen: Screen | None) -> None:
        self._kept.write()
        if screen is None:
            self._go("board")
        else:
            self.show_screen(screen)

    def _pass_over(self) -> None:
        """The question that comes next isn't followed by what was saved before this one."""
        self._last.is_passed = True
        self._saved_line.refresh()

    def _on(self) -> None:
        self._pass_over()
        picture = self._desk.present.picture
        if self.at is not None and picture is not None:
            self._move(after(self.at, picture))

    def _back(self) -> None:
        picture = self._desk.present.picture
        if self.at is not None and picture is not None:
            self._move(after(self.at, picture, -1))

    def _later(self) -> None:
        self._pass_over()
        picture = self._desk.present.picture
        if self.at is not None and picture is not None:
            self._move(after_step(self.at, picture))

    # Answering ------------------------------------------------------------------------------------

    def _on_typed(self) -> None:
        self._confirmed = []
        if self._asked is not None:
            self._kept.put(self._key(), self._asked.typed())

    def _key(self) -> str:
        """What is typed here is kept under this name: that of the screen, and of the entry it changes."""
        assert self.at is not None
        return f"{self.at.key} {self._entry}".strip()

    def _on_named(self) -> None:
        """A team was pressed."""
        if isinstance(self._asked, SetByAsked):
            self._name_team(self._asked)

    def _name_team(self, asked: SetByAsked) -> None:
        """The team goes into the plan that stands, else into the first one with its first sentence."""
        name = asked.name()
        self._maker.set_by = name
        if asked.now.picture.plan is None:
            self._next()
        else:
            self._save(say_plan(name, lambda plan: plan), self._next)

    def _on_pressed(self, answer: Answer) -> None:
        """A press answered; one that comes right after another is a hand's own."""
        if self._repeats.is_new("answer", None):
            self._save(answer, self._next)

    def save(self) -> None:
        """Save what stands in it, and go on."""
        self._save_typed(self._next)

    def save_one_more(self) -> None:
        """Save it, and ask for one more of the same."""
        self._save_typed(self._again)

    def _save_typed(self, then: Callable[[], None]) -> None:
        asked = self._asked
        if asked is None:
            return
        try:
            if isinstance(asked, SetByAsked):
                self._name_team(asked)
                return
            answer, odd = asked.answer(), asked.odd()
        except Refused as refused:
            self._refuse(refused.sentence)
            return
        if odd and odd != self._confirmed:
            self._confirmed = odd
            self._refuse(" ".join(odd))
            return
        self._save(answer, then)

    def _save(self, answer: Answer, then: Callable[[], None]) -> None:
        screen = self.at
        trouble = self._missing(screen)
        if self._is_saving or screen is None or trouble:
            self._refuse(trouble)
            return
        self._is_saving = True
        key, asked = self._key(), self._asked
        if asked is not None:
            self._still.keep_taken(screen.key, asked.line)
        by, picture = self._desk.recorder.who, self._desk.present.picture
        self._awaited = picture.count + 1 if picture is not None else 0
        before = screen.asked.before(picture) if picture is not None else {}

        def job(logbook: "Logbook", record: "Record") -> Sequence[Entry]:
            return answer(logbook, record, by)

        def saved(entries: Sequence[Entry]) -> None:
            self._is_saving = False
            if not entries:
                self._awaited = 0  # nothing had to be changed
            if asked is None or not asked.keeps_typed:
                self._kept.drop(key)
            if asked is not None and screen.sentence:
                self._still.put_aside(screen.key, is_aside=asked.says_none)
            self._then, self._waits = then, asked
            self._last.note(self._desk, screen, before, entries)
            self._saved_line.refresh()
            self._on_changed()

        def failed(sentence: str) -> None:
            self._is_saving = False
            self._refuse(sentence)

        self._desk.access.act(job, saved, failed)

    def _missing(self, screen: Screen | None) -> str:
        """What has to be said before this can be saved."""
        picture = self._desk.present.picture
        if screen is None or picture is None:
            return self._desk.present.unread()
        if screen.question in ("airway", "helped") and not picture.person.name:
            return say(NO_NAME)
        asked = self._asked
        if screen.sentence and asked is not None and not self._maker.who_set(asked.now):
            return say(NO_TEAM)
        return ""

    def _on_changed(self) -> None:
        """Go on once the picture is of after the save: what comes next may follow from it.

        Whoever has left the question meanwhile is left alone.
        """
        picture, then = self._desk.present.picture, self._then
        if then is not None and picture is not None and picture.count >= self._awaited:
            self._then = None
            if self._waits is self._asked and self.isVisible():
                then()
        elif picture is not None and self.at is not None and self.isVisible():
            here = near(self.at, picture)
            if here != self.at:  # what it asked about was taken back
                self.show_screen(here)

    def _next(self) -> None:
        """On in the row; alone only to the plan's next sentence, and from there back to the list."""
        picture, screen = self._desk.present.picture, self.at
        if picture is None or screen is None:
            return
        following = after(screen, picture)
        is_same = following is not None and following.question == screen.question
        if self._is_alone and not is_same:
            self._go("basics")
        else:
            self._move(following)

    def _again(self) -> None:
        if self.at is not None:
            self.show_screen(self.at)

    def _refuse(self, sentence: str) -> None:
        self._message.say(sentence)
        announce(self._message, sentence)
