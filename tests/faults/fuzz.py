"""Broken and hostile exchange files: refused in words, or taken and sound; never half taken."""

import json
import random
import shutil
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from carelog.domain.trouble import Refused
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from tests.exchange.making import FOUR_WEEKS
from tests.faults.memory import most_memory
from tests.store.making import fresh

Lines = list[bytes]
Break = Callable[[Lines, random.Random], None]

ODD: Sequence[Any] = (
    *(None, True, 0, -1, 2**53, 2**63, 10**308, 1e-400, 0.1, -0.0, "", " ", "\x00", "\ud800", "é", "e\u0301"),
    *("\u202e\u2066", "🙂", "x" * 5000, [], [[]], {}, {"": {}}, {"a": [None]}, "2026-02-30", "24:00"),
    *("00000000-0000-0000-0000-000000000000", "2026-11-22T03:10:00+00:00", ["08:00", "25:00"], "NaN"),
)


def flip(lines: Lines, rng: random.Random) -> None:
    """Some bytes of a line."""
    number = rng.randrange(len(lines))
    line = bytearray(lines[number])
    for _ in range(rng.randrange(1, 6)):
        line[rng.randrange(len(line))] = rng.randrange(256)
    lines[number] = bytes(line)


def shorten(lines: Lines, rng: random.Random) -> None:
    """The file ends in the middle."""
    del lines[rng.randrange(1, len(lines)) :]
    lines[-1] = lines[-1][: rng.randrange(len(lines[-1]))]


def mix(lines: Lines, rng: random.Random) -> None:
    """Lines in another order, some twice, some gone, some empty."""
    rest = rng.choices(lines[1:], k=len(lines))
    rest.insert(
        rng.randrange(len(rest)), rng.choice((b"\n", b"\r\n", b" \t\n", b"\xef\xbb\xbf\n", b"\x00\n"))
    )
    lines[1:] = rest


def value(lines: Lines, rng: random.Random) -> None:
    """Another value somewhere in some lines, anything at all."""
    for _ in range(rng.randrange(1, 4)):
        number = rng.randrange(len(lines))
        try:
            found = json.loads(lines[number])
        except ValueError:
            continue
        _put(found, rng)
        lines[number] = json.dumps(found).encode() + b"\n"


def _put(found: Any, rng: random.Random) -> None:
    while isinstance(found, dict) and found:
        name = rng.choice(list(found))
        if isinstance(found[name], dict) and found[name] and rng.random() < 0.7:
            found = found[name]
            continue
        fate = rng.random()
        if fate < 0.15:
            del found[name]
        elif fate < 0.3:
            found[str(rng.choice(ODD))] = rng.choice(ODD)
        else:
            found[name] = rng.choice(ODD)
        return


def text(lines: Lines, rng: random.Random) -> None:
    """Pieces of JSON in the wrong places."""
    pieces = (
        b"{",
        b"}",
        b"[" * 40,
        b'"',
        b"\\",
        b"\\ud800",
        b"NaN",
        b"-Infinity",
        b"1e999",
        b"9" * 5000,
        b",",
    )
    number = rng.randrange(len(lines))
    at = rng.randrange(len(lines[number]))
    lines[number] = lines[number][:at] + rng.choice(pieces) + lines[number][at:]


def twice(lines: Lines, rng: random.Random) -> None:
    """A name twice, deep in a line."""
    number = rng.randrange(len(lines))
    lines[number] = lines[number].replace(b": {", b': {"amount": "small", ', 1)


def change(lines: Lines, rng: random.Random) -> None:
    """Changes of one another, in rings and across kinds."""
    ids = [json.loads(line)["id"] for line in lines[1:]]
    for _ in range(rng.randrange(1, 5)):
        number = rng.randrange(1, len(lines))
        found = json.loads(lines[number]) | {"amends": rng.choice(ids)}
        if rng.random() < 0.3:
            found |= {"withdrawn": True, "details": {}, "reason": "x"}
        lines[number] = json.dumps(found).encode() + b"\n"


BREAKS: Sequence[Break] = (flip, shorten, mix, value, value, value, text, twice, change, lambda *_: None)


@dataclass(slots=True)
class Outcome:
    """What many files did."""

    files: int = 0
    refused: int = 0
    taken: int = 0
    crashes: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    unsound: list[str] = field(default_factory=list)
    slowest: float = 0.0
    megabytes: int = 0
    sentences: set[str] = field(default_factory=set)

    @property
    def is_clean(self) -> bool:
        """Whether nothing crashed, nothing was half taken, and what was taken is sound."""
        return not (self.crashes or self.changed or self.unsound)


def many(files: int, seed: int = 20, merge: Callable[[Lines, StoredRecord], object] | None = None) -> Outcome:
    """So many files, each broken in its own way; every second meets a record that is there."""
    outcome, rng = Outcome(), random.Random(seed)
    source = FOUR_WEEKS.read_bytes().splitlines(keepends=True)
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder) / "base.carelog"
        record = fresh(base)
        StoredExchange().merge(source[:30], record)
        record.close()
        for number in range(files):
            start = rng.randrange(1, len(source) - 20)
            lines = [source[0], *source[start : start + rng.randrange(1, 20)]]
            for each in rng.choices(BREAKS, k=rng.randrange(1, 3)):
                try:
                    each(lines, rng)
                except (ValueError, KeyError, IndexError, TypeError):
                    break  # broken before: that is enough
            path = Path(folder) / "record.carelog"
            if number % 2:
                shutil.copyfile(base, path)
            _one(lines, path, outcome, f"{number}", merge or StoredExchange().merge)
            for end in ("", "-journal"):
                Path(f"{path}{end}").unlink(missing_ok=True)
    outcome.megabytes = most_memory()
    return outcome


def _one(
    lines: Lines, path: Path, outcome: Outcome, where: str, merge: Callable[[Lines, StoredRecord], object]
) -> None:
    outcome.files += 1
    before = path.read_bytes() if path.exists() else None
    record = fresh(path)
    start = time.perf_counter()
    try:
        merge(lines, record)
    except Refused as error:
        outcome.refused += 1
        outcome.sentences.add(error.sentence)
        if (path.read_bytes() if path.exists() else None) != before:
            outcome.changed.append(where)
        if not error.sentence.startswith("Line ") or not error.sentence.isprintable():
            outcome.crashes.append(f"{where}: {error.sentence!r}")
    except Exception as error:
        outcome.crashes.append(f"{where}: {error!r}")
    else:
        outcome.taken += 1
        _check(record, path, outcome, where)
    outcome.slowest = max(outcome.slowest, time.perf_counter() - start)
    record.close()


def _check(record: StoredRecord, path: Path, outcome: Outcome, where: str) -> None:
    """What was taken is sound, and goes out and in again without a difference."""
    lines = list(StoredExchange().write(record, record.everything(), 0))
    other = fresh(path.with_name("other.carelog"))
    StoredExchange().merge(lines, other)
    again = list(StoredExchange().write(other, other.everything(), 0))
    if record.check() or again[1:] != lines[1:] or StoredExchange().merge(lines, record).added:
        outcome.unsound.append(where)
    other.close()
    for end in ("", "-journal"):
        path.with_name(f"other.carelog{end}").unlink(missing_ok=True)


def line_by_line(lines: Lines, record: StoredRecord) -> None:
    """The control: an import that adds each line as it comes."""
    for line in lines[1:]:
        StoredExchange().merge([lines[0], line], record)
