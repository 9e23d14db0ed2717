"""What somebody could reach who knew each person: rate, times of day, spread."""

from collections.abc import Iterator
from math import log

import numpy as np

from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR
from tests.detection.simulator import START, Household

BLOCKS = 4
HOURS = 6.0


def blocks(household: Household) -> np.ndarray:
    """Recorded suctions by day and time of day."""
    found = np.zeros((household.days, BLOCKS))
    for entry in household.entries():
        if entry.kind == "suction":
            hour = (entry.at.instant - START) / 3_600_000_000
            if hour < household.days * 24:
                found[int(hour // 24), int(hour % 24 // HOURS)] += 1
    return found


def suctions(household: Household) -> Iterator[tuple[int, Entry]]:
    """Recorded suctions with the hour in which they were written down."""
    for entry in household.entries():
        if entry.kind == "suction":
            yield int((entry.recorded_at - START) / HOUR), entry


def hourly(household: Household, ratio: float, rated: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Hours and the sum of true ratios at each: of counts as far as they are written, and of ratings."""
    person, world = household.person, household.world
    kept = person.logging * (1 - world.missing_shifts) * (1 - world.missing_days)
    expected = np.repeat(person.mean * kept * person.shares / HOURS, int(HOURS))
    counts = np.zeros(len(rated))
    for hour, _ in suctions(household):
        if hour < len(counts):
            counts[hour] += 1
    before, found = 0.0, []
    for first in range(0, len(counts), 24):
        day, said = counts[first : first + 24], rated[first : first + 24]
        now = before
        for end in range(1, 25):
            whole, usual = person.size + day[:end].sum(), person.size + expected[:end].sum()
            starts = []
            for start in range(0, end, int(HOURS)):
                later, due = day[start:end].sum(), expected[start:end].sum()
                of_count = later * log(ratio) - whole * log(1 + (ratio - 1) * due / usual)
                starts.append(of_count + said[start:end].sum())
            now = max(before + starts[0], *starts, 0.0)
            found.append(now)
        before = now
    return np.arange(1, len(found) + 1.0), np.array(found)


def sums(household: Household, ratio: float) -> tuple[np.ndarray, np.ndarray]:
    """The sum of true log-likelihood ratios for one ratio, every six hours, and the hours."""
    person, world = household.person, household.world
    kept = person.logging * (1 - world.missing_shifts) * (1 - world.missing_days)
    expected, size = person.mean * kept * person.shares, person.size
    counts, before, found = blocks(household), 0.0, []
    for day in counts:
        now = 0.0
        for block in range(BLOCKS):
            total, usual = day[: block + 1].sum(), size + expected[: block + 1].sum()
            starts = []
            for start in range(block + 1):
                later, due = day[start : block + 1].sum(), expected[start : block + 1].sum()
                starts.append(later * log(ratio) - (size + total) * log(1 + (ratio - 1) * due / usual))
            now = max(before + starts[0], *starts, 0.0)
            found.append(now)
        before = now
    return np.arange(1, len(found) + 1) * HOURS, np.array(found)
