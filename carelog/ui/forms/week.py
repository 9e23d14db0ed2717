"""A week, typed by its number alone or as it is written down."""

from datetime import date

from PySide6.QtWidgets import QWidget

from carelog.analysis.times import month_day
from carelog.domain.entry import Json
from carelog.domain.field import WEEK
from carelog.domain.moment import Week
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import Narrow
from carelog.ui.ringed import Line
from carelog.ui.words import Words

_READ_AS = mark("read as {week}, {first} to {last}")


class WeekControl(Control):
    """“47” is the newest week of that number; what it was read as stands beside it."""

    def __init__(self, name: str, label: str, today: date) -> None:
        super().__init__()
        self._today = today
        self._line = Line(f"field_{name}", label)
        self._line.setPlaceholderText(WEEK.like)
        self._line.setAccessibleDescription(say("like {example}").format(example=WEEK.like))
        self._line.textChanged.connect(lambda _text: self._on_text())
        self._read_as = Words("", wraps=False)
        self._read_as.setObjectName(f"read_as_{name}")
        flow = Flow(self)
        flow.addWidget(Narrow(self._line))
        flow.addWidget(self._read_as)

    def _week(self) -> Week | None:
        try:
            return Week.near(self._line.text(), self._today)
        except Refused:
            return None

    def _on_text(self) -> None:
        week, words = self._week(), ""
        if week is not None:
            first, last = (month_day(day) for day in (week.days()[0], week.days()[-1]))
            words = say(_READ_AS).format(week=week.text(), first=first, last=last)
        self._read_as.say(words)
        self.touched()

    def show_value(self, value: Value) -> None:
        self._line.setText("" if value is ABSENT else str(value))

    def read(self) -> Value:
        text, week = self._line.text().strip(), self._week()
        return (text or ABSENT) if week is None else week.text()

    def typed(self) -> Json:
        return self._line.text()

    def restore(self, typed: Json) -> None:
        self._line.setText(str(typed))

    def focus(self) -> QWidget:
        return self._line
