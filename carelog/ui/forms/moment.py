"""When it happened: just now, some minutes ago, or a day and a time."""

from datetime import date, time, timedelta

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.domain.entry import Json
from carelog.domain.field import CLOCK
from carelog.domain.moment import MINUTE, Home, Instant, Moment, is_date
from carelog.domain.trouble import Refused
from carelog.text import say
from carelog.ui import times
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import Narrow
from carelog.ui.ringed import Line
from carelog.ui.words import Words

MINUTES = (0, 5, 10, 20, 30, 60)
OTHER = "other"


class WhenControl(QWidget):
    """The time of an entry on the home zone's clock; it offers no future time."""

    def __init__(self, home: Home, opened: Instant, kept: Moment | None = None) -> None:
        """`kept`: the time of the entry that the form changes, which stays unless it is touched."""
        super().__init__()
        self.setObjectName("field_at")
        self._home = home
        self._kept = kept
        self._opened = opened
        self._chosen = OTHER if kept else "0"
        self._second = False
        start = kept.instant if kept else opened
        self._day = home.day(start)
        self._choices: dict[str, ChoiceButton] = {}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        if kept is None:
            layout.addWidget(self._quick())
        self._other = self._day_and_time(times.clock(home, start))
        layout.addWidget(self._other)
        self._mark()

    def _quick(self) -> QWidget:
        holder = QWidget()
        flow = Flow(holder)
        for minutes in MINUTES:
            self._add(flow, str(minutes), minutes_ago(minutes))
        self._add(flow, OTHER, say("another time"))
        return holder

    def _add(self, flow: Flow, key: str, words: str) -> None:
        button = ChoiceButton(words, f"at_{key}", is_one_of=True)
        button.switched.connect(lambda _is_on: self._choose(key))
        self._choices[key] = button
        flow.addWidget(button)

    def _day_and_time(self, clock: str) -> QWidget:
        holder = QWidget()
        flow = Flow(holder)
        earlier = Button(say("a day earlier"), "day_earlier")
        earlier.clicked.connect(lambda: self._move(-1))
        self._later = Button(say("a day later"), "day_later")
        self._later.clicked.connect(lambda: self._move(1))
        self._day_words = Words("", wraps=False)
        self._day_words.setMinimumHeight(44)
        self._line = Line("field_clock", say("Time, like 03:10"))
        self._line.setInputMethodHints(Qt.InputMethodHint.ImhTime)
        self._line.setText(clock)
        self._twice = ChoiceButton(say("the second of the two"), "second_hour")
        self._twice.switched.connect(lambda _is_on: self._mark())
        ringed = Narrow(self._line)
        for widget in (earlier, self._day_words, self._later, ringed, self._twice):
            flow.addWidget(widget)
        self._line.textChanged.connect(lambda _text: self._mark())
        return holder

    def _choose(self, key: str) -> None:
        self._chosen = key
        self._mark()

    def _move(self, days: int) -> None:
        self._day = min(self._day + timedelta(days=days), self._today())
        self._kept = None
        self._mark()

    def _today(self) -> date:
        return self._home.day(self._opened)

    def _mark(self) -> None:
        for key, button in self._choices.items():
            button.show_on(key == self._chosen)
        self._other.setVisible(self._chosen == OTHER)
        today = self._today()
        words = times.full_day(self._day) if self._day.year != today.year else times.day_name(self._day)
        if self._day == today:
            words = say("today, {day}").format(day=words)
        self._day_words.say(words)
        self._later.setEnabled(self._day < today)
        self._twice.setVisible(self._is_doubled())

    def _is_doubled(self) -> bool:
        text = self._line.text().strip()
        return CLOCK.problem(text) is None and self._home.is_doubled(self._day, time.fromisoformat(text))

    def focus(self) -> QWidget:
        """Where a time that isn't one is put right."""
        return self._line

    def moment(self, now: Instant) -> Moment:
        """The time that was chosen; `Refused` for what isn't one."""
        if self._chosen != OTHER:
            return self._home.moment(now - int(self._chosen) * MINUTE)
        text = self._line.text().strip()
        if len(text) == 4 and text[1] == ":":
            text = f"0{text}"
        problem = CLOCK.problem(text)
        if problem:
            raise Refused(say("The time {problem}.").format(problem=problem))
        if self._kept is not None and text == times.clock(self._home, self._kept.instant):
            return self._kept
        instant = self._home.at(self._day, time.fromisoformat(text))
        if self._twice.isChecked() and self._is_doubled():
            instant += 60 * MINUTE
        return self._home.moment(instant)

    def typed(self) -> Json:
        """What stands in it, for the draft; minutes ago become a clock time, since they go by."""
        if self._chosen == OTHER:
            return [OTHER, self._day.isoformat(), self._line.text()]
        then = self._opened - int(self._chosen) * MINUTE
        return [OTHER, self._home.day(then).isoformat(), times.clock(self._home, then)]

    def restore(self, typed: Json) -> None:
        """Put back what `typed` gave."""
        self._chosen, self._day = typed[0], date.fromisoformat(typed[1])
        self._line.setText(typed[2])
        self._mark()


class MomentControl(Control):
    """A moment that isn't the entry's own, as a day and a time on the home zone's clock."""

    def __init__(self, name: str, label: str, home: Home) -> None:
        super().__init__()
        self._home = home
        self._day = Line(f"field_{name}", say("{label}: day, like 2026-11-28").format(label=label))
        self._day.setPlaceholderText("2026-11-28")
        self._clock = Line(f"field_{name}_clock", say("{label}: time, like 03:10").format(label=label))
        self._clock.setPlaceholderText("03:10")
        flow = Flow(self)
        self._day.setInputMethodHints(Qt.InputMethodHint.ImhDate)
        self._clock.setInputMethodHints(Qt.InputMethodHint.ImhTime)
        for line in (self._day, self._clock):
            line.textChanged.connect(lambda _text: self.touched())
            flow.addWidget(Narrow(line))

    def show_value(self, value: Value) -> None:
        if not isinstance(value, str):
            self._day.setText("")
            self._clock.setText("")
            return
        instant = Moment.read(value).instant
        self._day.setText(self._home.day(instant).isoformat())
        self._clock.setText(f"{self._home.local(instant):%H:%M}")

    def read(self) -> Value:
        day, clock = self._day.text().strip(), self._clock.text().strip()
        if not day and not clock:
            return ABSENT
        if len(clock) == 4 and clock[1] == ":":
            clock = f"0{clock}"
        if not is_date(day) or CLOCK.problem(clock) is not None:
            raise Refused(say("Type the day like 2026-11-28 and the time like 03:10."))
        instant = self._home.at(date.fromisoformat(day), time.fromisoformat(clock))
        return self._home.moment(instant).text()

    def typed(self) -> Json:
        return [self._day.text(), self._clock.text()]

    def restore(self, typed: Json) -> None:
        self._day.setText(str(typed[0]))
        self._clock.setText(str(typed[1]))

    def focus(self) -> QWidget:
        return self._day


def minutes_ago(minutes: int) -> str:
    """“just now”, “10 min ago”."""
    if minutes == 0:
        return say("just now")
    if minutes == 60:
        return say("1 h ago").replace(" ", "\N{NO-BREAK SPACE}")
    return say("{minutes} min ago").format(minutes=minutes).replace(" ", "\N{NO-BREAK SPACE}")
