"""How each page is made, and what it is given; imported when it is first opened."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.domain.entry import Json
from carelog.kinds.answer import ANSWER
from carelog.kinds.person import PERSON
from carelog.kinds.recorder import RECORDER
from carelog.text import say
from carelog.ui.first.last import LastAnswer
from carelog.ui.pages import PAGES, Page

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.ui.board.silence import Silence
    from carelog.ui.copies import Copies
    from carelog.ui.desk import Desk
    from carelog.ui.first.still import StillOpen
    from carelog.ui.flags.news import News
    from carelog.ui.preferences import Preferences
    from carelog.ui.reading import ReadingLock
    from carelog.ui.taking import Taking
    from carelog.ui.ways import Ways


FIRST_TILES = 4
"""So many of the board's tiles stand on the page of what happened: nobody has to leave it to record."""


class Makers:
    """One maker a page, by the page's name."""

    def __init__(
        self,
        desk: "Desk",
        ways: "Ways",
        preferences: "Preferences",
        copies: "Copies",
        taking: "Taking",
        news: "News",
        hidden: "Callable[[], list[Page]]",
        reading: "ReadingLock",
        still: "StillOpen",
        silence: "Callable[[], Silence]",
        tell: Callable[[str], None],
    ) -> None:
        """`hidden` gives the pages for which the rail is too short; `tell` shows a sentence that stays."""
        self._desk = desk
        self._access, self._present, self._slips = desk.access, desk.present, desk.slips
        self._ways = ways
        self._preferences = preferences
        self._copies = copies
        self._taking = taking
        self._news = news
        self._hidden = hidden
        self._reading = reading
        self._still = still
        self._silence = silence
        self._tell = tell
        self._last = LastAnswer()

    def all(self) -> dict[str, Callable[[], QWidget]]:
        """Every page but the board, the form and the cover, which are there already."""
        return {page.name: partial(page.make, self) for page in PAGES if page.make is not None}

    def move_home(self) -> None:
        """The person's form, with this computer's zone as the home zone; what isn't given stays as it is."""
        given: dict[str, Json] = {"home_zone": self._present.zone()}
        picture = self._present.picture
        if picture is not None and picture.person.name:
            given["name"] = picture.person.name
        self._ways.open_form(PERSON.name, given)

    # The pages --------------------------------------------------------------------------------------

    def others(self) -> QWidget:
        """What has no place on the rail."""
        from carelog.ui.others import Others

        return Others(self._ways.go, self._hidden)

    def more(self) -> QWidget:
        from carelog.ui.board.more import More

        tiles = self._preferences.now.tiles
        return More(self._present, self._slips, tiles, self._ways.open_form, self._ways.go)

    def who(self) -> QWidget:
        from carelog.ui.people.page import Recorders

        add = self._ways.open_form
        return Recorders(self._present, self._desk.recorder, self._ways.go, lambda: add(RECORDER.name))

    def timeline(self) -> QWidget:
        from carelog.ui.timeline.page import Timeline

        return Timeline(
            self._access,
            self._present,
            self._slips,
            self._ways.open_change,
            lambda question: self._ways.open_form(ANSWER.name, {"question": question}),
            self._ways.go,
        )

    def course(self) -> QWidget:
        from carelog.ui.course.page import CoursePage

        ways = self._ways
        return CoursePage(
            self._access,
            self._present,
            self._preferences,
            ways.go,
            ways.open_day,
            lambda: ways.open_sheet("course"),
        )

    def since(self) -> QWidget:
        from carelog.ui.board.order import on_board
        from carelog.ui.since.page import SincePage

        ways, placed = self._ways, on_board(self._preferences.now.tiles)[:FIRST_TILES]
        tiles = [
            (say(each.tile.words), partial(ways.press_tile, number))
            for number, each in enumerate(placed, start=1)
        ]
        return SincePage(
            self._access, self._present, self._desk.recorder, self._slips, ways.open_form, ways.go, tiles
        )

    def visit(self) -> QWidget:
        """The nurse's visit."""
        from carelog.ui.visit.page import VisitPage

        ways = self._ways
        return VisitPage(
            self._access,
            self._present,
            self._slips,
            self._desk.recorder,
            ways.do_from_visit,
            ways.open_entry,
            ways.open_week_to,
        )

    def flags(self) -> QWidget:
        from carelog.ui.flags.page import Flags

        ways = self._ways
        return Flags(
            self._present,
            self._slips,
            self._news,
            self._silence(),
            ways.open_entry,
            ways.do,
            ways.open_help,
        )

    def kit(self) -> QWidget:
        from carelog.ui.kit.page import KitPage

        ways = self._ways
        return KitPage(
            self._access,
            self._present,
            self._slips,
            self._preferences,
            ways.open_form,
            ways.go,
            ways.open_sheet,
            ways.begin_power_cut,
        )

    def outing(self) -> QWidget:
        """What is taken along, and out and back."""
        from carelog.ui.outing.page import OutingPage

        ways = self._ways
        return OutingPage(
            self._access,
            self._present,
            self._slips,
            partial(ways.open_from, "outing"),
            ways.go,
        )

    def home(self) -> QWidget:
        """What must be there before coming home, and who can do what."""
        from carelog.ui.homecoming.page import HomePage

        ways = self._ways
        return HomePage(
            self._access,
            self._present,
            self._slips,
            partial(ways.open_from, "home"),
            lambda: ways.open_sheet("home"),
        )

    def power(self) -> QWidget:
        """What a power cut asks for."""
        from carelog.ui.kit.power import PowerPage

        return PowerPage(
            self._access,
            self._present,
            self._slips,
            self._preferences,
            self._ways.open_form,
        )

    def due(self) -> QWidget:
        from carelog.ui.due.page import DuePage

        return DuePage(self._present, self._slips, self._ways.open_form, self._ways.go)

    def plan(self) -> QWidget:
        from carelog.ui.plan.page import PlanPage

        ways = self._ways
        return PlanPage(
            self._access,
            self._present,
            self._slips,
            ways.open_plan,
            ways.open_entry,
            lambda: ways.open_sheet("plan"),
        )

    def emergency(self) -> QWidget:
        from carelog.ui.emergency.fallback import newest_picture
        from carelog.ui.emergency.page import Emergency, Found

        def seek(then: Callable[[Found], None], failed: Callable[[str], None]) -> None:
            path, now = self._access.path, self._present.now()
            self._access.reader.ask(lambda: newest_picture(self._desk.parts, path, now), then, failed)

        page = Emergency(
            self._present,
            seek,
            lambda picture: self._print_emergency(page, picture),
            lambda told: self._hand_over(page, told),
        )
        return page

    def _hand_over(self, page: QWidget, told: Callable[[str], None]) -> None:
        """Print the hand-over, from the record or, where that can't be read, from its newest good backup."""
        from carelog.ui.emergency.handing import hand_over

        hand_over(page.window(), self._desk, self._preferences.now.hides_name, told)

    def _print_emergency(self, page: QWidget, picture: "Picture") -> str:
        from carelog.ui.emergency.facts import facts
        from carelog.ui.sheet.printing import TextPages, print_pages

        texts = [(fact.heading, fact.text) for fact in facts(picture)]
        return print_pages(page.window(), TextPages(texts), say("carelog, emergency page"))

    def sheet(self) -> QWidget:
        from carelog.ui.sheet.page import SheetPage

        parts = self._desk.parts
        return SheetPage(
            self._access, self._present, self._preferences, parts.sheets, parts.places.state, self._ways.go
        )

    def cards(self) -> QWidget:
        """Phrases, shown instead of said."""
        from carelog.ui.cards.page import CardsPage

        desk, ways = self._desk, self._ways
        return CardsPage(
            desk.access,
            desk.present,
            desk.slips,
            desk.recorder,
            self._preferences,
            desk.parts.places.scratch,
            ways.fill_screen,
            ways.go,
        )

    def give(self) -> QWidget:
        from carelog.ui.give.page import GivePage

        return GivePage(self._access, self._present, self._desk.parts.give, self._preferences)

    def help(self) -> QWidget:
        from carelog.ui.help.page import Help

        return Help(self._present, self._ways.go, self._ways.open_form)

    def settings(self) -> QWidget:
        from carelog.ui.settings.page import SettingsPage

        return SettingsPage(
            self._access, self._preferences, self._ways.open_form, self._ways.go, self._reading
        )

    def copies(self) -> QWidget:
        from carelog.ui.settings.copies import CopiesPage
        from carelog.ui.settings.transfer import Transfer

        follow = self._slips.saved_here.follow
        transfer = Transfer(self._access, self._present, self._desk.parts, follow)
        parts, take_over = self._desk.parts, self._taking.take_over
        return CopiesPage(
            self._present,
            self._copies,
            self._preferences,
            transfer,
            take_over,
            self._ways.go,
            parts.meet,
        )

    def typed(self) -> QWidget:
        """What was filled in by hand."""
        from carelog.ui.typed.page import TypedPage

        return TypedPage(self._access, self._present, self._desk.recorder)

    def sides(self) -> QWidget:
        """Entries that two computers changed."""
        from carelog.ui.sides import SidesPage

        return SidesPage(self._access, self._present, self._slips)

    def reading(self) -> QWidget:
        """The question for the code of the lock for reading."""
        from carelog.ui.reading import ReadingPage

        return ReadingPage(self._reading, self._ways.go)

    def code(self) -> QWidget:
        """The recovery code of encrypted copies."""
        from carelog.ui.settings.code import CodePage

        return CodePage(
            self._access,
            self._present,
            self._desk.parts,
            self._preferences,
            self._copies.tell,
            self._copies.media.look,
            self._ways.go,
        )

    def first(self) -> QWidget:
        from carelog.ui.first.maker import ScreenMaker
        from carelog.ui.first.page import First

        ways = self._ways
        maker = ScreenMaker(self._present.zone, ways.open_step, ways.print_folder, ways.go)
        return First(
            self._desk, self._preferences, self._taking, maker, self._last, self._still, ways.go, self._tell
        )

    def basics(self) -> QWidget:
        """What is still to fill in, and every answer to be changed."""
        from carelog.ui.first.basics import BasicsList, BasicsPage

        ways = self._ways
        basics = BasicsList(
            self._desk,
            self._still,
            ways.open_question,
            ways.open_change,
            ways.go_through_basics,
            ways.go,
        )
        return BasicsPage(basics, self._desk, self._last)
