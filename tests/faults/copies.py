"""Copies of a long record, timed; and copies that were spoiled, of which none becomes a record."""

import random
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up, restore
from tests.bench.measurement import built
from tests.faults.damage import Harm, cut, flip, page, scatter, sector
from tests.store.making import entry, fresh, opened

Restore = Callable[[Path, Path], int]


@dataclass(slots=True)
class Timing:
    """Seconds that a copy and the way back took, and how many entries they held."""

    entries: int
    copy: float
    back: float


def timed(entries: int) -> Timing:
    """Copy a long record and come back from the copy."""
    with tempfile.TemporaryDirectory() as folder:
        path, copy, back = (Path(folder) / f"{name}.carelog" for name in ("record", "copy", "back"))
        built(path, entries).close()
        start = time.perf_counter()
        count = back_up(path, copy)
        middle = time.perf_counter()
        assert restore(copy, back) == count == entries
        return Timing(count, middle - start, time.perf_counter() - middle)


@dataclass(slots=True)
class Outcome:
    """What many spoiled copies did."""

    copies: int = 0
    refused: int = 0
    harmless: int = 0
    taken: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    unnamed: set[str] = field(default_factory=set)

    @property
    def is_clean(self) -> bool:
        """Whether no spoiled copy became a record, and each refusal said what is wrong."""
        return not (self.taken or self.left or self.unnamed)


def empty(content: bytearray, _rng: random.Random) -> None:
    """Nothing is left."""
    content.clear()


def foreign(content: bytearray, rng: random.Random) -> None:
    """Another file altogether."""
    content[:] = rng.choice((b"PK\x03\x04", b"a letter\n", rng.randbytes(4000)))


def newer(content: bytearray, _rng: random.Random) -> None:
    """From a later version."""
    content[60:64] = (99).to_bytes(4, "big")


HARMS: Sequence[Harm] = (flip, scatter, sector, page, cut, cut, empty, foreign, newer)
WORDS = ("damaged", "empty", "not a carelog record", "newer carelog")


def spoiled(copies: int, way_back: Restore = restore, seed: int = 20) -> Outcome:
    """Spoil so many copies, each in its own way, and try to come back from each."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        path, copy, back = (Path(folder) / f"{name}.carelog" for name in ("record", "copy", "back"))
        record = fresh(path)
        record.append([entry(n, note="settled " + "n" * (n * 37 % 900)) for n in range(80)])
        whole = record.everything()
        record.close()
        back_up(path, copy)
        sound = copy.read_bytes()
        for number in range(copies):
            content, harm = bytearray(sound), rng.choice(HARMS)
            while bytes(content) == sound:
                harm(content, rng)
            copy.write_bytes(content)
            _one(copy, back, whole, f"{harm.__name__} {number}", way_back, outcome)
    return outcome


def _one(
    copy: Path, back: Path, whole: Sequence[object], where: str, way_back: Restore, outcome: Outcome
) -> None:
    outcome.copies += 1
    try:
        way_back(copy, back)
    except Trouble as error:
        outcome.refused += 1
        if not any(words in error.sentence for words in WORDS):
            outcome.unnamed.add(error.sentence)
        if back.exists():
            outcome.left.append(where)
            back.unlink()
        return
    record = opened(back)
    try:
        # A bit that nobody reads, in free space: what comes back is whole and sound.
        is_harmless = record.check() == [] and record.everything() == whole
    except Trouble:
        is_harmless = False
    outcome.harmless += is_harmless
    if not is_harmless:
        outcome.taken.append(where)
    record.close()
    back.unlink()
    Path(f"{back}-journal").unlink(missing_ok=True)


def by_plain_copy(copy: Path, back: Path) -> int:
    """The control: a copy that is taken as it is."""
    back.write_bytes(copy.read_bytes())
    opened(back).close()
    return 0
