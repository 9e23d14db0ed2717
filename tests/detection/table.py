"""Prints how well change is noticed: `nice python -m tests.detection.table [--people N] [--out FILE]`
(`--part early`, `--part changes --change "infection x2"`: some of it alone).

Everything is measured on made-up people, from seeds that no tuning used, with the detector as it is in the
program: N people a change (100), three times as many in whom nothing changes.
"""

import argparse
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from carelog.analysis.usual.threshold import SETTINGS, thresholds
from tests.detection import oracle
from tests.detection.people import (
    DRIFT_FOLLOWED_H,
    FOLLOWED_DAYS,
    FOUND_H,
    LEARNING_DAYS,
    Alarms,
    alarms,
    changed,
    delay,
    notice,
    unchanged,
)
from tests.detection.simple_rules import RULES
from tests.detection.simulator import CHANGES, START, Household, World

YEAR = 365.25
QUIET_SEED, CHANGED_SEED, WORLD_SEED, RULE_SEED, EARLY_SEED = 500_000, 600_000, 700_000, 800_000, 900_000
PARTS = ("changes", "quiet", "early", "others")
HARMLESS = ("harsher rater", "half unlogged", "plan change")
READINGS = ("SpO2 falling", "pulse rising")
FOUND = tuple(name for name in CHANGES if name not in ("none", *HARMLESS, *READINGS))
READ = {"one reading a day": World(readings=1), "two readings a day": World(readings=2)}
WORLDS = {
    "readings each day": World(readings=2),
    "spread of counts x1.6": World(spread=1.6),
    "day effects that go on": World(persistence=0.5),
    "weekends x1.3": World(weekend=1.3),
    "thickness swings by the day x3": World(thickness_day=1.05),
    "10 % of shifts missing": World(missing_shifts=0.1),
    "70 to 80 % written down": World(logging=(0.7, 0.8)),
}
Say = Callable[[str], None]


@dataclass(frozen=True)
class Quiet:
    """People in whom nothing changed."""

    people: int
    found: tuple[Alarms, ...]

    @property
    def years(self) -> float:
        """Person-years judged."""
        return self.people * FOLLOWED_DAYS / YEAR

    def rates(self) -> tuple[float, float]:
        """Episodes and flags a person-year."""
        episodes = sum(len(each.episodes) for each in self.found)
        return episodes / self.years, sum(len(each.flags) for each in self.found) / self.years

    def often(self) -> float:
        """The share of people with three episodes or more."""
        return float(np.mean([len(each.episodes) >= 3 for each in self.found]))

    def early(self) -> float:
        """Episodes a person-year in days 14 to 27."""
        last = 2 * LEARNING_DAYS
        count = sum(sum(day < last for day in each.episodes) for each in self.found)
        return count / (self.people * LEARNING_DAYS / YEAR)


def quiet(people: int, seed: int, world: World, setting: int = 2) -> Quiet:
    """Judge people in whom nothing changes."""
    found = []
    for number in range(people):
        household = unchanged(seed + number, world, setting)
        found.append(alarms(notice(household.entries(), thresholds()).flags()))
    return Quiet(people, tuple(found))


def delays(change: str, people: int, world: World | None = None) -> np.ndarray:
    """Hours until each changed person was found."""
    limit = limit_of(change)
    found = []
    for number in range(people):
        household = changed(CHANGED_SEED + number, change, world or World())
        found.append(delay(household, notice(household.entries(), thresholds()).flags(), limit))
    return np.array(found)


def share(values: np.ndarray, hours: float) -> str:
    """The share found within some hours, in per cent."""
    return f"{100 * float(np.mean(values <= hours)):.0f} %"


def say_quiet(say: Say, people: int) -> None:
    """The false flags at each setting, and how they fall on people."""
    say("| nothing changed | person-years | episodes a year | flags a year | 3 or more | days 14-27 |")
    say("| --- | --- | --- | --- | --- | --- |")
    for setting in (2, *(each for each in SETTINGS if each != 2)):
        found = quiet(people if setting == 2 else people // 2, QUIET_SEED, World(), setting)
        episodes, flags = found.rates()
        say(
            f"| setting {setting} a year | {found.years:.0f} | {episodes:.2f} | {flags:.2f} "
            f"| {100 * found.often():.1f} % | {found.early():.2f} |"
        )
    for name, world in WORLDS.items():
        found = quiet(max(people // 3, 10), WORLD_SEED, world)
        episodes, flags = found.rates()
        say(
            f"| 2 a year; {name} | {found.years:.0f} | {episodes:.2f} | {flags:.2f} "
            f"| {100 * found.often():.1f} % | {found.early():.2f} |"
        )


def say_early(say: Say, people: int) -> None:
    """The false flags of days 14 to 27 at 2 a year: many people, none of them followed any longer."""
    last = 2 * LEARNING_DAYS
    count = 0
    for number in range(people):
        household = Household(EARLY_SEED + number, last, World())
        raised = alarms(notice(household.entries(), thresholds()).flags()).episodes
        count += sum(day < last for day in raised)
    years = people * LEARNING_DAYS / YEAR
    say(f"days 14 to 27: {count / years:.2f} episodes a year ({people} people, {years:.0f} person-years)")


def say_changes(say: Say, people: int, only: Sequence[str] = ()) -> None:
    """How soon each change is found, and how often harmless ones are flagged."""
    say("| change | people | median, h | in 48 h | in 72 h | not found |")
    say("| --- | --- | --- | --- | --- | --- |")
    rows = [(change, change, World()) for change in FOUND]
    rows += [(f"{change}, {often}", change, READ[often]) for change in READINGS for often in READ]
    rows = [row for row in rows if not only or row[1] in only]
    for name, change, world in rows:
        found = delays(change, people, world)
        limit = limit_of(change)
        missed = 100 * float(np.mean(found >= limit))
        say(
            f"| {name} | {people} | {np.median(found):.0f} | {share(found, 48)} | {share(found, 72)} "
            f"| {missed:.0f} % |"
        )
    for change in HARMLESS if not only else ():
        found = delays(change, people)
        say(f"| {change} (harmless) | {people} | flagged within 10 days: {share(found, FOUND_H - 1)} | | | |")


def daily(household: Household) -> np.ndarray:
    """Recorded suctions a day."""
    counts: np.ndarray = oracle.blocks(household).sum(axis=1)
    return counts


Series = tuple[np.ndarray, np.ndarray]


def episodes_above(series: Iterable[Series], threshold: float) -> int:
    """How often scores rise above a threshold, no two within seven days."""
    count = 0
    for hours, scores in series:
        last = -1e9
        for hour in hours[scores >= threshold]:
            if hour - last >= 168:
                count, last = count + 1, float(hour)
    return count


def at_rate(series: Sequence[Series], wanted: float) -> float:
    """The threshold at which scores rise above it so often."""
    low, high = 0.0, 60.0
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if episodes_above(series, middle) > wanted else (low, middle)
    return high


def limit_of(change: str) -> float:
    """After how many hours a change counts as not found."""
    return DRIFT_FOLLOWED_H if change == "slow drift" else FOUND_H


def first_above(household: Household, series: Series, threshold: float) -> float:
    """Hours from the change to the first score above a threshold; the limit when there is none."""
    hours, scores = series
    limit = limit_of(household.change.name)
    after = hours[(scores >= threshold) & (hours > household.onset_h)]
    return min(limit, float(after[0]) - household.onset_h) if len(after) else limit


def scored(household: Household, rule: str) -> Series:
    """A simple rule's score at the end of each day."""
    values = daily(household)
    score, _ = RULES[rule]
    days = range(LEARNING_DAYS, len(values))
    return np.array([24.0 * (day + 1) for day in days]), np.array([score(list(values), day) for day in days])


def say_others(say: Say, people: int) -> None:
    """Simple rules on daily counts, and an oracle that knows the person, at the same rate of false flags."""
    still = [unchanged(RULE_SEED + number, World()) for number in range(people)]
    moved = {name: [changed(CHANGED_SEED + n, name, World()) for n in range(people // 3)] for name in OTHERS}
    years = people * FOLLOWED_DAYS / YEAR
    say(
        f"| counts only, at 2 a year ({years:.0f} person-years) | own threshold gives | "
        + " | ".join(OTHERS)
        + " |"
    )
    say("| --- | --- |" + " --- |" * len(OTHERS))
    ways: dict[str, Callable[[Household], Series]] = {name: partial(scored, rule=name) for name in RULES}
    for name, way in ways.items():
        series = [way(household) for household in still]
        limit = at_rate(series, 2 * years)
        textbook = episodes_above(series, RULES[name][1]) / years
        say_row(say, name, f"{textbook:.1f} a year", [(each, way, limit) for each in moved.values()])
    for ratio in (2.0, 3.0):
        series = [oracle.sums(household, ratio) for household in still]
        way = partial(oracle.sums, ratio=ratio)
        rows = [(each, way, at_rate(series, 2 * years)) for each in moved.values()]
        say_row(say, f"an oracle for x{ratio:.0f} that knows the person", "", rows)


OTHERS = ("count x2", "count x3", "infection x2", "slow drift")


def say_row(
    say: Say,
    name: str,
    beside: str,
    rows: Sequence[tuple[Sequence[Household], Callable[[Household], Series], float]],
) -> None:
    """One row: the median delay of each change."""
    cells = []
    for households, way, limit in rows:
        found = np.array([first_above(each, way(each), limit) for each in households])
        missed = float(np.mean(found >= limit_of(households[0].change.name)))
        cells.append(
            "not found" if missed > 0.5 else f"{np.median(found):.0f} h ({share(found, 48)} in 48 h)"
        )
    say(f"| {name} | {beside} | " + " | ".join(cells) + " |")


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--people", type=int, default=100, help="made-up people a change")
    asked.add_argument("--out", type=Path)
    asked.add_argument("--part", choices=PARTS, action="append", help="only this part of the table")
    asked.add_argument("--change", choices=CHANGES, action="append", default=[], help="only this change")
    given = asked.parse_args()
    lines: list[str] = []

    def say(line: str) -> None:
        print(line, flush=True)
        lines.append(line)
        if given.out:
            given.out.write_text("\n".join(lines) + "\n", "utf-8")

    parts = {
        "changes": lambda: say_changes(say, given.people, given.change),
        "quiet": lambda: say_quiet(say, 3 * given.people),
        "early": lambda: say_early(say, 10 * given.people),
        "others": lambda: say_others(say, 3 * given.people),
    }
    for name in given.part or PARTS:
        parts[name]()
        say("")
    say(f"Made-up people only; the first recorded day is {START // 86_400_000_000} days after 1970-01-01.")


if __name__ == "__main__":
    main()
