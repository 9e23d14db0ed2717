"""A week, typed by its number alone or as it is written down."""

from datetime import date

from carelog.analysis.times import month_day
from carelog.domain.field import WEEK
from carelog.domain.moment import Week
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Value
from carelog.ui.forms.lines import LineControl, Narrow
from carelog.ui.words import Words

_READ_AS = mark("read as {week}, {first} to {last}")


class WeekControl(LineControl):
    """“47” is the newest week of that number; what it was read as stands beside it."""

    def __init__(self, name: str, label: str, today: date) -> None:
        super().__init__(name, label, WEEK.like)
        self._today = today
        self._read_as = Words("", wraps=False)
        self._read_as.setObjectName(f"read_as_{name}")
        flow = Flow(self)
        flow.addWidget(Narrow(self.line))
        flow.addWidget(self._read_as)

    def _week(self) -> Week | None:
        try:
            return Week.near(self.typed(), self._today)
        except Refused:
            return None

    def on_text(self) -> None:
        """Say which week it was read as."""
        week, words = self._week(), ""
        if week is not None:
            first, last = (month_day(day) for day in (week.days()[0], week.days()[-1]))
            words = say(_READ_AS).format(week=week.text(), first=first, last=last)
        self._read_as.say(words)
        self.touched()

    def read(self) -> Value:
        text, week = self.typed().strip(), self._week()
        return (text or ABSENT) if week is None else week.text()
