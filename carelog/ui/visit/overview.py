"""The visit at a glance: at the door, what they ask, what is flagged, both periods, the signature."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from carelog.analysis.marks import who
from carelog.analysis.visit.figure import VisitFigure
from carelog.domain.flag import Flag
from carelog.kinds.answer import ANSWER
from carelog.kinds.seen import SEEN
from carelog.kinds.visit import VISIT
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.column import ColumnView, row
from carelog.ui.flags.box import FlagBox
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.stops import reach
from carelog.ui.theme import Size, dress
from carelog.ui.visit.figures import compared_table, door_table, figure_widget
from carelog.ui.visit.signing import Signing
from carelog.ui.visit.state import VisitActs, VisitState, answer_line
from carelog.ui.visit.typing import line_and_button, typed_line
from carelog.ui.visit.words import beside_words, days_words, signed_words
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.visit.questions import AskedQuestion
    from carelog.analysis.visit.visit import FlagTold, Visit

SIGN, OTHER_DAYS, CHECK = "sign", "days", "check"
LENGTHS = ((7, mark("1 week")), (14, mark("2 weeks")), (28, mark("4 weeks")))
_ASKED = mark("{time}, {who}")
_ANSWERED = mark("Answer {time}, {who}: {text}")
_TYPED = mark("Typed by {who}, not saved: {text}")
_FLAGGED = mark("Flagged since {time}.")
_NOT_FLAGGED = mark("Nothing is flagged in what was recorded; last entry {time}.")
_NOT_FLAGGED_AT_ALL = mark("Nothing was recorded, so nothing can be flagged.")
_OVER = mark("{start} to {end}")
_BEING_READ = mark("Saved. It is being read …")


def seen_line(flag: Flag) -> str:
    """The name of the line for a word about a flag."""
    return f"seen_{flag.rule}_{flag.subject or ''}"


def _nothing_flagged(visit: "Visit") -> str:
    """That nothing is flagged says no more than the record does, and that ends with its last entry."""
    if visit.last_entry is None:
        return say(_NOT_FLAGGED_AT_ALL)
    return say(_NOT_FLAGGED).format(time=times.near(visit.home, visit.last_entry, visit.now))


class VisitOverview(ColumnView):
    """Filled anew whenever the state says something else."""

    def __init__(self, present: Present, recorder: Recorder, state: VisitState, acts: VisitActs) -> None:
        super().__init__()
        self._present = present
        self._recorder = recorder
        self._state = state
        self._acts = acts
        self._version = 0

    def key(self) -> object:
        return self._version, self._present.stage

    def fill_anew(self) -> None:
        """The state says something else."""
        self._version += 1
        self.refresh()

    def begin(self, *names: str) -> None:
        """The keys go on at the first of these names that is there."""
        found = (self._body.findChild(QWidget, name) for name in names)
        first = next((each for each in found if each is not None), None)
        if first is not None:
            reach(first, Qt.FocusReason.OtherFocusReason)

    def fill(self) -> None:
        visit = self._state.visit
        self.heading(say("Visit") if visit is None else beside_words(visit))
        if visit is None:
            unread = self._present.unread() if self._present.picture is None else self._state.unread
            self.across(Words(unread, Size.FAR, soft=True))
            return
        self.across(row(*self._first_acts()))
        self._fill_unfolded(visit)
        self.across(Words(say(_BEING_READ) if self._is_fresh(VISIT.name) else signed_words(visit), Size.FAR))
        if visit.since_signed:
            title = say("Changed after it was signed")
            self.across(row(self._shows("visit_changed", title, visit.since_signed)))
        self._fill_door(visit)
        self._fill_questions(visit)
        self._fill_flags(visit)
        self._fill_unlike(visit)
        self._fill_numbers(visit)
        self.across(
            row(self._button(say("Sign these days …"), "visit_sign_end", lambda: self._acts.fold(SIGN)))
        )

    def _is_fresh(self, kind: str, **details: object) -> bool:
        """Whether one that says so was just saved here, and isn't among what was read yet."""
        return any(
            each.kind == kind and details.items() <= each.details.items() for each in self._state.fresh
        )

    def _shows(self, name: str, title: str, entries: Sequence[str]) -> Button:
        """A button that shows what was changed."""
        changed = VisitFigure(say("Show what was changed"), tuple(entries))
        return self._button(changed.words, name, lambda: self._acts.open(title, changed))

    def _button(self, words: str, name: str, pressed: Callable[[], object]) -> Button:
        made = Button(words, name, size=Size.FAR)
        made.clicked.connect(lambda: pressed())
        return made

    def _folder(self, words: str, name: str, part: str) -> ChoiceButton:
        made = ChoiceButton(words, name)
        dress(made, Size.FAR)
        made.show_on(part in self._state.unfolded)
        made.switched.connect(lambda _is_on: self._acts.fold(part))
        return made

    # Above -----------------------------------------------------------------------------------------

    def _first_acts(self) -> list[QWidget]:
        acts = self._acts
        return [
            self._folder(say("Sign these days …"), "visit_sign", SIGN),
            self._button(say("Change the plan …"), "visit_plan", lambda: acts.go("plan")),
            self._button(say("Print …"), "visit_print", acts.print),
            self._folder(say("Other days …"), "visit_days", OTHER_DAYS),
            self._folder(say("Check a sheet …"), "visit_check", CHECK),
        ]

    def _fill_unfolded(self, visit: "Visit") -> None:
        state, picture = self._state, self._present.picture
        if SIGN in state.unfolded and picture is not None:
            self.across(Signing(days_words(visit.days.signed), picture, state, self._acts))
        if OTHER_DAYS in state.unfolded:
            self.across(row(*self._other_days(visit)))
        if CHECK in state.unfolded:
            self.across(self._check())
            if state.code_words:
                self.across(Words(state.code_words, Size.NAME))
            if state.checked is not None and state.checked.changed:
                title = say("Changed since that sheet")
                self.across(row(self._shows("code_changed", title, state.checked.changed)))

    def _other_days(self, visit: "Visit") -> list[QWidget]:
        acts, made = self._acts, list[QWidget]()
        for count, words in LENGTHS:
            button = ChoiceButton(say(words), f"visit_{count}", is_one_of=True)
            dress(button, Size.FAR)
            button.show_on(count == visit.days.count)
            button.switched.connect(lambda _is_on, days=count: acts.length(days))
            made.append(button)
        steps = (
            (say("earlier"), "visit_earlier", lambda: acts.move(-1)),
            (say("later"), "visit_later", lambda: acts.move(1)),
            (say("beside: earlier"), "beside_earlier", lambda: acts.move_beside(-1)),
            (say("beside: later"), "beside_later", lambda: acts.move_beside(1)),
        )
        return [*made, *(self._button(words, name, pressed) for words, name, pressed in steps)]

    def _check(self) -> QWidget:
        line = typed_line("code", say("check code, at the foot of a sheet"), self._state.typed, self._look_up)
        return line_and_button(line, self._button(say("Check it"), "code_check", self._look_up))

    def _look_up(self) -> None:
        self._acts.check(self._state.typed.get("code", ""))

    # The parts ---------------------------------------------------------------------------------------

    def _fill_door(self, visit: "Visit") -> None:
        self.heading(say("At the door"), Size.RECEIPT)
        self.widget(door_table(visit.door, self._acts.open))

    def _fill_questions(self, visit: "Visit") -> None:
        self.heading(say("They ask"), Size.RECEIPT)
        found = sorted(visit.questions, key=lambda each: (not each.is_open, -each.held.time))
        for each in found:
            self._fill_question(visit, each)
        if not any(each.is_open for each in found):
            self.words(say("No question waits for an answer."), Size.FAR)

    def _fill_question(self, visit: "Visit", asked: "AskedQuestion") -> None:
        self.words(asked.text, Size.NAME)
        home, now = visit.home, visit.now
        time, by = times.near(home, asked.held.time, now), who(asked.held.first.by)
        self.words(say(_ASKED).format(time=time, who=by), Size.FAR, soft=True)
        for each in asked.answers:
            time = times.near(home, each.time, now)
            words = say(_ANSWERED).format(time=time, who=who(each.first.by), text=each.entry.note.strip())
            self.words(words, Size.FAR)
        if self._is_fresh(ANSWER.name, question=asked.held.first.id):
            self.words(say(_BEING_READ), Size.FAR)
        elif asked.is_open:
            name = answer_line(asked)
            for by, text in self._state.typed_by_others(name):
                self.words(say(_TYPED).format(who=who(by), text=text), Size.FAR, soft=True)

            def save() -> None:
                self._acts.answer(asked, self._state.typed.get(name, ""))

            label = say("your answer")
            line = typed_line(name, label, self._state.typed, save)
            line.setAccessibleName(say("Your answer to: {question}").format(question=asked.text))
            self.widget(line_and_button(line, self._button(say("Save the answer"), f"save_{name}", save)))

    def _fill_flags(self, visit: "Visit") -> None:
        self.heading(say("Flagged in these days"), Size.RECEIPT)
        if visit.flags is None:
            self.words(say("being worked out …"), Size.FAR, soft=True)
        elif not visit.flags:
            self.words(_nothing_flagged(visit), Size.FAR)
        for number, each in enumerate(visit.flags or ()):
            is_over = each.flag.cleared_at is not None
            self.widget(self._ended(visit, each, number) if is_over else self._flag(visit, each, number))

    def _ended(self, visit: "Visit", told: "FlagTold", number: int) -> QWidget:
        """What was flagged and has ended: in words, which lead to its entries."""
        flag = told.flag
        start, end = times.from_to(visit.home, flag.raised_at, flag.cleared_at or 0, visit.now)
        over = say(_OVER).format(start=start, end=end)
        words = " ".join((f"{flag.level.asks}: {flag.headline} {over}.", *told.done))
        figure = VisitFigure(words, tuple(dict.fromkeys(flag.entries)))
        return figure_widget(f"visit_flag_{number}", say("Ended"), figure, self._acts.open)

    def _flag(self, visit: "Visit", told: "FlagTold", number: int) -> FlagBox:
        flag = told.flag
        box = FlagBox(flag.level)
        box.add_words(flag.headline, Size.NAME)
        since = times.near(visit.home, flag.raised_at, visit.now)
        box.add_words(say(_FLAGGED).format(time=since), Size.FAR)
        for line in told.done:
            box.add_words(line, Size.FAR)
        subject = {} if flag.subject is None else {"subject": flag.subject}
        if self._is_fresh(SEEN.name, rule=flag.rule, **subject):
            box.add_words(say(_BEING_READ), Size.FAR)
        else:
            box.add(self._seen(flag, number))
        if flag.entries:
            behind = VisitFigure(say("Show the entries"), tuple(dict.fromkeys(flag.entries)))
            show = self._button(
                behind.words, f"visit_flag_{number}", lambda: self._acts.open(flag.headline, behind)
            )
            show.setAccessibleName(say("Show the entries: {headline}").format(headline=flag.headline))
            box.add(row(show))
        return box

    def _seen(self, flag: Flag, number: int) -> QWidget:
        name = seen_line(flag)

        def save() -> None:
            self._acts.see(flag, self._state.typed.get(name, ""))

        line = typed_line(name, say("a word about it, if you like"), self._state.typed, save)
        line.setAccessibleName(say("A word about: {headline}").format(headline=flag.headline))
        button = self._button(say("I have seen it"), f"visit_seen_{number}", save)
        button.setAccessibleName(say("I have seen it: {headline}").format(headline=flag.headline))
        return line_and_button(line, button)

    def _fill_unlike(self, visit: "Visit") -> None:
        self.heading(say("Different from the three weeks before"), Size.RECEIPT)
        for each in visit.unlike:
            self.words(each.sentence, Size.FAR)
        if not visit.unlike and not visit.not_compared:
            self.words(say("No difference large enough to print."), Size.FAR)
        if visit.not_compared:
            self.words(visit.not_compared, Size.FAR, soft=True)

    def _fill_numbers(self, visit: "Visit") -> None:
        self.heading(say("These days, and those beside"), Size.RECEIPT)
        heads = days_words(visit.days.here), days_words(visit.days.beside)
        self.widget(compared_table(visit.rows, heads, self._acts.open))
