"""Random damage to a record file: never a crash, every changed entry reported, nothing written any more."""

import random
import sqlite3
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from carelog.domain.entry import Entry
from carelog.domain.trouble import Trouble
from carelog.store import soundness
from carelog.store.backup import examine, lacking, restore
from carelog.store.record import StoredRecord
from tests.store.making import change, entry, fresh, opened

PAGE = 4096

Harm = Callable[[bytearray, random.Random], None]


def flip(content: bytearray, rng: random.Random) -> None:
    """One bit."""
    content[rng.randrange(len(content))] ^= 1 << rng.randrange(8)


def scatter(content: bytearray, rng: random.Random) -> None:
    """Some bytes here and there."""
    for _ in range(rng.randrange(2, 40)):
        content[rng.randrange(len(content))] = rng.randrange(256)


def sector(content: bytearray, rng: random.Random) -> None:
    """A sector of nothing, or of anything."""
    start = rng.randrange(len(content) // 512) * 512
    content[start : start + 512] = bytes(512) if rng.random() < 0.5 else rng.randbytes(512)


def page(content: bytearray, rng: random.Random) -> None:
    """A page with the content of another one."""
    pages = len(content) // PAGE
    one, other = (rng.randrange(pages) * PAGE for _ in range(2))
    content[one : one + PAGE] = content[other : other + PAGE]


def cut(content: bytearray, rng: random.Random) -> None:
    """The end is missing."""
    del content[rng.randrange(len(content)) :]


def letter(content: bytearray, rng: random.Random) -> None:
    """One letter of what somebody wrote: the file is in order, what it says is another thing."""
    places = [n for n in range(len(content) - 8) if content[n : n + 8] == b"settled "]
    content[rng.choice(places) + rng.randrange(7)] ^= 1


HARMS: Sequence[Harm] = (flip, scatter, sector, page, cut, letter)


@dataclass(slots=True)
class Outcome:
    """What many damages did."""

    damages: int = 0
    changed: int = 0
    reported: int = 0
    harmless: int = 0
    crashes: list[str] = field(default_factory=list)
    unreported: list[str] = field(default_factory=list)
    written: list[str] = field(default_factory=list)
    not_restored: list[str] = field(default_factory=list)

    @property
    def is_clean(self) -> bool:
        """Whether every damage was seen and none was made worse."""
        return not (self.crashes or self.unreported or self.written or self.not_restored)


def many(damages: int, check: Callable[[StoredRecord], bool] | None = None, seed: int = 20) -> Outcome:
    """So many damages; `check` says whether a record is sound (the store's own check, if not given)."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        base, copy = Path(folder) / "base.carelog", Path(folder) / "copy.carelog"
        record = fresh(base)
        for number in range(60):
            record.append([entry(number, note="settled " + "n" * rng.randrange(1500), details={"n": number})])
        record.append([change(100, 7, note="settled again")])
        whole = record.everything()
        record.close()
        restore(base, copy)
        for number in range(damages):
            path = Path(folder) / f"{number}.carelog"
            content = bytearray(base.read_bytes())
            harm = rng.choice(HARMS)
            harm(content, rng)
            path.write_bytes(content)
            where = f"{harm.__name__} {number}"
            try:
                _one(path, copy, whole, outcome, where, check or _is_sound)
            except Exception as error:
                outcome.crashes.append(f"{where}: {error!r}")
            path.unlink(missing_ok=True)
    return outcome


def _is_sound(record: StoredRecord) -> bool:
    return record.check() == []


def only_the_structure(record: StoredRecord) -> bool:
    """The control: a check without our own hashes."""
    return record.read(lambda connection: soundness.quick(connection)) == []


def _one(
    path: Path,
    copy: Path,
    whole: list[Entry],
    outcome: Outcome,
    where: str,
    is_sound: Callable[[StoredRecord], bool],
) -> None:
    outcome.damages += 1
    before = path.read_bytes()
    is_changed = _plainly(path) != [each.note for each in whole]
    outcome.changed += is_changed
    try:
        record = opened(path)
    except Trouble:
        outcome.reported += 1
    else:
        sound = is_sound(record)
        outcome.reported += not sound
        if sound:
            outcome.harmless += 1
            if _read(record) != whole:
                outcome.unreported.append(where)
        else:
            _is_left(record, where, outcome)
        record.close()
        if not sound and path.read_bytes() != before:
            outcome.written.append(where)
    _comes_back(path, copy, whole, where, outcome)


def _plainly(path: Path) -> list[str] | None:
    """What a plain reader finds in the notes, or None."""
    connection = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        return [row[0] for row in connection.execute("SELECT note FROM entry ORDER BY recorded_at, id")]
    except (sqlite3.Error, UnicodeDecodeError):
        return None
    finally:
        connection.close()


def _read(record: StoredRecord) -> list[Entry] | None:
    try:
        return record.everything()
    except Trouble:
        return None


def _is_left(record: StoredRecord, where: str, outcome: Outcome) -> None:
    """Once the damage is known, nothing is written."""
    try:
        record.append([entry(500)])
    except Trouble as error:
        if "damaged" not in error.sentence:
            outcome.written.append(f"{where}: {error.sentence}")
    else:
        outcome.written.append(where)


def _comes_back(path: Path, copy: Path, whole: list[Entry], where: str, outcome: Outcome) -> None:
    """A copy says what it holds and what it would lack, and a record is made from it."""
    back = path.with_name("back.carelog")
    try:
        missing = lacking(path, copy)
    except Trouble:
        missing = 0
    found = examine(copy)
    restore(copy, back)
    record = opened(back)
    if missing or found.damage or found.count != len(whole) or record.everything() != whole:
        outcome.not_restored.append(f"{where}: {missing}, {found.count}, {found.damage}")
    record.close()
    back.unlink()
