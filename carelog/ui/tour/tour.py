"""Leads through five things of a made-up household: a band says what to press, a frame shows where."""

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from carelog.text import mark, say
from carelog.ui.band import Band
from carelog.ui.desk import Desk
from carelog.ui.tour.pointer import Pointer
from carelog.ui.tour.stops import END, STOPS, TourSight
from carelog.ui.window import Window

_OF = mark("{number} of {count}. {words}")


class Tour:
    """Nothing waits for it: what is pressed instead works as ever, and the band stays until it is left."""

    def __init__(self, window: Window, desk: Desk, *, is_wanted: bool) -> None:
        """`is_wanted`: from the start, once the record is open and says that it is made up."""
        self._window = window
        self._desk = desk
        self._is_wanted = is_wanted
        self._place: int | None = None
        self.band = Band("tour_band")
        self._next = self.band.add_button(say("Next"), "tour_next", self._go_on)
        self._end = self.band.add_button(say("Leave the tour"), "tour_leave", self.leave)
        body = window.centralWidget()
        assert body is not None
        self._pointer = Pointer(body)
        desk.present.when_changed.append(self._look)
        window.when_left.append(self._look)

    @property
    def is_over(self) -> bool:
        """Whether the last thing was shown, and its words stand there."""
        return self._place is not None and self._place >= len(STOPS)

    def want(self) -> None:
        """Begin as soon as a made-up household is open."""
        self._is_wanted = True
        self._look()

    def leave(self) -> None:
        """Somebody has seen enough."""
        self._is_wanted, self._place = False, None
        self._show()

    def _look(self) -> None:
        """Begin where it was asked for; go on when the thing was done."""
        picture = self._desk.present.picture
        if (
            self._is_wanted
            and picture is not None
            and picture.person.invented
            and self._desk.access.is_open()
        ):
            self._is_wanted, self._place = False, 0
            self._window.go("board")
        if self._place is None:
            return
        sight = TourSight(self._window.page(), self._desk.slips.newest)
        if self._place < len(STOPS) and STOPS[self._place].is_done(sight):
            self._place += 1
        self._show()

    def _go_on(self) -> None:
        if self._place is not None and self._place < len(STOPS):
            self._place += 1
            self._show()

    def _show(self) -> None:
        place = self._place
        if place is None:
            self.band.say("")
            self._pointer.point_at(None)
            return
        self._next.setVisible(not self.is_over)
        if self.is_over:
            self.band.say(say(END))
        else:
            words = say(STOPS[place].words)
            self.band.say(say(_OF).format(number=place + 1, count=len(STOPS), words=words))
        # Once what was pressed has been laid out: a page that was just opened has no places yet.
        QTimer.singleShot(0, self._point)

    def _point(self) -> None:
        place = self._place
        names = STOPS[place].at if place is not None and place < len(STOPS) else ()
        self._pointer.point_at(next(filter(None, map(self._shown, names)), None))

    def _shown(self, name: str) -> QWidget | None:
        """What bears a name and is seen."""
        found = self._window.findChildren(QWidget, name)
        return next((each for each in found if not each.visibleRegion().isEmpty()), None)
