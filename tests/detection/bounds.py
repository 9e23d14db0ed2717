"""Prints what somebody would reach who knew each person: `nice python -m tests.detection.bounds`.

Two rows of the table are asked for more than the built detector gives. Here the same changes are looked for
by whoever need not learn what is usual, at the share of the false flags that the detector spends on them:
an infection-like doubling by counts, thickness, colour and amount; a pulse by one reading a day.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from tests.detection import oracle
from tests.detection.people import FOLLOWED_DAYS, FOUND_H, LEARNING_DAYS, changed, unchanged
from tests.detection.simulator import AMOUNTS, CHANGES, COLOURS, CONSISTENCY, STAINED, Household, World
from tests.detection.table import Series, at_rate, first_above, share

YEAR = 365.25
INFECTION, INFECTION_SHARE = "infection x2", 0.48
PULSE_SHARE, PULSE_SD, PULSE_RISE, RAMP_H = 0.11, 6.0, 20.0, 72.0
STILL_SEED, MOVED_SEED = 910_000, 920_000
A_YEAR = 2.0
WRITTEN = 0.92  # of all readings are written down
LOOKED_BACK = 10  # days
AMOUNT_WEIGHT = 0.3  # amounts swing with the thickness of a day
RISING = (0.5, 1.6, 2.8)  # standard deviations on the first days of the rise; then all of it


def ranked(cuts: np.ndarray, shift: float) -> np.ndarray:
    """The shares of ordered categories."""
    upper = np.concatenate([[1.0], 1 / (1 + np.exp(-(shift - cuts))), [0.0]])
    shares: np.ndarray = np.maximum(upper[:-1] - upper[1:], 1e-9)
    return shares


@dataclass(frozen=True)
class Known:
    """One person's true log-likelihood ratios of a rating, by recorder and by colour."""

    thickness: Mapping[str, np.ndarray]
    amount: Mapping[str, np.ndarray]
    colour: Mapping[str, float]

    def of(self, by: str, details: Mapping[str, object]) -> float:
        """What one suction says by its ratings."""
        found = self.colour.get(str(details.get("colour")), 0.0)
        if "consistency" in details:
            found += float(self.thickness[by][CONSISTENCY.index(str(details["consistency"]))])
        if "amount" in details:
            found += AMOUNT_WEIGHT * float(self.amount[by][AMOUNTS.index(str(details["amount"]))])
        return found


def known(household: Household) -> Known:
    """All that there is to know about a person and the change."""
    person, change = household.person, CHANGES[INFECTION]
    thickness, amount = {}, {}
    for by, shift in zip(person.carers, person.carer_shift, strict=True):
        before = ranked(person.cuts, shift)
        thickness[by] = np.log(ranked(person.cuts, shift + change.thickness) / before)
        before = ranked(person.amount_cuts, 0.6 * shift)
        amount[by] = np.log(ranked(person.amount_cuts, 0.6 * shift + change.amount) / before)
    clean = np.concatenate([person.clean_colours, np.zeros(3)])
    stained = person.stained + (1 - person.stained) * change.stained
    usual = (1 - person.stained) * clean + person.stained * STAINED
    colour = np.log(((1 - stained) * clean + stained * STAINED) / usual)
    return Known(thickness, amount, dict(zip(COLOURS, map(float, colour), strict=True)))


def infection(household: Household) -> Series:
    """The sum of the true ratios of counts and ratings, every hour."""
    ratios, hours = known(household), household.days * 24
    rated = np.zeros(hours)
    for hour, entry in oracle.suctions(household):
        if hour < hours:
            rated[hour] += ratios.of(entry.by, entry.details)
    return oracle.hourly(household, CHANGES[INFECTION].count, rated)


def pulses(people: int, days: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Hours and deviations of one reading each morning, in known standard deviations; NaN where none is."""
    random = np.random.default_rng(seed)
    hours = np.arange(days) * 24 + 9 + random.normal(0, 0.25, (people, days))
    read = random.random((people, days)) < WRITTEN
    return hours, np.where(read, random.normal(0, 1, (people, days)), np.nan)


def rising(deviations: np.ndarray) -> np.ndarray:
    """The best sum over a rise that began within the last ten days and is known to take three."""
    shape = np.array([*RISING, *[PULSE_RISE / PULSE_SD] * (LOOKED_BACK - len(RISING))])
    best, read = np.zeros_like(deviations), ~np.isnan(deviations)
    for length in range(1, LOOKED_BACK + 1):
        told = shape[:length]
        values, counted = (
            np.lib.stride_tricks.sliding_window_view(each, length, axis=-1)
            for each in (np.nan_to_num(deviations), read)
        )
        sums = values @ told - counted @ (told * told) / 2
        best[..., length - 1 :] = np.maximum(best[..., length - 1 :], sums)
    return best


def say_pulse(people: int) -> None:
    """The pulse that rises by 20 over three days, read once a day, by whoever knows person and rise."""
    hours, still = pulses(people, FOLLOWED_DAYS, STILL_SEED)
    series = list(zip(hours, rising(still), strict=True))
    limit = at_rate(series, PULSE_SHARE * A_YEAR * people * FOLLOWED_DAYS / YEAR)
    hours, moved = pulses(people, 30, MOVED_SEED)
    onset = np.random.default_rng(MOVED_SEED + 1).uniform(12, 14, people) * 24
    grown = np.clip((hours - onset[:, None]) / RAMP_H, 0, 1) * PULSE_RISE / PULSE_SD
    found = []
    for each, scores, begun in zip(hours, rising(moved + grown), onset, strict=True):
        after = each[(scores >= limit) & (each > begun)]
        found.append(after[0] - begun if len(after) else FOUND_H)
    say("pulse, once a day, person and rise known", np.array(found))


def say_infection(people: int) -> None:
    """The infection-like doubling by whoever knows person and change, but not when it begins."""
    still = [settled(infection(unchanged(STILL_SEED + n, World()))) for n in range(people)]
    limit = at_rate(still, INFECTION_SHARE * A_YEAR * people * FOLLOWED_DAYS / YEAR)
    households = [changed(MOVED_SEED + n, INFECTION, World()) for n in range(people)]
    found = [first_above(each, infection(each), limit) for each in households]
    say(f"{INFECTION}, person and change known", np.array(found))


def settled(series: Series) -> Series:
    """Without the first days, on which the program judges nothing either."""
    hours, scores = series
    kept = hours > 24 * LEARNING_DAYS
    return hours[kept], scores[kept]


def say(name: str, found: np.ndarray) -> None:
    """One row."""
    print(f"| {name} | {np.median(found):.0f} h | {share(found, 48)} | {share(found, 72)} |", flush=True)


def main() -> None:
    """Print both rows."""
    print("| change | median | in 48 h | in 72 h |\n| --- | --- | --- | --- |")
    rows: tuple[tuple[Callable[[int], None], int], ...] = ((say_pulse, 2000), (say_infection, 150))
    for row, people in rows:
        row(people)


if __name__ == "__main__":
    main()
