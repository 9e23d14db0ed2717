"""Puts the pages behind the board together after the first paint; each is made when first opened."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from carelog.app.lock import Holder, WindowLock
from carelog.domain.entry import Details
from carelog.text import say
from carelog.ui import times
from carelog.ui.band import Band
from carelog.ui.copies import Copies
from carelog.ui.desk import Stage
from carelog.ui.doubt import DoubtBand
from carelog.ui.due.reminders import Reminders
from carelog.ui.faults import catch
from carelog.ui.flags.urgent import Urgent
from carelog.ui.forms.shelf import Shelf
from carelog.ui.guard import Guard
from carelog.ui.newest import Newest
from carelog.ui.notice import Notice
from carelog.ui.rooms import Rooms
from carelog.ui.slip import Slip
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.ui.only import Doorbell


class House:
    """The rooms of the window and the ways between them."""

    def __init__(self, window: Window) -> None:
        self.window = window
        self.desk = window.desk
        self.preferences = window.preferences
        self.notice = Notice(window)
        self.desk.pressed_at = self.preferences.now.recorder_at
        self.copies = Copies(self.desk, self.preferences)
        self.reminders = Reminders(self.desk, self._ring, self.is_quiet)
        self.urgent = Urgent(self.desk, window.go, self._ring)
        self.fault = Band("fault_band")
        self.fault.add_button(say("Hide"), "fault_hide", lambda: self.guard.hide())
        self.guard = Guard(self.desk, self.fault)
        self.shelf = Shelf(self.desk, window.go, self.guard.tell)
        self.doubt = DoubtBand(self.desk, window.go)
        self._doorbell: Doorbell | None = None
        self._newest_change = Newest()
        self._was_open = False
        self._is_covered = False
        self._hang_bands()
        Rooms(self)
        self._name_acts()
        self._connect()
        catch(self.desk, self.fault)

    def _hang_bands(self) -> None:
        first, last = (self.urgent, self.doubt, self.guard), (self.reminders, self.shelf)
        self.bands = (*(each.band for each in first), self.fault, *(each.band for each in last))
        for band in self.bands:
            self.window.bands.addWidget(band)

    def _connect(self) -> None:
        window = self.window
        window.add_page("form", self.shelf)
        window.open_form = self.open_form
        window.complete = self.complete
        window.when_left.append(self.shelf.left)
        window.when_closed += [self.shelf.keeper.write, self._keep_place, self._leave]
        window.when_ticked += [
            self._follow_time,
            self.doubt.refresh,
            self.reminders.refresh,
            self.urgent.refresh,
            self.copies.look,
        ]
        self.desk.when_changed.append(self._on_change)
        self.desk.when_closing.append(self.copies.at_exit)
        self.desk.notices.append(self.copies.words)
        self.preferences.when_changed.append(self._on_preferences)

    def _name_acts(self) -> None:
        window = self.window
        window.does.update(
            back=lambda: window.go("board"),
            night=self.preferences.flip,
            larger=lambda: self.preferences.resize(25),
            smaller=lambda: self.preferences.resize(-25),
            undo=window.board.receipt.take_back,
            redo=window.board.receipt.give_back,
            cover=self.toggle_cover,
            receipt=self.reach_receipt,
        )

    def reach_receipt(self) -> None:
        """From anywhere to the first quick choice of the receipt, or to Undo."""
        from carelog.ui.stops import reach, stops

        self.window.go("board")
        first = next(stops(self.window.board.receipt), None)
        if first is not None:
            reach(first, Qt.FocusReason.ShortcutFocusReason)

    # Forms ----------------------------------------------------------------------------------------

    def open_form(self, kind: str, given: Details | None = None) -> None:
        """The form of a kind."""
        self.shelf.open(kind, None, given)

    def complete(self, slip: Slip) -> None:
        """The form for more details of what was just saved."""
        from carelog.analysis.in_force import Reading

        target = slip.entry
        self.desk.read(
            lambda record: Reading(record.chain([target.id])).get(target.id),
            self._newest_change.ask().only(lambda held: self.open_change(target.kind, held)),
            lambda _sentence: None,
        )

    def open_change(self, kind: str, held: "Held | None") -> None:
        """The form for the change of an entry."""
        if held is not None:
            self.shelf.open(kind, held)

    def open_entry(self, entry_id: str) -> None:
        """One entry in full, on the timeline's page."""
        from carelog.ui.timeline.page import Timeline

        self.window.go("timeline")
        page = self.window.stack.currentWidget()
        if isinstance(page, Timeline):
            page.open_entry(entry_id)

    # What time and the record change --------------------------------------------------------------

    def is_quiet(self) -> bool:
        """Whether these are quiet hours: the plan's, else the night."""
        from carelog.analysis.people import is_night

        plan = self.desk.picture.plan if self.desk.picture else None
        return is_night(self.desk.home(), self.desk.now(), plan)

    def _follow_time(self) -> None:
        self.preferences.set_quiet(self.is_quiet())

    def _on_change(self) -> None:
        if self.desk.stage is Stage.MISSING and self.window.page() == "board":
            self.window.go("first")
        is_open = self.desk.stage is Stage.OPEN
        if is_open and not self._was_open:
            self._was_open = True
            self._follow_time()
            self.shelf.bring_back()
            if self.desk.picture is not None and self.desk.picture.count == 0:
                self.window.go("first")
            elif self.window.page() == "first":
                self.window.go("board")

    def _on_preferences(self) -> None:
        self.notice.has_sound = self.preferences.now.has_sound
        if self.window.board.chosen != self.preferences.now.tiles:
            self.window.board.set_tiles(self.preferences.now.tiles)
            self.window.drop_page("more")

    def _ring(self, words: str) -> None:
        self.notice.has_sound = self.preferences.now.has_sound
        self.notice.ring(words)

    def _keep_place(self) -> None:
        from dataclasses import replace

        self.preferences.now = replace(
            self.preferences.now,
            window=self.window.place(),
            recorder=self.desk.who,
            recorder_at=self.desk.pressed_at,
        )
        self.preferences.keep()

    # Covering, and one window a record --------------------------------------------------------------

    def toggle_cover(self) -> None:
        """Cover the screen, or take the cover away."""
        self._is_covered = not self._is_covered
        self.window.go("cover" if self._is_covered else "board")
        self.window.foot.setVisible(not self._is_covered)
        self.window.head.set_covered(self._is_covered)
        self.urgent.set_covered(self._is_covered)
        for band in self.bands[1:]:
            band.set_covered(self._is_covered)

    def listen(self) -> None:
        """Answer second starts by coming to the front."""
        from carelog.ui.only import Doorbell

        self._doorbell = Doorbell(self.desk.path, self._come_to_front)

    def _come_to_front(self) -> None:
        self.window.showNormal() if self.window.isMinimized() else self.window.show()
        self.window.raise_()
        self.window.activateWindow()

    def _leave(self) -> None:
        from carelog.ui.sheet.viewer import empty

        empty(self.desk.parts.places.state)
        if self._doorbell is not None:
            self._doorbell.close()

    def ask_over(self, holder: Holder, lock: WindowLock | None) -> None:
        """Another computer, or a window that doesn't answer, has the record open: say who, and ask."""
        since = times.near(self.desk.home(), holder.since, self.desk.now())
        self.desk.refuse(
            say(
                "The record is open in another window, on {host} since {since}. Close it there first."
            ).format(host=holder.host, since=since)
        )
        if lock is None or holder.is_here:
            return

        def over() -> None:
            lock.take(self.desk.now(), over=True)
            self.fault.say("")
            self.desk.open()

        self.fault.add_button(say("Open it all the same"), "open_over", over)
        self.fault.say(self.desk.trouble)
