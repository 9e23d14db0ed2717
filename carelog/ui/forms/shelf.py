"""The half-filled forms of the window: opened, gone on with, saved, thrown away."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from carelog.app.drafts import FormDraft
from carelog.domain.entry import Details, Entry
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.text import say
from carelog.ui import times
from carelog.ui.band import Band
from carelog.ui.desk import Desk
from carelog.ui.forms.keeper import Keeper, held_of, restore
from carelog.ui.slip import Slip

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.ui.forms.page import Form


class FormShelf(QWidget):
    """The page that shows one form; the others wait as they are."""

    def __init__(self, desk: Desk, go: Callable[[str], None], tell: Callable[[str], None]) -> None:
        """`tell` shows a sentence that stays until somebody has read it."""
        super().__init__()
        self.setObjectName("form")
        self._desk = desk
        self._access, self._present, self._slips = desk.access, desk.present, desk.slips
        self._tell = tell
        self._go = go
        self.back_to = "board"
        self.explain: Callable[[str], None] = lambda _kind: None
        """Open the help's page about a kind."""
        self.band = Band("draft_band")
        self._go_on = self.band.add_button(say("Go on"), "draft_go_on", self.go_on)
        self._back = self.band.add_button(say("Bring it back"), "draft_bring_back", self.bring_thrown_back)
        self._thrown: tuple[str, Form] | None = None
        self.keeper = Keeper(
            desk.access, desk.present, desk.slips, desk.parts.places, self._say_trouble, tell, self
        )
        self._stack = QStackedWidget()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)

    # Opening --------------------------------------------------------------------------------------

    def open(self, kind: str, held: "Held | None" = None, given: Details | None = None) -> "Form":
        """Show the form of a kind, or of the change of an entry; a half-filled one as it was left."""
        key = held.entry.id if held else kind
        form = self.keeper.form(key)
        if form is not None and given and form not in self.keeper.touched():
            self._put_away(key, form)
            form = None
        if form is None:
            form = self._make(key, kind, held, given)
        self._stack.setCurrentWidget(form)
        self._go("form")
        form.reach_number()
        self.refresh()
        return form

    def _make(self, key: str, kind: str, held: "Held | None", given: Details | None) -> "Form":
        form = form_for(self._desk, kind, lambda entry: self._saved(key, entry), held, given)
        form.away.clicked.connect(lambda: self._throw_away(key, form))
        form.about.clicked.connect(lambda: self.explain(kind))
        self.keeper.opened(key, form)
        self._stack.addWidget(form)
        return form

    def _saved(self, key: str, entry: Entry) -> None:
        self._slips.note_saved(entry)
        if entry.kind == RECORDER.name and not self._desk.recorder.who:
            self._desk.recorder.choose(str(entry.details.get("initials", "")))
        form = self.keeper.form(key)
        if form is not None:
            self._close(key, form)

    def _throw_away(self, key: str, form: "Form") -> None:
        """Until the next form is thrown away, or the window closes, it can be brought back as it was."""
        if form in self.keeper.touched():
            self._forget_thrown()
            self._thrown = (key, form)
        else:
            form.deleteLater()
        self.keeper.closed(key)
        self._stack.removeWidget(form)
        form.hide()
        self._leave()

    def bring_thrown_back(self) -> None:
        """What was thrown away last stands in its form again."""
        if self._thrown is None:
            return
        (key, form), self._thrown = self._thrown, None
        now = self.keeper.form(key)
        if now is not None:
            self._put_away(key, now)
        self.keeper.opened(key, form)
        self._stack.addWidget(form)
        self._stack.setCurrentWidget(form)
        form.changed()
        self._go("form")
        self.refresh()

    def _forget_thrown(self) -> None:
        if self._thrown is not None:
            self._thrown[1].deleteLater()
            self._thrown = None

    def _put_away(self, key: str, form: "Form") -> None:
        self.keeper.closed(key)
        self._stack.removeWidget(form)
        form.deleteLater()

    def _close(self, key: str, form: "Form") -> None:
        self._put_away(key, form)
        self._leave()

    def _leave(self) -> None:
        self._go(self.back_to)
        self.back_to = "board"
        self.refresh()

    # What waits -----------------------------------------------------------------------------------

    def go_on(self) -> None:
        """Back to the form that something was typed into."""
        waiting = self.keeper.touched()
        if waiting:
            self._stack.setCurrentWidget(waiting[-1])
            self._go("form")

    def refresh(self) -> None:
        """Say which forms wait half-filled."""
        waiting = self.keeper.touched()
        is_here = self.isVisible()
        names = ", ".join(say(form.kind.title) for form in waiting)
        parts = (
            [say("Half-filled, not saved: {names}").format(names=names)] if waiting and not is_here else []
        )
        if self._thrown is not None:
            title = say(self._thrown[1].kind.title)
            parts.append(say("Thrown away: {name}.").format(name=title))
        self._go_on.setVisible(bool(waiting) and not is_here)
        self._back.setVisible(self._thrown is not None)
        self.band.say(" ".join(parts))

    def left(self) -> None:
        """Another page was opened: keep what was typed."""
        self.keeper.write()
        self.refresh()

    def bring_back(self) -> None:
        """After the record is open: forms and presses that an earlier window left behind."""
        kept = self.keeper.take_up()
        if kept is None:
            return
        when = times.near(self._present.home(), kept.written_at, self._present.now())
        if kept.presses:
            words = say(
                "Pressed by {when}, not saved then: {names}. It goes into the record now, as pressed."
            )
            names = ", ".join(self._named(each) for each in kept.presses)
            self._tell(words.format(when=when, names=names))
            self._slips.press_kept([Slip(each) for each in kept.presses])
        for each in kept.forms:
            self._bring(each)
        if kept.forms:
            names = ", ".join(say(named_or_unknown(each.kind).title) for each in kept.forms)
            self._go_on.show()
            self._back.hide()
            self.band.say(say("Half-filled, not saved, from {when}: {names}").format(when=when, names=names))

    def _named(self, entry: Entry) -> str:
        when = times.near(self._present.home(), entry.at.instant, self._present.now())
        return f"{say(named_or_unknown(entry.kind).title)} {when}"

    def _bring(self, each: FormDraft) -> None:
        def show(held: "Held | None") -> None:
            key = held.entry.id if held else each.kind
            form = self.keeper.form(key) or self._make(key, each.kind, held, None)
            if not restore(form, each):
                self.keeper.keep_aside(each)
            self.keeper.brought(each)

        if each.amends:
            self._access.read(
                lambda record: held_of(each, record.chain([each.amends])), show, lambda _sentence: None
            )
        else:
            show(None)

    def _say_trouble(self, sentence: str) -> None:
        from carelog.ui.forms.page import Form

        form = self._stack.currentWidget()
        if isinstance(form, Form):
            form.say(sentence)


def form_for(
    desk: Desk,
    name: str,
    done: Callable[[Entry], None],
    held: "Held | None" = None,
    given: Details | None = None,
) -> "Form":
    """The form of a kind by its name."""
    kind = named_or_unknown(name)
    if name == PLAN.name:
        from carelog.ui.plan.form import PlanForm

        return PlanForm(desk.access, desk.present, desk.recorder, kind, held, given or None, done=done)
    from carelog.ui.forms.page import Form

    return Form(desk.access, desk.present, desk.recorder, kind, held, given, done=done)
