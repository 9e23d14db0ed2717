"""All of the window but the board: put together after the first paint, its pages made when first opened."""

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.app.faults import FaultLog
from carelog.app.lock import Holder, WindowLock
from carelog.kinds.person import PERSON
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Stage
from carelog.ui.band import Band
from carelog.ui.board.daystrip import DayStrip
from carelog.ui.copies import Copies
from carelog.ui.door import Door
from carelog.ui.doubt import AskedBand, DoubtBand
from carelog.ui.due.reminders import Reminders
from carelog.ui.faults import catch
from carelog.ui.first.still import StillOpen
from carelog.ui.flags.news import News
from carelog.ui.flags.urgent import Urgent
from carelog.ui.forms.shelf import FormShelf
from carelog.ui.guard import Guard
from carelog.ui.makers import Makers
from carelog.ui.notice import Notice
from carelog.ui.reading import ReadingLock
from carelog.ui.rivals import Rivals
from carelog.ui.scan.inputs import Inputs
from carelog.ui.since.offer import SinceOffer
from carelog.ui.taking import Taking
from carelog.ui.tour.tour import Tour
from carelog.ui.ways import Ways
from carelog.ui.window import Window

if TYPE_CHECKING:
    from carelog.ui.cards.aloud import FlagReader
    from carelog.ui.help.meaning import Meaning


class Rest:
    """Bands, forms, keys, reminders, copies, the cover; and what happens when the record is open."""

    def __init__(self, window: Window) -> None:
        self.window = window
        self.desk = desk = window.desk
        self.access, self.present = desk.access, desk.present
        self.preferences = window.preferences
        self.notice = Notice(window)
        desk.slips.pressed_at = self.preferences.now.recorder_at
        self.copies = Copies(desk.access, desk.present, desk.slips, desk.parts, self.preferences)
        self.rivals = Rivals(desk.access, desk.present)
        self.reminders = self._reminding()
        self.urgent = Urgent(desk.present, window.go, self._ring)
        self.fault = Band("fault_band")
        self.fault.add_button(say("Hide"), "fault_hide", lambda: self.guard.hide())
        self.guard = Guard(desk.access, desk.present, desk.parts, self.fault)
        self.door = Door(desk.parts.places, desk.parts.clock.now, self._come_to_front)
        self.taking = Taking(
            desk.access, desk.slips, desk.parts, self.preferences, self.door, self.guard.tell
        )
        self.reading = ReadingLock(window, self.preferences, desk.parts.keyring)
        self.news = News(self.preferences)
        self.still = StillOpen(desk, self.preferences)
        self.shelf = FormShelf(desk, window.go, self.guard.tell)
        self.ways = Ways(window, desk.access, self.shelf)
        self.shelf.explain = lambda kind: self.ways.open_help(f"kinds/{kind}")
        self._meaning: Meaning | None = None
        window.tell_meaning = self._tell_meaning
        self.doubt = DoubtBand(desk.access, desk.present, desk.parts, window.go)
        self.asked = AskedBand(desk.access, desk.present, desk.parts, self.ways.open_entry)
        self.since = self._handing_over()
        self.tour = Tour(window, desk, is_wanted=desk.parts.begins_tour)
        self.inputs = Inputs(window, desk.slips, self.preferences)
        window.board.add_strip(DayStrip(self.ways.open_entry))
        self._was_open = self._is_covered = False
        self._hang_bands()
        window.board.tell_by(self.guard.tell)  # the band has its place: by itself it would be a window
        self._offer_pages()
        self._name_acts()
        self._connect()
        catch(FaultLog(desk.parts.places.log, desk.parts.clock), desk.access.bridge, self.fault)

    def _reminding(self) -> Reminders:
        aside = self.window.board.aside
        made = Reminders(self.present, self._ring, self.is_quiet)
        made.holds_back, made.when_renamed = aside.is_asking, aside.refresh
        aside.is_named = made.is_named
        return made

    def _handing_over(self) -> SinceOffer:
        return SinceOffer(
            self.desk.access,
            self.desk.present,
            self.desk.recorder,
            self.window.go,
            lambda: self.urgent.band.words() or self.reminders.band.words() or self._is_where_it_leads(),
        )

    def _hang_bands(self) -> None:
        first, last = (
            (self.urgent, self.doubt, self.asked, self.guard),
            (self.tour, self.reminders, self.shelf, self.since),
        )
        self.bands = (*(each.band for each in first), self.fault, *(each.band for each in last))
        for band in self.bands:
            self.window.bands.addWidget(band)

    def _offer_pages(self) -> None:
        self._makers = Makers(
            self.desk,
            self.ways,
            self.preferences,
            self.copies,
            self.taking,
            self.news,
            self.window.rail.hidden,
            self.reading,
            self.still,
            lambda: self.window.board.aside.silence,
            self.guard.tell,
        )
        for name, maker in self._makers.all().items():
            self.window.offer(name, maker)
        self.window.offer("cover", self._cover)
        self.window.offer("clock", self._clock)
        self.window.add_page("form", self.shelf)

    def _cover(self) -> QWidget:
        from carelog.ui.cover import Cover

        return Cover(self.toggle_cover)

    def _clock(self) -> QWidget:
        from carelog.ui.doubt import ClockPage

        return ClockPage(self.present, self.desk.parts.doubt, self.doubt.settle, self.window.go)

    def _connect(self) -> None:
        window = self.window
        window.open_form = self.ways.open_form
        window.complete = self.ways.complete
        window.when_left += [self.shelf.left, self._leave_since, self._cover_bands, self._drop_meaning]
        window.when_closed += [self.shelf.keeper.write, self._keep_place, self._leave]
        window.when_ticked += [
            self._follow_time,
            self.doubt.refresh,
            self.asked.refresh,
            self.reminders.refresh,
            self.urgent.refresh,
            self.copies.look_again,
        ]
        self.present.when_changed.append(self._on_change)
        self.access.when_closing.append(self.copies.at_exit)
        self.copies.when_changed.append(window.board.aside.refresh)
        window.board.aside.notices += [
            self.rivals.words,
            self.copies.failed_words,
            self.copies.words,
            self.copies.media.words,
            self.news.line,
        ]
        aside = window.board.aside
        aside.offer("sides", lambda: say("Look at both versions") if self.rivals.words() else "")
        aside.offer("since", lambda: say("Since you were last here …") if self.since.is_offered() else "")
        aside.offer("basics", self.still.words)
        aside.offer("visit", lambda: say("The nurse's visit …") if self._is_nurse() else "")
        self.preferences.when_changed.append(self._on_preferences)
        self.taking.when_looking.append(self.tour.want)

    def _is_nurse(self) -> bool:
        """Whether a nurse records: then the board offers the page of the visit."""
        from carelog.analysis.people import is_nurse

        picture = self.present.picture
        return picture is not None and is_nurse(picture.recorders, self.desk.recorder.who)

    def _name_acts(self) -> None:
        window, ways = self.window, self.ways
        window.does.update(
            back=self._back,
            meaning=lambda: self._tell_meaning(window.focusWidget()),
            page_before=window.go_back,
            find=ways.find,
            print=ways.print,
            night=self.preferences.flip,
            larger=lambda: self.preferences.resize(is_larger=True),
            smaller=lambda: self.preferences.resize(is_larger=False),
            undo=lambda: ways.on_board(window.board.receipt.take_back),
            redo=lambda: ways.on_board(window.board.receipt.give_back),
            cover=self.toggle_cover,
            scanning=self.inputs.toggle,
            receipt=ways.reach_receipt,
            read_flags=self._read_flags,
            call=self._call,
            open_again=self.access.open,
            help_keys=lambda: ways.open_help("keys"),
            help_rules=lambda: ways.open_help("rules"),
            help_words=lambda: ways.open_help("words"),
            person=lambda: ways.open_form(PERSON.name),
            home_zone=self._makers.move_home,
        )

    # What the words mean ----------------------------------------------------------------------------

    def _tell_meaning(self, asked: QWidget | None) -> None:
        from carelog.ui.help.meaning import Meaning
        from carelog.ui.help.whereabouts import topic_of

        if self._meaning is None:
            self._meaning = Meaning(self.ways.open_word, self.ways.open_help)
            self.window.below.addWidget(self._meaning.band)
        self._meaning.tell(asked, topic_of(self.window.page(), asked))

    def _drop_meaning(self) -> None:
        self._leave_meaning()

    def _back(self) -> None:
        if not self._leave_meaning():
            self.ways.back()

    def _leave_meaning(self) -> bool:
        """Take away what was told of words; False when nothing was."""
        return self._meaning is not None and self._meaning.close()

    # What time and the record change --------------------------------------------------------------

    def is_quiet(self) -> bool:
        """Whether these are quiet hours: the plan's, else the night."""
        from carelog.analysis.people import is_night

        plan = self.present.picture.plan if self.present.picture else None
        return is_night(self.present.home(), self.present.now(), plan)

    def _follow_time(self) -> None:
        from carelog.analysis.people import NIGHT

        self.preferences.set_quiet(self.is_quiet())
        picture = self.present.picture
        if picture is not None:
            self.preferences.keep_night(*((picture.plan and picture.plan.quiet) or NIGHT))

    def _on_change(self) -> None:
        if self.access.stage is Stage.MISSING and self.window.page() == "board":
            self.window.go("first")
        is_open = self.access.stage is Stage.OPEN
        if is_open and not self._was_open:
            self._was_open = True
            self._follow_time()
            self.shelf.bring_back()
            if self.present.picture is not None and self.present.picture.count == 0:
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
        self.preferences.now = self.preferences.now._replace(
            window=self.window.place(),
            recorder=self.desk.recorder.who,
            recorder_at=self.desk.slips.pressed_at,
        )
        self.preferences.keep()

    @cached_property
    def _flags_aloud(self) -> "FlagReader":
        from carelog.ui.cards.aloud import FlagReader

        made = FlagReader(self.window, self.present, self.preferences, self.guard.tell)
        self.access.when_ending.append(made.stop)
        return made

    def _read_flags(self) -> None:
        """Aloud, but not from under the cover."""
        if not self._is_covered:
            self._flags_aloud.read()

    def _call(self) -> None:
        """Call somebody with one press, from anywhere, and from under the cover too."""
        from carelog.ui.cards.page import CardsPage

        if self._is_covered:
            self.toggle_cover()
        page = self.window.show_page("cards")
        if isinstance(page, CardsPage):
            page.call()

    # Covering, and one window a record --------------------------------------------------------------

    def toggle_cover(self) -> None:
        """Cover the screen, or take the cover away."""
        self._is_covered = not self._is_covered
        self.window.go("cover" if self._is_covered else "board")
        self.window.rail.setVisible(not self._is_covered)
        self.window.foot.setVisible(not self._is_covered)
        self.window.head.set_covered(self._is_covered)
        self.urgent.set_covered(self._is_covered)
        self._cover_bands()

    def _cover_bands(self) -> None:
        """A covered screen shows no band; nothing that can wait stands above a card or the emergency page."""
        waiting = [self.reminders.band, self.shelf.band, self.since.band]
        if not self.tour.is_over:
            waiting.append(self.tour.band)
        is_alone = self.window.is_filled or self.window.page() == "emergency"
        for band in self.bands[1:]:
            band.set_covered(self._is_covered or (is_alone and band in waiting))

    def _leave_since(self) -> None:
        if self._is_where_it_leads():
            self.since.hide()

    def _is_where_it_leads(self) -> bool:
        """Whether what the band of the hand-over offers is open already."""
        return self.window.page() in ("since", "visit")

    def _come_to_front(self) -> None:
        self.window.showNormal() if self.window.isMinimized() else self.window.show()
        self.window.raise_()
        self.window.activateWindow()

    def sweep(self) -> None:
        """Remove what a viewer was given by earlier windows."""
        from carelog.ui.sheet.viewer import empty

        empty(self.desk.parts.places.state)

    def _leave(self) -> None:
        self.sweep()
        self.door.leave()

    def ask_over(self, holder: Holder, lock: WindowLock | None) -> None:
        """Another computer, or a window that doesn't answer, has the record open: say who, and ask."""
        since = times.near(self.present.home(), holder.since, self.present.now())
        self.access.refuse(
            say(
                "The record is open in another window, on {host} since {since}. Close it there first."
            ).format(host=holder.host, since=since)
        )
        if lock is None or holder.is_here:
            return

        def over() -> None:
            lock.take(self.present.now(), over=True)
            self.fault.say("")
            self.access.open()

        self.fault.add_button(say("Open it all the same"), "open_over", over)
        self.fault.say(self.access.trouble)
