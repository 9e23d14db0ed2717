"""Runs the built detector over simulated households: the same code as in the program, entry by entry."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.usual.noticing import Noticing, Observer
from carelog.analysis.usual.threshold import Thresholds
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, HOUR, Instant
from tests.detection.simulator import CHANGES, START, Household, World

LEARNING_DAYS = 14
FOLLOWED_DAYS = 106
FOUND_H = 240.0
DRIFT_FOLLOWED_H = 1000.0
CLUSTER = 7 * DAY_24_H


def notice(entries: Iterable[Entry], thresholds: Thresholds, observe: Observer | None = None) -> Noticing:
    """Judge a whole record, in the order in which it became known."""
    ledger, noticing = Ledger(), Noticing(thresholds, observe)
    for known, group in groupby(entries, key=lambda entry: entry.recorded_at):
        noticing.pass_time(known)
        shifts = ledger.take(list(group), known)
        ledger.moves_home(shifts)
        noticing.take(known, shifts, ledger)
    return noticing


def unchanged(seed: int, world: World, setting: int = 2) -> Household:
    """A household in which nothing changes, followed for 106 days after the first 14."""
    return Household(seed, LEARNING_DAYS + FOLLOWED_DAYS, world, setting=setting)


def changed(seed: int, change: str, world: World, setting: int = 2) -> Household:
    """A household with a change that begins at some hour of days 60 to 75."""
    onset = 24 * float(np.random.default_rng([seed, 7]).uniform(60, 75))
    follow = DRIFT_FOLLOWED_H if change == "slow drift" else FOUND_H
    days = int((onset + follow) // 24) + 2
    return Household(seed, days, world, CHANGES[change], onset, setting)


@dataclass(frozen=True)
class Alarms:
    """When flags were raised, in days of the record: each flag, and each first one of seven days."""

    flags: tuple[float, ...]
    episodes: tuple[float, ...]


def alarms(flags: Iterable[Flag]) -> Alarms:
    """The moments of raising; flags raised within seven days of a first one belong to its episode."""
    raised = sorted(flag.raised_at for flag in flags)
    first: list[Instant] = []
    for moment in raised:
        if not first or moment - first[-1] >= CLUSTER:
            first.append(moment)
    return Alarms(tuple(map(_day, raised)), tuple(map(_day, first)))


def _day(moment: Instant) -> float:
    return (moment - START) / DAY_24_H


def delay(household: Household, flags: Iterable[Flag], limit: float) -> float:
    """Hours from the first changed hour to the first flag raised after it; the limit when there is none."""
    after = [flag.raised_at for flag in flags if flag.raised_at >= household.onset]
    return min([(moment - household.onset) / HOUR for moment in after] + [limit])


Judge = Callable[[Household], Iterable[Flag]]
