"""Drafts of several records, written, given up and looked for at starts in any order: none is ever lost."""

import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from carelog.app.drafts import Draft, DraftFile, FormDraft, Unknown
from carelog.paths import Places

Where = Callable[[Places, Path], Path]


@dataclass(slots=True)
class Outcome:
    """What became of what was typed."""

    typed: int = 0
    lost: int = 0
    dropped: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether all that wasn't saved or given up came back, and what can't be read was set aside whole."""
        return self.typed > 0 and not (self.lost or self.dropped)


@dataclass(slots=True)
class _Household:
    """The drafts as they should be, by record, and the files that hold what can't be read."""

    places: Places
    where: Where
    expected: dict[Path, str] = field(default_factory=dict)
    unreadable: list[bytes] = field(default_factory=list)

    def file(self, record: Path) -> DraftFile:
        return DraftFile(self.where(self.places, record))


def each_its_own(places: Places, record: Path) -> Path:
    """As the program does it."""
    return places.draft(record)


def one_for_all(places: Places, _record: Path) -> Path:
    """The control: one file serves all records."""
    return places.state / "draft.json"


def many(days: int, where: Where = each_its_own, seed: int = 20) -> Outcome:
    """So many days with three records on one computer."""
    outcome, rng = Outcome(), random.Random(seed)
    for _ in range(days):
        with tempfile.TemporaryDirectory() as folder:
            here = Path(folder)
            home = _Household(Places(here / "data", here / "config", here / "state"), where)
            records = [here / f"{name}.carelog" for name in ("one", "two", "demo")]
            for _ in range(rng.randrange(4, 12)):
                _act(home, rng.choice(records), rng, outcome)
            for record in records:
                outcome.lost += _found(home, record) != home.expected.get(record, "")
            kept = [path.read_bytes() for path in here.rglob("*.aside-*")]
            outcome.dropped += sum(content not in kept for content in home.unreadable)
    return outcome


def _act(home: _Household, record: Path, rng: random.Random, outcome: Outcome) -> None:
    """Something that happens to the draft of one record: its window types, saves, starts, or is older."""
    file = home.file(record)
    match rng.choice(("type", "type", "save", "start", "newer")):
        case "type":
            outcome.typed += 1
            words = f"{record.stem} {outcome.typed} " + "ż" * rng.choice((0, 40, 9000))
            _found(home, record)
            file.open()
            file.write(Draft(str(record), "person", (FormDraft("note", {}, words),)), outcome.typed)
            home.expected[record] = words
        case "save":
            file.throw_away()
            home.expected.pop(record, None)
        case "start":
            _found(home, record)
        case "newer":
            _found(home, record)
            file.path.parent.mkdir(parents=True, exist_ok=True)
            content = b'{"version": 9, "typed": "%d"}\n' % rng.randrange(1 << 30)
            file.path.write_bytes(content)
            home.unreadable.append(content)
            home.expected.pop(record, None)
            _found(home, record)


def _found(home: _Household, record: Path) -> str:
    """What a start of this record's window finds; what it can't read it sets aside."""
    file = home.file(record)
    try:
        draft = file.read()
    except Unknown:
        file.set_aside()
        return ""
    return draft.forms[0].note if draft and draft.forms else ""
