"""What is due: state and time in words and shape, the last time and by whom, and a way to record it."""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QWidget

from carelog.analysis.glance import by_urgency
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details
from carelog.domain.moment import MINUTE
from carelog.kinds import named_or_unknown, task_name
from carelog.text import say
from carelog.ui import naming
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView
from carelog.ui.columns import WideColumns
from carelog.ui.due.row import Mark, last_words
from carelog.ui.glyphs import Glyph
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


class DuePage(ColumnView):
    """One row a task of the plan."""

    def __init__(
        self,
        present: Present,
        slips: Slips,
        open_form: Callable[[str, Details | None], None],
        go: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._present = present
        self._slips = slips
        self._open_form = open_form
        self._go = go
        present.when_changed.append(self.refresh)

    def key(self) -> object:
        picture = self._present.picture
        if picture is None:
            return self._present.stage
        dues = [repr(due) for due in picture.dues]
        return dues, picture.as_of, picture.plan is None, self._present.now() // MINUTE

    def fill(self) -> None:
        picture = self._present.picture
        self.heading(say("Asked for by the plan"))
        if picture is None:
            self.waiting(self._present.unread())
            return
        if picture.plan is None:
            plan = Main.calling(say("Write the plan"), "due_plan", lambda: self._go("plan"))
            self.empty("due", say("No plan recorded yet, so nothing is asked for."), plan)
            return
        if picture.as_of is not None:
            from carelog.ui.board.asked import unknown_dues

            self.words(unknown_dues())
            return
        holder = QWidget()
        holder.setObjectName("due_list")
        columns = WideColumns(holder)
        for number, due in enumerate(by_urgency(picture.dues)):
            columns.addWidget(self._row(number, due))
        self.across(holder)
        if not picture.dues:
            self.words(say("The plan asks for nothing now."))
        self.words(
            say("The window reminds you only while it is open. The computer must be on too. It is no alarm."),
            soft=True,
        )

    def _row(self, number: int, due: Due) -> QWidget:
        home, now = self._present.home(), self._present.now()
        is_now = due.state in (DueState.LATE, DueState.DUE)
        name = task_name(due.kind, due.where)
        state = naming.due_words(due, home, now)
        words = Words(f"{state}\n{last_words(due, home, now)}", soft=not is_now)
        record = Button(say("Record"), f"due_{number}")
        record.setAccessibleName(say("Record {name}").format(name=name))
        record.clicked.connect(lambda: self._record(due))
        made = QWidget()
        row = QHBoxLayout(made)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(Mark(due.state))
        row.addWidget(Glyph(due.kind))
        row.addSpacing(STEP)
        row.addWidget(Words(name, Size.STRONG if is_now else Size.TEXT), 3)
        row.addWidget(words, 4)
        row.addWidget(record)
        return made

    def _record(self, due: Due) -> None:
        kind = named_or_unknown(due.kind)
        for tile in kind.tiles:
            if tile.records is not None and due.where.items() <= tile.records.items():
                self._slips.press(due.kind, tile.records)
                self._go("board")
                return
        self._open_form(due.kind, due.where)
