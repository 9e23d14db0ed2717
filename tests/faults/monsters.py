"""Import files that are made to stop a program: huge, deep, endless, all of one kind of trouble."""

import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from carelog.domain.trouble import Refused
from carelog.store.exchange import StoredExchange
from tests.exchange.making import HEADING, raw
from tests.faults.memory import most_memory
from tests.store.making import fresh, id_of

AT = '"at": "2026-11-22T03:10Z"'
MIB = 1024 * 1024


def _lines(line: Callable[[int], str], count: int) -> Iterator[bytes]:
    return (f"{line(number)}\n".encode() for number in range(count))


def _change(number: int, of: int) -> str:
    return f'{{"kind": "note", {AT}, "id": "{id_of(number)}", "amends": "{id_of(of)}"}}'


def _note(number: int) -> str:
    return f'{{"kind": "note", {AT}, "note": "{number}{"x" * (4 * MIB - 100)}"}}'


def _long(inner: str) -> str:
    return f'{{"kind": "x", {AT}, "details": {inner}}}'


def monsters(part: float = 1.0) -> dict[str, Iterator[bytes]]:
    """Each monster's lines; `part` makes the numerous ones smaller."""
    many, wide = int(100_000 * part), int(300_000 * part)
    return {
        "one line of 256 MiB": (b"x" * MIB for _ in range(256)),
        "nothing but line ends": (b"\n" * MIB for _ in range(max(1, int(20 * part)))),
        "nothing but zeros": (bytes(MIB) for _ in range(50)),
        "lists in lists": iter([b"[" * (4 * MIB - 10) + b"\n"]),
        "objects in objects": iter([b'{"a":' * 800_000 + b"\n"]),
        "one name, over and over": iter([_long("{" + ",".join(['"a": 1'] * wide) + "}").encode() + b"\n"]),
        "a name for each": iter(
            [_long("{" + ",".join(f'"{n}": 1' for n in range(wide)) + "}").encode() + b"\n"]
        ),
        "a number of 4 million digits": iter([_long('{"a": ' + "9" * (4 * MIB - 90) + "}").encode() + b"\n"]),
        "many short lines, all the same": _lines(lambda _n: f'{{"kind": "note", {AT}}}', many),
        "each changes the one before": _lines(lambda n: _change(n + 1, n), many),
        "each changes the one after": _lines(lambda n: _change(n, n + 1), many),
        "a long chain and many that wait": _lines(
            lambda n: (
                _change(n + 1, n)
                if n < many // 2
                else _change(2 * many + n, 3 * many + n // 2)
                if n % 2
                else _change(3 * many + n // 2, many // 2)
            ),
            many,
        ),
        "60 notes of 4 MiB": _lines(_note, max(2, int(60 * part))),
    }


@dataclass(slots=True)
class Outcome:
    """How the import got on with them."""

    met: int = 0
    refused: int = 0
    crashes: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    megabytes: int = 0


def meet(part: float = 1.0) -> Outcome:
    """Import each of them into a record that isn't there."""
    outcome = Outcome()
    with tempfile.TemporaryDirectory() as folder:
        for name, lines in monsters(part).items():
            source, path = Path(folder) / "monster.jsonl", Path(folder) / "record.carelog"
            with source.open("wb") as file:
                file.write(raw(HEADING))
                file.writelines(lines)
            start = time.perf_counter()
            _one(name, source, path, outcome)
            outcome.slowest = max(outcome.slowest, (time.perf_counter() - start, name))
            path.unlink(missing_ok=True)
    outcome.megabytes = most_memory()
    return outcome


def _one(name: str, source: Path, path: Path, outcome: Outcome) -> None:
    outcome.met += 1
    record = fresh(path)
    try:
        with source.open("rb") as file:
            StoredExchange().merge(file, record)
    except Refused:
        outcome.refused += 1
        if path.exists():
            outcome.left.append(name)
    except Exception as error:
        outcome.crashes.append(f"{name}: {error!r}")
    finally:
        record.close()
