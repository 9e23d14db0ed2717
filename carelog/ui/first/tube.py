"""The questions about the tube: what stands on it, and since when it is in place."""

from contextlib import suppress
from datetime import date, time

from PySide6.QtWidgets import QWidget

from carelog.app.basics.answers import Answer, say_again, say_new
from carelog.app.basics.questions import is_day_unknown
from carelog.domain.entry import Json
from carelog.domain.field import Date, Field
from carelog.domain.moment import Moment
from carelog.domain.trouble import Refused
from carelog.kinds.note import NOTE
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.columns import SideBySide
from carelog.ui.first.asked import FieldsAsked, Now
from carelog.ui.first.label import PLACES, TubeLabel
from carelog.ui.forms.control import Absent
from carelog.ui.forms.lines import DateControl
from carelog.ui.words import Words

FIELDS = ("id_mm", "cuff", "inner_tube", "od_mm", "length_mm", "inner_id_mm", "fenestrated", "size_mark")
BESIDE = (300, 420)  # px at 100 %: the drawing, and what is asked beside it
SHARE = 0.38
NOON = time(12)
"""Of a day whose time nobody gave; the note says so."""
_FR = mark(
    "Only Fr or Ch in the letter? For a tube that is the outer size: 24 Fr is 8 mm OD. The ID can't be "
    "worked out from it. Ask for the ID. Until then keep what is known as a note."
)
_SO_FAR = mark("The tube, as far as it is known: {known}. The rest is still to be asked for.")
LARGEST_MM = 15
"""A size over this is no tube's in mm (from memory): it was read in Fr."""
_MAY_BE_FR = mark("The sizes may be in Fr and not in mm, so none of them is certain.")
_DAY_GIVEN = mark("Put in on that day; the time of day isn't recorded.")


class TubeAsked(FieldsAsked):
    """The sizes, beside a drawing that shows where each of them stands."""

    def __init__(self, now: Now) -> None:
        given = now.picture.tube.entry.details if now.picture.tube is not None else {}
        super().__init__(now, TUBE_CHANGE, FIELDS, given)
        self._label = TubeLabel()
        for name in PLACES:
            control = self.controls.get(name)
            if control is not None:
                self._label.follow(name, control.focus())
        self.column.removeWidget(self.body)
        beside = QWidget()
        sides = SideBySide(beside, least=BESIDE, share=SHARE)
        sides.addWidget(self._label)
        sides.addWidget(self.body)
        self.column.addWidget(beside)
        self.column.addWidget(Words(say(_FR), soft=True))
        if now.picture.tube is None:
            note = Button.calling(say("Keep it as a note for now"), "tube_note", self._keep_note)
            self.column.addWidget(row(note))

    def words_of(self, field: Field) -> str:
        words = super().words_of(field)
        return say("{field} (needed)").format(field=words) if field.required else words

    def _keep_note(self) -> None:
        """What can be read without the ID, for whoever takes over; what was typed stays to be completed."""
        known = {}
        for name, control in self.controls.items():
            with suppress(Refused):
                known[name] = control.value()
        filled = {name: value for name, value in known.items() if not isinstance(value, Absent)}
        line = TUBE_CHANGE.line(filled)
        if line:
            self.keeps_typed = True
            sizes = [filled[name] for name in ("id_mm", "od_mm", "inner_id_mm") if name in filled]
            doubt = f" {say(_MAY_BE_FR)}" if any(size > LARGEST_MM for size in sizes) else ""
            note = say(_SO_FAR).format(known=line) + doubt
            self.answered(say_new(NOTE.name, {"for_next": True}, note=note))

    def answer(self) -> Answer:
        tube = self.now.picture.tube
        if tube is not None:
            return say_again(tube.entry.id, self.given())
        return say_new(TUBE_CHANGE.name, {**self.filled(), "reason": "first_entry"})


class TubeDayAsked(FieldsAsked):
    """The day, and what the letter says about the next change; the hour is said not to be recorded."""

    def __init__(self, now: Now) -> None:
        tube = now.picture.tube
        assert tube is not None
        self._tube = tube
        self._day = DateControl("put_in", say(_PUT_IN), Date(), now.today)
        if not is_day_unknown(tube):
            self._day.put(now.home.day(tube.time).isoformat())
        super().__init__(
            now, TUBE_CHANGE, ("done_by", "next_due"), tube.entry.details, first=(say(_PUT_IN), self._day)
        )
        self._day.when_changed.append(self.touched)

    def words_of(self, field: Field) -> str:
        return say(_CALLED.get(field.name, "")) or super().words_of(field)

    def answer(self) -> Answer:
        given = self.given()
        value = self._day.value()
        if isinstance(value, Absent):
            return say_again(self._tube.entry.id, given)
        problem = Date().problem(value)
        if problem:
            raise Refused(f"{say(_PUT_IN)} {problem}.")
        day = date.fromisoformat(str(value))
        if day > self.now.today:
            raise Refused(say("That day hasn't come yet."))
        if day == self.now.home.day(self._tube.time) and not is_day_unknown(self._tube):
            return say_again(self._tube.entry.id, given)
        return say_again(self._tube.entry.id, given, self._moment(day), say(_DAY_GIVEN))

    def _moment(self, day: date) -> Moment:
        """Noon of a day that is over; of today the middle of what has passed of it."""
        home, now = self.now.home, self.now.now
        start, noon = home.start_of(day), home.at(day, NOON)
        return home.moment(noon if noon < now else start + (now - start) // 2)

    def typed(self) -> Json:
        return {**super().typed(), "put_in": self._day.typed()}

    def restore(self, typed: Json) -> None:
        super().restore(typed)
        self._day.restore(typed.get("put_in", ""))

    def landing(self) -> QWidget:
        return self._day.focus()


_PUT_IN = mark("Put in on")
_CALLED = {"next_due": mark("Next change planned for"), "done_by": mark("Put in by, or where")}
