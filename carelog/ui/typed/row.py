"""One row of the page: what stands on a line of the paper."""

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QWidget

from carelog.analysis.blankday import BlankRow
from carelog.app.typed import PaperLine
from carelog.domain.entry import Json
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from carelog.text import mark, say
from carelog.ui.flow import Flow
from carelog.ui.ringed import Ringed
from carelog.ui.theme import percent_now
from carelog.ui.typed.lines import BoxStep, ClockStep, Move, TypedStep, read_clock, step_for
from carelog.ui.words import Words

NAME_WIDTH, TIME_WIDTH, FIELD_WIDTH, BY_WIDTH, NOTE_WIDTH = 190, 76, 118, 64, 300  # px at 100 %
WIDEST = 800  # px: in huge letters a small window has no more
_NO_TIME = mark("“{title}” has no time.")
_WRONG = mark("“{title}”: {field} {words}.")


class TypedRow(QWidget):
    """A time, the row's boxes and numbers, words where there are any, and who wrote it."""

    def __init__(self, row: BlankRow, number: int, move: Move, has_note: bool) -> None:
        self._widths: list[tuple[QWidget, int]] = []
        super().__init__()
        self.row, self.has_note = row, has_note
        place = f"typed_{number}"
        label = say(mark("{title}, time")).format(title=row.title)
        self.clock = ClockStep(f"{place}_time", label, move, row.clock)
        self.steps = {name: step_for(row, name, f"{place}_{name}", move) for name in row.fields}
        self.note = TypedStep(f"{place}_note", say(mark("{title}, in words")).format(title=row.title), move)
        self.by = TypedStep(f"{place}_by", say(mark("{title}, initials")).format(title=row.title), move)
        self.note.setPlaceholderText(say(mark("in words")))
        self.by.setPlaceholderText(say(mark("by")))
        self.remark = Words("", soft=True)
        title = Words(f"{row.title} {row.clock}".strip())
        flow = Flow(self)
        flow.addWidget(title)
        self._widths.append((title, NAME_WIDTH))
        self._add(flow, self.clock, TIME_WIDTH)
        for step in self.steps.values():
            self._add(flow, step, FIELD_WIDTH)
        if has_note:
            self._add(flow, self.note, NOTE_WIDTH)
        else:
            self.note.setParent(self)
            self.note.hide()
        self._add(flow, self.by, BY_WIDTH)
        flow.addWidget(self.remark)
        self._fit()

    def _add(self, flow: Flow, step: TypedStep, width: int) -> None:
        ringed = Ringed(step)
        self._widths.append((ringed, width))
        flow.addWidget(ringed)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        """The same columns on every row, as wide as the size of the text asks for."""
        for widget, width in self._widths:
            widget.setFixedWidth(min(width * percent_now() // 100, WIDEST))

    @property
    def is_filled(self) -> bool:
        """Whether anything was typed."""
        return any(each.text().strip() for each in (self.clock, self.note, *self.steps.values()))

    def line(self, by: str) -> PaperLine:
        """What was typed; `Refused` with what is wrong. `by` counts where the row names nobody."""
        clock = read_clock(self.clock.text())
        if clock is None:
            raise Refused(say(_NO_TIME).format(title=self.row.title))
        details = {**self._units(), **self._values()}
        found = named_or_unknown(self.row.kind).problems(details)
        if found:
            raise Refused(self._wrong(found[0].field, found[0].words))
        return PaperLine(
            self.row.kind, clock, details, self.by.text().strip() or by, self.note.text().strip()
        )

    def _units(self) -> dict[str, Json]:
        """What is recorded of the row whatever is filled in."""
        return dict(self.row.details)

    def _values(self) -> dict[str, Json]:
        found: dict[str, Json] = {}
        for name, step in self.steps.items():
            field = named_or_unknown(self.row.kind).field(name)
            text = step.text().strip()
            if field is None or not text:
                continue
            try:
                found[name] = step.value if isinstance(step, BoxStep) else field.type.typed(text)
            except Refused as error:
                raise Refused(self._wrong(name, error.sentence)) from error
        return found

    def _wrong(self, name: str, words: str) -> str:
        field = named_or_unknown(self.row.kind).field(name)
        label = (say(field.label) or name) if field is not None else name
        return say(_WRONG).format(title=self.row.title, field=label, words=words.rstrip("."))

    @property
    def texts(self) -> list[str]:
        """What stands in its lines."""
        return [each.text() for each in self._lines()]

    def _lines(self) -> tuple[TypedStep, ...]:
        return self.clock, self.note, self.by, *self.steps.values()

    def take_over(self, other: "TypedRow") -> None:
        """Hold what was typed into the same row of another page."""
        for mine, theirs in zip(self._lines(), other._lines(), strict=True):
            mine.take_over(theirs)

    def clear(self) -> None:
        """Empty it."""
        for each in self._lines():
            each.clear()
        self.remark.setText("")
