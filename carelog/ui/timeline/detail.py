"""One entry in full: every detail, every version with who and when, and how to change it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from carelog.analysis.in_force import Held, Reading, Withdrawn
from carelog.analysis.marks import row_marks, stray_marks, strays, who, withdrawn_marks
from carelog.analysis.outside import mark_words
from carelog.domain.entry import Entry
from carelog.domain.kind import Kind
from carelog.domain.moment import Home
from carelog.kinds import named_or_unknown
from carelog.kinds.question import QUESTION
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.glyphs import Glyph
from carelog.ui.naming import line_words
from carelog.ui.palette import ACCENT
from carelog.ui.repeats import Repeats
from carelog.ui.ringed import Line, Ringed, Scrolled
from carelog.ui.slips import Slips
from carelog.ui.theme import STEP, Size
from carelog.ui.timeline.facts import EntryFacts, facts
from carelog.ui.timeline.referred import with_words
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook


GIVEN_BACK = mark("given back")
WIDTH_OF_REASON, WIDTH_BESIDE = 480, 200  # px


@dataclass(frozen=True, slots=True)
class Acts:
    """Where the buttons of an entry's page lead: back to the rows, its form, an answer's form."""

    back: Callable[[], object]
    amend: Callable[[str, Held], None]
    answer: Callable[[str], None]


class Detail(QWidget):
    """Amend, withdraw with a reason, keep one of rivals, give back what was struck out."""

    def __init__(
        self,
        home: Home,
        slips: Slips,
        shown: EntryFacts,
        root: str,
        acts: Acts,
        *,
        is_beside: bool = False,
    ) -> None:
        """`is_beside`: it stands beside the rows, and needs no way back to them."""
        super().__init__()
        self.setObjectName("timeline_entry")
        self.root = root
        self.is_beside = is_beside
        self._slips = slips
        self._acts = acts
        self._home = home
        self._repeats = Repeats()
        self._shown = shown
        reading = Reading(shown.chain)
        self._held = reading.get(root)
        self._struck = next((each for each in reading.withdrawn if each.first.id == root), None)
        self._stray = strays(reading, shown.chain)
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        self._message = Words("", Size.STRONG)
        self._fill()
        self._column.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(body, say("One entry")), 1)
        self._message.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        self._message.hide()
        layout.addWidget(self._message)  # beneath what scrolls: in large letters it would be out of sight

    def _fill(self) -> None:
        if not self.is_beside:
            back = Button(say("Back to the timeline"), "timeline_back")
            back.clicked.connect(lambda: self._acts.back())
            self._column.addWidget(row(back))
        if self._held is not None:
            kind = named_or_unknown(self._held.entry.kind)
            outside = mark_words(kind, self._held.entry.details, self._shown.judging.outside(self._held))
            marks = [*outside, *row_marks(self._held, self._home, has_slips=True, signed=self._shown.signed)]
            self._show_entry(self._held.entry, self._held.first, marks)
            self._show_facts(self._held)
            self._show_rivals(self._held)
            self._show_acts(self._held)
            self._show_versions(self._held.chain)
            self._show_kin(kind)
        elif self._struck is not None:
            marks = withdrawn_marks(self._struck, self._home, self._shown.signed)
            self._show_entry(self._struck.entry, self._struck.first, marks)
            self._show_give_back(self._struck)
            self._show_versions(self._struck.chain)
        for entry in self._stray:
            self._column.addWidget(Words(f"{version_words(entry, self._home)} {' '.join(stray_marks())}"))

    def _show_entry(self, entry: Entry, first: Entry, marks: list[str]) -> None:
        kind = named_or_unknown(entry.kind)
        self._column.addWidget(titled(kind))
        day = times.full_day(self._home.day(entry.at.instant))
        clock = times.clock(self._home, entry.at.instant)
        self._column.addWidget(Words(f"{day}, {clock}, {who(first.by)}", Size.STRONG))
        details = with_words(entry.kind, entry.details, self._shown.spoken_of)
        for text in (line_words(entry.kind, details), entry.note.strip()):
            if text:
                self._column.addWidget(Words(text))
        for text in marks:
            self._column.addWidget(Words(text, soft=True))

    def _show_facts(self, held: Held) -> None:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, STEP // 2, 0, STEP // 2)
        grid.setHorizontalSpacing(2 * STEP)
        grid.setVerticalSpacing(STEP // 2)
        grid.setColumnStretch(1, 1)
        for number, (label, words) in enumerate(facts(self._shown, held, self._home)):
            told = Words(words)
            told.setAccessibleName(f"{label}: {words}")
            grid.addWidget(Words(label, soft=True, wraps=False), number, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(told, number, 1)
        self._column.addWidget(holder)

    def _show_kin(self, kind: Kind) -> None:
        """This kind, the days before: what it was like, in the words of each entry."""
        found = self._shown.kin
        if found is None or not found.days:
            return
        words = say("{kind}, the days before").format(kind=say(kind.title))
        self._column.addWidget(Words(words, Size.NAME, heading=True))
        for text in found.told:
            self._column.addWidget(Words(text))
        for each in found.days:
            listed = [f"{clock} {line}" for clock, line in each.entries]
            if each.more:
                listed.append(say_n("one more", "{count} more", each.more).format(count=each.more))
            self._column.addWidget(Words(f"{times.day_name(each.day)}: {' · '.join(listed)}", soft=True))

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

    def _show_acts(self, held: Held) -> None:
        kind = named_or_unknown(held.entry.kind)
        change = Main(say("Change it"), "amend")
        change.clicked.connect(lambda: self._acts.amend(held.entry.kind, held))
        self._reason = Line("reason", say("Why it is struck out"))
        self._reason.setPlaceholderText(say("why"))
        self._reason.setMinimumWidth(WIDTH_BESIDE if self.is_beside else WIDTH_OF_REASON)
        withdraw = Button(say("Strike it out"), "withdraw")
        withdraw.clicked.connect(lambda: self._withdraw(held))
        buttons: list[QWidget] = [change]
        if held.entry.kind == QUESTION.name:
            reply = Button(say("Answer it"), "answer")
            reply.clicked.connect(lambda: self._acts.answer(held.first.id))
            buttons.append(reply)
        if kind.tiles:
            again = Button.calling(say("Same again now"), "same_again", lambda: self._again(held))
            buttons.append(again)
        self._column.addWidget(row(*buttons))
        self._column.addWidget(Words(say("To strike it out, say why. It stays readable.")))
        self._column.addWidget(row(Ringed(self._reason), withdraw))

    def _show_give_back(self, struck: Withdrawn) -> None:
        button = Button(say("Give it back"), "give_back")
        button.clicked.connect(lambda: self._give_back(struck))
        self._column.addWidget(row(button))

    def _show_versions(self, chain: tuple[Entry, ...]) -> None:
        if len(chain) < 2:
            return
        self._column.addWidget(Words(say("Every version, oldest first"), Size.NAME))
        for entry in chain:
            self._column.addWidget(Words(version_words(entry, self._home)))

    # Acts -----------------------------------------------------------------------------------------

    def _again(self, held: Held) -> None:
        """The same details as of now, by whoever records; a second press in a moment is the first one's."""
        if self._repeats.is_new("same_again", None):
            kind, details = held.entry.kind, held.entry.details
            self._slips.record(
                lambda logbook, by: [logbook.record(kind, details, by)],
                lambda: self._refuse(say("Recorded once more, as of now. Undo stands on the board.")),
                self._refuse,
            )

    def _withdraw(self, held: Held) -> None:
        reason = self._reason.text().strip()
        if not reason:
            self._refuse(say("Say why it is struck out."))
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
        self._slips.record(job, self._acts.back, self._refuse)

    def _refuse(self, sentence: str) -> None:
        self._message.say(sentence)
        self._message.show()
        announce(self._message, sentence)


def titled(kind: Kind) -> QWidget:
    """The kind's name as a heading, its drawing before it."""
    holder = QWidget()
    line = QHBoxLayout(holder)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(STEP)
    line.addWidget(Glyph(kind.name, role=ACCENT))
    line.addWidget(Words(say(kind.title), Size.HEAD), 1)
    return holder


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
