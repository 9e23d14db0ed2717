"""Encrypted copies: of a long record, timed; and spoiled, swapped, or opened by a wrong key or code."""

import random
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

from carelog.domain.trouble import Refused, Trouble
from carelog.seal import code, keys
from carelog.seal.envelope import CHUNK, TAG, Household, Means, open_header
from carelog.store.backup import restore
from carelog.store.sealed import seal_copy, unsealed
from tests.bench.measurement import built
from tests.faults.copies import Timing
from tests.store.making import entry, fresh

CODE, OTHER_CODE = code.make(bytes(26)), code.make(bytes(range(26)))
HOUSE = Household(bytes(16), bytes(32), keys.of_code(CODE))
OTHER = Household(b"o" * 16, b"o" * 32, keys.of_code(OTHER_CODE))
BY_CODE, BY_KEY = Means(code_keys=(HOUSE.code_key,)), Means((HOUSE,))
Back = Callable[[Path, Path, Means], int]


def back_by(copy: Path, back: Path, means: Means) -> int:
    """Come back from an encrypted copy."""
    with unsealed(copy, means) as found:
        return restore(found.path, back)


def timed(entries: int) -> Timing:
    """Make an encrypted copy of a long record, read back, and come back from it by the code alone."""
    with tempfile.TemporaryDirectory() as folder:
        path, copy, back = (Path(folder) / name for name in ("r.carelog", "c.sealed", "b.carelog"))
        built(path, entries).close()
        start = time.perf_counter()
        count = seal_copy(path, copy, HOUSE)
        middle = time.perf_counter()
        typed = keys.of_code(code.read(code.grouped(CODE)))
        assert back_by(copy, back, Means(code_keys=(typed,))) == count == entries
        return Timing(count, middle - start, time.perf_counter() - middle)


@dataclass(slots=True)
class Spoiled:
    """What many spoiled envelopes did."""

    copies: int = 0
    refused: int = 0
    taken: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    unnamed: set[str] = field(default_factory=set)

    @property
    def is_clean(self) -> bool:
        """Whether none was taken or left anything, and each was refused in its own words."""
        return self.refused == self.copies and not (self.taken or self.left or self.unnamed)


WRITTEN, END, ORDER, MORE = "as it was written", "end of “", "wrong order", "was added to the end"
FOREIGN, WRONG = "another household's", "typed without a mistake, but"


def harmed(sound: bytes, rng: random.Random) -> tuple[str, bytes, Means, tuple[str, ...]]:
    """One way to spoil an envelope: its name, the bytes, what opens it, and the words that may be said."""
    head = int.from_bytes(sound[10:12], "big")
    step = CHUNK + TAG
    pieces = [sound[at : at + step] for at in range(head, len(sound), step)]
    one, two = rng.sample(range(len(pieces) - 1), 2)
    way = rng.choice(
        ("flip", "flip", "cut", "cut", "swap", "repeat", "out", "append", "key", "code", "newer")
    )
    means = rng.choice((BY_CODE, BY_KEY))
    if way == "flip":
        place = rng.randrange(8, len(sound))
        changed = sound[:place] + bytes((sound[place] ^ 1 << rng.randrange(8),)) + sound[place + 1 :]
        return way, changed, means, (WRITTEN, END)
    if way == "cut":
        return way, sound[: rng.randrange(8, len(sound))], means, (END,)
    if way == "swap":
        pieces[one], pieces[two] = pieces[two], pieces[one]
        return way, sound[:head] + b"".join(pieces), means, (ORDER,)
    if way == "repeat":
        pieces[one] = pieces[two]
        return way, sound[:head] + b"".join(pieces), means, (ORDER,)
    if way == "out":
        del pieces[one]
        return way, sound[:head] + b"".join(pieces), means, (ORDER, END)
    if way == "append":
        return way, sound + rng.randbytes(rng.randrange(1, 5000)), means, (MORE,)
    if way == "key":
        return way, sound, Means((OTHER,)), (FOREIGN,)
    if way == "code":
        return way, sound, Means(code_keys=(OTHER.code_key,)), (WRONG,)
    return way, sound[:8] + b"\x02" + sound[9:], means, (WRITTEN,)


def spoiled(copies: int, way_back: Back = back_by, seed: int = 22) -> Spoiled:
    """Spoil so many encrypted copies, each in its own way, and try to come back from each."""
    outcome, rng = Spoiled(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        path, copy, back = (Path(folder) / name for name in ("r.carelog", "c.sealed", "b.carelog"))
        record = fresh(path)
        record.append([entry(n, note="settled " + "n" * 4000) for n in range(80)])
        record.close()
        seal_copy(path, copy, HOUSE)
        sound = copy.read_bytes()
        for number in range(copies):
            way, content, means, words = harmed(sound, rng)
            copy.write_bytes(content)
            outcome.copies += 1
            try:
                way_back(copy, back, means)
                outcome.taken.append(f"{way} {number}")
            except Trouble as error:
                outcome.refused += 1
                if not any(each in error.sentence for each in words):
                    outcome.unnamed.add(f"{way}: {error.sentence}")
                if back.exists():
                    outcome.left.append(f"{way} {number}")
            for each in Path(folder).glob("b.carelog*"):
                each.unlink()
    return outcome


def unchecked(copy: Path, back: Path, means: Means) -> int:
    """The control: decrypted without asking whether anything is as it was written."""
    with copy.open("rb") as source:
        opened = open_header(source, copy.name, means)
        with back.open("wb") as target:
            number, rest = 0, source.read()
            while rest:
                piece, rest = rest[: CHUNK + TAG][:-TAG], rest[CHUNK + TAG :]
                counter = number.to_bytes(11, "big") + bytes((not rest,)) + (2).to_bytes(4, "big")
                target.write(Cipher(algorithms.AES(opened.key), modes.CTR(counter)).decryptor().update(piece))
                number += 1
    return 0


def slips(codes: int, seed: int = 22) -> tuple[int, int]:
    """Type so many codes with one letter wrong: how many were found, and how many with their group."""
    rng, found, named = random.Random(seed), 0, 0
    for _ in range(codes):
        made = code.make(rng.randbytes(26))
        place = rng.randrange(30)
        letter = rng.choice([each for each in code.LETTERS if each != made[place]])
        try:
            code.read(made[:place] + letter + made[place + 1 :])
        except Refused as refused:
            found += 1
            named += f"in group {place // 5 + 1}." in refused.sentence
    return found, named
