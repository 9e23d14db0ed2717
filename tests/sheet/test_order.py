"""The order's sheet: what runs out, how much lasts until the next one, reckoned so that one can check it."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.ordering import FOR_DAYS, OrderLine, order_lines
from carelog.domain.entry import Entry
from carelog.domain.moment import Moment
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import entry, no_flags, running, sizes, texts

DAY = date(2026, 11, 20)
NOW = Moment.read("2026-11-20T12:00:00Z").instant


def stock(number: int, day: int, item: str, **details: Any) -> Entry:
    return entry(number, f"2026-11-{day:02}T09:00:00Z", "stock", details={"item": item, **details})


HME = {"device": "hme", "action": "changed"}


def changes(first: int) -> list[Entry]:
    """An HME changed on each of 14 days."""
    return [entry(first + n, f"2026-11-{6 + n:02}T08:00:00Z", "humidity", details=HME) for n in range(14)]


def household() -> list[Entry]:
    """HME run out in 15 days; gauze in 60 days; of gel nobody knows the use; of tape nobody the count."""
    return [
        entry(1, "2026-11-01T08:00:00Z", "person", details={"name": "Odette Farrow", "born": "1961-05-09"}),
        *changes(10),
        stock(30, 19, "HME", count=15, pack_size=30),
        stock(31, 19, "gauze", count=120, per_day=2),
        stock(32, 19, "gel", count=4),
        stock(33, 19, "tape", delta=5),
    ]


def line(item: str, *more: Entry) -> OrderLine:
    reading = Reading([*household(), *more])
    return next(each for each in order_lines(reading, None, NOW) if each.supply.item == item)


def order(entries: list[Entry], **more: Any) -> bytes:
    return make(SheetRequest(name="order", day=DAY, **more), entries, find_flags=no_flags)


def test_what_is_suggested_lasts_four_weeks_beyond_lead_time_and_reserve() -> None:
    found = line("HME")
    assert (found.days, found.wanted, found.packs) == (Fraction(FOR_DAYS + 7 + 7), 42 - 15, 1)
    assert found.is_due is True
    bare = line("gauze")
    assert (bare.wanted, bare.packs, bare.is_due) == (0, None, False)


def test_lead_time_and_reserve_are_the_plans_where_it_says_them() -> None:
    details = {"set_by": "a nurse", "tasks": [], "lead_days": 14, "reserve_days": 3}
    from carelog.analysis.plans import plan_at

    reading = Reading([*household(), entry(90, "2026-11-01T08:00:00Z", "plan", details=details)])
    found = order_lines(reading, plan_at(reading, NOW), NOW)[0]
    assert (found.lead, found.reserve, found.days) == (Fraction(14), Fraction(3), Fraction(45))


def test_what_is_on_its_way_is_taken_off_until_its_day_has_passed_or_it_came() -> None:
    def ordered(number: int, **details: Any) -> Entry:
        details = {"item": "HME", "count": 10, **details}
        return entry(number, "2026-11-19T10:00:00Z", "order", details=details)

    assert line("HME", ordered(50)).wanted == 17
    assert line("HME", ordered(50, expected="2026-11-20")).wanted == 17
    assert line("HME", ordered(50, expected="2026-11-19")).wanted == 27
    assert line("HME", ordered(50), stock(51, 20, "HME", delta=10, reason="delivery")).coming == 0
    assert line("HME", ordered(50, item="gauze")).wanted == 27


def test_nothing_is_suggested_where_the_count_or_the_use_isnt_known() -> None:
    assert line("gel").wanted is None
    assert line("tape").wanted is None
    assert line("gel").is_due is None


def test_more_used_than_counted_is_no_stock_below_nothing() -> None:
    found = line("gauze", stock(60, 20, "gauze", delta=500, reason="waste"))
    assert found.supply.count is not None
    assert found.supply.count < 0
    assert found.wanted == 84


def test_a_pack_size_of_nothing_suggests_no_packs() -> None:
    assert line("HME", stock(60, 20, "HME", count=15, pack_size=0)).packs is None


@pytest.mark.parametrize(
    "fact",
    [
        "Name: Odette Farrow",
        "Born: 9 May 1961",
        "HME 30 14 (counted 15 on Thu 19 Nov)",
        "1 pack",
        "1 a day for 42 days (28, 7 lead time, 7 reserve) are 42; less 15 in stock: 27 pieces; a pack has 30",
        "gel: no use is recorded",
        "tape: the stock was never counted, no use is recorded",
        "Prescriber: name and signature",
        "What to order by 27 November 2026",
        "no contact recorded",
    ],
)
def test_each_fact_stands_on_it(fact: str) -> None:
    used = entry(29, "2026-11-20T00:00:00Z", "humidity", details={"device": "hme", "action": "changed"})
    told = running(order(household()))
    if fact.startswith("HME 30 14"):
        told = running(order([*household(), used]))
    assert fact in told


def test_the_sheet_says_how_surely_it_lasts_what_has_not_come_and_what_was_entered() -> None:
    wild = [
        entry(200 + n, f"2026-11-{2 + n // 6 * 2:02}T09:00:00Z", "humidity", details=HME) for n in range(48)
    ]
    gone = {"item": "HME", "count": 9, "expected": "2026-11-10"}
    late = entry(300, "2026-11-04T10:00:00Z", "order", details=gone)
    told = running(order([*household(), *wild, late, stock(301, 19, "wipes", count=8, per_day=1)], sure=99))
    assert "HME 30 15 (counted 15 on Thu 19 Nov) 3.57 4 (1 to 11)" in told
    assert "9 ordered Wed 4 Nov should have come by now: not reckoned with" in told
    assert "1 a day as entered for 42 days" in told
    assert "each in 99 of 100" in told


def test_only_what_is_due_within_the_lead_time_stands_on_it_unless_all_is_asked_for() -> None:
    assert "gauze" not in running(order(household()))
    everything = running(order(household(), everything=True))
    assert "gauze" in everything
    assert "gel" in everything
    assert "Nothing can be suggested: the stock was never counted, no use is recorded." in everything


def test_without_any_stock_it_says_so_and_where_nothing_is_due_by_when() -> None:
    assert "No stock was counted here so far." in running(order([]))
    ample = [*changes(10), stock(30, 19, "HME", count=900)]
    assert "nothing has to be ordered by 27 November 2026" in running(order(ample))


def test_many_items_go_on_over_pages_with_the_heads_again() -> None:
    many = [stock(100 + n, 19, f"item {n:03}", count=1, per_day=1) for n in range(80)]
    pages = texts(order(many))
    assert len(pages) > 1
    assert all("Pack size" in page for page in pages[:-1])
    told = running(order(many))
    assert all(f"item {n:03}" in told for n in range(80))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_large_print_is_sixteen_points(paper: str) -> None:
    assert min(sizes(order(household(), paper=paper, large=True))) >= 16


def test_the_page_for_a_browser_has_a_table_with_named_rows() -> None:
    page = order(household(), html=True).decode()
    assert '<th scope="row">HME</th>' in page
    assert '<th scope="col">Pack size</th>' in page


def test_fractions_of_a_piece_are_ordered_whole() -> None:
    found = line("gauze", stock(60, 20, "gauze", count=0, per_day=0.3, pack_size=5))
    assert found.supply.per_day == Fraction(3, 10)
    assert (found.wanted, found.packs) == (13, 3)
