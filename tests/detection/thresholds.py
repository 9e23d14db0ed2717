"""Makes `resources/thresholds/channels.json`: `nice python -m tests.detection.thresholds [--people N]`.

Two steps, both on made-up people in whom nothing changes, from seeds that the measured table never uses.
First, for each mean and spread of a grid, how often each channel's sum rises above h: the tail
exp(level − slope · h) a year, fitted to the peaks of its excursions. Then one common scale a setting, at
which the flags of all channels together (as the program raises them) come as often as the setting says.
"""

import argparse
import json
from collections.abc import Iterator, Sequence
from math import exp, log
from pathlib import Path

import numpy as np

from carelog.analysis.usual.channel import ALL_CHANNELS
from carelog.analysis.usual.sums import Sums
from carelog.analysis.usual.threshold import SETTINGS, Tail, Thresholds, thresholds
from carelog.analysis.usual.usual import Usual
from carelog.domain.moment import DAY_24_H, Instant
from tests.detection.people import FOLLOWED_DAYS, alarms, notice, unchanged
from tests.detection.simulator import START, Household, World

FILE = Path(__file__).parents[2] / "resources" / "thresholds" / "channels.json"
MEANS = (5.0, 10.0, 20.0)
SPREADS = (0.04, 0.08, 0.16)
NAMES = tuple(channel.name for channel in ALL_CHANNELS)
FIRST_SEED = 100_000
SCALE_SEED = 200_000
APART_DAYS = 7.0
PEAKS_A_YEAR = 4.0  # the tail is fitted to so many highest excursions a person-year
YEAR = 365.25
ABOUT = (
    "How often a year a channel's sum rises above h when nothing has changed: exp(level - slope * h), level "
    "by suctions a day and by the variance of a day's effect. Made by tests/detection/thresholds.py from "
    "made-up people; design numbers, not clinical evidence."
)


class Unreachable(Thresholds):
    """Thresholds that no sum ever reaches, to watch the sums run free."""

    def of(self, channel: str, rate: object, allowed: float, readings: object = ()) -> float:
        """Never."""
        return float("inf")


def free_run(household: Household) -> tuple[np.ndarray, np.ndarray]:
    """Each channel's sum at every judging, with the day of it."""
    days: list[float] = []
    values: list[list[float]] = []

    def observe(now: Instant, sums: Sums, _usual: Usual) -> None:
        days.append((now - START) / DAY_24_H)
        values.append([sums[name].value if name in sums else 0.0 for name in NAMES])

    notice(household.entries(), Unreachable((1, 2), (1, 2), {}, {}), observe)
    return np.array(days), np.array(values)


def peaks(days: np.ndarray, values: np.ndarray) -> list[float]:
    """The peaks of excursions: the highest first, no two within seven days."""
    found: list[tuple[float, float]] = []
    order = np.argsort(-values, kind="stable")
    for place in order[values[order] > 0.5]:
        if all(abs(days[place] - day) >= APART_DAYS for day, _ in found):
            found.append((days[place], float(values[place])))
    return [value for _, value in found]


def cell(mean: float, spread: float, people: int, seed: int) -> Iterator[list[list[float]]]:
    """The peaks of each channel for each person of a cell of the grid."""
    for number in range(people):
        world = World(mean=mean, size=1 / spread, readings=1 + number % 2)
        days, values = free_run(unchanged(seed + number, world))
        yield [peaks(days, values[:, place]) for place in range(len(NAMES))]


def fitted(highest: Sequence[Sequence[float]], years: float) -> tuple[list[float], float]:
    """The levels of the cells and the slope that they share, from the highest peaks of each."""
    kept, excess, edges = [], [], []
    for found in highest:
        count = min(len(found) - 1, int(PEAKS_A_YEAR * years))
        top = sorted(found, reverse=True)[: count + 1]
        edges.append(top[-1])
        kept.append(count)
        excess.append(sum(top[:-1]) - count * top[-1])
    slope = sum(kept) / sum(excess)
    return [log(n / years) + slope * edge for n, edge in zip(kept, edges, strict=True)], slope


def tails(people: int) -> dict[str, Tail]:
    """The tails of all channels over the grid."""
    years = people * FOLLOWED_DAYS / YEAR
    found = []
    for row, mean in enumerate(MEANS):
        for column, spread in enumerate(SPREADS):
            seed = FIRST_SEED + 1000 * (len(SPREADS) * row + column)
            found.append(list(cell(mean, spread, people, seed)))
            print(f"mean {mean}, spread {spread}: {years:.0f} person-years", flush=True)
    result = {}
    for place, channel in enumerate(ALL_CHANNELS):
        highest = [[peak for person in cells for peak in person[place]] for cells in found]
        levels, slope = fitted(highest, years)
        grid = np.round(np.array(levels).reshape(len(MEANS), len(SPREADS)), 3)
        result[channel.name] = Tail(grid.tolist(), round(slope, 3), channel.share)
    return result


def yearly(thresholds: Thresholds, setting: int, people: int) -> float:
    """How many episodes of flags a year the program raises when nothing has changed."""
    count = 0
    for number in range(people):
        household = unchanged(SCALE_SEED + number, World(), setting)
        count += len(alarms(notice(household.entries(), thresholds).flags()).episodes)
    return count / (people * FOLLOWED_DAYS / YEAR)


def scale(found: dict[str, Tail], setting: int, people: int, rounds: int) -> float:
    """The scale of the budgets at which all channels together meet a setting."""
    value = 1.2
    for _ in range(rounds):
        rate = yearly(
            Thresholds(MEANS, SPREADS, found, dict.fromkeys((1.0, 2.0, 4.0), value)), setting, people
        )
        print(f"setting {setting}, scale {value:.2f}: {rate:.2f} a year", flush=True)
        value *= exp(0.9 * (log(setting) - log(max(rate, 0.2))))
    return round(value, 3)


def main() -> None:
    """Make the tables anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--people", type=int, default=40, help="made-up people a cell of the grid")
    asked.add_argument("--scale-people", type=int, default=120)
    asked.add_argument("--rounds", type=int, default=3)
    asked.add_argument("--keep-tails", action="store_true", help="only find the scales anew")
    given = asked.parse_args()
    found = dict(thresholds().tails) if given.keep_tails else tails(given.people)
    write(found, {str(each): 1.0 for each in SETTINGS})
    scales = {str(each): scale(found, each, given.scale_people, given.rounds) for each in SETTINGS}
    write(found, scales)


def write(found: dict[str, Tail], scales: dict[str, float]) -> None:
    """Write the file."""
    rows = {
        name: {"share": tail.share, "slope": tail.slope, "level": tail.level} for name, tail in found.items()
    }
    whole = {"about": ABOUT, "means": MEANS, "spreads": SPREADS, "channels": rows, "scales": scales}
    FILE.write_text(json.dumps(whole, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
