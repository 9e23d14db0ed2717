"""How often households run out: 1,000 made-up homes over a year, ordering by one rule or another.

    python -m tests.supplies            some minutes; --homes 100: a tenth of it; --calm: see below

Each home has suction catheters, HME and disposable inner tubes. Its suction differs from day to day (ratio of
variance to mean 1.3 to 4), drifts slowly, and three times a year for about a week it is up by half to double.
The supplier's time, 3 to 14 days, stands in the plan; one delivery in five comes up to three days later. Each
morning the stock is counted and what the rule asks for is ordered for four weeks more. All of it is invented:
it compares rules with each other and says nothing about real homes. With `--calm` nobody is ill, nothing
drifts and each delivery is in time: what the reckoning takes for granted.

The rules: a fixed 14 days left whatever the supplier takes; lead time and reserve, as `order_by`; and the
earlier of that and the day from which on the stock outlasts a delivery in 95, 98 or 99 of 100, as the kit's
page and the order's sheet have it. The last three ask for the latter alone, without a reserve.
"""

import argparse
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from random import Random

from carelog.analysis.ordering import FOR_DAYS
from carelog.analysis.spread import VARIED_DAYS, Use, chance, ratio_of, use_of
from carelog.analysis.supplies import WINDOW_DAYS

YEAR = 365
BEFORE = VARIED_DAYS
RESERVE = 7
Rule = Callable[[int, Fraction, Sequence[Use], int], bool]
"""Whether to order: what is there and on its way, the use a day, how it varies, the lead time."""


def fixed(left: int, per_day: Fraction, _uses: Sequence[Use], _lead: int) -> bool:
    """At 14 days left, whatever the supplier takes."""
    return left <= 14 * per_day


def by_reserve(left: int, per_day: Fraction, _uses: Sequence[Use], lead: int) -> bool:
    """As `order_by` says."""
    return left < (lead + RESERVE + 1) * per_day


def alone(sure: int) -> Rule:
    """From the last day on which the stock outlasts the delivery in so many of 100."""

    def is_time(left: int, _per_day: Fraction, uses: Sequence[Use], lead: int) -> bool:
        for use in uses:
            mean = float(use.per_day) * (lead + 1)
            if left > mean + 8 * (mean * use.ratio * (1 + (lead + 1) / use.days)) ** 0.5 + 3:
                continue  # so far off that working it out takes time and changes nothing
            if chance(use, Fraction(left), lead + 1) < sure / 100:
                return True
        return False

    return is_time


def earlier(sure: int) -> Rule:
    """The earlier of both."""
    surely = alone(sure)
    return lambda left, per_day, uses, lead: (
        by_reserve(left, per_day, uses, lead) or surely(left, per_day, uses, lead)
    )


RULES: dict[str, Rule] = {
    "fixed 14 days": fixed,
    "lead time + 7": by_reserve,
    **{f"earlier of both, {sure}": earlier(sure) for sure in (95, 98, 99)},
    **{f"{sure} of 100 alone": alone(sure) for sure in (95, 98, 99)},
}


@dataclass
class Tally:
    """What came of a rule."""

    deliveries: int = 0
    outlasted: int = 0
    homes_out: set[int] = field(default_factory=set)
    days_out: int = 0
    stock_days: float = 0.0
    days: int = 0


def uses(random: Random, *, is_calm: bool) -> Iterator[list[int]]:
    """A year's use of each item, and the days before it; `is_calm`: without illness and drift."""
    mean, ratio, drift = random.uniform(4, 20), random.uniform(1.3, 4), random.uniform(-0.2, 0.2)
    ill = {
        start + day: random.uniform(1.5, 2)
        for start in random.sample(range(BEFORE, BEFORE + YEAR), 3)
        for day in range(random.randint(5, 10))
    }
    if is_calm:
        ill, drift = {}, 0.0
    whole = BEFORE + YEAR
    means = [mean * (1 + drift * day / whole) * ill.get(day, 1.0) for day in range(whole)]
    yield [_negative_binomial(random, each, ratio) for each in means]
    yield [1 + (random.random() < (0.5 if day in ill else 0.08)) for day in range(whole)]
    rare = random.uniform(0.1, 0.5)
    yield [int(random.random() < rare) for _ in range(whole)]


def _negative_binomial(random: Random, mean: float, ratio: float) -> int:
    """A Poisson draw around a gamma draw."""
    rest, count = random.gammavariate(mean / (ratio - 1), ratio - 1), 0
    while (rest := rest - random.expovariate(1)) > 0:
        count += 1
    return count


def known(used: list[int]) -> list[tuple[Use, ...]]:
    """What each morning of the year tells of the use; the same for all rules."""
    found: list[tuple[Use, ...]] = []
    for day in range(BEFORE, BEFORE + YEAR):
        lately, long = used[day - WINDOW_DAYS : day], used[day - VARIED_DAYS : day]
        ratio = ratio_of(long) if any(lately) else None
        found.append(() if ratio is None else (use_of(lately, ratio), use_of(long, ratio)))
    return found


def live(
    home: int,
    used: list[int],
    told: list[tuple[Use, ...]],
    lead: int,
    lates: list[int],
    rule: Rule,
    tally: Tally,
) -> None:
    """A year of one item in one home."""
    left = round(sum(used[:BEFORE]) / BEFORE * (lead + RESERVE + FOR_DAYS / 2)) + 1
    coming: list[tuple[int, int]] = []
    is_dry: dict[int, bool] = {}
    for day in range(BEFORE, BEFORE + YEAR):
        for arrival, count in [each for each in coming if each[0] == day]:
            left += count
            coming.remove((arrival, count))
            tally.deliveries += 1
            tally.outlasted += not is_dry.pop(arrival)
        of_today = told[day - BEFORE]
        per_day = of_today[0].per_day if of_today else Fraction(0)
        if of_today and not coming and rule(left, per_day, of_today, lead):
            wanted = round(per_day * (FOR_DAYS + lead + RESERVE)) + 1 - left
            if wanted > 0:
                arrival = day + lead + lates[day % len(lates)]
                coming.append((arrival, wanted))
                is_dry[arrival] = False
        tally.days += 1
        tally.stock_days += left / max(float(per_day), 0.05)
        left -= used[day]
        if left < 0:
            left = 0
            tally.homes_out.add(home)
            tally.days_out += 1
            is_dry = dict.fromkeys(is_dry, True)


def simulate(homes: int, seed: int, *, is_calm: bool = False) -> dict[str, Tally]:
    """All rules on the same homes; `is_calm`: nobody is ill, nothing drifts, each delivery is in time."""
    found = {name: Tally() for name in RULES}
    for home in range(homes):
        random = Random(f"{seed}:{home}")
        items, lead = list(uses(random, is_calm=is_calm)), random.choice((3, 5, 7, 10, 14))
        lates = [random.randint(1, 3) if random.random() < 0.2 else 0 for _ in range(97)]
        if is_calm:
            lates = [0] * len(lates)
        for used in items:
            told = known(used)
            for name, rule in RULES.items():
                live(home, used, told, lead, lates, rule, found[name])
    return found


def table(found: dict[str, Tally], homes: int) -> str:
    """The figures of each rule in a row."""
    lines = [
        "| rule | homes that ran out in a year | outlasted of 100 deliveries | days without | stock, days |"
    ]
    lines.append("| --- | --- | --- | --- | --- |")
    for name, each in found.items():
        lines.append(
            f"| {name} | {len(each.homes_out) / homes:.1%} | {each.outlasted / each.deliveries:.2%} "
            f"| {each.days_out / homes:.2f} | {each.stock_days / each.days:.0f} |"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--homes", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--calm", action="store_true")
    given = asked.parse_args()
    print(table(simulate(given.homes, given.seed, is_calm=given.calm), given.homes))
