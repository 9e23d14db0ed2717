"""Shared by the measurements: made-up entries of a long history, ratios of pairs, a table of figures.

Every figure is a ratio to a floor that is measured in the same run, in turn with the program itself: an
absolute time says nothing on another computer.
"""

import json
import os
import platform
import random
import resource
import sqlite3
import statistics
import sys
import time
import uuid
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypedDict

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, MINUTE, Moment
from carelog.domain.record import PersonHeading
from carelog.store import reader
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord

SEED = 20
START = Moment.read("2016-11-01T08:00:00+00:00").instant
PERSON = PersonHeading("00000000-0000-4000-8000-000000000020", "Nobody")
A_MONTH, TEN_YEARS, A_MILLION = 1_080, 110_000, 1_000_000

KINDS = {
    "suction": 10,
    "humidity": 4,
    "cuff_pressure": 4,
    "inner_tube": 4,
    "observations": 3,
    "stoma": 2,
    "ties": 2,
    "mouth_care": 3,
    "valve": 2,
    "note": 1,
    "equipment_check": 1,
}


INTO = "BENCH_FIGURES"
"""The variable that names the file into which figures are written, a line each."""


class Written(TypedDict):
    """A figure as it is written down: of which table, what it says, how and when it was measured."""

    title: str
    what: str
    ratio: float
    limit: float
    shown: str
    load: float
    nice: int
    day: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its number, what it says, the ratio measured and the one asked for."""

    number: str
    what: str
    ratio: float
    limit: float
    shown: str = ""

    def row(self) -> tuple[str, ...]:
        """Its row of the table."""
        held = "yes" if self.ratio <= self.limit else "NO"
        return (self.number, self.what, f"{self.ratio:.2f}", f"≤ {self.limit:g}", held, self.shown)


def machine() -> str:
    """What it was measured on."""
    python, load = platform.python_version(), os.getloadavg()[0]
    return f"CPython {python} · SQLite {sqlite3.sqlite_version} · {os.cpu_count()} cores · load {load:.1f}"


def table(title: str, head: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    """Print a table."""
    print(f"\n### {title}\n\n{machine()}\n")
    print("| " + " | ".join(head) + " |")
    print("|" + " --- |" * len(head))
    for row in rows:
        print("| " + " | ".join(str(cell) for cell in row) + " |")
    sys.stdout.flush()


def figures(title: str, found: Sequence[Figure]) -> int:
    """Print the figures; 0 when all of them hold. They are written down too, where `tests.bench` asks."""
    if into := os.environ.get(INTO):
        with open(into, "a", encoding="utf-8") as file:
            for each in found:
                file.write(json.dumps(written(title, each)) + "\n")
    table(title, ("#", "figure", "measured", "asked for", "held", ""), [each.row() for each in found])
    return int(any(each.ratio > each.limit for each in found))


def written(title: str, figure: Figure) -> Written:
    """A figure with how busy the computer is just now."""
    return Written(
        title=title,
        what=figure.what,
        ratio=round(figure.ratio, 3),
        limit=figure.limit,
        shown=figure.shown,
        load=round(os.getloadavg()[0], 1),
        nice=os.nice(0),
        day=time.strftime("%Y-%m-%d", time.gmtime()),
    )


def spent() -> float:
    """Seconds of the processor that this process and its ended children have used, finer than its ticks."""
    used = map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(each.ru_utime + each.ru_stime for each in used)


def took(job: Callable[[], object], clock: Callable[[], float] = time.perf_counter) -> float:
    """Seconds that a job takes."""
    start = clock()
    job()
    return clock() - start


def pairs(
    job: Callable[[], object],
    floor: Callable[[], object],
    count: int,
    clock: Callable[[], float] = time.perf_counter,
) -> tuple[float, list[float], list[float]]:
    """The median of the ratios of job to floor, run in turn, and the seconds of each.

    What only works (`spent` as its clock) is measured beside other work as on a quiet computer, nearly.
    """
    mine, floors = [], []
    for number in range(count):
        if number % 2:
            floors.append(took(floor, clock))
            mine.append(took(job, clock))
        else:
            mine.append(took(job, clock))
            floors.append(took(floor, clock))
    return statistics.median(m / f for m, f in zip(mine, floors, strict=True)), mine, floors


def percentile(values: Sequence[float], part: float) -> float:
    """The value that this part of all values doesn't exceed."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, round(part * (len(ordered) - 1)))]


def details(rng: random.Random, kind: str) -> dict[str, Any]:
    """Made-up details of a kind."""
    makers: dict[str, Callable[[], dict[str, Any]]] = {
        "suction": lambda: {
            "route": "tracheal",
            "colour": rng.choice(["clear", "white", "cream", "yellow"]),
            "consistency": rng.choice(["thin", "thick", "sticky"]),
            "amount": rng.choice(["small", "moderate", "large"]),
            "passes": rng.randint(1, 4),
            "catheter_fr": 12,
        },
        "cuff_pressure": lambda: {"value": round(rng.gauss(26, 2.5), 1), "unit": "cmH2O"},
        "observations": lambda: {
            "temperature_c": round(rng.gauss(36.8, 0.3), 1),
            "spo2_percent": rng.randint(93, 99),
            "pulse_per_min": rng.randint(60, 95),
        },
        "inner_tube": lambda: {"outcome": "cleaned", "found": rng.choice(["clear", "coated", "crusted"])},
        "stoma": lambda: {"skin": rng.choice(["whole", "red"]), "dressing": "changed", "cleaned": True},
        "humidity": lambda: {"device": "hme", "action": "changed"},
        "ties": lambda: {"action": "checked"},
        "valve": lambda: {"action": rng.choice(["on", "off"]), "cuff_down": True},
        "equipment_check": lambda: {"device": "suction_machine", "works": True},
    }
    return makers[kind]() if kind in makers else {}


def history(count: int, a_day: int = 36, seed: int = SEED, since: int = START) -> Iterator[Entry]:
    """Made-up entries in the order of time."""
    rng = random.Random(seed)
    names, weights = list(KINDS), list(KINDS.values())
    at = since
    for _ in range(count):
        at += int(DAY_24_H / a_day * rng.uniform(0.2, 1.8))
        kind = rng.choices(names, weights)[0]
        note = "settled after, no change from yesterday" if rng.random() < 0.15 or kind == "note" else ""
        yield Entry(
            id=str(uuid.UUID(int=(at // 1000 << 80) | rng.getrandbits(80))),
            kind=kind,
            at=Moment(at),
            recorded_at=at + MINUTE,
            zone="Europe/London",
            by=rng.choice(["AB", "CD", "EF"]),
            details=details(rng, kind),
            note=note,
        )


def built(path: Path, count: int, a_day: int = 36) -> StoredRecord:
    """A record with a long history."""
    record = open_record(path, installation="bench", create=PERSON)
    batch: list[Entry] = []
    for entry in history(count, a_day):
        batch.append(entry)
        if len(batch) == 20_000:
            record.append(batch)
            batch = []
    record.append(batch)
    return record


def last_week(record: StoredRecord) -> tuple[int, int]:
    """The seven days that end with the newest entry."""
    sql = "SELECT max(at) FROM entry"
    end = record.read(lambda connection: reader.number(connection, sql)) + 1
    return end - 7 * DAY_24_H, end
