"""The timeline's page: filters above, rows below, one entry in full when a row is pressed."""

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from carelog.analysis.in_force import Held
from carelog.analysis.times import month_day
from carelog.domain.entry import Entry
from carelog.domain.plan import Span
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.empty import Empty, to_board
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.recorder import names
from carelog.ui.ringed import Line, Ringed
from carelog.ui.slips import Slips
from carelog.ui.stops import reach
from carelog.ui.theme import HUGE, LARGE, STEP, percent_now
from carelog.ui.timeline.detail import Acts, Detail
from carelog.ui.timeline.facts import EntryFacts
from carelog.ui.timeline.kinds import KindFilter
from carelog.ui.timeline.model import TimelineModel
from carelog.ui.timeline.pause import pause
from carelog.ui.timeline.reader import Place, one_entry, one_week, read_piece, root_of, rows_again
from carelog.ui.timeline.rows import TimelineRow, Wanted
from carelog.ui.timeline.seeker import Seeker, SoughtCount, told
from carelog.ui.timeline.seeker import wanted as wanted_in
from carelog.ui.timeline.strip import WeekStrip
from carelog.ui.timeline.table import TimelineTable
from carelog.ui.words import Words

TYPED = 200  # ms without a key until what was typed is looked for
HIGH = 600  # px, enough for the week's strip above rows in huge letters
WIDE = 1160  # px at 100 %: from here on an entry stands beside the rows (a window of 1280 with its rail)
ROOMY = 900  # px at 100 %: below it the way to what happened since is in the rail's list alone
FOLLOWS = 150  # ms that the keys rest on a row until it is shown


class Timeline(QWidget):
    """Everything that was recorded; reading goes on as it is scrolled."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        amend: Callable[[str, Held], None],
        answer: Callable[[str], None],
        go: Callable[[str], object],
    ) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._slips = slips
        self._acts = Acts(self._done, amend, answer)
        self._wanted = Wanted()
        self._day: date | None = None
        self._place = Place()
        self._newest_piece, self._newest_entry, self._newest_week = Newest(), Newest(), Newest()
        self._strip = WeekStrip(self._look_at_week, self._from_day)
        self._shown = ""
        self.model = TimelineModel(self._fetch)
        self.table = TimelineTable(self.model, self._open)
        self._follow = pause(self, FOLLOWS, self._show_current)
        self.table.selectionModel().currentRowChanged.connect(lambda: self._follow.start())
        self._state = Words("", soft=True)
        self._words = Line("filter_words", say("Show only rows with these words"))
        self._words.setPlaceholderText(say("find words, values or people, or ask: when was the last …"))
        self._typed = pause(self, TYPED, self._filter)
        self._words.textChanged.connect(lambda _text: self._typed.start())
        self._seeker = Seeker(access, self._on_counted)
        self._counted: SoughtCount | None = None
        self._kinds = KindFilter(self._filter)
        self._since = since_then(go)
        self._empty = to_board("timeline", say("Nothing is recorded yet"), "days_board", go)
        self._stack = QStackedWidget()
        self._lay_out()
        access.when_told.append(self._on_told)
        present.when_changed.append(self._on_present)
        self._say_state()

    def _lay_out(self) -> None:
        self._stack.addWidget(self._listing())
        self._side = QStackedWidget()
        how = say("Press a row, or go to it with the arrow keys. It stands here in full.")
        hint = Empty("timeline", how, is_hint=True)
        self._side.addWidget(hint)
        self._side.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(STEP // 2)
        layout.addWidget(self._lay_out_above())
        layout.addWidget(self._empty)
        below = QHBoxLayout()
        layout.addLayout(below, 1)
        below.setSpacing(STEP)
        below.addWidget(self._stack, 5)
        below.addWidget(self._side, 3)
        self._empty.hide()

    def _lay_out_above(self) -> QWidget:
        """The week's strip, what is looked for, and which kinds."""
        self._by_kind = ChoiceButton(say("Kinds"), "filter_kinds")
        self._by_kind.switched.connect(self._kinds.setVisible)
        self._above = QWidget()
        above = QVBoxLayout(self._above)
        above.setContentsMargins(0, 0, 0, 0)
        above.setSpacing(STEP // 2)
        above.addWidget(self._strip)
        filters = QHBoxLayout()
        above.addLayout(filters)
        filters.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        filters.addWidget(Ringed(self._words), 1)
        filters.addWidget(self._by_kind)
        filters.addWidget(self._since)
        above.addWidget(self._kinds)
        return self._above

    def _listing(self) -> QWidget:
        """The rows, and what is said of them."""
        listing = QWidget()
        column = self._column = QVBoxLayout(listing)
        column.setSpacing(STEP // 2)
        column.addWidget(self._state)
        column.addWidget(Ringed(self.table), 1)
        return listing

    def is_wide(self) -> bool:
        """Whether an entry stands beside the rows."""
        return self.width() >= WIDE * percent_now() // 100

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._settle()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_side"):
            self._settle()

    def _settle(self) -> None:
        """Beside or over the rows, as there is room; an entry that is shown goes along."""
        self._strip.setVisible(percent_now() < HUGE or self.height() >= HIGH)  # else no row had room
        beside = 2 * STEP if percent_now() < LARGE else 0  # large rows need all of the width
        self._column.setContentsMargins(beside, 0, beside, 0)
        self._since.setVisible(self.width() >= ROOMY * percent_now() // 100)
        if self._is_empty() or self._side.isVisibleTo(self) == self.is_wide():
            return
        self._side.setVisible(self.is_wide())
        entry = self._shown
        self.show_list()
        if entry:
            self.open_entry(entry)

    def opened(self) -> None:
        """Back to the rows; the first piece is read when the page is first opened."""
        if not self.is_wide():
            self.show_list()
        self._on_present()
        if self._day is not None:
            self._strip.choose(None)
            self._from_day(None)
        if self.model.rowCount() == 0 and self.model.canFetchMore(self.table.rootIndex()):
            self.model.fetchMore(self.table.rootIndex())
            self._say_state()

    def _on_present(self) -> None:
        self._say_state()
        if self.isVisible() and self._present.picture is not None:
            self._strip.show_today(self._present.home().day(self._present.now()))

    # The week -------------------------------------------------------------------------------------

    def _look_at_week(self, days: Sequence[date]) -> None:
        home, flags = self._present.home(), tuple(self._present.flags or ())
        asking = self._newest_week.ask()
        self._access.read(
            lambda record: one_week(record, days, home, flags),
            asking.only(self._strip.put),
            lambda _sentence: None,
        )

    def _from_day(self, day: date | None) -> None:
        """The rows of a day and of those before it; None: of all."""
        self._day = day
        self._begin_anew()

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
        known = frozenset(initials for initials, _name in names(self._present.picture))
        wanted = wanted_in(self._words.text(), self._kinds.chosen(), known)
        if wanted != self._wanted:
            self._wanted = wanted
            self._begin_anew()

    def open_day(self, day: date) -> None:
        """The rows of a day and of those before it; opening the page again brings the newer ones back."""
        self.show_list()
        self._words.clear()
        self._kinds.clear()
        self._wanted = Wanted()
        self._strip.choose(day)
        self._from_day(day)
        self.table.setFocus()

    def _begin_anew(self) -> None:
        self._place = Place()
        if self._day is not None:
            self._place.before = self._present.home().end_of(self._day)
        self.model.clear()
        # Asked for by the model, which lets the table ask for no second piece meanwhile: the first would be
        # dropped as no longer the newest, and its rows with it.
        self.model.fetchMore(self.table.rootIndex())
        self._count()
        self._say_state()

    def _count(self) -> None:
        """Count what is looked for, beside the rows: they don't wait for it."""
        self._counted = None
        self._seeker.forget()
        if self._wanted != Wanted():
            self._seeker.count(self._wanted, self._present.home(), self._quiet())

    def _on_counted(self, counted: SoughtCount) -> None:
        self._counted = counted
        self._say_state()
        if counted.is_done:
            announce(self._state, self._state.text())

    def _on_told(self, entries: Sequence[Entry]) -> None:
        home = self._present.home()
        self._strip.read_again([home.day(entry.at.instant) for entry in entries])
        if not self.model.rowCount() and not self.model.is_done():
            return
        if not entries:
            self._begin_anew()
            return
        ids, quiet = [entry.id for entry in entries], self._quiet()
        until = None if self._day is None else home.end_of(self._day)

        def show(rows: list[TimelineRow]) -> None:
            stood = self.table.stands_at()
            for row in rows:
                self._place.seen.add(row.root)
                if self._wanted.takes(row) and (until is None or row.time < until):
                    self.model.put(row)
                else:
                    self.model.drop(row.root)
            self.table.stand_at(stood)
            self._say_state()

        self._access.read(lambda record: rows_again(record, ids, home, quiet), show, self._failed)

    def _say_state(self) -> None:
        if self._present.picture is None:
            self._state.say(self._present.unread())
        elif self._counted is not None:
            self._state.say(told(self._counted, self._present.home(), self._present.now()))
        elif self._wanted != Wanted():
            self._state.say(say("Looking …"))
        elif self.model.rowCount() == 0:
            self._state.say(say("Reading, nothing is shown yet"))
        elif self._day is not None:
            words = say("{day} and the days before it; newer rows aren't shown")
            self._state.say(words.format(day=month_day(self._day)))
        else:
            self._state.say("")
        self._state.set_soft(self._counted is None)
        self._state.setVisible(bool(self._state.text()))
        self._show_rows()

    def _is_empty(self) -> bool:
        """Whether there is no row at all, whatever is looked for."""
        is_all = self._wanted == Wanted() and self._day is None and self._present.picture is not None
        return is_all and self.model.rowCount() == 0 and self.model.is_done()

    def _show_rows(self) -> None:
        """The rows and what finds them; where there is none yet, what to do next."""
        is_empty = self._is_empty()
        if is_empty == self._empty.isVisibleTo(self):
            return
        self._empty.setVisible(is_empty)
        self._stack.setVisible(not is_empty)
        self._above.setVisible(not is_empty)
        self._side.setVisible(not is_empty and self.is_wide())

    # One entry ------------------------------------------------------------------------------------

    def _open(self, number: int) -> None:
        self.open_entry(self.model.row(number).root)

    def _show_current(self) -> None:
        """The row that the keys have come to, where there is room for it beside the rows."""
        root = self.table.stands_at()
        if self.is_wide() and root and root != self._shown:
            self.open_entry(root)

    def open_entry(self, entry_id: str) -> None:
        """Show one entry in full, by the id of any version of it."""
        asking, home = self._newest_entry.ask(), self._present.home()
        self._access.read(
            lambda record: one_entry(record, entry_id, home),
            asking.only(lambda found: self._show_entry(found, entry_id)),
            asking.only(self._failed),
        )

    def _show_entry(self, found: EntryFacts, entry_id: str) -> None:
        root, is_wide = root_of(found.chain, entry_id), self.is_wide()
        detail = Detail(self._present.home(), self._slips, found, root, self._acts, is_beside=is_wide)
        self._clear_entry()
        self._shown = root
        self.table.stand_at(root)
        holder = self._side if is_wide else self._stack
        holder.addWidget(detail)
        holder.setCurrentWidget(detail)
        self._above.setVisible(is_wide)

    def _done(self) -> None:
        """Something was done to the entry: back to the rows, or shown beside them as it is now."""
        if self.is_wide() and self._shown:
            self.open_entry(self._shown)
        else:
            self.show_list()

    def look_for_words(self) -> None:
        """Type what is looked for."""
        if not self.is_wide():
            self.show_list()
        reach(self._words, Qt.FocusReason.ShortcutFocusReason)

    def show_list(self) -> bool:
        """From an entry back to the rows; False when nothing but they is shown."""
        self._newest_entry.forget()
        if not self._clear_entry():
            return False
        self.table.setFocus()
        return True

    def _clear_entry(self) -> bool:
        """Take the entry away that is shown."""
        self._shown = ""
        found = self.findChildren(Detail)
        for detail in found:
            holder = self._side if detail.is_beside else self._stack
            holder.removeWidget(detail)
            detail.setParent(None)
            detail.deleteLater()
        self._stack.setCurrentIndex(0)
        self._side.setCurrentIndex(0)
        self._above.show()
        return bool(found)


def since_then(go: Callable[[str], object]) -> Button:
    """The way to what happened since, hidden until there is room for it."""
    made = Button.calling(say("Since then"), "days_since", lambda: go("since"))
    made.setAccessibleDescription(say("what happened since you were last here"))
    made.hide()
    return made
