"""Two computers that changed the same entries: what an import tells of it, and which flags stay."""

import random
import tempfile
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from carelog.analysis.flags.period import flags
from carelog.app.merging import before_import, told
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR
from carelog.store.exchange import StoredExchange
from carelog.store.record import StoredRecord
from tests.exchange.making import HEADING, raw
from tests.store.making import START, change, entry, fresh

NOW = START + 30 * HOUR
URGENT: Mapping[str, dict[str, object]] = {
    "blood": {"blood": "fresh"},
    "froth": {"frothy": True, "colour": "pink"},
    "breathing": {"breathing_after": "harder"},
    "catheter_not_passed": {"catheter_passed": "no"},
}
"""By the rule that flags it."""
CALM: Sequence[dict[str, object]] = ({"colour": "white"}, {"blood": "none"}, {"frothy": False})
MOST_TOLD = 5


@dataclass(slots=True)
class Outcome:
    """What imports told of the entries that two computers changed."""

    merges: int = 0
    rivals: int = 0
    untold: int = 0
    miscounted: int = 0
    silenced: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether each import said who wrote how much and what is to be chosen, and no urgent flag ended."""
        return self.rivals > 0 and not (self.untold or self.miscounted or self.silenced)


Tell = Callable[[StoredRecord, Sequence[bytes]], list[str]]
Read = Callable[[list[Entry]], list[Entry]]


def as_built(record: StoredRecord, lines: Sequence[bytes]) -> list[str]:
    """As the program does it."""
    before = before_import(record, NOW)
    StoredExchange().merge(lines, record)
    return told(record, before, NOW)


def only_counted(record: StoredRecord, lines: Sequence[bytes]) -> list[str]:
    """A control: an import says only how many entries there are more."""
    return [f"{StoredExchange().merge(lines, record).added} entries were added."]


def both_sides(entries: list[Entry]) -> list[Entry]:
    """As the program does it: what is read holds the losing side too."""
    return entries


def last_wins(entries: list[Entry]) -> list[Entry]:
    """A control: of the changes of an entry only that which was written last is read."""
    last: dict[str, Entry] = {}
    for each in entries:
        if each.amends and each.recorded_at >= last.get(each.amends, each).recorded_at:
            last[each.amends] = each
    return [each for each in entries if not each.amends or last[each.amends] is each]


def many(merges: int, tell: Tell = as_built, read: Read = both_sides, seed: int = 20) -> Outcome:
    """So many pairs of computers that changed some of the same suctions, one of them to something urgent."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(merges):
            _one(Path(folder) / str(number), rng, tell, read, outcome)
    return outcome


def _one(place: Path, rng: random.Random, tell: Tell, read: Read, outcome: Outcome) -> None:
    place.mkdir()
    common = [entry(n, details={"colour": "white"}) for n in range(rng.randrange(2, 9))]
    chosen = rng.sample(range(len(common)), rng.randrange(1, min(len(common), MOST_TOLD) + 1))
    here: list[Entry] = []
    there: list[Entry] = []
    rules: set[str] = set()
    for number, of in enumerate(chosen):
        rules.add(rule := rng.choice(list(URGENT)))
        first = change(200 + 10 * number, of, details=URGENT[rule])
        second = change(205 + 10 * number, of, details=rng.choice(CALM))
        for each, side in zip((first, second), rng.sample([here, there], 2), strict=True):
            side.append(each)
    there += [entry(400 + n, by=rng.choice(("CD", "EF"))) for n in range(rng.randrange(4))]
    record, lines = fresh(place / "r.carelog"), _lines(place / "other.carelog", [*common, *there])
    record.append([*common, *here])
    words = tell(record, lines)
    outcome.merges += 1
    outcome.rivals += len(chosen)
    outcome.untold += len(chosen) - sum(each.startswith("Two computers changed ") for each in words)
    by = Counter(each.by for each in there)
    outcome.miscounted += sum(
        not any(line.startswith((f"{n} entry by {who}:", f"{n} entries by {who}:")) for line in words)
        for who, n in by.items()
    )
    found = flags(read(record.everything()), START, NOW)
    outcome.silenced += len(rules - {each.rule for each in found if each.cleared_at is None})
    record.close()


def _lines(path: Path, entries: list[Entry]) -> list[bytes]:
    record = fresh(path, "installation-there")
    record.append(entries)
    lines = [raw(HEADING), *list(StoredExchange().write(record, record.everything(), 0))[1:]]
    record.close()
    return lines
