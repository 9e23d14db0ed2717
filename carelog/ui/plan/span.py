"""Two clock times: from when to when it is quiet."""

from carelog.domain.entry import Json
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.flow import Flow
from carelog.ui.forms.control import ABSENT, Control, Value
from carelog.ui.forms.lines import Narrow
from carelog.ui.ringed import Line
from carelog.ui.typed.lines import read_clock
from carelog.ui.words import Words

_BOTH = mark("Give both times, like 23:00 and 06:00.")


class SpanControl(Control):
    """From a time to a time; empty is none."""

    def __init__(self, name: str, label: str) -> None:
        super().__init__()
        self._lines = (
            Line(f"field_{name}", say(mark("{what}, from")).format(what=label)),
            Line(f"field_{name}_to", say(mark("{what}, to")).format(what=label)),
        )
        flow = Flow(self)
        words = (say(mark("from")), say(mark("to")))
        for line, word, like in zip(self._lines, words, ("23:00", "06:00"), strict=True):
            line.setPlaceholderText(like)
            line.textChanged.connect(lambda _text: self.touched())
            flow.addWidget(Words(word, wraps=False))
            flow.addWidget(Narrow(line))

    def show_value(self, value: Value) -> None:
        given = value if isinstance(value, list) else ("", "")
        for line, text in zip(self._lines, given, strict=True):
            line.setText(text)

    def read(self) -> Value:
        found = [read_clock(line.text()) for line in self._lines]
        if found == [None, None]:
            return ABSENT
        start, end = found
        if start is None or end is None:
            raise Refused(say(_BOTH))
        return [f"{start:%H:%M}", f"{end:%H:%M}"]

    def typed(self) -> Json:
        return [line.text() for line in self._lines]

    def restore(self, typed: Json) -> None:
        for line, text in zip(self._lines, typed, strict=True):
            line.setText(str(text))

    def focus(self) -> Line:
        return self._lines[0]
