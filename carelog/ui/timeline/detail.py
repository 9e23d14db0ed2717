"""One entry in full: every detail, every version with who and when, and how to change it."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.in_force import Held, Reading, Withdrawn
from carelog.analysis.marks import row_marks, stray_marks, strays, who, withdrawn_marks
from carelog.analysis.outside import Judging, mark_words
from carelog.domain.entry import Entry
from carelog.domain.moment import Home
from carelog.kinds import named_or_unknown
from carelog.kinds.question import QUESTION
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.naming import line_words
from carelog.ui.ringed import Line, Ringed, Scrolled
from carelog.ui.slips import Slips
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook


GIVEN_BACK = mark("given back")
WIDTH_OF_REASON = 480  # px


class Detail(QWidget):
    """Amend, withdraw with a reason, keep one of rivals, give back what was struck out."""

    def __init__(
        self,
        home: Home,
        slips: Slips,
        chain: list[Entry],
        judging: Judging,
        root: str,
        back: Callable[[], object],
        amend: Callable[[str, Held], None],
        answer: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.setObjectName("timeline_entry")
        self._slips = slips
        self._back = back
        self._home = home
        self._judging = judging
        reading = Reading(chain)
        self._held = reading.get(root)
        self._struck = next((each for each in reading.withdrawn if each.first.id == root), None)
        self._stray = strays(reading, chain)
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._message = Words("", Size.STRONG)
        self._fill(amend, answer)
        self._column.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(body, say("One entry")))

    def _fill(self, amend: Callable[[str, Held], None], answer: Callable[[str], None]) -> None:
        back = Button(say("Back to the timeline"), "timeline_back")
        back.clicked.connect(lambda: self._back())
        self._column.addWidget(row(back))
        if self._held is not None:
            kind = named_or_unknown(self._held.entry.kind)
            outside = mark_words(kind, self._held.entry.details, self._judging.outside(self._held))
            marks = [*outside, *row_marks(self._held, self._home, has_slips=True)]
            self._show_entry(self._held.entry, self._held.first, marks)
            self._show_rivals(self._held)
            self._show_acts(self._held, amend, answer)
            self._show_versions(self._held.chain)
        elif self._struck is not None:
            marks = withdrawn_marks(self._struck, self._home)
            self._show_entry(self._struck.entry, self._struck.first, marks)
            self._show_give_back(self._struck)
            self._show_versions(self._struck.chain)
        for entry in self._stray:
            self._column.addWidget(Words(f"{version_words(entry, self._home)} {' '.join(stray_marks())}"))

    def _show_entry(self, entry: Entry, first: Entry, marks: list[str]) -> None:
        kind = named_or_unknown(entry.kind)
        self._column.addWidget(Words(say(kind.title), Size.HEAD))
        day = times.full_day(self._home.day(entry.at.instant))
        clock = times.clock(self._home, entry.at.instant)
        self._column.addWidget(Words(f"{day}, {clock}, {who(first.by)}", Size.STRONG))
        for text in (line_words(entry.kind, entry.details), entry.note.strip()):
            if text:
                self._column.addWidget(Words(text))
        for text in marks:
            self._column.addWidget(Words(text, soft=True))

    def _show_rivals(self, held: Held) -> None:
        if not held.rivals:
            return
        self._column.addWidget(Words(say("Two computers changed it. Both versions are kept:"), Size.STRONG))
        for number, side in enumerate(held.rivals):
            self._column.addWidget(Words(version_words(side, self._home)))
            keep = Button(say("Keep this one"), f"keep_{number}")
            keep.setAccessibleName(
                say("Keep this one: {words}").format(words=version_words(side, self._home))
            )
            keep.clicked.connect(lambda _=False, one=side: self._keep(held, one))
            self._column.addWidget(row(keep))

    def _show_acts(
        self, held: Held, amend: Callable[[str, Held], None], answer: Callable[[str], None]
    ) -> None:
        change = Main(say("Change it"), "amend")
        change.clicked.connect(lambda: amend(held.entry.kind, held))
        self._reason = Line("reason", say("Why it is struck out"))
        self._reason.setPlaceholderText(say("why"))
        self._reason.setMinimumWidth(WIDTH_OF_REASON)
        withdraw = Button(say("Strike it out"), "withdraw")
        withdraw.clicked.connect(lambda: self._withdraw(held))
        buttons: list[QWidget] = [change]
        if held.entry.kind == QUESTION.name:
            reply = Button(say("Answer it"), "answer")
            reply.clicked.connect(lambda: answer(held.first.id))
            buttons.append(reply)
        self._column.addWidget(row(*buttons))
        self._column.addWidget(Words(say("To strike it out, say why. It stays readable.")))
        self._column.addWidget(row(Ringed(self._reason), withdraw))
        self._column.addWidget(self._message)

    def _show_give_back(self, struck: Withdrawn) -> None:
        button = Button(say("Give it back"), "give_back")
        button.clicked.connect(lambda: self._give_back(struck))
        self._column.addWidget(row(button))
        self._column.addWidget(self._message)

    def _show_versions(self, chain: tuple[Entry, ...]) -> None:
        if len(chain) < 2:
            return
        self._column.addWidget(Words(say("Every version, oldest first"), Size.NAME))
        for entry in chain:
            self._column.addWidget(Words(version_words(entry, self._home)))

    # Acts -----------------------------------------------------------------------------------------

    def _withdraw(self, held: Held) -> None:
        reason = self._reason.text().strip()
        if not reason:
            self._message.say(say("Say why it is struck out."))
            announce(self._message, self._message.text())
            self._reason.setFocus()
            return
        self._do(lambda logbook, by: [logbook.withdraw(held, reason, by)])

    def _keep(self, held: Held, side: Entry) -> None:
        self._do(lambda logbook, by: logbook.keep(held, side, by))

    def _give_back(self, struck: Withdrawn) -> None:
        last = struck.withdrawal
        held = Held(last, struck.first, last.recorded_at, struck.time, False, struck.chain)
        self._do(lambda logbook, by: [logbook.withdraw(held, say(GIVEN_BACK), by)])

    def _do(self, job: "Callable[[Logbook, str], Sequence[Entry]]") -> None:
        self._slips.record(job, self._back, self._refuse)

    def _refuse(self, sentence: str) -> None:
        self._message.say(sentence)
        announce(self._message, sentence)


def version_words(entry: Entry, home: Home) -> str:
    """One version of an entry: when and by whom it was written, and what it says."""
    when = times.full_day(home.day(entry.recorded_at))
    clock = times.clock(home, entry.recorded_at)
    if entry.withdrawn:
        says = say("struck out")
    else:
        line = line_words(entry.kind, entry.details)
        at = times.near(home, entry.at.instant, entry.recorded_at)
        says = " · ".join(part for part in (at, line, entry.note.strip()) if part)
    because = f" ({entry.reason})" if entry.reason else ""
    return (
        say("{day}, {clock}, {who}: {says}").format(day=when, clock=clock, who=who(entry.by), says=says)
        + because
    )
