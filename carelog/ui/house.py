"""Puts the pages behind the board together after the first paint; each is made when first opened."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.entry import Details
from carelog.ui.desk import Stage
from carelog.ui.forms.shelf import Shelf
from carelog.ui.slip import Slip
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held


class House:
    """The rooms of the window and the ways between them."""

    def __init__(self, window: Window) -> None:
        self.window = window
        self.desk = window.desk
        self.shelf = Shelf(self.desk, window.go)
        window.add_page("form", self.shelf)
        window.bands.addWidget(self.shelf.band)
        window.open_form = self.open_form
        window.complete = self.complete
        window.when_left.append(self._on_page)
        window.when_closed.append(self.shelf.keeper.write)
        self._was_open = False
        self.desk.when_changed.append(self._on_change)
        self._offer_pages()
        self._name_acts()

    def _offer_pages(self) -> None:
        offer = self.window.offer
        offer("more", self._more)
        offer("who", self._who)
        offer("timeline", self._timeline)
        offer("flags", self._flags)
        offer("due", self._due)
        offer("plan", self._plan)
        offer("emergency", self._emergency)

    def _name_acts(self) -> None:
        window = self.window
        window.does.update(
            back=lambda: window.go("board"),
            night=lambda: window.theme.set_night(not window.theme.is_night),
            larger=lambda: window.theme.set_percent(window.theme.percent + 25),
            smaller=lambda: window.theme.set_percent(window.theme.percent - 25),
            undo=window.board.receipt.undo.click,
        )

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
            lambda held: self._open_change(target.kind, held),
            lambda _sentence: None,
        )

    def _open_change(self, kind: str, held: "Held | None") -> None:
        if held is not None:
            self.shelf.open(kind, held)

    def _on_page(self) -> None:
        self.shelf.left()

    def _on_change(self) -> None:
        is_open = self.desk.stage is Stage.OPEN
        if is_open and not self._was_open:
            self._was_open = True
            self.shelf.bring_back()

    # Pages ----------------------------------------------------------------------------------------

    def _more(self) -> QWidget:
        from carelog.ui.board.more import More

        return More(self.desk, (), lambda kind: self.open_form(kind), self.window.go)

    def _timeline(self) -> QWidget:
        from carelog.ui.timeline.page import Timeline

        return Timeline(
            self.desk,
            self._open_change,
            lambda question: self.open_form("answer", {"question": question}),
        )

    def open_entry(self, entry_id: str) -> None:
        """One entry in full, on the timeline's page."""
        from carelog.ui.timeline.page import Timeline

        self.window.go("timeline")
        page = self.window.stack.currentWidget()
        if isinstance(page, Timeline):
            page.open_entry(entry_id)

    def _flags(self) -> QWidget:
        from carelog.ui.flags.page import Flags

        return Flags(self.desk, self.open_entry, self.window.go)

    def _due(self) -> QWidget:
        from carelog.ui.due.page import DuePage

        return DuePage(self.desk, self.open_form, self.window.go)

    def _plan(self) -> QWidget:
        from carelog.ui.plan.page import PlanPage

        return PlanPage(self.desk, self.open_form, self.open_entry)

    def _emergency(self) -> QWidget:
        from carelog.ui.emergency.page import Emergency

        return Emergency(self.desk, lambda: "")

    def _who(self) -> QWidget:
        from carelog.ui.people.page import Recorders

        return Recorders(self.desk, self.window.go, lambda: self.open_form("recorder"))
