"""What the window is given by the composition root: ports and functions, never the store or the sheets."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from carelog.domain.trouble import Refused

if TYPE_CHECKING:
    from carelog.app.drill import Tried
    from carelog.app.ports import Clock, Exchange, Ids, Record, Sheets
    from carelog.app.reckoning import Doubt, Reckoning
    from carelog.domain.entry import Entry
    from carelog.domain.giving import GiveRequest
    from carelog.domain.moment import Instant
    from carelog.domain.paper import IsCancelled, Progress
    from carelog.paths import Places
    from carelog.seal.keyring import Keyring
    from carelog.seal.magic import Opener


Give = Callable[
    ["GiveRequest", "Record", Path, "Instant", "Progress | None", "IsCancelled | None"],
    int,
]
"""What is asked for, of which record, into which file, at which moment; told how far, and whether to stop."""


def _no_media() -> Sequence[Path]:
    return ()


def _asks_nothing(_file: Path) -> "Opener | None":
    return None


def _nothing_taken(_file: Path, path: Path, _typed: str) -> "Record":
    raise Refused(str(path))


def _as_it_is(file: Path, _typed: str) -> AbstractContextManager[Path]:
    return nullcontext(file)


def _nothing_taken_over(_file: Path, path: Path, _stamp: str, _typed: str) -> Path:
    raise Refused(str(path))


def _nothing_held(_path: Path, _now: "Instant") -> "Instant":
    return 0


def _all_good(_copy: Path) -> bool:
    return True


def _nobody_met(_record: "Record", _root: Path, _is_sealed: bool) -> Sequence[str]:
    return ()


def _nothing_opened(_copy: Path, _code: str) -> str:
    return ""


def _no_installation() -> str:
    return ""


def _no_warning(_path: Path) -> str:
    return ""


class Parts(NamedTuple):
    """The real parts of a running window; each callable imports what it needs at its first call."""

    record_path: Path
    places: "Places"
    clock: "Clock"
    ids: "Ids"
    open_record: "Callable[[Path], Record]"
    """Opens an existing record; `Trouble` in plain words for a missing, foreign, damaged or newer one."""
    make_record: "Callable[[Path], Record]"
    """Makes an empty record, after the person said so; never over an existing file."""
    make_demo: "Callable[[Path, Callable[[str], None]], Record]"
    """Makes the made-up household's record, or opens it."""
    exchange: "Callable[[], Exchange]"
    sheets: "Callable[[], Sheets]"
    give: "Give"
    """Writes the record, or the entries of a period, in a form that others can read."""
    back_up: Callable[[Path, Path], object] | None = None
    """Makes a verified copy of a record; None: this window makes no copies."""
    keyring: "Callable[[], Keyring] | None" = None
    """This household's keys, for what leaves the house; None: this window encrypts nothing."""
    tried: "Callable[[Path, Path], Tried] | None" = None
    """What coming back from the copy at the first path would bring, and lose of the record at the second."""
    is_good: Callable[[Path], bool] = _all_good
    """Whether a copy can be opened and all of it is as it was written."""
    opened_by: Callable[[Path, str], str] = _nothing_opened
    """What an encrypted copy holds, opened by this code alone, in one sentence; `Trouble` if it doesn't."""
    asks_for: "Callable[[Path], Opener | None]" = _asks_nothing
    """What has to be typed to open a file here; None for one that isn't encrypted, or opens by itself."""
    holds: Callable[[Path, str], str] = _nothing_opened
    """What a file that is encrypted holds, opened by what is here or typed; empty for any other file."""
    take_up: "Callable[[Path, Path, str], Record]" = _nothing_taken
    """Makes a record at the second path from the copy, record or exchange file at the first, and opens it.

    An encrypted one is opened by this computer's keys or by what was typed, if it asks for that.
    """
    given_file: Callable[[Path, str], AbstractContextManager[Path]] = _as_it_is
    """A file that somebody gave, out of its envelope for as long as it is read; opened by what was typed."""
    meet: "Callable[[Record, Path, bool], Sequence[str]]" = _nobody_met
    """Reads what other computers left on a stick and leaves all of a record there, encrypted or not."""
    take_over: Callable[[Path, Path, str, str], Path] = _nothing_taken_over
    """As `take_up`, in place of a record, which is set aside with a stamp that tells when; its new name."""
    held_up_to: "Callable[[Path, Instant], Instant]" = _nothing_held
    """Up to when what a copy holds was recorded; 0: it holds nothing."""
    installation: Callable[[], str] = _no_installation
    """This installation's id."""
    restore: Callable[[Path, Path], int] | None = None
    """Brings a record back from a copy; None: this window makes no restore drill."""
    newest_backup: "Callable[[Path], tuple[Instant, Record] | None] | None" = None
    """The newest good copy of a record that can't be read, opened for reading, and when it was made."""
    is_damaged: Callable[[Path], bool] | None = None
    """Whether a record that can't be opened is damaged, and not another kind of file."""
    lacking: Callable[[Path, Path], int] | None = None
    """How many entries that can still be read in a damaged record aren't in a copy."""
    set_aside: Callable[[Path, str], Path] | None = None
    """Renames a damaged record, with a stamp that tells when, and returns its new name."""
    place_warning: Callable[[Path], str] = _no_warning
    """The sentence for a place where a record isn't safe; empty for any other."""
    reckoning: "Reckoning | None" = None
    """The clock, where it can be told to be wrong; None: it is taken as it is."""
    begins_tour: bool = False
    """Whether the made-up household is shown round from the start."""
    media: Callable[[], Sequence[Path]] = _no_media
    """Where this system shows sticks and disks."""

    def doubt(self) -> "Doubt | None":
        """Why this computer's clock isn't believed; None where nothing speaks against it."""
        return self.reckoning.doubt() if self.reckoning is not None else None

    def witness(self, entries: "Sequence[Entry]") -> None:
        """Entries were saved here: they say how far the time has come."""
        if self.reckoning is not None:
            self.reckoning.witness(entries)
