"""Files that somebody made to lie beside a record, on its stick and in the state folder: they do nothing.

Each is put where the program looks for a file of its own, then the program does all that it does with such
files. Nothing outside changes, and the record is read as without them.
"""

import contextlib
import hashlib
import json
import os
import pickle
import random
import shutil
import signal
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from carelog.app import medium
from carelog.app.backups import Backups
from carelog.app.copying import Medium, copy_round
from carelog.app.drafts import Draft, DraftFile, FormDraft, Unknown
from carelog.app.faults import FaultLog
from carelog.app.installation import installation_id
from carelog.app.lock import Holder, WindowLock
from carelog.app.reckoning import Reckoning
from carelog.app.settings import SettingsFile
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, Instant, Moment
from carelog.domain.trouble import Trouble
from carelog.paths import Places
from carelog.store.backup import back_up, examine, held_up_to
from carelog.store.opening import open_record
from tests.faults.leftovers import cut_off_in, names_another
from tests.store.making import PERSON, START, entry, fresh

COUNT = 60
PATIENCE = 20  # s
Harm = Callable[["Place", random.Random], None]


@dataclass(frozen=True, slots=True)
class Standing:
    """A clock that stands."""

    instant: Instant = START + HOUR

    def now(self) -> Instant:
        return self.instant

    def zone(self) -> str:
        return "UTC"


@dataclass(frozen=True, slots=True)
class Place:
    """A stick with a record, this user's own folders, and files of this user that are nobody's business."""

    folder: Path

    @property
    def record(self) -> Path:
        return self.folder / "stick" / "record.carelog"

    @property
    def stick(self) -> Path:
        return self.folder / "stick"

    @property
    def outside(self) -> Path:
        return self.folder / "outside"

    @property
    def places(self) -> Places:
        return Places(self.folder / "data", self.folder / "config", self.folder / "state")

    @property
    def letter(self) -> Path:
        return self.outside / "letter.txt"

    def own(self) -> Sequence[Path]:
        """Every name under which the program looks for a file of its own, or makes one."""
        places, record = self.places, self.record
        return (
            *(record.with_name(record.name + end) for end in (".flags", ".window", "-wal", "-shm")),
            *(self.stick / name for name in (medium.NAME, medium.FOLDER)),
            *(places.draft(record), places.lock(record), places.config / "draft.json"),
            *(places.settings, places.log, places.installation, places.clock, places.state / "viewer"),
        )


@dataclass(slots=True)
class Outcome:
    """What many such files did."""

    files: int = 0
    effects: list[str] = field(default_factory=list)
    misread: list[str] = field(default_factory=list)
    crashes: list[str] = field(default_factory=list)
    refused: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether none did anything."""
        return not (self.effects or self.misread or self.crashes)


# What lies there -------------------------------------------------------------------------------------------


def link(place: Place, rng: random.Random) -> None:
    """A link to a file, a folder, or to where none is yet."""
    target = rng.choice((place.letter, place.outside, place.outside / "made", place.outside / "r.carelog"))
    put(rng.choice(place.own()), lambda path: path.symlink_to(target))


def noise(place: Place, rng: random.Random) -> None:
    """Anything at all."""
    content = rng.randbytes(rng.choice((0, 1, 7, 100, 5000)))
    put(rng.choice(place.own()), lambda path: path.write_bytes(content))


def pipe(place: Place, rng: random.Random) -> None:
    """A pipe at which nobody writes: whoever reads it waits for ever."""
    put(rng.choice(place.own()), os.mkfifo)


class Payload:
    """What, read by pickle, empties the letter."""

    def __init__(self, letter: Path) -> None:
        self._letter = letter

    def __reduce__(self) -> tuple[object, tuple[str, str]]:
        return open, (str(self._letter), "w")


def code(place: Place, rng: random.Random) -> None:
    """What would run in a reader that trusts it, plain and with dotted names inside allowed modules."""
    letter = str(place.letter)
    contents = (
        pickle.dumps(Payload(place.letter)),
        b"\x80\x04\x8c\x1dcarelog.analysis.flags.frozen\x8c\x09io.FileIO\x93\x8c"
        + bytes([len(letter)])
        + letter.encode()
        + b"\x8c\x01w\x86R.",
        f"import os; os.unlink({letter!r})".encode(),
    )
    first = b"0" * 64 + b"\n" if rng.random() < 0.5 else b""
    put(rng.choice(place.own()), lambda path: path.write_bytes(first + rng.choice(contents)))


def draft(place: Place, rng: random.Random) -> None:
    """A draft with something changed in it, its mark made right again."""
    file = DraftFile(place.places.draft(place.record))
    press = Entry("1", "suction", Moment(START), START, "UTC", "AB", {"route": "oral"})
    file.write(Draft(str(place.record), PERSON.id, (FormDraft("note", {}, "half"),), (press,)), START)
    text = json.loads(next(line for line in file.path.read_bytes().splitlines() if line.strip()))["draft"]
    at = rng.randrange(len(text))
    text = text[:at] + rng.choice(('"', "}", "1", "[", "null", str(place.letter))) + text[at + 1 :]
    slot = {"version": 1, "turn": 5, "mark": hashlib.sha256(text.encode()).hexdigest(), "draft": text}
    file.path.write_bytes(json.dumps(slot).encode())


def lock(place: Place, rng: random.Random) -> None:
    """A lock of whoever, with whatever in it."""
    holder = Holder(rng.choice(("kitchen", "", "\0", "x" * 5000)), rng.choice((0, -1, 1 << 70)), 1)._asdict()
    text = json.dumps(holder)[: rng.randrange(200)]
    put(place.places.lock(place.record), lambda path: path.write_text(text))


def journal(place: Place, rng: random.Random) -> None:
    """A journal of nothing, a link in its place, or one that names another file."""
    path = Path(f"{place.record}-journal")
    kind = rng.randrange(3)
    if kind == 0:
        put(path, lambda it: it.write_bytes(b"\x01" + rng.randbytes(rng.randrange(3000))))
    elif kind == 1:
        put(path, lambda it: it.symlink_to(place.letter))
    else:
        cut_off_in(place.record)
        names_another(path, place.letter)


def copies(place: Place, rng: random.Random) -> None:
    """Copies that are none: links, folders, noise, dated as one likes, some with a journal."""
    folder = place.stick / medium.FOLDER
    folder.mkdir(exist_ok=True)
    name = (
        f"{PERSON.id[:8]}-{rng.choice((1999, 2026, 2030, 9999))}-01-0{rng.randrange(1, 9)}T00-00-00Z.carelog"
    )
    target = folder / name
    kind = rng.randrange(4)
    if kind == 0:
        target.symlink_to(place.outside / "r.carelog")
    elif kind == 1:
        target.write_bytes(rng.randbytes(3000))
    elif kind == 2:
        target.mkdir()
    else:
        shutil.copy(place.record, target)
        names_another_in(target, place.letter)


def names_another_in(file: Path, other: Path) -> None:
    """A journal beside a copy that names another file."""
    path = Path(f"{file}-journal")
    path.write_bytes(bytes.fromhex("d9d505f920a163d7") + bytes(600))
    names_another(path, other)


HARMS: Sequence[Harm] = (link, noise, code, draft, lock, copies, link, pipe, noise, code, journal)


def put(path: Path, make: Callable[[Path], object]) -> None:
    """Put something where nothing is in the way of it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    path.unlink(missing_ok=True)
    make(path)


# What is done with it --------------------------------------------------------------------------------------


def _drafts(place: Place) -> None:
    for path in (place.places.draft(place.record), place.places.config / "draft.json"):
        file = DraftFile(path)
        try:
            file.read()
        except Unknown:
            file.set_aside()
        file.open()
        file.write(Draft(str(place.record), PERSON.id, (FormDraft("note", {}, "new"),)), START)


def _locks(place: Place) -> None:
    window = WindowLock(place.places.lock(place.record))
    window.take(START)
    window.release()


def _copies(place: Place) -> None:
    identity = medium.choose(place.stick)
    clock = Standing()

    def copies_in(folder: Path) -> Backups:
        return Backups(place.record, PERSON, folder, back_up, clock, "aaaaaaaa")

    there = Medium(place.stick, identity, copies_in(medium.copies_on(place.stick)))
    copy_round(copies_in(place.places.backups), there, place.record, held_up_to, is_forced=True)
    for each in there.copies.kept():
        with contextlib.suppress(Trouble):
            examine(each.path)


def _own_files(place: Place) -> None:
    settings = SettingsFile(place.places.settings)
    settings.write(settings.read())
    installation_id(place.places.installation)
    Reckoning(Standing(), place.places.clock).watch()
    FaultLog(place.places.log, Standing()).note(ValueError())


def _viewer(place: Place) -> None:
    from carelog.ui.sheet.viewer import empty

    empty(place.places.state)


ACTS: Sequence[Callable[[Place], None]] = (_drafts, _locks, _copies, _own_files, _viewer)


def many(files: int, seed: int = 20) -> Outcome:
    """So many files, each beside a record of its own."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder) / "base.carelog"
        record = fresh(base)
        record.append([entry(number) for number in range(COUNT)])
        wanted = record.everything()
        record.close()
        for number in range(files):
            harm = HARMS[number % len(HARMS)]
            place = Place(Path(folder) / str(number))
            _lay_out(place, base)
            harm(place, rng)
            before = dict(_outside(place))
            outcome.files += 1
            _judge(place, wanted, f"{harm.__name__} {number}", outcome)
            if dict(_outside(place)) != before:
                outcome.effects.append(f"{harm.__name__} {number}")
            shutil.rmtree(place.folder)
    return outcome


def _lay_out(place: Place, base: Path) -> None:
    place.places.make()
    for folder in (place.stick, place.outside):
        folder.mkdir(parents=True)
    shutil.copy(base, place.record)
    shutil.copy(base, place.outside / "r.carelog")
    place.letter.write_text("Dear nurse")


def _outside(place: Place) -> Iterator[tuple[str, tuple[int, bytes]]]:
    for each in (place.outside, *place.outside.rglob("*")):
        yield str(each), (each.lstat().st_mode, b"" if each.is_dir() else each.read_bytes())


def _judge(place: Place, wanted: Sequence[Entry], name: str, outcome: Outcome) -> None:
    try:
        record = open_record(place.record, installation="here")
        try:
            if record.everything() != wanted or record.check():
                outcome.misread.append(name)
        finally:
            record.close()
    except Trouble:
        outcome.refused += 1
    for act in ACTS:
        try:
            with _patience():
                act(place)
        except (Trouble, OSError):
            outcome.refused += 1
        except Exception as error:
            outcome.crashes.append(f"{name}: {error!r}"[:200])


class _Waited(Exception):
    """Something is waited for that never comes."""


@contextlib.contextmanager
def _patience() -> Iterator[None]:
    def stop(_signal: int, _frame: object) -> None:
        raise _Waited

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(PATIENCE)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


# The control -----------------------------------------------------------------------------------------------


def trusting(files: int, seed: int = 20) -> int:
    """How many of such files have an effect outside where a program opens its files as they come."""
    effects, rng = 0, random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder) / "base.carelog"
        record = fresh(base)
        record.append([entry(number) for number in range(COUNT)])
        record.close()
        for number in range(files):
            place = Place(Path(folder) / str(number))
            _lay_out(place, base)
            HARMS[number % len(HARMS)](place, rng)
            before = dict(_outside(place))
            for path in place.own():
                if path.is_fifo():
                    continue
                with contextlib.suppress(Exception):
                    pickle.loads(path.read_bytes()).close()
                with contextlib.suppress(OSError):
                    path.write_text("mine")
            effects += dict(_outside(place)) != before
            shutil.rmtree(place.folder)
    return effects
