"""Three computers that write apart and send each other files: the same set everywhere, in whatever order."""

import itertools
import random
import tempfile
from dataclasses import dataclass
from pathlib import Path

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry, details_text
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from tests.exchange.making import HEADING, raw
from tests.store.making import change, entry, fresh

COMPUTERS = 3


@dataclass(slots=True)
class Outcome:
    """What merging in all orders gave."""

    orders: int = 0
    sets: int = 0
    readings: int = 0
    entries: int = 0
    double: int = 0
    overwritten: int = 0
    damaged: int = 0
    rivals: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether all orders gave one set and one reading, nothing twice and nothing overwritten."""
        return self.sets == self.readings == 1 and not (self.double or self.overwritten or self.damaged)


def apart(seed: int) -> list[list[Entry]]:
    """What three computers write: a common beginning, then each its own, with changes of one another's."""
    rng = random.Random(seed)
    common = [entry(n, details={"amount": "small"}) for n in range(10)]
    parts = []
    for computer in range(COMPUTERS):
        first = 1000 * (computer + 1)
        own = [entry(first + n) for n in range(rng.randrange(5, 15))]
        changes = [
            change(first + 500 + n, rng.randrange(10), details={"amount": rng.choice(("moderate", "large"))})
            for n in range(4)
        ]
        again = [
            change(first + 600, first + 500),
            entry(first + 601, amends=changes[1].id, withdrawn=True, reason="x"),
        ]
        parts.append([*common, *own, *changes, *again])
    return parts


def all_orders(seed: int = 20) -> Outcome:
    """Merge the three files in all six orders, each twice over."""
    outcome = Outcome()
    parts = apart(seed)
    given = {each.id: each for part in parts for each in part}
    sets, readings = set(), set()
    with tempfile.TemporaryDirectory() as folder:
        files = [_file(Path(folder) / f"{number}.carelog", part) for number, part in enumerate(parts)]
        for number, order in enumerate(itertools.permutations(files)):
            record = fresh(Path(folder) / f"all-{number}.carelog", f"computer-{number}")
            for each in (*order, *order):
                StoredExchange().merge(each, record)
            found = record.everything()
            outcome.orders += 1
            outcome.entries = len(found)
            outcome.double += len(found) - len({each.id for each in found})
            outcome.overwritten += sum(given[each.id] != each for each in found) + len(given) - len(found)
            outcome.damaged += bool(record.check())
            sets.add(b"".join(list(StoredExchange().write(record, found, 0))[1:]))
            readings.add(_read(record, outcome))
            record.close()
    outcome.sets, outcome.readings = len(sets), len(readings)
    return outcome


def _file(path: Path, part: list[Entry]) -> list[bytes]:
    record = fresh(path, path.stem)
    record.append(part)
    lines = [raw(HEADING), *list(StoredExchange().write(record, record.everything(), 0))[1:]]
    record.close()
    return lines


def _read(record: StoredRecord, outcome: Outcome) -> str:
    held = Reading(record.everything()).held
    outcome.rivals = sum(bool(each.rivals) for each in held)
    return details_text([[each.entry.id, [rival.id for rival in each.rivals]] for each in held])
