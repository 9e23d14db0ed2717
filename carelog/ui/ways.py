"""The ways between the pages of a window: to a form, to one entry, to a page of the help."""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from carelog.domain.entry import Details
from carelog.kinds.plan import PLAN
from carelog.kinds.visit import VISIT
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.forms.shelf import FormShelf
from carelog.ui.newest import Newest
from carelog.ui.slip import Slip
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.ui.help.page import Help


class Ways:
    """Given to whatever opens something else than itself."""

    def __init__(self, window: Window, access: Access, shelf: FormShelf) -> None:
        self.go: Callable[[str], None] = window.go
        self._window = window
        self._access = access
        self._shelf = shelf
        self._newest_change = Newest()

    def do(self, name: str) -> None:
        """Do what a key stands for, or open the page of that name."""
        self._window.do(name)

    def do_from_visit(self, name: str) -> None:
        """The same; the plan's page leads back to the visit then."""
        from carelog.ui.plan.page import PlanPage

        self.do(name)
        page = self._window.stack.currentWidget()
        if name == PLAN.name and isinstance(page, PlanPage):
            page.lead_back(say(mark("Back to the visit")), lambda: self.go(VISIT.name))

    def open_form(self, kind: str, given: Details | None = None) -> None:
        """The form of a kind; a visit is written down on its own page."""
        if kind == VISIT.name and given is None:
            self.go(VISIT.name)
        else:
            self._shelf.open(kind, None, given)

    def open_step(self, kind: str, given: Details | None = None) -> None:
        """The form of a kind, and from there back to the first steps."""
        self._shelf.back_to = "first"
        self.open_form(kind, given)

    def open_plan(self, place: str, given: Details) -> None:
        """The plan's editor at a place of the plan, and from there back to the plan."""
        from carelog.ui.plan.form import PlanForm

        self._shelf.back_to = PLAN.name
        form = self._shelf.open(PLAN.name, None, given)
        if isinstance(form, PlanForm):
            form.open_line(place)

    def open_from(self, page: str, kind: str, given: Details | None = None) -> None:
        """The form of a kind, and from there back to the page that it was opened from."""
        self._shelf.back_to = page
        self.open_form(kind, given)

    def complete(self, slip: Slip) -> None:
        """The form for more details of what was just saved."""
        from carelog.analysis.in_force import Reading

        target, asking = slip.entry, self._newest_change.ask()
        self._access.read(
            lambda record: Reading(record.chain([target.id])).get(target.id),
            asking.only(lambda held: self.open_change(target.kind, held)),
            lambda _sentence: None,
        )

    def open_change(self, kind: str, held: "Held | None") -> None:
        """The form for the change of an entry."""
        if held is not None:
            self._shelf.open(kind, held)

    def open_entry(self, entry_id: str) -> None:
        """One entry in full, on the timeline's page."""
        from carelog.ui.timeline.page import Timeline

        page = self._window.show_page("timeline")
        if isinstance(page, Timeline):
            page.open_entry(entry_id)

    def open_question(self, name: str, sentence: str = "", entry_id: str = "") -> None:
        """One question about the record's basics; `entry_id`: the contact or recorder that is changed."""
        from carelog.ui.first.page import First

        page = self._window.show_page("first")
        if isinstance(page, First):
            page.show_question(name, sentence, entry_id)

    def go_through_basics(self) -> None:
        """The questions in a row, from the first without an answer."""
        from carelog.ui.first.page import First

        page = self._window.show_page("first")
        if isinstance(page, First):
            page.run.begin()

    def print_folder(self) -> None:
        """Print what lies beside the person, from the page for paper."""
        from carelog.ui.sheet.page import SheetPage

        page = self._window.show_page("sheet")
        if isinstance(page, SheetPage):
            page.print_for_folder()

    def open_day(self, day: date) -> None:
        """The entries of a day and of those before it, on the timeline's page."""
        from carelog.ui.timeline.page import Timeline

        page = self._window.show_page("timeline")
        if isinstance(page, Timeline):
            page.open_day(day)

    def open_help(self, topic: str) -> None:
        """One page of the help, and from there back to the page that is open now."""
        page, here = self._help()
        if page is not None:
            page.show_topic(topic, here)

    def open_word(self, name: str) -> None:
        """What a word of the trade means, on the page of all words, and from there back."""
        page, here = self._help()
        if page is not None:
            page.show_term(name, here)

    def _help(self) -> "tuple[Help | None, str]":
        """The help's page, opened, and the page that was open before."""
        from carelog.ui.help.page import Help

        here = self._window.page()
        page = self._window.show_page("help")
        return (page if isinstance(page, Help) else None), "" if here == "help" else here

    def back(self) -> None:
        """From an entry, or a page of the help, to their list; from anywhere else to the board."""
        show_list = getattr(self._window.stack.currentWidget(), "show_list", None)
        if show_list is None or not show_list():
            self._window.go("board")

    def find(self) -> None:
        """Look for words in the timeline."""
        from carelog.ui.timeline.page import Timeline

        page = self._window.show_page("timeline")
        if isinstance(page, Timeline):
            page.look_for_words()

    def print(self) -> None:
        """Print the page that is open, where it is one for paper; from elsewhere go to the sheets."""
        printed = getattr(self._window.stack.currentWidget(), "print", None)
        if printed is not None:
            printed()
        else:
            self._window.go("sheet")

    def open_sheet(self, name: str) -> None:
        """One of the sheets, on the page for paper."""
        from carelog.ui.sheet.page import SheetPage

        page = self._window.show_page("sheet")
        if isinstance(page, SheetPage):
            page.show_sheet(name)

    def begin_power_cut(self, stamp: int | None) -> None:
        """Write down that the power is off, on the page for that; `stamp`: when it was pressed."""
        from carelog.ui.kit.power import PowerPage

        page = self._window.show_page("power")
        if isinstance(page, PowerPage):
            page.begin(stamp)

    def fill_screen(self, is_filled: bool) -> None:
        """Give the page that is open all of the screen, without rail and names; or let it be a page again."""
        self._window.fill_screen(is_filled)

    def open_week_to(self, last: date) -> None:
        """The week's sheet of the seven days that end with a day, on the page for paper."""
        from carelog.ui.sheet.page import SheetPage

        page = self._window.show_page("sheet")
        if isinstance(page, SheetPage):
            page.show_week_to(last)

    def press_tile(self, number: int) -> None:
        """Press the board's tile at a place, from 1."""
        self._window.press_tile(number)

    def on_board(self, act: Callable[[], None]) -> None:
        """Only where it is seen: nothing is struck out from a form or from another page."""
        if self._window.page() == "board":
            act()

    def reach_receipt(self) -> None:
        """From anywhere to the first quick choice of the receipt, or to Undo."""
        from carelog.ui.stops import reach, stops

        self._window.go("board")
        first = next(stops(self._window.board.receipt), None)
        if first is not None:
            reach(first, Qt.FocusReason.ShortcutFocusReason)
