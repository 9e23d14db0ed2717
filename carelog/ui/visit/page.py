"""The nurse's visit: read, answered, seen and signed on one page, and what is behind each number.

It stands in the list behind “More”, and the board offers it while a nurse records: for all others it would
take a place that they need at night.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from carelog.analysis.people import is_nurse
from carelog.analysis.visit.code import CheckedSheet, read_code
from carelog.analysis.visit.figure import VisitFigure
from carelog.analysis.visit.questions import AskedQuestion, open_questions
from carelog.analysis.visit.visit import Visit, VisitDays
from carelog.domain.entry import Details, Entry
from carelog.domain.flag import Flag
from carelog.kinds.answer import ANSWER
from carelog.kinds.seen import SEEN
from carelog.kinds.visit import VISIT
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.slip import State
from carelog.ui.slips import Slips
from carelog.ui.timeline.reader import rows_again
from carelog.ui.timeline.rows import TimelineRow
from carelog.ui.visit.behind import Behind
from carelog.ui.visit.overview import CHECK, SIGN, VisitOverview, seen_line
from carelog.ui.visit.reader import VisitReader
from carelog.ui.visit.receipt import VisitReceipt
from carelog.ui.visit.signing import NOTE, signers
from carelog.ui.visit.state import VisitActs, VisitState, answer_line
from carelog.ui.visit.words import NO_CODE, NO_READING, NO_SHEET, checked_words

if TYPE_CHECKING:
    from carelog.app.logbook import Logbook

FIRST = {SIGN: (NOTE,), CHECK: ("code",)}
"""Where the keys go on when a part is opened."""
AGAIN = 1000  # ms
_WHO = mark("Say who signs.")
_NO_ANSWER = mark("The answer is empty. Nothing was saved.")
_ANSWERED = mark("Saved: the answer to “{question}”.")
_SEEN = mark("Saved: seen. “{headline}”")
_SIGNED = mark("Saved: signed by {name}.")
_WRITTEN = mark("Saved: the visit of {name}, not signed.")
_NOT_SAVED = mark("{said} Typed and not saved: the answer to “{question}”.")
_TAKEN_BACK = mark("Taken back. It stays readable, struck out.")


class VisitPage(QWidget):
    """The last seven days beside the seven before them, until others are chosen."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        recorder: Recorder,
        go: Callable[[str], object],
        open_entry: Callable[[str], None],
        open_sheet: Callable[[date], None],
    ) -> None:
        """`open_sheet` shows the sheet of the seven days that end with a day."""
        super().__init__()
        self._access, self._present, self._recorder = access, present, recorder
        self._slips = slips
        self._open_entry, self._open_sheet = open_entry, open_sheet
        self._newest_list, self._newest_code = Newest(), Newest()
        self._asked: object = None
        self._behind: Behind | None = None
        self._back_to = ""
        self.state = VisitState(unread=say("Reading …"))
        self._reader = VisitReader(access, self._on_visit, self._not_read)
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(AGAIN)
        self._again.timeout.connect(self._look)
        self.overview = VisitOverview(present, recorder, self.state, self._acts(go))
        self.receipt = VisitReceipt(self.take_back)
        self._stack = QStackedWidget()
        self._stack.addWidget(self.overview)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack, 1)
        layout.addWidget(self.receipt)
        present.when_changed.append(self._look)
        recorder.when_chosen.append(self._on_recorder)
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self, self.reach_signing)

    def _acts(self, go: Callable[[str], object]) -> VisitActs:
        return VisitActs(
            fold=self._fold,
            length=self._length,
            move=self._move,
            move_beside=self._move_beside,
            open=self._open,
            answer=self._answer,
            see=self._see,
            choose_nurse=self._choose_nurse,
            sign=self.sign,
            check=self.check,
            go=go,
            print=self.print,
        )

    # Reading ---------------------------------------------------------------------------------------

    def opened(self) -> None:
        """Back to the page; the last seven days, if nobody chose others in this window."""
        self.show_list()
        before = self.state.writer, self.state.nurse
        self.state.writer = self._recorder.who
        self._propose_nurse()
        if self.window().focusWidget() is self:
            self.overview.setFocus()  # which hands it on to what it is filled with
        self._look()
        if (self.state.writer, self.state.nurse) != before:
            self.overview.fill_anew()
        self.overview.refresh()

    def _propose_nurse(self) -> None:
        """A nurse who records signs, unless another was chosen."""
        picture, by = self._present.picture, self._recorder.who
        if not self.state.nurse and picture is not None and is_nurse(picture.recorders, by):
            self.state.nurse = by

    def _on_recorder(self, initials: str) -> None:
        """Somebody else records: what was typed, saved and chosen here was another's."""
        self.state.writer, self.state.nurse = initials, ""
        self._propose_nurse()
        self._drop_receipt()
        self.overview.fill_anew()

    def _drop_receipt(self) -> None:
        self.state.saved = None
        self.receipt.clear()

    def _today(self) -> date:
        return self._present.home().day(self._now())

    def _now(self) -> int:
        picture = self._present.picture
        return picture.as_of if picture is not None and picture.as_of is not None else self._present.now()

    @property
    def days(self) -> VisitDays:
        """Which days are looked at."""
        return self.state.days or VisitDays.to(self._today())

    def _look(self) -> None:
        """Read them anew, if the record or a flag has changed, or another day has begun."""
        self._follow_slip()
        picture = self._present.picture
        if picture is None or not self.isVisible():
            return
        wanted = (self.days, picture.count, picture.last_known, picture.as_of, self._present.flags)
        if wanted != self._asked:
            self._asked = wanted
            self._reader.ask(self.days, self._now(), self._present.flags)

    def _on_visit(self, found: Visit) -> None:
        self.state.visit = found
        if self.state.fresh and (found.has_all_flags or self.state.fresh[-1].kind != SEEN.name):
            self.state.fresh = ()
        self.overview.fill_anew()

    def _not_read(self, sentence: str) -> None:
        """While something is being written nothing can be read: what is shown stays, and is read anew."""
        self._asked = None
        if self.state.visit is None:
            self.state.unread = sentence
            self.overview.fill_anew()
        if self._access.is_open():
            self._again.start()

    def _failed(self, sentence: str) -> None:
        self.receipt.say(sentence, can_be_undone=self._can_be_undone())

    def _can_be_undone(self) -> bool:
        """Whether what was saved here last can be taken back: here or on the board, it is one act."""
        return self.state.saved is not None and self.state.saved.state is State.SAVED

    # Which days --------------------------------------------------------------------------------------

    def _show_days(self, days: VisitDays) -> None:
        today = self._today()
        latest = min(days.last, today)
        beside = min(days.last_beside, today)
        self.state.days = VisitDays(latest, days.count, beside)
        self._look()
        self.overview.fill_anew()

    def _length(self, count: int) -> None:
        self._show_days(VisitDays.to(self.days.last, count))

    def _move(self, periods: int) -> None:
        step = timedelta(days=periods * self.days.count)
        self._show_days(
            replace(self.days, last=self.days.last + step, last_beside=self.days.last_beside + step)
        )

    def _move_beside(self, periods: int) -> None:
        step = timedelta(days=periods * self.days.count)
        self._show_days(replace(self.days, last_beside=self.days.last_beside + step))

    def _fold(self, part: str) -> None:
        self.state.fold(part)
        self.overview.fill_anew()
        if part in self.state.unfolded:
            self.overview.begin(*FIRST.get(part, ()))

    def reach_signing(self) -> None:
        """Ctrl and Enter lead to the signature from anywhere on the page."""
        self.show_list()
        self.state.unfolded |= {SIGN}
        self.overview.fill_anew()
        self.overview.begin(*FIRST[SIGN])

    # Behind a figure -----------------------------------------------------------------------------------

    def _open(self, title: str, figure: VisitFigure) -> None:
        """Its entries, newest first; of one alone its own page."""
        if len(figure.entries) == 1 and not figure.lines:
            self._open_entry(figure.entries[0])
            return
        focused = self.window().focusWidget()
        self._back_to = focused.objectName() if focused is not None else ""
        home, wanted = self._present.home(), list(figure.entries)
        plan = self._present.picture.plan if self._present.picture else None
        quiet = plan.quiet if plan else None
        asking = self._newest_list.ask()
        self._access.read(
            lambda record: rows_again(record, wanted, home, quiet),
            asking.only(lambda rows: self._show_behind(title, figure, rows)),
            asking.only(lambda _sentence: self.receipt.say(say(NO_READING))),
        )

    def _show_behind(self, title: str, figure: VisitFigure, rows: Sequence[TimelineRow]) -> None:
        self.show_list()
        ordered = sorted(rows, key=TimelineRow.key)
        self._behind = Behind(title, figure.lines, ordered, self.show_list, self._open_entry)
        self._stack.addWidget(self._behind)
        self._stack.setCurrentWidget(self._behind)
        self._behind.begin()

    def show_list(self) -> bool:
        """From the entries of a number back to it; False when the page is shown already."""
        if self._behind is None:
            return False
        self._stack.setCurrentIndex(0)
        self._stack.removeWidget(self._behind)
        self._behind.deleteLater()
        self._behind = None
        again = self.overview.findChild(QWidget, self._back_to) if self._back_to else None
        if again is not None:
            again.setFocus()
        return True

    # What can be saved -----------------------------------------------------------------------------------

    def _answer(self, asked: AskedQuestion, text: str) -> None:
        if not text.strip():
            self.receipt.say(say(_NO_ANSWER))
            return
        details, by = {"question": asked.held.first.id}, self._recorder.who
        said = say(_ANSWERED).format(question=asked.text)
        self._save(ANSWER.name, details, text.strip(), by, said, answer_line(asked))

    def _see(self, flag: Flag, word: str) -> None:
        details = {"rule": flag.rule} | ({"subject": flag.subject} if flag.subject is not None else {})
        said = say(_SEEN).format(headline=flag.headline)
        self._save(SEEN.name, details, word.strip(), self._recorder.who, said, seen_line(flag))

    def _choose_nurse(self, initials: str) -> None:
        self.state.nurse = initials
        self.overview.fill_anew()

    def sign(self, is_signed: bool) -> None:
        """Write the visit down, with the nurse's name and initials as they are recorded."""
        picture, initials = self._present.picture, self.state.nurse
        name = dict(signers(picture)).get(initials) if picture is not None else None
        if name is None:
            self.receipt.say(say(_WHO))
            return
        details: Details = {"nurse": name, "until": self.days.signed[-1].isoformat()}
        if is_signed:
            details = {**details, "signed": True}
        said = say(_SIGNED if is_signed else _WRITTEN).format(name=name)
        note = self.state.typed.get(NOTE, "").strip()
        left = self.state.left_typed()
        if left is not None:
            said = say(_NOT_SAVED).format(said=said, question=left.text)
        self._save(VISIT.name, details, note, initials, said, NOTE, folds=SIGN)

    def _save(
        self, kind: str, details: Details, note: str, by: str, said: str, typed: str, folds: str = ""
    ) -> None:
        typed_here = self.state.typed

        def save(logbook: "Logbook") -> Entry:
            return logbook.record(kind, details, by, note=note)

        def saved(entry: Entry) -> None:
            self._slips.note_saved(entry, self.state.asked_words())
            self.state.saved = self._slips.newest
            self.state.fresh = (*self.state.fresh, entry)
            typed_here.pop(typed, None)
            self.state.unfolded -= {folds}
            self._read_anew()
            self._tell(said)
            self.overview.begin(*self._after(kind, typed))

        self._access.act(lambda logbook, _record: save(logbook), saved, self._failed)

    def _after(self, kind: str, typed: str) -> list[str]:
        """Where the keys go on after a save: from answer to answer, from flag to flag, to paper."""
        visit = self.state.visit
        if visit is None or kind == VISIT.name:
            left = self.state.left_typed()
            return ([answer_line(left)] if left is not None else []) + ["visit_print"]
        asked = [answer_line(each) for each in open_questions(visit.questions)]
        told = (each.flag for each in visit.flags or ())
        lines = [*asked, *(seen_line(flag) for flag in told if flag.cleared_at is None)]
        following = lines[lines.index(typed) + 1 :] if kind == SEEN.name and typed in lines else lines
        return [*(each for each in following if each != typed), "visit_sign"]

    def _tell(self, said: str) -> None:
        self.receipt.say(said, can_be_undone=self._can_be_undone())
        self.overview.fill_anew()

    def _read_anew(self) -> None:
        """What was read before something was saved is dropped, even where it comes after it."""
        picture = self._present.picture
        if picture is not None:
            self._asked = None
            self._reader.ask(self.days, self._now(), self._present.flags)

    def take_back(self) -> None:
        """Strike out what was saved here last."""
        if self.state.saved is not None and self._can_be_undone():
            self._slips.acts.undo(self.state.saved)

    def _follow_slip(self) -> None:
        """What was saved here was taken back, on this page or on the board; or couldn't be."""
        slip = self.state.saved
        if slip is None:
            return
        if slip.state is State.UNDONE:
            self.state.saved, self.state.fresh = None, ()
            self._read_anew()
            self._tell(say(_TAKEN_BACK))
        elif slip.trouble:
            self.state.saved = None
            self._failed(slip.trouble)
        elif slip is not self._slips.newest:
            self._drop_receipt()

    # Paper -----------------------------------------------------------------------------------------------

    def print(self) -> None:
        """The week's sheet of the days that would be signed."""
        self._open_sheet(self.days.signed[-1])

    def check(self, typed: str) -> None:
        """Which sheet a code is of, and what has changed since."""
        code, now = read_code(typed), self._now()
        self.state.checked = None
        if code is None:
            self._tell_code(say(NO_CODE))
            return
        self._tell_code(say("Looking …"))
        from carelog.app.visit.code import check_code

        asking = self._newest_code.ask()
        self._access.read(
            lambda record: check_code(record, code, now),
            asking.only(self._on_checked),
            asking.only(lambda _sentence: self._tell_code(say(NO_READING))),
            self._reader.beside(),
        )

    def _on_checked(self, found: CheckedSheet | None) -> None:
        self.state.checked = found
        self._tell_code(say(NO_SHEET) if found is None else checked_words(found))

    def _tell_code(self, words: str) -> None:
        self.state.code_words = words
        self.overview.fill_anew()
        announce(self.overview, words)
