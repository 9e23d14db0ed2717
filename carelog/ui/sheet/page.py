"""The sheet's page: which sheet of which week, its pages as they will be printed, what to do with it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.app.output import write_file
from carelog.domain.moment import MINUTE, Week
from carelog.domain.paper import Sheet, SheetRequest, Span
from carelog.domain.trouble import Trouble
from carelog.text import say, say_n
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.columns import SideBySide
from carelog.ui.emergency.facts import facts
from carelog.ui.files import ask_to_save
from carelog.ui.forms.control import Value
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.ringed import Scrolled
from carelog.ui.sheet import viewer
from carelog.ui.sheet.bundle import Bundle, folder_requests
from carelog.ui.sheet.choice import SheetPicks, usual_paper
from carelog.ui.sheet.made import Made, title
from carelog.ui.sheet.maker import Maker
from carelog.ui.sheet.pictures import page_count
from carelog.ui.sheet.preview import Preview
from carelog.ui.sheet.printing import PdfPages, TextPages, Together, print_pages
from carelog.ui.theme import STEP, Size
from carelog.ui.words import ToldWords, Words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.app.ports import Sheets

WEEK = "week"
ALL = "all"
"""The option of a sheet that may show more than what is due."""
COLUMNS = "columns"
"""The option of a sheet that may show days side by side."""
DAYS_IN_COLUMNS = 7
JUDGED_EVERY = 15 * MINUTE
CHOICES_AND_PAPER = (360, 840)  # px at 100 %, the least widths of both beside one another
MOST_SHOWN = 12  # pages; a longer sheet is shown in part and saved whole


@dataclass(frozen=True, slots=True)
class ChosenSheet:
    """What is chosen: which sheet, how many weeks back, which paper.

    `back` is None for the seven days that ended so many days `ago`, 0 for this week so far.
    """

    name: str
    back: int | None = None
    ago: int = 0
    day_back: int = 0
    paper: str = "a4"
    is_large: bool = False
    is_all: bool = False
    in_columns: bool = False


class SheetPage(QWidget):
    """The last seven days are shown first: a nurse doesn't come on Mondays. Unfinished days are marked."""

    def __init__(
        self,
        access: Access,
        present: Present,
        preferences: Preferences,
        sheets: "Callable[[], Sheets]",
        folder: Path,
        go: Callable[[str], object],
    ) -> None:
        """`folder`: where the viewer's files lie."""
        super().__init__()
        self._access = access
        self._present = present
        self._preferences = preferences
        self._folder = folder
        self._go = go
        self._sheets = {each.name: each for each in sheets().offered()}
        self._wanted = ChosenSheet(next(iter(self._sheets)), paper=usual_paper())
        self.made: Made | None = None
        """The sheet that is shown; None while it is being made."""
        self._key: tuple[object, ...] = ()
        self._maker = Maker(access, sheets, self._on_page)
        access.when_ending.append(self._maker.end)
        self._body = QWidget()
        sides = SideBySide(self._body, least=CHOICES_AND_PAPER, share=0.32)
        holder = QWidget()
        self._column = QVBoxLayout(holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        sides.addWidget(holder)
        self._title = Words("", Size.HEAD)
        self._state = ToldWords()
        self._folder_sheets = Bundle(access, sheets, self._state.say)
        self._pages = Preview(MOST_SHOWN)
        self._lay_out()

    def _lay_out(self) -> None:
        self._names = self._watched(SheetPicks(self._sheets), self._wanted.name)
        self._column.addWidget(self._names)
        self._column.addWidget(self._acts())
        self._column.addWidget(self._for_folder)
        self._column.addWidget(self._state)
        self._weeks = row(
            Button.calling(
                say("the last seven days"), "week_seven_days", lambda: self._choose(back=None, ago=0)
            ),
            Button.calling(say("a week earlier"), "week_earlier", lambda: self._move(1)),
            Button.calling(say("a week later"), "week_later", lambda: self._move(-1)),
            Button.calling(say("this week so far"), "week_now", lambda: self._choose(back=0)),
        )
        self._column.addWidget(self._weeks)
        self._days = row(
            Button.calling(say("a day earlier"), "sheet_day_earlier", lambda: self._step_day(1)),
            Button.calling(say("a day later"), "sheet_day_later", lambda: self._step_day(-1)),
        )
        self._column.addWidget(self._days)
        papers: tuple[Option, ...] = (("a4", "A4"), ("letter", "Letter"))
        self._papers = self._watched(
            Picks("sheet_paper", say("Paper"), papers, is_needed=True), self._wanted.paper
        )
        sizes = ((False, say("normal print")), (True, say("large print")))
        self._large = self._watched(Picks("sheet_large", say("Print size"), sizes, is_needed=True), False)
        much = ((False, say("what runs out")), (True, say("everything counted")))
        self._much = self._watched(Picks("sheet_all", say("What to order"), much, is_needed=True), False)
        ways = ((False, say("one day a page")), (True, say("a week in columns")))
        self._ways = self._watched(Picks("sheet_columns", say("Days"), ways, is_needed=True), False)
        self._column.addWidget(row(self._papers, self._large, self._much, self._ways))
        sides = self._body.layout()
        assert sides is not None
        sides.addWidget(self._pages)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(self._under_title(), say("Sheet")))

    def _under_title(self) -> QWidget:
        """The title over the whole width, and all else beneath it."""
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        column.addWidget(self._title)
        column.addWidget(self._body, 1)
        return whole

    def _acts(self) -> QWidget:
        save = Main(say("Save as PDF …"), "sheet_save")
        save.clicked.connect(self._save)
        self._stopper = Button.calling(say("Stop"), "sheet_stop", self._maker.stop)
        self._stopper.hide()
        return row(
            save,
            Button.calling(say("Print …"), "sheet_print", self.print),
            self._folder_button(),
            Button.calling(say("Open in the viewer"), "sheet_open", self._open),
            Button.calling(say("Give somebody the record …"), "go_give", lambda: self._go("give")),
            self._stopper,
        )

    def _folder_button(self) -> Button:
        """One press for all that lies beside the person on paper."""
        names = [say(each.title) for each in self._sheets.values() if each.for_folder is not None]
        button = Button.calling(say("Print these for the folder …"), "sheet_folder", self.print_for_folder)
        words = say("Prints in one go: {names}").format(names=", ".join([*names, say("emergency plan")]))
        button.setAccessibleDescription(words)
        button.setToolTip(words)
        self._for_folder = Words(words, soft=True)
        return button

    def _watched(self, picks: Picks, chosen: Value) -> Picks:
        picks.put(chosen)
        picks.when_changed.append(self._on_pick)
        return picks

    # Choosing -------------------------------------------------------------------------------------

    def opened(self) -> None:
        """Make the sheet that is chosen, if the record has changed since."""
        self._make()

    def show_sheet(self, name: str) -> None:
        """Choose one of the sheets."""
        if name in self._sheets:
            self._names.put(name)
            self._choose(name=name)

    def show_week_to(self, last: date) -> None:
        """The week's sheet of the seven days that end with a day."""
        self._names.put(WEEK)
        ago = (self._present.home().day(self._present.now()) - last).days
        self._choose(name=WEEK, back=None, ago=max(ago, 0))

    def _move(self, weeks: int) -> None:
        back = self._wanted.back
        self._choose(back=max((0 if back is None else back) + weeks, 0))

    def _step_day(self, days: int) -> None:
        self._choose(day_back=max(self._wanted.day_back + days, 0))

    def _on_pick(self) -> None:
        name, paper = self._names.read(), self._papers.read()
        self._choose(
            name=name if isinstance(name, str) else self._wanted.name,
            paper=paper if isinstance(paper, str) else "a4",
            is_large=self._large.read() is True,
            is_all=self._much.read() is True,
            in_columns=self._ways.read() is True,
        )
        self._names.put(self._wanted.name)  # a second press takes back no sheet

    def _choose(self, **chosen: Any) -> None:
        self._wanted = replace(self._wanted, **chosen)
        self._make()

    def request(self) -> SheetRequest:
        """What is chosen, as a request for a sheet."""
        home, now = self._present.home(), self._present.now()
        today, wanted = home.day(now), self._wanted
        in_columns = wanted.in_columns and COLUMNS in self._sheet.takes
        base = SheetRequest(
            name=wanted.name,
            in_columns=in_columns,
            count=DAYS_IN_COLUMNS if in_columns else 1,
            paper=wanted.paper,
            large=wanted.is_large and self._sheet.has_large,
            everything=wanted.is_all and ALL in self._sheet.takes,
            now=now,
            nameless=self._preferences.now.hides_name,
            sure=self._preferences.now.sure,
        )
        if self._span is Span.WEEKS:
            until = today if not wanted.back else Week.of(today - timedelta(weeks=wanted.back)).days()[-1]
            return replace(base, until=until)
        if self._span is Span.WEEK and wanted.back is None:
            return replace(base, until=today - timedelta(days=wanted.ago))
        if self._span is Span.WEEK:
            return replace(base, week=Week.of(today - timedelta(weeks=wanted.back or 0)))
        back = wanted.day_back if self._span is Span.DAY else 0
        return replace(base, day=today - timedelta(days=back))

    @property
    def _sheet(self) -> Sheet:
        """The chosen sheet."""
        return self._sheets[self._wanted.name]

    @property
    def _span(self) -> Span:
        """Which days it is of."""
        return self._sheet.span

    # Making ---------------------------------------------------------------------------------------

    def _make(self) -> None:
        request = self.request()
        self._days.setVisible(self._span is Span.DAY)
        self._weeks.setVisible(self._span in (Span.WEEK, Span.WEEKS))
        self._large.setVisible(self._sheet.has_large)
        self._much.setVisible(ALL in self._sheet.takes)
        self._ways.setVisible(COLUMNS in self._sheet.takes)
        is_finished = self._span is not Span.WEEK or self._wanted.back != 0
        self._title.say(title(request, is_finished=is_finished))
        picture = self._present.picture
        if picture is None:
            self._state.say(self._present.unread())
            return
        key = (replace(request, now=self._past(request)), picture.count)
        if key == self._key:
            return
        self._key = key
        self.made = None
        self._pages.clear()
        self._stopper.show()
        self._state.say(say("Making the sheet …"))
        self._maker.make(request, self._on_made, self._failed)

    def _past(self, request: SheetRequest) -> int | None:
        """How far a sheet's days are past, in steps: one that isn't over is made anew when opened later."""
        last = request.days(self._span)[-1]
        if request.now is None or request.now >= self._present.home().end_of(last):
            return None
        return request.now // JUDGED_EVERY

    def _on_page(self, page: int) -> None:
        self._state.show_only(say("Making the sheet, page {page} …").format(page=page))

    def _failed(self, sentence: str) -> None:
        self._key = ()
        self._stopper.hide()
        self._state.say(sentence)

    def _on_made(self, made: Made) -> None:
        self.made = made
        self._stopper.hide()
        count = page_count(made.pdf)
        shown = say_n("1 page", "{count} pages", count).format(count=count)
        if count > MOST_SHOWN:
            shown = say("{count} pages, the first {most} shown").format(count=count, most=MOST_SHOWN)
        self._state.say(shown)
        self._pages.show_pages(made.pdf, count)

    # What can be done with it -----------------------------------------------------------------------

    def _ready(self) -> Made | None:
        if self.made is None:
            self._state.say(say("The sheet isn't made yet."))
        return self.made

    def _save(self) -> None:
        made = self._ready()
        if made is None:
            return
        path = ask_to_save(self, say("Save the sheet"), made.file_name, "*.pdf")
        if path is not None:
            self.save_to(path, made)

    def save_to(self, file: Path, made: Made) -> None:
        """Save the same bytes that are shown."""
        try:
            write_file(file, [made.pdf], self._access.path)
        except Trouble as trouble:
            self._state.say(trouble.sentence)
        else:
            self._state.say(say("Saved: {file}").format(file=file))

    def print(self) -> None:
        """Ask which printer, and print the same bytes."""
        made = self._ready()
        if made is not None:
            said = print_pages(self, PdfPages(made.pdf), made.file_name)
            if said:
                self._state.say(said)

    def print_for_folder(self) -> None:
        """Print what lies beside the person: the sheets that say so, and the emergency plan, in one go."""
        picture = self._present.picture
        if picture is None:
            self._state.say(self._present.unread())
            return
        now, today = self._present.now(), self._present.home().day(self._present.now())
        base = SheetRequest(
            day=today, now=now, paper=self._wanted.paper, nameless=self._preferences.now.hides_name
        )
        requests = folder_requests(self._sheets.values(), base)
        self._folder_sheets.make(requests, lambda made: self._print_folder(made, picture))

    def _print_folder(self, made: Sequence[Made], picture: "Picture") -> None:
        texts = TextPages([(fact.heading, fact.text) for fact in facts(picture)])
        pages = Together([*(PdfPages(each.pdf) for each in made), texts])
        self._state.say(print_pages(self, pages, say("carelog, for the folder")))

    def _open(self) -> None:
        made = self._ready()
        if made is None:
            return
        try:
            is_shown = viewer.show(made.pdf, made.file_name, self._folder)
        except OSError as error:
            self._state.say(say("The sheet can't be opened: {cause}.").format(cause=error.strerror))
            return
        self._state.say("" if is_shown else say("No viewer answers. Save the sheet and open it there."))
