"""How surely the supplies last, what goes out of date first, and what deliveries tick off."""

from datetime import date, timedelta
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from scipy.stats import binom, nbinom

from carelog.analysis.in_force import Reading
from carelog.analysis.ordering import OrderLine, lasting, order_lines
from carelog.analysis.plans import plan_at
from carelog.analysis.spread import LEAST_DAYS, Use, chance, days_of_chance, range_of_days, ratio_of
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Instant, Moment
from tests.sheet.pages import entry

NOW = Moment.read("2026-11-29T12:00:00Z").instant
HME: dict[str, Any] = {"device": "hme", "action": "changed"}


def on(days_ago: int, hour: int = 8) -> str:
    return Moment(NOW - days_ago * DAY_24_H + (hour - 12) * HOUR).text().replace("+00:00", "Z")


def days_of(counts: list[int]) -> list[Entry]:
    """So many HME on each of the days before today, the last of them yesterday; care on all of them."""
    found, number = [], 1000
    for ago, count in enumerate(reversed(counts), 1):
        for hour in range(count):
            found.append(entry(number, on(ago, hour), "humidity", details=HME))
            number += 1
        found.append(entry(number, on(ago, 23), "mouth_care"))
        number += 1
    return found


def stock(number: int, days_ago: int, hour: int = 9, **details: Any) -> Entry:
    return entry(number, on(days_ago, hour), "stock", details={"item": "HME", **details})


def ordered(number: int, days_ago: int, count: int, **details: Any) -> Entry:
    return entry(number, on(days_ago, 10), "order", details={"item": "HME", "count": count, **details})


def line(*entries: Entry, now: Instant = NOW, sure: int = 95) -> OrderLine:
    reading = Reading(entries)
    (found,) = order_lines(reading, plan_at(reading, now), now, sure)
    return found


# How sure it is -----------------------------------------------------------------------------------------


USES = [
    Use(Fraction(148, 10), 14, 1.9),
    Use(Fraction(1, 7), 14, 1.0),
    Use(Fraction(3), 14, 4.2),
    Use(Fraction(1), 14, 0.0),
    Use(Fraction(2), 14, 0.3),
    Use(Fraction(40), 9, 2.5),
]


@pytest.mark.parametrize("use", USES)
@pytest.mark.parametrize("days", [0.5, 3.0, 14.0, 40.0])
def test_the_chance_is_scipys_of_the_same_moments(use: Use, days: float) -> None:
    mean, ratio = float(use.per_day) * days, max(use.ratio * (1 + days / use.days), 0.01)
    for left in {0, 1, int(mean * 0.7), int(mean), int(mean * 1.4) + 1}:
        if ratio > 1:
            wanted = nbinom.cdf(left, mean / (ratio - 1), 1 / ratio)
        elif mean / (1 - ratio) % 1:
            continue  # SciPy's binomial knows whole sizes only
        else:
            wanted = binom.cdf(left, round(mean / (1 - ratio)), 1 - ratio)
        assert chance(use, Fraction(left), days) == pytest.approx(wanted, abs=1e-9)


def test_a_binomial_of_a_whole_size_is_scipys() -> None:
    """One in two of 20: ten, and half as far as chance alone."""
    use = Use(Fraction(1), 10, 0.25)
    assert [chance(use, Fraction(left), 10) for left in (5, 10, 14)] == pytest.approx(
        [float(binom.cdf(left, 20, 0.5)) for left in (5, 10, 14)], abs=1e-9
    )


@pytest.mark.parametrize("use", [each for each in USES if each.ratio >= 1])
@pytest.mark.parametrize("sure", [95, 98, 99])
def test_the_range_ends_where_scipys_quantiles_reach_what_is_left(use: Use, sure: int) -> None:
    left = int(use.per_day * 20)
    for days, share in zip(range_of_days([use], Fraction(left), sure), (sure, 100 - sure), strict=True):
        ratio = use.ratio * (1 + days / use.days)
        size = float(use.per_day) * days / (ratio - 1)
        assert nbinom.ppf(share / 100 - 1e-3, size, 1 / ratio) <= left
        assert nbinom.ppf(share / 100 + 5e-3, size, 1 / ratio) >= left


def test_more_sure_is_sooner_and_more_unlike_days_are_a_wider_range() -> None:
    calm, wild = Use(Fraction(10), 14, 1.2), Use(Fraction(10), 14, 5.0)
    ends = [days_of_chance(calm, Fraction(140), sure / 100) for sure in (95, 98, 99)]
    assert ends == sorted(ends, reverse=True)
    narrow, wide = range_of_days([calm], Fraction(140), 95), range_of_days([wild], Fraction(140), 95)
    assert wide[0] < narrow[0] < 14 < narrow[1] < wide[1]


def test_how_far_days_differ_is_their_variance_by_their_mean() -> None:
    assert ratio_of([1] * LEAST_DAYS) == 0
    assert ratio_of([0, 2] * 7) == pytest.approx(14 / 13)
    assert ratio_of([1] * (LEAST_DAYS - 1)) is None
    assert ratio_of([0] * 20) is None


# What a household reads ---------------------------------------------------------------------------------


def test_the_middle_is_days_left_and_the_range_lies_around_it() -> None:
    counts = Random(7).choices((1, 2, 4, 6), k=60)
    found = line(*days_of(counts), stock(1, 1, 23, count=40))
    days = found.supply.days_left
    assert days is not None
    assert found.lasts is not None
    assert days == Fraction(40 * 14, sum(counts[-14:]))
    assert found.lasts[0] < days < found.lasts[1]
    least, most = map(int, found.lasts)
    assert lasting(found) == f"{int(days)} ({least} to {most})"


def test_the_order_day_is_the_earlier_of_both_and_the_kit_keeps_its_own() -> None:
    today = date(2026, 11, 29)
    wild = [0, 0, 0, 0, 0, 0, 14] * 8
    plan = entry(
        2, on(60), "plan", details={"set_by": "a nurse", "tasks": [], "lead_days": 7, "reserve_days": 0}
    )
    found = line(*days_of(wild), stock(1, 1, 23, count=60), plan)
    assert found.supply.order_by == today + timedelta(days=30 - 7)
    assert found.lasts is not None
    assert found.surely_by == today + timedelta(days=int(found.lasts[0] - 7))
    assert found.order_by == found.surely_by < found.supply.order_by
    surer = line(*days_of(wild), stock(1, 1, 23, count=60), plan, sure=99)
    assert surer.order_by is not None
    assert surer.order_by < found.order_by
    ample = line(*days_of([2] * 56), stock(1, 1, 23, count=60))
    assert ample.order_by == ample.supply.order_by == today + timedelta(days=30 - 14)


@pytest.mark.parametrize(
    "entries",
    [
        [*days_of([1] * (LEAST_DAYS - 1)), stock(1, 1, 23, count=40)],
        [*days_of([0] * 20), stock(1, 1, 23, count=40, per_day=2)],
        [*days_of([1] * 20), stock(1, 1, 23, delta=40)],
        [*days_of([1] * 20), stock(1, 1, 23, count=0)],
    ],
    ids=["too few days", "use as entered", "never counted", "none left"],
)
def test_where_the_record_doesnt_tell_it_there_is_no_range(entries: list[Entry]) -> None:
    found = line(*entries)
    assert found.lasts is None
    assert found.surely_by is None
    assert "to" not in lasting(found)
    assert found.supply.is_entered is (found.supply.per_day == 2)


def test_only_the_last_fifty_six_recorded_days_tell_how_far_use_varies() -> None:
    calm = line(*days_of([30, 0] * 20 + [2] * 56), stock(1, 1, 23, count=40))
    assert [use.ratio for use in calm.supply.uses] == [0, 0]
    assert lasting(calm) == "20"


def test_a_calm_fortnight_says_too_little_of_what_is_used_rarely() -> None:
    busy = line(*days_of([3] * 42 + [1] * 14), stock(1, 1, 23, count=28))
    assert busy.supply.days_left == 28
    assert busy.lasts is not None
    assert busy.lasts[0] < 28 / 2.5 < 13
    assert busy.surely_by == date(2026, 11, 29) + timedelta(days=int(busy.lasts[0]) - 7)


# First expired first out --------------------------------------------------------------------------------


def test_what_expires_first_is_used_first() -> None:
    found = line(
        *days_of([1] * 20),
        stock(1, 10, 22, count=10, expiry="2026-12-05"),
        stock(2, 8, 22, delta=5, reason="delivery", expiry="2026-11-30"),
        stock(3, 7, 22, delta=7, reason="delivery"),
    )
    assert [(str(lot.last), int(lot.count), lot.is_dated) for lot in found.lots] == [
        ("2026-12-05", 6, True),
        ("9999-12-31", 7, False),
    ]
    assert found.unused == 0


def test_what_wont_be_used_before_its_date_is_no_stock_to_reckon_with() -> None:
    plenty = [*days_of([1] * 20), stock(1, 1, 23, count=30, expiry="2026-12-08")]
    found = line(*plenty)
    assert found.unused == 20
    assert found.usable == 10
    assert found.wanted == 42 - 10
    assert found.supply.days_left == 30
    assert found.surely_by == date(2026, 11, 29) + timedelta(days=10 - 7)
    month = line(*days_of([1] * 20), stock(1, 1, 23, count=30, expiry="2026-12"))
    assert month.unused == 0


def test_a_count_without_a_date_takes_what_is_missing_of_the_first_to_expire() -> None:
    found = line(
        *days_of([1] * 14),
        stock(1, 5, 22, count=4, expiry="2026-12-05"),
        stock(2, 5, 23, delta=10, expiry="2027-06"),
        stock(3, 1, 23, count=8),
    )
    assert [(str(lot.last), int(lot.count)) for lot in found.lots] == [("2027-06-30", 8)]


# Orders and deliveries ----------------------------------------------------------------------------------


def test_a_delivery_ticks_off_orders_oldest_first_and_partly_too() -> None:
    base = [*days_of([1] * 20), stock(1, 15, count=50), ordered(2, 6, 30), ordered(3, 5, 20)]
    assert line(*base).coming == 50
    part = line(*base, stock(4, 4, 12, delta=25, reason="delivery"))
    assert [(each.order.entry.id[-1], int(each.count)) for each in part.orders] == [("2", 5), ("3", 20)]
    assert part.coming == 25
    whole = line(*base, stock(4, 4, 12, delta=25), stock(5, 3, 12, delta=40))
    assert whole.orders == ()


def test_what_should_have_come_is_shown_and_not_reckoned_with() -> None:
    base = [*days_of([1] * 20), stock(1, 15, count=50)]
    late = line(*base, ordered(2, 13, 30, expected="2026-11-28"))
    assert [(int(each.count), each.is_late) for each in late.orders] == [(30, True)]
    assert late.coming == 0
    assert line(*base, ordered(2, 13, 30, expected="2026-11-29")).coming == 30
    assert line(*base, ordered(2, 14, 30)).coming == 30
    assert line(*base, ordered(2, 15, 30)).coming == 0


def test_a_delivery_is_of_the_order_that_is_expected_not_of_one_that_never_came() -> None:
    lost = ordered(2, 40, 30, expected="2026-10-25")
    found = line(*days_of([1] * 20), stock(1, 45, count=90), lost, ordered(3, 5, 30), stock(4, 1, delta=30))
    assert [(each.order.entry.id, each.is_late) for each in found.orders] == [(lost.id, True)]
