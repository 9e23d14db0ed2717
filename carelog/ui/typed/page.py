"""“Typed in later”: a day's sheet of paper, row by row, by keyboard alone, saved as one act."""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.blankday import BlankPart, BlankRow
from carelog.analysis.marks import who
from carelog.analysis.times import clock
from carelog.app.typed import PaperDay, PaperLine, Typed, paper_day, twin, type_in
from carelog.domain.entry import Entry
from carelog.domain.field import Choice
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import row as side_by_side
from carelog.ui.forms.lines import Narrow
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.ringed import Line, Scrolled
from carelog.ui.theme import STEP, Size
from carelog.ui.typed.lines import FAR, choices, read_clock
from carelog.ui.typed.row import TypedRow
from carelog.ui.words import ToldWords, Words

_HOW = mark(
    "Time like 717, then Tab. A box takes its number or first letter. Enter goes to the next row. "
    "The space bar takes the time that is printed. Ctrl+Enter goes to the button that saves."
)
PORTION = 6  # rows that are made between two events
_THERE = mark("in the record already, {time} {by}")


class TypedPage(QWidget):
    """The rows of the blank sheet; what the record holds of that day stands beside them."""

    def __init__(self, access: Access, present: Present, recorder: Recorder) -> None:
        super().__init__()
        self._access, self._present, self._recorder = access, present, recorder
        self._day: date | None = None
        self._shown: PaperDay | None = None
        self._parts: tuple[BlankPart, ...] = ()
        """What the rows are made of."""
        self._saving: list[tuple[TypedRow, list[str]]] = []
        """Rows that the disk is at work on, each with what stood in it."""
        self._saved: tuple[Entry, ...] = ()
        self.rows: list[TypedRow] = []
        self._left: deque[Callable[[], None]] = deque()
        """What is still to be added to the page, in its order."""
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._add_some)
        self._held = Words("")
        self._title = Words("", Size.HEAD)
        self._state = ToldWords()
        self._by = Line("typed_by", say(mark("Who wrote on the paper: initials")))
        self._undo = Button.calling(say(mark("Take all of it back")), "typed_undo", self.take_back)
        self._undo.hide()
        self._save_button = Main(say(mark("Save the day")), "typed_save")
        self._save_button.clicked.connect(self.save)
        self._head = self._made_head()
        self._body = QVBoxLayout()
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._scrolled = self._made_body()
        self._whole.addWidget(self._scrolled)

    def _made_head(self) -> QWidget:
        """The day, who wrote, what to do; all of it scrolls along, since large letters need the room."""
        head = QWidget()
        column = QVBoxLayout(head)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._title)
        column.addWidget(
            side_by_side(
                Button.calling(say(mark("a day earlier")), "typed_earlier", lambda: self._move(-1)),
                Button.calling(say(mark("a day later")), "typed_later", lambda: self._move(1)),
                Words(say(mark("who wrote on the paper")), wraps=False),
                Narrow(self._by),
                self._undo,
            )
        )
        column.addWidget(self._state)
        column.addWidget(Words(say(_HOW), soft=True))
        column.addWidget(Words(say(mark("In the record already")), Size.STRONG, heading=True))
        column.addWidget(self._held)
        return head

    def _made_body(self) -> Scrolled:
        body = QWidget()
        self._body = QVBoxLayout(body)
        self._body.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._body.addWidget(self._head)
        return Scrolled(body, say(mark("Typed in later")))

    # Which day --------------------------------------------------------------------------------------

    def opened(self) -> None:
        """Show yesterday at first; what is half typed stays."""
        if self._day is None:
            home = self._present.home()
            self._day = home.day(self._present.now()) - timedelta(days=1)
            self._by.setText(self._recorder.who)
        if self._shown is None:
            self._read()
        elif self._left:
            self._soon.start()

    def _move(self, days: int) -> None:
        assert self._day is not None
        today = self._present.home().day(self._present.now())
        self._day = min(self._day + timedelta(days=days), today)
        self._read()

    def _read(self) -> None:
        day, home = self._day, self._present.home()
        assert day is not None
        self._title.say(say(mark("Typed in later: {day}")).format(day=times.full_day(day)))
        self._access.read(lambda record: paper_day(record, home, day), self._on_read, self._state.say)

    def _on_read(self, found: PaperDay) -> None:
        if not self.rows and not self.isVisible():
            return  # read anew when the page is opened
        self._shown = found
        self._held.say(self._held_words(found))
        self._follow()

    def _follow(self) -> None:
        """Show the rows of the day that was read; those that are being saved stay: that may fail."""
        if self._shown is not None and self._shown.parts != self._parts and not self._saving:
            self._parts = self._shown.parts
            self._fill()
        self._remark()

    # The rows ---------------------------------------------------------------------------------------

    def _fill(self) -> None:
        """Other rows; what is typed and not saved stays, and what they have no row for stands last."""
        typed = [each for each in self.rows if each.is_filled]
        self._save_button.setParent(self)  # it outlives the body that it lies in
        old, self._scrolled = self._scrolled, self._made_body()
        self.rows = []
        self._left = deque(self._pieces(typed))
        self._add_up_to(FAR if typed else PORTION)
        for each in typed:
            same = (row for row in self.rows if row.row == each.row and not row.is_filled)
            next(same).take_over(each)
        self._whole.replaceWidget(old, self._scrolled)
        self._scrolled.show()  # by itself only later, and nothing hidden takes the focus
        old.hide()
        old.deleteLater()
        self.rows[0].clock.setFocus()

    def _pieces(self, typed: Sequence[TypedRow]) -> Iterator[Callable[[], None]]:
        """What adds headings, rows, one for each row that is typed, and the button, one by one."""
        lacking = list(typed)
        for part in self._parts:
            yield partial(self._add_heading, part)
            for each in part.rows:
                if not each.needs_form:
                    lacking = _without(lacking, each)
                    yield partial(self._add, each, part.has_note)
        for row in lacking:
            yield partial(self._add, row.row, row.has_note)
        yield self._add_end

    def _add_some(self) -> None:
        """The next rows, between two events: all at once would hold up the first key for long."""
        if self.isVisible():  # else the rest when the page is opened again
            self._add_up_to(len(self.rows) + PORTION)

    def _add_up_to(self, count: int) -> None:
        """Add rows until there are so many, or all of them and the button."""
        while self._left and len(self.rows) < count:
            self._left.popleft()()
        if self._left:
            self._soon.start()

    def _add_heading(self, part: BlankPart) -> None:
        self._body.addWidget(Words(f"{part.title} {part.beside}".strip(), Size.STRONG, heading=True))
        for words in _keys(part):
            self._body.addWidget(Words(words, soft=True))

    def _add_end(self) -> None:
        self._body.addWidget(self._save_button)
        self._save_button.show()  # by itself only later, and nothing hidden takes the focus
        self._body.addStretch(1)

    def _add(self, each: BlankRow, has_note: bool) -> None:
        number = len(self.rows)
        made = TypedRow(each, number, lambda step: self._go(number + step), has_note)
        made.clock.editingFinished.connect(self._remark)
        self.rows.append(made)
        self._body.addWidget(made)
        made.show()

    def _go(self, number: int) -> None:
        """To the time of another row; after the last one to the button that saves."""
        self._remark()
        if number < 0:
            return
        if number >= len(self.rows):
            self._add_up_to(number + 1)
        widget = self.rows[number].clock if number < len(self.rows) else self._save_button
        widget.setFocus()
        self._scrolled.ensureWidgetVisible(widget)

    def _held_words(self, found: PaperDay) -> str:
        home = self._present.home()
        lines = [
            f"{clock(home, each.time)} {say(named_or_unknown(each.entry.kind).title)} {who(each.first.by)}"
            for each in found.held
        ]
        return "; ".join(lines) or say(mark("Nothing of this day."))

    def _remark(self) -> None:
        """Beside each row what the record holds of the same minutes."""
        if self._shown is None:
            return
        home = self._present.home()
        for each in self.rows:
            text = ""
            try:
                typed = read_clock(each.clock.text())
            except Refused as error:
                typed, text = None, error.sentence
            if typed is not None:
                line = PaperLine(each.row.kind, typed, each.row.details, note=each.note.text())
                found = twin(line, home.at(self._shown.day, typed), self._shown.held)
                if found is not None:
                    text = say(_THERE).format(time=clock(home, found.time), by=who(found.first.by))
            each.remark.say(text)

    # Saving -----------------------------------------------------------------------------------------

    def save(self) -> None:
        """All rows that hold anything, in one act; the first that is wrong is said and has the focus."""
        if self._saving:
            return  # a second press, before the first one is answered
        lines: list[PaperLine] = []
        filled = [each for each in self.rows if each.is_filled]
        for each in filled:
            try:
                lines.append(each.line(self._by.text().strip()))
            except Refused as error:
                self._state.say(error.sentence)
                each.remark.say(error.sentence)
                each.clock.setFocus()
                self._scrolled.ensureWidgetVisible(each)
                return
        if not lines:
            self._state.say(say(mark("Nothing is typed in yet.")))
            return
        self._saving = [(each, each.texts) for each in filled]
        self._save(lines)

    def _save(self, lines: Sequence[PaperLine]) -> None:
        home, day, now = self._present.home(), self._day, self._present.now()
        assert day is not None
        self._access.act(
            lambda logbook, record: type_in(logbook, record, home, day, lines, now),
            self._on_saved,
            self._on_not_saved,
        )

    def _on_not_saved(self, sentence: str) -> None:
        self._saving = []
        self._state.say(sentence)
        self._follow()

    def _on_saved(self, typed: Typed) -> None:
        saving, self._saving = self._saving, []
        count, left = len(typed.saved), len(typed.left_out)
        said = say_n("Saved from paper: 1 entry.", "Saved from paper: {count} entries.", count)
        words = said.format(count=count)
        if left:
            out = say_n(
                "1 was in the record already and was left out.",
                "{count} were in the record already and were left out.",
                left,
            )
            words += f" {out.format(count=left)}"
        self._state.say(words)
        self._saved = typed.saved
        self._undo.setVisible(bool(typed.saved))
        for row, texts in saving:
            if row.texts == texts:  # what was typed since isn't saved
                row.clear()
        self._scrolled.ensureWidgetVisible(self._state)
        self._read()

    def take_back(self) -> None:
        """Strike out all that was saved last, as one."""
        saved, by = self._saved, self._recorder.who
        self._access.act(
            lambda logbook, _record: logbook.strike_together(saved, by),
            lambda struck: self._on_taken_back(len(struck)),
            self._state.say,
        )

    def _on_taken_back(self, count: int) -> None:
        self._saved = ()
        self._undo.hide()
        said = say_n("Taken back: 1 entry.", "Taken back: {count} entries.", count)
        self._state.say(said.format(count=count))
        self._read()


def _without(typed: Sequence[TypedRow], row: BlankRow) -> list[TypedRow]:
    """These but the first that stands on such a row."""
    first = next((each for each in typed if each.row == row), None)
    return [each for each in typed if each is not first]


def _keys(part: BlankPart) -> list[str]:
    """What each box's numbers stand for."""
    found = []
    for name in part.fields:
        field = part.kind.field(name)
        if field is not None and isinstance(field.type, Choice):
            words = [word for _, word in choices(field)]
            numbered = ", ".join(f"{number}\N{NO-BREAK SPACE}{word}" for number, word in enumerate(words, 1))
            found.append(f"{say(field.label) or say(field.asked)}: {numbered}")
    return found
