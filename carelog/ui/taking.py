"""Takes up a record that lies elsewhere: a copy, another computer's, one on a stick, the made-up one."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.backups import is_copy
from carelog.domain.moment import Home
from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.door import Door
from carelog.ui.parts import Parts
from carelog.ui.preferences import Preferences
from carelog.ui.slips import Slips

if TYPE_CHECKING:
    from carelog.app.ports import Record
    from carelog.seal.magic import Opener


class Taking:
    """Nobody goes on writing in a copy, nor on a stick unless a person chose that."""

    def __init__(
        self,
        access: Access,
        slips: Slips,
        parts: Parts,
        preferences: Preferences,
        door: Door,
        tell: Callable[[str], None],
    ) -> None:
        """`tell` shows a sentence that stays until somebody has read it."""
        self._access = access
        self._slips = slips
        self._parts = parts
        self._preferences = preferences
        self._door = door
        self._tell = tell
        self.when_looking: list[Callable[[], None]] = []
        """Told before the made-up household is opened."""

    @property
    def own_place(self) -> Path:
        """Where the household's record will lie: where this window was started for, if that is to be had."""
        wanted = self._parts.record_path
        return wanted if wanted.parent.is_dir() else self._parts.places.record

    def begin(self) -> None:
        """A new record, in its own place."""
        self._open(self.own_place, self._parts.make_record)

    def look_round(self) -> None:
        """The made-up household's record; what somebody wrote in an older one is kept, and that is said."""

        def tell(sentence: str) -> None:
            self._access.bridge.call(lambda: self._tell(sentence))

        for listener in self.when_looking:
            listener()
        self._open(self._parts.places.demo, lambda path: self._parts.make_demo(path, tell))

    def may_stay(self, file: Path) -> bool:
        """Whether somebody could choose to go on where a file lies: never in a copy."""
        return not is_copy(file)

    def stay_at(self, record: Path) -> None:
        """Go on with a record where it lies, now and at the next start: a person chose that."""
        if self._open(record, None):
            self._preferences.remember(record=str(record.absolute()))

    def asks_for(self, file: Path) -> "Opener | None":
        """What has to be typed to open a file here; None for nothing; `Trouble` if it can't be read."""
        return self._parts.asks_for(file)

    def look_into(
        self, file: Path, typed: str, then: Callable[[str], None], failed: Callable[[str], None]
    ) -> None:
        """What an encrypted file holds, told before anything is made of it; empty for any other file."""
        self._access.reader.ask(lambda: self._parts.holds(file, typed), then, failed)

    def take_in(self, file: Path, typed: str = "") -> None:
        """Take a copy, another computer's record or its exchange file into the own place."""
        target = self.own_place

        def opener(path: Path) -> "Record":
            record = self._parts.take_up(file, path, typed)
            words = say("“{name}” was taken in. It stays as it is; from now on the record is {file}.")
            sentence = words.format(name=file.name, file=path)
            self._access.bridge.call(lambda: self._tell(sentence))
            return record

        self._open(target, opener)

    def take_over(self, file: Path, typed: str = "") -> None:
        """Set the record that is open aside, which holds no care yet, and take another computer's up."""
        path, stamp = self._access.path, f"{Home('UTC').local(self._parts.clock.now()):%Y-%m-%dT%H-%M-%SZ}"

        def put() -> None:
            aside = self._parts.take_over(file, path, stamp, typed)
            words = say("The record that was here is kept as “{name}”. “{other}” was taken up.")
            sentence = words.format(name=aside.name, other=file.name)
            self._access.bridge.call(lambda: self._tell(sentence))

        self._slips.forget()
        self._access.begin_anew(put)

    def _open(self, path: Path, opener: "Callable[[Path], Record] | None") -> bool:
        trouble = self._door.enter(path)
        if trouble:
            self._tell(trouble)
            return False
        if path == self._parts.places.record:
            self._preferences.remember(record="")
        self._access.open_at(path, opener)
        return True
