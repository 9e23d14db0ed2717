"""What is typed into a question and isn't saved yet: kept within a second, taken up after a crash."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from carelog.app.drafts import OTHER_PERSON, OTHER_VERSION, Draft, DraftFile, FormDraft, Unknown
from carelog.domain.entry import Json
from carelog.domain.trouble import Trouble
from carelog.text import say
from carelog.ui.desk import Desk

SOON = 1000  # ms after the first key since the last writing
SUFFIX = ".basics"


class HalfTyped:
    """One draft file beside that of the forms, by the name of the question."""

    def __init__(self, desk: Desk, tell: Callable[[str], None], owner: QObject) -> None:
        """`tell` shows a sentence that stays until somebody has read it; `owner`: what it ends with."""
        self._desk = desk
        self._tell = tell
        self._path = desk.access.path
        self._file: DraftFile | None = None
        self._typed: dict[str, Json] = {}
        self._soon = QTimer(owner)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self.write)

    def names(self) -> list[str]:
        """The questions with something typed that isn't saved."""
        self._read()
        return list(self._typed)

    def typed(self, name: str) -> Json:
        """What was typed into a question; None: nothing."""
        self._read()
        return self._typed.get(name)

    def put(self, name: str, typed: Json) -> None:
        """This stands in a question now."""
        self._read()
        self._typed[name] = typed
        if not self._soon.isActive():
            self._soon.start()

    def drop(self, name: str) -> None:
        """A question was answered: its entry holds what was typed."""
        self._read()
        if self._typed.pop(name, None) is not None:
            self.write()

    def write(self) -> None:
        """Keep what stands in the questions; nothing: no file."""
        self._soon.stop()
        file = self._file
        if file is None:
            return
        forms = tuple(FormDraft(name, {"typed": typed}) for name, typed in self._typed.items())
        draft = Draft(str(self._path), self._person(), forms)
        try:
            if draft:
                file.write(draft, self._desk.present.now())
            else:
                file.throw_away()
        except Trouble as trouble:
            self._tell(trouble.sentence)

    def _read(self) -> None:
        """Take in what lies in the file, once for each record."""
        desk, path = self._desk, self._desk.access.path
        if self._file is not None and path == self._path:
            return
        self.write()
        self._path, self._typed = path, {}
        self._file = DraftFile(desk.parts.places.draft(path).with_suffix(SUFFIX))
        try:
            found = self._file.read()
        except Unknown:
            self._set_aside(OTHER_VERSION)
            return
        if found is None:
            return
        if found.person not in ("", self._person()):
            self._set_aside(OTHER_PERSON)
            return
        self._typed = {each.kind: each.typed.get("typed") for each in found.forms}

    def _person(self) -> str:
        """Whom it is about; until the first entry a record is of nobody, and begun anew at each start."""
        picture = self._desk.present.picture
        return self._desk.slips.saved_here.person if picture is not None and picture.count else ""

    def _set_aside(self, words: str) -> None:
        assert self._file is not None
        try:
            aside = self._file.set_aside()
        except Trouble as trouble:
            self._tell(trouble.sentence)
            return
        if aside is not None:
            self._tell(say(words).format(file=aside))
