"""The thresholds of the channels, from tables made by simulation (`tests/detection/thresholds.py`)."""

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import exp, log

from carelog.analysis.usual.usual import Rate
from carelog.resources import find

FILE = "thresholds/channels.json"
SETTINGS = (1, 2, 4)
SETTLED_DAYS = 24.0
"""From so many the usual is learnt well enough; from fewer the same threshold would be wrong more often."""


@dataclass(frozen=True, slots=True)
class Tail:
    """How often a channel's sum rises above h when nothing has changed: exp(level - slope * h) times a year.

    `level` stands in a table over suctions a day and the spread of a day's effect.
    """

    level: Sequence[Sequence[float]]
    slope: float
    share: float


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The tables; `scales` bring all channels together to each setting."""

    means: Sequence[float]
    spreads: Sequence[float]
    tails: Mapping[str, Tail]
    scales: Mapping[float, float]

    def of(self, channel: str, rate: Rate, allowed: float, readings: Collection[str] = ()) -> float:
        """The threshold of a channel for a person.

        `allowed`: false flags a year of all channels together; `readings`: which readings are compared.
        """
        tail = self.tails[channel]
        level = _between(self.means, self.spreads, tail.level, rate.mean, rate.spread)
        known = min(1.0, max(rate.days, 1.0) / SETTLED_DAYS)
        return (level - log(known * self.yearly(channel, allowed, readings))) / tail.slope

    def yearly(self, channel: str, allowed: float, readings: Collection[str] = ()) -> float:
        """How often a year this channel by itself may rise above its threshold when nothing has changed.

        Where readings are compared the shares of all channels get smaller, so that they stay one whole.
        """
        whole = 1 + sum(self.tails[name].share for name in readings)
        return self.tails[channel].share / whole * allowed * _scale(self.scales, allowed)


@cache
def thresholds() -> Thresholds:
    """The tables that came with the program."""
    read = json.loads(find(FILE).read_text("utf-8"))
    tails = {name: Tail(row["level"], row["slope"], row["share"]) for name, row in read["channels"].items()}
    scales = {float(allowed): scale for allowed, scale in read["scales"].items()}
    return Thresholds(read["means"], read["spreads"], tails, scales)


def _scale(scales: Mapping[float, float], allowed: float) -> float:
    """The common scale of a setting, between settings by the logarithm."""
    known = sorted(scales)
    low, part = _place(known, allowed)
    return exp((1 - part) * log(scales[known[low]]) + part * log(scales[known[low + 1]]))


def _between(
    means: Sequence[float],
    spreads: Sequence[float],
    table: Sequence[Sequence[float]],
    mean: float,
    spread: float,
) -> float:
    row, down = _place(means, mean)
    column, across = _place(spreads, spread)
    upper = (1 - across) * table[row][column] + across * table[row][column + 1]
    lower = (1 - across) * table[row + 1][column] + across * table[row + 1][column + 1]
    return (1 - down) * upper + down * lower


def _place(grid: Sequence[float], value: float) -> tuple[int, float]:
    """Between which two points of a grid a value lies, and how far on by the logarithm; held at the ends."""
    held = min(max(value, grid[0]), grid[-1])
    for index, (low, high) in enumerate(pairwise(grid)):
        if held <= high:
            return index, (log(held) - log(low)) / (log(high) - log(low))
    return len(grid) - 2, 1.0
