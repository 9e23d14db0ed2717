"""Rounds of copies in which something fails or is dated wrongly: what is told of them, and what they hold."""

import os
import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from carelog.app import medium
from carelog.app.backups import Backups, kept_in
from carelog.app.copying import CopyRound, Medium, copy_round
from carelog.domain.moment import DAY_24_H, HOUR, Instant
from carelog.domain.trouble import Trouble
from carelog.store.backup import back_up, held_up_to
from tests.app.books import Desk, desk_in

HERE, THERE = "aaaaaaaa-here", "bbbbbbbb-there"


@dataclass(slots=True)
class Outcome:
    """What rounds with faults told."""

    rounds: int = 0
    failed: int = 0
    untold: int = 0
    claimed: int = 0
    endless: int = 0
    others_gone: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether each failure was told, and nothing claimed, made or removed that shouldn't be."""
        return self.failed > 0 and not (self.untold or self.claimed or self.endless or self.others_gone)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a round says: what the copies on the medium hold, what failed, what is due right afterwards."""

    outside_up_to: Instant
    troubles: tuple[str, ...]
    is_due: bool


Tell = Callable[[CopyRound, Backups], Answer]


def as_told(done: CopyRound, there: Backups) -> Answer:
    """As the program does it."""
    return Answer(done.outside_up_to, done.troubles, there.is_due())


def by_names(_done: CopyRound, there: Backups) -> Answer:
    """The control: the newest name in the folder says what there is, and when the next copy is due."""
    found = kept_in(there.folder)
    newest = found[0].made_at if found else 0
    return Answer(newest, (), not found)


def many(tables: int, tell: Tell = as_told, seed: int = 20) -> Outcome:
    """So many sticks, each with some rounds of two computers and a copy that is dated 2030."""
    outcome, rng = Outcome(), random.Random(seed)
    for _ in range(tables):
        with tempfile.TemporaryDirectory() as name, desk_in(folder := Path(name)) as desk:
            _Table(desk, folder, rng, outcome, tell).run()
    return outcome


class _Table:
    """One record, one stick."""

    def __init__(self, desk: Desk, folder: Path, rng: random.Random, outcome: Outcome, tell: Tell) -> None:
        self.desk, self.folder, self.rng, self.outcome, self.tell = desk, folder, rng, outcome, tell
        self.stick = folder / "stick"
        self.stick.mkdir()

    def run(self) -> None:
        """Some rounds, and between them entries, wrong dates and the other computer."""
        self.desk.book.record("suction", {"colour": "white"}, "AB")
        identity = medium.choose(self.stick)
        there = medium.copies_on(self.stick)
        theirs: dict[Path, bytes] = {}
        for _ in range(self.rng.randrange(2, 5)):
            self.desk.clock.instant += DAY_24_H + self.rng.randrange(HOUR)
            if self.rng.random() < 0.7:
                self.desk.book.record("suction", {"colour": "white"}, "AB")
            if self.rng.random() < 0.4:
                made = self._copies(there, THERE, back_up).make().path
                theirs[made] = made.read_bytes()
            if self.rng.random() < 0.3:
                _dated_2030(self._copies(there, HERE, back_up))
            self._round(identity, there)
            self.outcome.others_gone += any(
                not path.exists() or path.read_bytes() != content for path, content in theirs.items()
            )

    def _round(self, identity: str, there: Path) -> None:
        fails_here, fails_there = self.rng.random() < 0.3, self.rng.random() < 0.3
        copies = self._copies(there, HERE, _full if fails_there else back_up)
        done = copy_round(
            self._copies(self.folder / "backups", HERE, _full if fails_here else back_up),
            Medium(self.stick, identity, copies),
            self.desk.record.path,
            held_up_to,
            True,
        )
        answer, outcome = self.tell(done, copies), self.outcome
        outcome.rounds += 1
        outcome.failed += fails_here or fails_there
        outcome.untold += (fails_here or fails_there) and not answer.troubles
        held = [held_up_to(each.path, self.desk.clock.now()) for each in kept_in(there) if each.size]
        outcome.claimed += answer.outside_up_to > max(held, default=0)
        outcome.endless += not fails_there and answer.is_due

    def _copies(self, folder: Path, installation: str, copy: Callable[[Path, Path], object]) -> Backups:
        record = self.desk.record
        return Backups(record.path, record.person(), folder, copy, self.desk.clock, installation)


def _full(_record: Path, _target: Path) -> None:
    raise Trouble("The disk is full.")


def _dated_2030(copies: Backups) -> None:
    """Rename this computer's newest copy as one of a clock that was years ahead."""
    newest = copies.newest()
    if newest:
        os.replace(newest.path, newest.path.with_name(newest.path.name.replace("-2026-", "-2030-")))
