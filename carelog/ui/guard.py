"""Looks after the record's file: whether it is sound, still in its place, and in a place that is safe."""

from pathlib import Path
from typing import TYPE_CHECKING

from carelog.domain.moment import Home, Instant
from carelog.domain.trouble import Refused, Trouble
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import NOT_THERE, Access, Stage
from carelog.ui.band import Band
from carelog.ui.newest import Newest
from carelog.ui.parts import Parts
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.app.ports import Record
    from carelog.ui.button import Button

DATABASE = b"SQLite format 3\0"
Copy = tuple[Instant, Path, int | None]
"""When a copy was made, where it lies, how many readable entries it lacks (None: nobody can tell)."""


class Guard:
    """Checks once flags and dues are on screen, and when anything can't be read; offers the newest copy."""

    def __init__(self, access: Access, present: Present, parts: Parts, fault: Band) -> None:
        self._access = access
        self._present = present
        self._parts = parts
        self._fault = fault
        self.band = Band("file_band")
        self._buttons: dict[str, Button] = {}
        self._copy: Path | None = None
        self._trouble = ""
        self._told: list[str] = []
        self._has_looked = False
        self._is_damaged = False
        self._files = Newest()
        self._file = self._files.ask()
        """What is found out of a file is said of that file alone, not of the one that took its place."""
        present.when_changed.append(self._on_change)
        access.when_unreadable.append(self._on_unreadable)
        access.when_let_go.append(self._on_let_go)

    # An open record -------------------------------------------------------------------------------

    def _on_let_go(self) -> None:
        self._file = self._files.ask()

    def _on_change(self) -> None:
        if self._present.stage is not Stage.OPEN or self._is_damaged:
            return
        if self._present.flags is not None and not self._has_looked:
            self._has_looked = True
            self._look()
        if self._present.trouble != self._trouble:
            self._trouble = self._present.trouble
            self.band.say(self._trouble)
            self._offer("open_anew" if self._trouble else "")
            if self._trouble:
                self._look()

    def tell(self, sentence: str) -> None:
        """Say this too, in the band that stays until it is hidden."""
        if sentence not in self._told:
            self._told.append(sentence)
        self._fault.say(" ".join(self._told))

    def hide(self) -> None:
        """What was told was read."""
        self._told.clear()
        self._fault.say("")

    def _look(self) -> None:
        only = self._file.only
        self._access.read(self._seen, only(self._on_seen), only(self._look_later), self._access.patient)

    def _look_later(self, _sentence: str) -> None:
        """The file couldn't be asked, perhaps since something was being saved: with the next change."""
        self._has_looked = False

    def _seen(self, record: "Record") -> tuple[bool, str]:
        """In the patient thread: whether the file is damaged, and the warning about its place."""
        return bool(record.quick_check()), self._parts.place_warning(self._access.path)

    def _on_seen(self, seen: tuple[bool, str]) -> None:
        is_damaged, warning = seen
        if warning:
            self.tell(warning)
        if is_damaged and not self._is_damaged:
            self._offer_copy()

    def _offer_copy(self) -> None:
        """Say that the file is damaged, and look for the newest copy."""
        self._is_damaged = True
        self._offer("")
        self.band.say(self._damaged())
        self._access.reader.ask(self._found_copy, self._file.only(self._on_copy), lambda _sentence: None)

    def _damaged(self) -> str:
        words = say("“{name}” is damaged: nothing is written to it any more; what is pressed stays here.")
        return words.format(name=self._access.path.name)

    # A record that couldn't be opened ----------------------------------------------------------------

    def _on_unreadable(self) -> None:
        from carelog.ui.emergency.fallback import newest_picture

        access, present = self._access, self._present
        access.reader.ask(
            lambda: newest_picture(self._parts, access.path, present.now()),
            self._on_backup,
            lambda _sentence: None,
        )
        on_damage = self._file.only(self._on_damage)
        access.reader.ask(self._seen_unreadable, on_damage, lambda _sentence: None)

    def _on_backup(self, found: "tuple[Instant, Picture] | None") -> None:
        if found is not None:
            self._present.show_backup(found)

    def _seen_unreadable(self) -> bool:
        is_damaged, path = self._parts.is_damaged, self._access.path
        if is_damaged is None:
            return False
        try:
            return is_damaged(path)
        except Refused:  # no record at all: a copy may take its place only where the household's record lies
            return path == self._parts.places.record and _is_nobodys(path)

    def _on_damage(self, is_damaged: bool) -> None:
        if is_damaged:
            self._offer_copy()

    # The newest good copy ---------------------------------------------------------------------------

    def _found_copy(self) -> Copy | None:
        """In the reader's thread: the newest good copy, and what it lacks."""
        parts, path = self._parts, self._access.path
        found = parts.newest_backup(path) if parts.newest_backup is not None else None
        if found is None:
            return None
        made, record = found
        copy = record.path
        record.close()
        try:
            lacks = parts.lacking(path, copy) if parts.lacking is not None else None
        except Trouble:
            lacks = None
        return made, copy, lacks

    def _on_copy(self, found: Copy | None) -> None:
        if found is None:
            self.band.say(f"{self._damaged()} {say('No good copy of it was found on this computer.')}")
            return
        made, self._copy, lacks = found
        if lacks is None:
            words = say("The newest good copy holds all up to {when}; what it lacks can't be told.")
        else:
            words = say(
                "The newest good copy holds all up to {when}; readable entries that it lacks: {count}."
            )
        when = times.near(self._present.home(), made, self._present.now())
        self.band.say(f"{self._damaged()} {words.format(when=when, count=lacks)}")
        if self._parts.set_aside is not None and self._parts.restore is not None:
            self._offer("take_copy")

    def _take_copy(self) -> None:
        copy = self._copy
        if copy is None:
            return
        self._start_over()
        self._access.begin_anew(lambda: self._put(copy))

    def _put(self, copy: Path) -> None:
        """In the writer's thread: the damaged file beside, under another name; the copy in its place."""
        parts, path = self._parts, self._access.path
        assert parts.set_aside is not None
        assert parts.restore is not None
        aside = parts.set_aside(path, f"{Home('UTC').local(self._present.now()):%Y-%m-%dT%H-%M-%SZ}")
        words = say("The copy took the place of the damaged file, which is kept as “{name}”.")
        sentence = words.format(name=aside.name)
        self._access.bridge.call(lambda: self.tell(sentence))
        parts.restore(copy, path)

    # A record that isn't in its place any more --------------------------------------------------------

    def _open_anew(self) -> None:
        if self._access.path.exists():
            self._start_over()
            self._access.begin_anew(lambda: None)
        else:
            self.band.say(say(NOT_THERE).format(name=self._access.path.name))

    def _start_over(self) -> None:
        self._has_looked = self._is_damaged = False
        self._trouble, self._copy = "", None
        self.band.say("")
        self._offer("")

    def _offer(self, name: str) -> None:
        """Show the button of this name and no other; each is made when it is first needed."""
        if name and name not in self._buttons:
            words, pressed = {
                "take_copy": (say("Set it aside, go on with the copy"), self._take_copy),
                "open_anew": (say("Open the record again"), self._open_anew),
            }[name]
            self._buttons[name] = self.band.add_button(words, name, pressed)
        for each, button in self._buttons.items():
            button.setVisible(each == name)


def _is_nobodys(path: Path) -> bool:
    """Whether it is a file that isn't another program's database, nor a newer version's."""
    if not path.is_file():
        return False
    with path.open("rb") as stream:
        return stream.read(len(DATABASE)) != DATABASE
