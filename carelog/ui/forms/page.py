"""A form: its controls, when, by whom, a note; what was typed is never lost."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from carelog.domain.entry import PAPER, Details, Entry, Json
from carelog.domain.field import Group, Problem, Reference, Text
from carelog.domain.kind import Kind
from carelog.domain.moment import Moment
from carelog.domain.trouble import Refused
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button, Main
from carelog.ui.forms.box import FIELDS, ItemsControl
from carelog.ui.forms.build import Builder
from carelog.ui.forms.closing import closing_line
from carelog.ui.forms.control import ABSENT, Control
from carelog.ui.forms.gauge import GaugeLine, unit_field
from carelog.ui.forms.labels import NOTE, label
from carelog.ui.forms.lines import WordsControl
from carelog.ui.forms.moment import WhenControl
from carelog.ui.forms.nested import ReferenceControl
from carelog.ui.forms.picks import YES_NO, Picks
from carelog.ui.forms.questions import questions
from carelog.ui.forms.references import offer_references
from carelog.ui.forms.rows import FormRows
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.ringed import Scrolled
from carelog.ui.stops import reach
from carelog.ui.theme import LARGE, STEP, Size, percent_now
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held

WHY = mark("Why it is changed (needed)")


class Form(QWidget):
    """A new entry of a kind, or the change of one (`held`)."""

    def __init__(
        self,
        access: Access,
        present: Present,
        recorder: Recorder,
        kind: Kind,
        held: "Held | None" = None,
        given: Details | None = None,
        *,
        done: Callable[[Entry], None],
    ) -> None:
        """`given`: details to begin with, for a new entry; `done` is called once it is saved."""
        super().__init__()
        self.setObjectName(f"form_{kind.name}")
        self.kind = kind
        self.held = held
        self.when_changed: list[Callable[[], None]] = []
        self.tried: Entry | None = None
        self._access, self._present, self._recorder = access, present, recorder
        self._done = done
        self._confirmed: list[str] = []
        self._is_saving = False
        self._refused: QWidget = self
        self._kept = dict(held.entry.details if held else given or {})
        home = present.home()
        self.when = WhenControl(home, present.now(), held.entry.at if held else None)
        self.controls = self.made_controls()
        self._note_label = say(kind.note_words or NOTE)
        self._note = WordsControl("note", self._note_label, Text(long=True))
        self._reason = WordsControl("reason_text", say("Why it is changed"), Text())
        self._reason.focus().setObjectName("reason")
        self._paper = Picks("paper", say("Typed in from a filled sheet"), YES_NO)
        self._gauge: GaugeLine | None = None
        self._message = Words("", Size.STRONG)
        self.save_button = Main(say("Save"), "save", size=Size.NAME)
        self._lay_out()
        self._put(self._kept, held.entry.note if held else "")
        self._listen()
        self._begin_gauge()

    # Building -------------------------------------------------------------------------------------

    def made_controls(self) -> dict[str, Control]:
        """One control a field, by its name."""
        home = self._present.home()
        return Builder(self.kind, home, home.day(self._present.now())).controls()

    def _lay_out(self) -> None:
        body = QWidget()
        self._rows = FormRows(body)
        title = say(self.kind.title)
        heading = say("Change: {title}").format(title=title) if self.held else title
        self._rows.add_wide(Words(heading, Size.HEAD))
        if self.kind.needs_note:
            self._rows.add(self._note_label, self._note)
        if "items" in self.controls:
            self._rows.add_wide(self.controls["items"])
        at = self.held.time if self.held else None
        for field in self.kind.fields:
            control = self.controls.get(field.name)
            if control is not None and control.parentWidget() is None:
                words = label(field)
                if field.required:
                    words = say("{field} (needed)").format(field=words)
                self._rows.add(words, control, say(field.help))
                if field.required and unit_field(self.kind) and self._gauge is None:
                    self._gauge = GaugeLine(self._access, self._present, self.kind, self.controls, at)
                    self._rows.add(say("Unit and limits"), self._gauge)
        if not self.kind.needs_note:
            self._rows.add(self._note_label, self._note)
        if self.kind.has_time:
            self._rows.add(say("When"), self.when)
            if self.held is None:
                self._rows.add(say("From a filled sheet?"), self._paper)
        self._rows.add(say(WHY), self._reason, say("Not where something is only added."))
        self.show_reason(self.held is not None and not self._is_slip(self.held))
        closing = closing_line(self.kind, self._present.picture)
        if closing:
            self._rows.add_wide(Words(closing))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(Scrolled(body, say(self.kind.title)), 1)
        row = QHBoxLayout()
        layout.addLayout(row)
        self._fill_foot(row)

    def make_acts(self) -> None:
        """The buttons of what can be done with it."""
        self.save_button.clicked.connect(self.save)
        self.about = Button(say("About this"), "form_about")
        title = say(self.kind.title)
        self.about.setAccessibleName(say("About this: {title}").format(title=title))
        self.away = Button(say("Throw away"), "throw_away")

    def _fill_foot(self, row: QHBoxLayout) -> None:
        self.make_acts()
        row.setContentsMargins(2 * STEP, 0, 2 * STEP, 0)
        row.addWidget(self.save_button)
        row.addWidget(self._message, 1)
        row.addWidget(self.about)
        row.addWidget(self.away)

    def _listen(self) -> None:
        for control in (*self.controls.values(), self._note, self._reason, self._paper):
            control.when_changed.append(self.changed)
        for field in self.kind.fields:
            reference = self.controls.get(field.name)
            if isinstance(reference, ReferenceControl) and isinstance(field.type, Reference):
                offer_references(self._access, self._present, field.type.kind, reference)

    def _begin_gauge(self) -> None:
        if self._gauge is None:
            return
        self._gauge.refresh()
        for number in self._gauge.numbers:
            number.line.returnPressed.connect(self.save)
        if self.held is None:
            self._gauge.offer()

    def reach_number(self) -> None:
        """Typing goes on in the number that a gauge shows; other forms start at their top."""
        if self._gauge is not None:
            reach(self._gauge.numbers[0].line, Qt.FocusReason.OtherFocusReason)

    def _put(self, details: Mapping[str, Json], note: str) -> None:
        for name, control in self.controls.items():
            if isinstance(control, ItemsControl):
                control.put_details(details)
            else:
                control.put(details.get(name, ABSENT))
        self._note.put(note or ABSENT)

    def changed(self) -> None:
        """Something in it is to be kept."""
        self._confirmed = []
        for listener in self.when_changed:
            listener()

    # What stands in it ----------------------------------------------------------------------------

    def details(self) -> dict[str, Json]:
        """What was typed and chosen, with the fields this version doesn't know as they were.

        `Refused` with the field's words for what isn't a value of it.
        """
        shown = {*self.controls, *(FIELDS if "items" in self.controls else ())}
        found = {name: value for name, value in self._kept.items() if name not in shown}
        for name, control in self.controls.items():
            try:
                value = control.value()
            except Refused as refused:
                self._refused = control.focus()
                raise Refused(f"{self._label(name)}: {refused.sentence}") from refused
            if isinstance(control, ItemsControl):
                found.update(value if isinstance(value, dict) else {})
            elif value is not ABSENT:
                found[name] = value
        return found

    def note(self) -> str:
        """The note as typed; one that wasn't touched as it was recorded, letter for letter."""
        note = self._note.value()
        return note if isinstance(note, str) else ""

    def reason(self) -> str:
        """Why it is changed."""
        return self._reason.typed().strip()

    def _label(self, name: str) -> str:
        field = self.kind.field(name)
        return label(field) if field else self._note_label

    # Saving ---------------------------------------------------------------------------------------

    def save(self) -> None:
        """Check and save; whatever goes wrong, the form stays as it is and says so."""
        if self._is_saving:
            return
        self._refused = self.when.focus()
        try:
            details = self.details()
            moment = self.when.moment(self._present.now())
        except Refused as refused:
            self._refuse(refused.sentence, self._refused)
            return
        if self._is_refused(details):
            return
        odd = self.odd(details, moment)
        if odd and odd != self._confirmed:
            self._confirmed = odd
            self._refuse(" ".join(odd), self.save_button)
            return
        if self.held is not None and self._is_as_it_was(self.held, details, moment):
            self._refuse(say("Nothing is changed yet."), self.save_button)
            return
        self._is_saving = True
        self.say(say("Saving …"))
        if self.held is not None:
            self._save_change(self.held, details, moment)
        else:
            self._save_new(details, moment)

    def odd(self, details: Mapping[str, Json], moment: Moment) -> list[str]:
        """What is asked about once before it is saved."""
        return questions(self.kind, details, moment, self._present.now())

    def _problem(self, found: Problem) -> str:
        """What is wrong with a field; in a group it is one part of it that is."""
        each = self.kind.field(found.field)
        colon = ":" if each is not None and isinstance(each.type, Group) else ""
        return f"{self._label(found.field)}{colon} {found.words}"

    def _is_refused(self, details: dict[str, Json]) -> bool:
        if self.kind.needs_note and not self.note().strip():
            self._refuse(say("{field} is missing.").format(field=self._note_label), self._note.focus())
            return True
        problems = self.kind.problems(details)
        if problems:
            control = self.controls.get(problems[0].field)
            words = " ".join(f"{self._problem(each)}." for each in problems)
            self._refuse(words, control.focus() if control is not None else self.save_button)
        return bool(problems)

    def _save_new(self, details: dict[str, Json], moment: Moment) -> None:
        home, tried = self._present.home(), self.tried
        entry = self._recorder.draft(self.kind.name, details, self.note())
        entry = replace(entry, at=moment, zone=home.name)
        if self._paper.read() is True:
            entry = replace(entry, source=PAPER)
        if tried is not None:
            entry = replace(entry, id=tried.id, recorded_at=tried.recorded_at)
        self.tried = entry
        self._access.act(lambda logbook, _record: logbook.save(entry, tried), self._on_saved, self._on_failed)

    def _is_as_it_was(self, held: "Held", details: dict[str, Json], moment: Moment) -> bool:
        """Whether nothing was changed; one of several versions may be kept as it is."""
        entry = held.entry
        was = entry.details, entry.at, entry.note
        return was == (details, moment, self.note()) and len(held.rivals) <= 1

    def _save_change(self, held: "Held", details: dict[str, Json], moment: Moment) -> None:
        note, reason, by = self.note(), self.reason(), self._recorder.who
        self._access.act(
            lambda logbook, _record: logbook.amend(held, details, moment, note, reason, by),
            self._on_saved,
            self._on_failed,
        )

    def _on_saved(self, entry: Entry) -> None:
        self.tried = None
        self._done(entry)

    def show_reason(self, is_shown: bool) -> None:
        """Ask why it is changed, or don't."""
        self._rows.show_row(self._reason, is_shown)

    def _is_slip(self, held: "Held") -> bool:
        """Whether whoever wrote it changes it within ten minutes, on a day that no nurse has signed.

        Then nobody is asked why.
        """
        from carelog.analysis.in_force import SAME_ACT

        picture, written, by = self._present.picture, held.entry.recorded_at, held.entry.by
        if picture is not None and picture.signed.covering(held.entry.at.instant) is not None:
            return False
        return 0 <= self._present.now() - written < SAME_ACT and bool(by) and by == self._recorder.who

    def _on_failed(self, sentence: str) -> None:
        self._is_saving = False
        self.show_reason(self.held is not None)
        is_unsaid = self.held is not None and not self.reason()
        self._refuse(sentence, self._reason.focus() if is_unsaid else self.save_button)
        self.changed()

    def _refuse(self, sentence: str, where: QWidget) -> None:
        """Say why it isn't saved, and go to where it can be put right."""
        self.say(sentence)
        announce(self._message, sentence)
        reach(where, Qt.FocusReason.OtherFocusReason)

    def say(self, sentence: str) -> None:
        """Say something beside the save button; in large letters it needs the room."""
        self._message.say(sentence)
        self.about.setHidden(bool(sentence) and percent_now() >= LARGE)

    # Drafts ---------------------------------------------------------------------------------------

    def typed(self) -> dict[str, Json]:
        """All that was typed, valid or not."""
        return {
            "fields": {name: control.typed() for name, control in self.controls.items()},
            "when": self.when.typed(),
            "paper": self._paper.typed(),
        }

    def texts(self) -> tuple[str, str]:
        """The note and the reason as typed."""
        return self._note.typed(), self._reason.typed()

    def restore(self, typed: Mapping[str, Json], note: str, reason: str) -> None:
        """Put back what a draft kept."""
        for name, kept in typed.get("fields", {}).items():
            if name in self.controls:
                self.controls[name].restore(kept)
        if "when" in typed:
            self.when.restore(typed["when"])
        if "paper" in typed:
            self._paper.restore(typed["paper"])
        self._note.restore(note)
        self._reason.restore(reason)
