"""Keeps half-filled forms and presses that aren't saved yet: in one file, within a second of the last key."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from carelog.app.drafts import OTHER_PERSON, OTHER_VERSION, Draft, DraftFile, FormDraft, Unknown, of_moved
from carelog.domain.entry import Entry
from carelog.domain.trouble import Trouble
from carelog.paths import Places
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.present import Present
from carelog.ui.slips import Slips

if TYPE_CHECKING:
    from carelog.analysis.in_force import Held
    from carelog.ui.forms.page import Form

SOON = 1000  # ms after the first key since the last writing


class Keeper:
    """The draft file of the record, and the forms and presses that it holds.

    What an earlier window left in it is written along until `take_up`: nothing that wasn't saved or thrown
    away by a person is removed, whatever becomes of the record.
    """

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        places: Places,
        say: Callable[[str], None],
        tell: Callable[[str], None],
        owner: QObject,
    ) -> None:
        """`say` shows a sentence when even the draft can't be written, `tell` what was set aside.

        `owner`: what it ends with.
        """
        self._access = access
        self._present = present
        self._slips = slips
        self._places = places
        self._say = say
        self._tell = tell
        self._path = access.path
        self._file = DraftFile(places.draft(access.path))
        self._has_read = False
        self._earlier: Draft | None = None
        self._forms: dict[str, Form] = {}
        self._touched: set[str] = set()
        self._soon = QTimer(owner)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self.write)
        self._waiting: list[str] = []
        present.when_changed.append(self._on_slips)

    # Forms ----------------------------------------------------------------------------------------

    def opened(self, key: str, form: "Form") -> None:
        """A form was opened: reserve its room on the disk, and listen."""
        self._forms[key] = form
        form.when_changed.append(lambda: self._on_change(key))
        self._read()
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

    def _on_slips(self) -> None:
        """A press that isn't saved within a second is kept as well, and no longer once it is saved."""
        waiting = [slip.first.id for slip in self._slips.unsaved]
        if waiting != self._waiting and not self._soon.isActive():
            self._soon.start()

    # The file -------------------------------------------------------------------------------------

    def write(self) -> None:
        """Keep what stands in the forms and what isn't saved yet; nothing of either: no file."""
        self._soon.stop()
        self._read()
        slips = self._slips.unsaved
        self._waiting = [slip.first.id for slip in slips]
        earlier = self._earlier or Draft("")
        draft = Draft(
            str(self._access.path),
            self._slips.saved_here.person or earlier.person,
            (*earlier.forms, *map(_form, self.touched())),
            (*earlier.presses, *(slip.first for slip in slips if slip.first not in earlier.presses)),
        )
        if draft:
            self._try(lambda: self._file.write(draft, self._present.now()))
        elif not self._forms:
            self._try(self._file.throw_away)

    def take_up(self) -> Draft | None:
        """What an earlier window left behind for the record that is open; its presses are the window's now.

        Each form stays in the file as it is until `brought` says that it is on the screen.
        """
        self._read()
        person = self._slips.saved_here.person
        if self._earlier and self._earlier.person not in ("", person):
            self._set_aside(OTHER_PERSON)
        if self._earlier is None:
            self._read_moved(person)
        found = self._earlier
        self._earlier = replace(found, presses=()) if found else None
        return found

    def brought(self, kept: FormDraft) -> None:
        """A form of an earlier window is on the screen: from now on it is kept as it stands there."""
        if self._earlier is not None:
            self._earlier = replace(
                self._earlier, forms=tuple(each for each in self._earlier.forms if each is not kept)
            )

    def _read(self) -> None:
        """Take in what lies in the file, once; another file when another record is open now."""
        if self._path != self._access.path:
            earlier = self._earlier
            if self._has_read and earlier is None:
                self._try(self._file.throw_away)  # what was in it is this window's, and goes with it
            elif earlier is not None:
                self._try(lambda: self._file.write(earlier, earlier.written_at))
            self._path, self._has_read, self._earlier = self._access.path, False, None
            self._file = DraftFile(self._places.draft(self._path))
        if self._has_read:
            return
        self._has_read = True
        self._set_aside(OTHER_VERSION, DraftFile(self._places.config / "draft.json"))
        try:
            self._earlier = self._file.read()
        except Unknown:
            self._set_aside(OTHER_VERSION)

    def _read_moved(self, person: str) -> None:
        file = of_moved(self._file.path.parent, person)
        found = file.read() if file else None
        if file is None or found is None:
            return
        try:
            self._file.write(found, found.written_at)
            file.throw_away()
        except Trouble as trouble:
            self._say(trouble.sentence)
        self._earlier = found

    def _set_aside(self, words: str, file: DraftFile | None = None) -> None:
        def job() -> None:
            aside = (file or self._file).set_aside()
            if aside is not None:
                self._tell(say(words).format(file=aside))

        self._try(job)
        self._earlier = None if file is None else self._earlier

    def keep_aside(self, kept: FormDraft) -> None:
        """A form has fields that aren't known here: what was typed stays in a file of its own."""
        other = DraftFile(self._file.path.with_suffix(".form.json"))
        draft = Draft(str(self._path), self._slips.saved_here.person, (kept,))
        self._try(lambda: other.write(draft, self._present.now()))
        self._set_aside(OTHER_VERSION, other)

    def _try(self, job: Callable[[], None]) -> None:
        try:
            job()
        except Trouble as trouble:
            self._say(trouble.sentence)


def restore(form: "Form", kept: FormDraft) -> bool:
    """Put a kept form's content back; False when something of it has no place in the form."""
    form.tried = kept.tried
    try:
        form.restore(kept.typed, kept.note, kept.reason)
        return set(kept.typed.get("fields", {})) <= form.controls.keys()
    except (TypeError, ValueError, KeyError, AttributeError, IndexError):
        return False


def held_of(kept: FormDraft, chain: Sequence[Entry]) -> "Held | None":
    """The entry in force that a kept form changes."""
    from carelog.analysis.in_force import Reading

    return Reading(chain).get(kept.amends) if kept.amends else None


def _form(form: "Form") -> FormDraft:
    note, reason = form.texts()
    amends = form.held.entry.id if form.held else ""
    return FormDraft(form.kind.name, form.typed(), note, reason, amends, form.tried)
