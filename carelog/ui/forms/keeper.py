"""Keeps half-filled forms and presses that aren't saved yet: in one file, within a second of the last key."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QTimer

from carelog.app.drafts import Draft, DraftFile
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import Instant, Moment
from carelog.domain.trouble import Trouble
from carelog.ui.desk import Desk
from carelog.ui.slip import Slip

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.ui.forms.page import Form

SOON = 1000  # ms after the first key since the last writing


class Keeper:
    """The draft file, and the forms whose content it holds."""

    def __init__(self, desk: Desk, say: Callable[[str], None]) -> None:
        """`say` shows a sentence when even the draft can't be written."""
        self._desk = desk
        self._say = say
        self._file = DraftFile(desk.parts.places.draft)
        self._forms: dict[str, Form] = {}
        self._touched: set[str] = set()
        self._soon = QTimer()
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self.write)
        self._waiting: list[str] = []
        desk.when_changed.append(self._on_desk)

    # Forms ----------------------------------------------------------------------------------------

    def opened(self, key: str, form: "Form") -> None:
        """A form was opened: reserve its room on the disk, and listen."""
        self._forms[key] = form
        form.when_changed.append(lambda: self._on_change(key))
        self._try(self._file.open)

    def form(self, key: str) -> "Form | None":
        """The half-filled form that is open under this key."""
        return self._forms.get(key)

    def touched(self) -> "list[Form]":
        """The forms into which something was typed."""
        return [form for key, form in self._forms.items() if key in self._touched]

    def closed(self, key: str) -> None:
        """A form was saved or thrown away."""
        self._forms.pop(key, None)
        self._touched.discard(key)
        self.write()

    def _on_change(self, key: str) -> None:
        self._touched.add(key)
        if not self._soon.isActive():
            self._soon.start()

    def _on_desk(self) -> None:
        """A press that isn't saved within a second is kept as well, and no longer once it is saved."""
        waiting = [slip.first.id for slip in self._desk.slips if slip.is_unsaved]
        if waiting != self._waiting and not self._soon.isActive():
            self._soon.start()

    # The file -------------------------------------------------------------------------------------

    def write(self) -> None:
        """Keep what stands in the forms and what isn't saved yet; nothing of either: no file."""
        self._soon.stop()
        slips = [slip for slip in self._desk.slips if slip.is_unsaved]
        self._waiting = [slip.first.id for slip in slips]
        forms = self.touched()
        if not forms and not slips:
            if not self._forms:
                self._try(self._file.throw_away)
            return
        draft = Draft(
            str(self._desk.path), [_form(form) for form in forms], [_entry(slip.first) for slip in slips]
        )
        self._try(lambda: self._file.write(draft, self._desk.now()))

    def kept(self) -> "Kept | None":
        """What the last start left behind for this record."""
        draft = self._file.read()
        if draft is None or draft.record != str(self._desk.path):
            return None
        return Kept(draft.written_at, draft.forms, draft.presses)

    def _try(self, job: Callable[[], None]) -> None:
        try:
            job()
        except Trouble as trouble:
            self._say(trouble.sentence)


class Kept:
    """What a draft file held: forms, and presses that were never saved."""

    def __init__(
        self, written_at: Instant, forms: Sequence[Mapping[str, Any]], presses: Sequence[Mapping[str, Any]]
    ) -> None:
        self.written_at = written_at
        self.forms = forms
        self.presses = [_of_entry(each) for each in presses]

    def kinds(self) -> list[str]:
        """The kinds of the forms."""
        return [str(form["kind"]) for form in self.forms]


def restore(form: "Form", kept: Mapping[str, Any]) -> None:
    """Put a kept form's content back."""
    form.restore(kept["typed"], kept["note"], kept["reason"])
    if kept["tried"] is not None:
        form.tried = _of_entry(kept["tried"])


def waiting_slips(kept: Kept) -> list[Slip]:
    """The presses that were never saved, to be saved as they were."""
    return [Slip(entry) for entry in kept.presses]


def held_of(kept: Mapping[str, Any], chain: Sequence[Entry]) -> "Held | None":
    """The entry in force that a kept form changes."""
    from carelog.analysis.in_force import Reading

    return Reading(chain).get(str(kept["amends"])) if kept["amends"] else None


def _form(form: "Form") -> dict[str, Json]:
    note, reason = form.texts()
    return {
        "kind": form.kind.name,
        "typed": form.typed(),
        "note": note,
        "reason": reason,
        "amends": form.held.entry.id if form.held else "",
        "tried": _entry(form.tried) if form.tried else None,
    }


def _entry(entry: Entry) -> dict[str, Json]:
    return asdict(entry)


def _of_entry(kept: Mapping[str, Any]) -> Entry:
    return Entry(**{**kept, "at": Moment(**kept["at"])})
