"""Computers whose clocks go wrong at random while care is written down: what is filed at a wrong time."""

import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from carelog.app.reckoning import LONG_AWAY, SLACK, Doubt, Reckoning
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant
from tests.store.making import START, entry

YEAR = 365 * DAY_24_H


@dataclass(slots=True)
class Outcome:
    """What wrong clocks did to the times of what was pressed."""

    faults: int = 0
    pressed: int = 0
    unasked: int = 0
    misfiled: int = 0
    asked_for_nothing: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether each wrong clock was asked about, no right one, and all stands at its time in the end."""
        return self.faults > 0 and not (self.unasked or self.misfiled or self.asked_for_nothing)


@dataclass(slots=True)
class Computer:
    """The true time, a steady clock, and the clock that the program is shown."""

    file: Path
    true: Instant = START
    wrong_by: Instant = 0
    on_since: Instant = START

    def now(self) -> Instant:
        return self.true + self.wrong_by

    def zone(self) -> str:
        return "Europe/London"

    def steady(self) -> Instant:
        return self.true - self.on_since

    def boot(self) -> str:
        return f"on since {self.on_since}"


@dataclass(slots=True)
class Bedside:
    """One computer's window, what was pressed in it and when that truly was."""

    computer: Computer
    reckoning: Reckoning
    outcome: Outcome
    filed: dict[str, tuple[Instant, Instant]] = field(default_factory=dict)  # filed, true

    def press(self) -> None:
        made = entry(self.outcome.pressed)
        made = replace(made, recorded_at=self.reckoning.now())
        self.reckoning.witness([made])
        self.filed[made.id] = made.recorded_at, self.computer.true
        self.outcome.pressed += 1

    def answer(self) -> None:
        """Somebody says what time it is; what was taken in doubt goes to its time."""
        self.reckoning.settle(self.computer.true)
        self.move()

    def move(self) -> None:
        """What is known by now goes to its time."""
        moved = dict(self.reckoning.owed())
        for name, by in moved.items():
            filed, true = self.filed[name]
            self.filed[name] = filed + by, true
        self.reckoning.paid(moved)


class Believing(Reckoning):
    """The control: whatever the computer's clock shows is the time."""

    def now(self) -> Instant:
        """What the clock shows."""
        return self._clock.now()

    def doubt(self) -> Doubt | None:
        """Nothing is asked."""
        return None

    def settle(self, now: Instant) -> None:
        """Nobody was asked, so nothing is answered."""


def many(faults: int, kind: Callable[..., Reckoning] = Reckoning, seed: int = 20) -> Outcome:
    """So many computers, each with one wrong clock, at a start or in the middle of a window's life."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(faults):
            _one(Computer(Path(folder) / f"{number}.json"), kind, rng, outcome)
    return outcome


def _one(computer: Computer, kind: Callable[..., Reckoning], rng: random.Random, outcome: Outcome) -> None:
    def started() -> Reckoning:
        found = kind(computer, computer.file, computer.steady, computer.boot())
        found.watch()
        return found

    def go_on() -> None:
        computer.true += rng.randrange(1, 8 * HOUR)
        bedside.reckoning.now()

    bedside = Bedside(computer, started(), outcome)
    for _ in range(rng.randrange(1, 5)):
        bedside.press()
        go_on()
    bedside.press()
    outcome.asked_for_nothing += bedside.reckoning.doubt() is not None
    away = rng.choice((0, rng.randrange(1, 9 * HOUR)))
    how = rng.random()
    if how < 0.4:  # the battery is dead at a start
        computer.true += away
        computer.on_since = computer.true
        back = away + rng.randrange(2 * SLACK, 20 * YEAR)
        computer.wrong_by = rng.choice((-back, LONG_AWAY + rng.randrange(DAY_24_H, 20 * YEAR)))
        bedside.reckoning = started()
    elif how < 0.7:  # the clock is set while no window is open, by minutes or by years
        computer.true += away
        computer.wrong_by = rng.choice((-1, 1)) * (
            SLACK + MINUTE + rng.choice((rng.randrange(DAY_24_H), rng.randrange(20 * YEAR)))
        )
        bedside.reckoning = started()
    else:
        computer.wrong_by = rng.choice((-1, 1)) * rng.randrange(SLACK + MINUTE, 20 * YEAR)
    outcome.faults += 1
    outcome.unasked += bedside.reckoning.doubt() is None
    for _ in range(rng.randrange(1, 5)):
        bedside.press()
        go_on()
    bedside.answer()
    bedside.press()
    outcome.misfiled += sum(abs(filed - true) > SLACK for filed, true in bedside.filed.values())


def commands(computers: int, kind: Callable[..., Reckoning] = Reckoning, seed: int = 23) -> Outcome:
    """So many computers whose clock goes wrong while no window is open, and on which commands write then.

    Each command is a program of its own. The clock may be put right again, or the computer switched off,
    before a window is opened; what then stands at a wrong time must be asked about.
    """
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(computers):
            _by_commands(Computer(Path(folder) / f"{number}.json"), kind, rng, outcome)
    return outcome


def _by_commands(
    computer: Computer, kind: Callable[..., Reckoning], rng: random.Random, outcome: Outcome
) -> None:
    def started() -> Reckoning:
        return kind(computer, computer.file, computer.steady, computer.boot())

    bedside = Bedside(computer, started(), outcome)
    bedside.reckoning.watch()
    bedside.press()
    computer.true += rng.randrange(1, 20 * HOUR)
    if rng.random() < 0.5:
        computer.on_since = computer.true
    back = 2 * DAY_24_H + rng.randrange(20 * YEAR)
    computer.wrong_by = rng.choice((-back, LONG_AWAY + back))
    outcome.faults += 1
    for _ in range(rng.randrange(1, 4)):
        bedside.reckoning = started()
        outcome.unasked += bedside.reckoning.doubt() is None
        bedside.press()
        computer.true += rng.randrange(1, 9 * HOUR)
        if rng.random() < 0.3:
            computer.on_since = computer.true
    if rng.random() < 0.5:
        computer.wrong_by = 0
        computer.on_since = rng.choice((computer.on_since, computer.true))
    bedside.reckoning = started()
    bedside.reckoning.watch()
    if bedside.reckoning.doubt() is not None:
        bedside.reckoning.settle(computer.true)
    bedside.move()
    asked = set(bedside.reckoning.asked())
    wrong = {name for name, (filed, true) in bedside.filed.items() if abs(filed - true) > SLACK}
    outcome.misfiled += len(wrong - asked)
