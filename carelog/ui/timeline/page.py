"""The timeline's page: filters above, rows below, one entry in full when a row is pressed."""

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from carelog.analysis.in_force import Held
from carelog.analysis.outside import Judging
from carelog.analysis.times import month_day
from carelog.domain.entry import Entry
from carelog.domain.plan import Span
from carelog.kinds import ALL
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.button import ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed, Scrolled
from carelog.ui.slips import Slips
from carelog.ui.stops import reach
from carelog.ui.theme import STEP
from carelog.ui.timeline.detail import Detail
from carelog.ui.timeline.model import TimelineModel
from carelog.ui.timeline.reader import Place, one_entry, read_piece, rows_again
from carelog.ui.timeline.rows import TimelineRow, Wanted
from carelog.ui.timeline.table import TimelineTable
from carelog.ui.words import Words


class Timeline(QWidget):
    """Everything that was recorded; reading goes on as it is scrolled."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        amend: Callable[[str, Held], None],
        answer: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._slips = slips
        self._amend = amend
        self._answer = answer
        self._wanted = Wanted()
        self._day: date | None = None
        self._place = Place()
        self._newest_piece, self._newest_entry = Newest(), Newest()
        self.model = TimelineModel(self._fetch)
        self.table = TimelineTable(self.model, self._open)
        self._state = Words("", soft=True)
        self._words = Line("filter_words", say("Show only rows with these words"))
        self._words.setPlaceholderText(say("only rows with these words"))
        self._words.textChanged.connect(lambda _text: self._filter())
        self._kinds: dict[str, ChoiceButton] = {}
        self._stack = QStackedWidget()
        self._lay_out()
        access.when_told.append(self._on_told)
        present.when_changed.append(self._say_state)
        self._say_state()

    def _lay_out(self) -> None:
        self._kinds_panel = Scrolled(self._kind_buttons(), say("Kinds"))
        self._kinds_panel.setMaximumHeight(160)
        self._kinds_panel.hide()
        self._by_kind = ChoiceButton(say("Kinds"), "filter_kinds")
        self._by_kind.switched.connect(self._kinds_panel.setVisible)
        filters = QHBoxLayout()
        filters.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        filters.addWidget(Ringed(self._words), 1)
        filters.addWidget(self._by_kind)
        listing = QWidget()
        column = QVBoxLayout(listing)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP // 2)
        column.addLayout(filters)
        column.addWidget(self._kinds_panel)
        column.addWidget(self._state)
        column.addWidget(Ringed(self.table), 1)
        self._state.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        self._stack.addWidget(listing)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)

    def _kind_buttons(self) -> QWidget:
        holder = QWidget()
        flow = Flow(holder, gap=STEP // 2)
        flow.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        for kind in ALL:
            button = ChoiceButton(say(kind.title), f"filter_{kind.name}")
            button.switched.connect(lambda _is_on: self._filter())
            self._kinds[kind.name] = button
            flow.addWidget(button)
        return holder

    def opened(self) -> None:
        """Back to the rows; the first piece is read when the page is first opened."""
        self.show_list()
        if self._day is not None:
            self._day = None
            self._begin_anew()
        if self.model.rowCount() == 0 and self.model.canFetchMore(self.table.rootIndex()):
            self.model.fetchMore(self.table.rootIndex())
            self._say_state()

    # Reading --------------------------------------------------------------------------------------

    def _quiet(self) -> Span | None:
        plan = self._present.picture.plan if self._present.picture else None
        return plan.quiet if plan else None

    def _fetch(self) -> None:
        place, wanted, home, quiet = self._place, self._wanted, self._present.home(), self._quiet()
        now = self._present.now()

        def show(rows: list[TimelineRow]) -> None:
            self.model.append(rows, place.is_done)
            self._say_state()

        asking = self._newest_piece.ask()
        asked = self._access.read(
            lambda record: read_piece(record, place, now, wanted, home, quiet),
            asking.only(show),
            asking.only(self._failed),
        )
        if asked is not None:
            asked.wait(0.1)

    def _failed(self, sentence: str) -> None:
        self.model.append([], is_done=False)
        self._state.say(sentence)

    def _filter(self) -> None:
        kinds = frozenset(name for name, button in self._kinds.items() if button.isChecked())
        wanted = Wanted(kinds, self._words.text().strip())
        if wanted != self._wanted:
            self._wanted = wanted
            self._begin_anew()

    def open_day(self, day: date) -> None:
        """The rows of a day and of those before it; opening the page again brings the newer ones back."""
        self.show_list()
        self._words.clear()
        for button in self._kinds.values():
            button.show_on(False)
        self._wanted, self._day = Wanted(), day
        self._begin_anew()
        self.table.setFocus()

    def _begin_anew(self) -> None:
        self._place = Place()
        if self._day is not None:
            self._place.before = self._present.home().end_of(self._day)
        self.model.clear()
        # Asked for by the model, which lets the table ask for no second piece meanwhile: the first would be
        # dropped as no longer the newest, and its rows with it.
        self.model.fetchMore(self.table.rootIndex())
        self._say_state()

    def _on_told(self, entries: Sequence[Entry]) -> None:
        if not self.model.rowCount() and not self.model.is_done():
            return
        if not entries:
            self._begin_anew()
            return
        ids, home, quiet = [entry.id for entry in entries], self._present.home(), self._quiet()

        def show(rows: list[TimelineRow]) -> None:
            for row in rows:
                self._place.seen.add(row.root)
                if self._wanted.takes(row):
                    self.model.put(row)
                else:
                    self.model.drop(row.root)

        self._access.read(lambda record: rows_again(record, ids, home, quiet), show, self._failed)

    def _say_state(self) -> None:
        if self._present.picture is None:
            self._state.say(self._present.unread())
        elif self.model.rowCount() == 0 and self.model.is_done():
            nothing = say("No row has these words or kinds") if self._wanted != Wanted() else ""
            self._state.say(nothing or say("Nothing is recorded yet"))
        elif self.model.rowCount() == 0:
            self._state.say(say("Reading, nothing is shown yet"))
        elif self._wanted != Wanted():
            self._state.say(say("Filtered: not everything is shown"))
        elif self._day is not None:
            words = say("{day} and the days before it; newer rows aren't shown")
            self._state.say(words.format(day=month_day(self._day)))
        else:
            self._state.say("")
        self._state.setVisible(bool(self._state.text()))

    # One entry ------------------------------------------------------------------------------------

    def _open(self, number: int) -> None:
        self.open_entry(self.model.row(number).root)

    def open_entry(self, entry_id: str) -> None:
        """Show one entry in full, by the id of any version of it."""
        asking = self._newest_entry.ask()
        self._access.read(
            lambda record: one_entry(record, entry_id),
            asking.only(lambda found: self._show_entry(found[0], found[1], entry_id)),
            asking.only(self._failed),
        )

    def _show_entry(self, chain: list[Entry], judging: Judging, entry_id: str) -> None:
        by_id = {entry.id: entry for entry in chain}
        root = entry_id
        while root in by_id and by_id[root].amends in by_id:
            root = str(by_id[root].amends)
        detail = Detail(
            self._present.home(),
            self._slips,
            chain,
            judging,
            root,
            self.show_list,
            self._amend,
            self._answer,
        )
        self.show_list()
        self._stack.addWidget(detail)
        self._stack.setCurrentWidget(detail)

    def look_for_words(self) -> None:
        """Type what is looked for."""
        self.show_list()
        reach(self._words, Qt.FocusReason.ShortcutFocusReason)

    def show_list(self) -> bool:
        """From an entry back to the rows; False when they are shown already."""
        current = self._stack.currentWidget()
        self._stack.setCurrentIndex(0)
        if isinstance(current, Detail):
            self._stack.removeWidget(current)
            current.deleteLater()
            self.table.setFocus()
            return True
        return False
