"""Which pages there are, and what each is given; imported when it is first opened."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.entry import Details, Json
from carelog.text import say

if TYPE_CHECKING:
    from carelog.ui.house import House


class Rooms:
    """One maker a page."""

    def __init__(self, house: "House") -> None:
        self._house = house
        self._desk = house.desk
        self._window = house.window
        for name, maker in (
            ("more", self._more),
            ("who", self._who),
            ("timeline", self._timeline),
            ("flags", self._flags),
            ("due", self._due),
            ("plan", self._plan),
            ("emergency", self._emergency),
            ("sheet", self._sheet),
            ("help", self._help),
            ("settings", self._settings),
            ("copies", self._copies),
            ("first", self._first),
            ("cover", self._cover),
            ("clock", self._clock),
        ):
            self._window.offer(name, maker)
        self._window.does.update(
            help_keys=lambda: self.help_topic("keys"),
            help_rules=lambda: self.help_topic("rules"),
            person=lambda: self._form("person"),
            home_zone=self._move_home,
        )

    def help_topic(self, topic: str) -> None:
        """One page of the help."""
        from carelog.ui.help.page import Help

        self._window.go("help")
        page = self._window.stack.currentWidget()
        if isinstance(page, Help):
            page.show_topic(topic)

    def _form(self, kind: str) -> None:
        self._house.open_form(kind)

    def _move_home(self) -> None:
        """The person's form, with this computer's zone as the home zone; what isn't given stays as it is."""
        given: dict[str, Json] = {"home_zone": self._desk.parts.clock.zone()}
        if self._desk.picture is not None and self._desk.picture.person.name:
            given["name"] = self._desk.picture.person.name
        self._house.open_form("person", given)

    def _more(self) -> QWidget:
        from carelog.ui.board.more import More

        return More(self._desk, self._house.preferences.now.tiles, self._form, self._window.go)

    def _who(self) -> QWidget:
        from carelog.ui.people.page import Recorders

        return Recorders(self._desk, self._window.go, lambda: self._form("recorder"))

    def _timeline(self) -> QWidget:
        from carelog.ui.timeline.page import Timeline

        return Timeline(
            self._desk,
            self._house.open_change,
            lambda question: self._house.open_form("answer", {"question": question}),
        )

    def _flags(self) -> QWidget:
        from carelog.ui.flags.page import Flags

        return Flags(self._desk, self._house.open_entry, self._go_or_do)

    def _go_or_do(self, name: str) -> None:
        self._window.do(name)

    def _due(self) -> QWidget:
        from carelog.ui.due.page import DuePage

        return DuePage(self._desk, self._house.open_form, self._window.go)

    def _plan(self) -> QWidget:
        from carelog.ui.plan.page import PlanPage

        return PlanPage(self._desk, self._house.open_form, self._house.open_entry)

    def _emergency(self) -> QWidget:
        from carelog.ui.emergency.page import Emergency

        return Emergency(self._desk, self._print_emergency)

    def _print_emergency(self) -> str:
        from carelog.ui.emergency.facts import facts
        from carelog.ui.sheet.printing import TextPages, print_pages

        picture = self._desk.picture
        if picture is None:
            return say("The record isn't read yet.")
        texts = [(fact.heading, fact.text) for fact in facts(picture)]
        return print_pages(self._window, TextPages(texts), say("carelog, emergency page"))

    def _sheet(self) -> QWidget:
        from carelog.ui.sheet.page import SheetPage

        return SheetPage(self._desk)

    def _help(self) -> QWidget:
        from carelog.ui.help.page import Help
        from carelog.ui.help.rules import rules

        return Help(rules)

    def _settings(self) -> QWidget:
        from carelog.ui.settings.page import SettingsPage

        return SettingsPage(self._desk, self._house.preferences, self._form, self._window.go)

    def _copies(self) -> QWidget:
        from carelog.ui.settings.copies import CopiesPage

        return CopiesPage(self._desk, self._house.copies, self._house.preferences)

    def _first(self) -> QWidget:
        from carelog.ui.first.page import First

        return First(self._desk, self._step, self._window.go)

    def _step(self, kind: str, given: Details | None) -> None:
        self._house.shelf.back_to = "first"
        self._house.open_form(kind, given)

    def _clock(self) -> QWidget:
        from carelog.ui.doubt import ClockPage

        return ClockPage(self._desk, self._house.doubt.settle, self._window.go)

    def _cover(self) -> QWidget:
        from carelog.ui.cover import Cover

        return Cover(self._house.toggle_cover)
