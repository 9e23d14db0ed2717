"""The tube, the catheter sizes and the supplies."""

from typing import Any

import pytest

from carelog.analysis.kit import catheter, kit, rule_a, rule_b
from carelog.domain.moment import Home
from tests.analysis.notebook import TUBE, Notebook, at, local

# Common practice, and AARC 2010 read as "at most half" the inner diameter: the table of the care values.
SIZES = [
    (5.0, 6, 6),
    (6.0, 8, 8),
    (6.5, 8, 8),
    (7.0, 10, 10),
    (8.0, 12, 12),
    (9.0, 14, 12),
    (10.0, 16, 14),
    (2.5, 0, 2),
    (2, 0, 2),
    (1, 0, 0),
    (6.99, 8, 10),
]


@pytest.mark.parametrize(("id_mm", "first", "second"), SIZES)
def test_the_catheter_sizes_of_the_table(id_mm: float, first: int, second: int) -> None:
    found = catheter({**TUBE, "id_mm": id_mm}, None, None)
    assert (found.rule_a, found.rule_b, found.suggested) == (first, second, min(first, second))


def test_both_rules_hold_for_every_tenth_of_a_millimetre() -> None:
    for tenths in range(20, 120):
        first, second = rule_a(tenths), rule_b(tenths)
        assert first % 2 == second % 2 == 0
        assert first * 10 <= (tenths - 20) * 2 < (first + 2) * 10
        assert 2 * second * 10 <= 3 * tenths < 2 * (second + 2) * 10


@pytest.mark.parametrize(
    ("inner", "expected"),
    [
        ({"inner_tube": "none", "inner_id_mm": 5}, 12),
        ({"inner_tube": "reusable", "inner_id_mm": 6.5}, 8),
        ({"inner_tube": "disposable", "inner_id_mm": 6}, 8),
        ({"inner_tube": "reusable"}, None),
    ],
)
def test_the_inner_tube_decides_where_there_is_one(inner: dict[str, Any], expected: int | None) -> None:
    found = catheter({**TUBE, **inner}, None, None)
    assert found.suggested == expected
    if expected is None:
        assert (found.rule_a, found.rule_b) == (None, None)


@pytest.mark.parametrize(
    ("born", "suggested"), [(None, 12), ("2008-11-03", 12), ("2008-11-04", None), ("2020-01-01", None)]
)
def test_the_catheter_rules_are_for_adults(born: str | None, suggested: int | None) -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.plan("1 08:00", catheter_fr=14)
    if born:
        book.write("1 08:00", "person", name="Odette", born=born)
    found = kit(book.read(), at("3 08:00")).catheter
    assert (found.suggested, found.prescribed) == (suggested, 14)


def test_without_a_plan_or_its_catheter_nothing_is_prescribed() -> None:
    book = Notebook()
    assert kit(book.read(), at("3 08:00")).catheter.prescribed is None
    book.plan("1 08:00")
    assert kit(book.read(), at("3 08:00")).catheter.prescribed is None
    book.plan("4 08:00", catheter_fr=12)
    assert kit(book.read(), at("4 07:59")).catheter.prescribed is None
    assert kit(book.read(), at("4 08:00")).catheter.prescribed == 12


def test_a_tubes_age_is_in_local_days() -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", home_zone="Europe/London")
    home = Home("Europe/London")
    book.write("1 23:59", "tube_change", next_due="2026-11-29", lot="K2291", **TUBE)
    ages = [kit(book.read(), local(home, f"2026-11-{day} {clock}")).age_days for day, clock in AGES]
    assert ages == [0, 1, 1, 2]
    tube = kit(book.read(), at("3 08:00")).json()["tube"]
    assert (tube["age_days"], tube["next_due"], tube["lot"], tube["id_mm"]) == (2, "2026-11-29", "K2291", 8)


AGES = [("01", "23:59"), ("02", "00:00"), ("02", "23:59"), ("03", "00:00")]


def test_a_date_is_unknown_where_nobody_gave_one() -> None:
    book = Notebook()
    assert kit(book.read(), at("3 08:00")).json()["tube"] is None
    book.write("1 08:00", "tube_change", **TUBE)
    assert kit(book.read(), at("3 08:00")).json()["tube"]["next_due"] is None


def supply(book: Notebook, now: str, item: str) -> dict[str, Any]:
    found: list[dict[str, Any]] = kit(book.read(), at(now)).json()["supplies"]
    return next(each for each in found if each["item"] == item)


USES = [
    ("suction", {"catheter_fr": 10}, "suction catheter 10 Fr", 1),
    ("suction", {"catheter_fr": 10, "passes": 3}, "suction catheter 10 Fr", 3),
    ("suction", {"catheter_fr": 12}, "suction catheter 10 Fr", 0),
    ("suction", {"passes": 3}, "suction catheter 10 Fr", 0),
    ("humidity", {"device": "hme", "action": "changed"}, "HME", 1),
    ("humidity", {"device": "hme", "action": "given"}, "HME", 0),
    ("humidity", {"device": "humidifier", "action": "changed"}, "HME", 0),
    ("inner_tube", {"outcome": "replaced"}, "inner tube", 1),
    ("inner_tube", {"outcome": "cleaned"}, "inner tube", 0),
    ("stoma", {"dressing": "changed"}, "dressing", 1),
    ("stoma", {"dressing": "unchanged"}, "dressing", 0),
]


@pytest.mark.parametrize(("kind", "details", "item", "count"), USES)
def test_what_each_entry_uses_up(kind: str, details: dict[str, Any], item: str, count: int) -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item=item, count=100, reason="count")
    book.write("1 09:00", "mouth_care")
    book.write("2 08:00", kind, **details)
    found = supply(book, "3 00:00", item)
    assert (found["count"], found["per_day"]) == (100 - count, count / 2)


def test_the_count_is_the_last_count_with_what_came_and_went_since() -> None:
    book = Notebook()
    hme = {"device": "hme", "action": "changed"}
    book.write("1 07:00", "stock", item="HME", delta=1000, reason="delivery")
    book.write("1 07:30", "humidity", **hme)
    book.write("1 08:00", "stock", item="HME", count=40, reason="count")
    book.write("1 09:00", "humidity", **hme)
    book.write("2 08:00", "stock", item="HME", delta=30, reason="delivery")
    book.write("2 09:00", "stock", item="HME", delta=-5, reason="waste")
    book.write("2 10:00", "stock", item="HME", delta=2, reason="waste")
    assert supply(book, "3 00:00", "HME")["count"] == 40 - 1 + 30 - 5 - 2
    book.write("1 07:45", "humidity", known="2 12:00", **hme)
    assert supply(book, "3 00:00", "HME")["count"] == 62


def test_without_a_count_the_number_left_is_unknown() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", delta=30, reason="delivery")
    book.write("1 09:00", "humidity", device="hme", action="changed")
    assert supply(book, "2 00:00", "HME") == {
        "item": "HME",
        "count": None,
        "per_day": 1,
        "days_left": None,
        "order_by": None,
    }


def test_use_a_day_is_over_the_recorded_days_of_the_last_fourteen_full_ones() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=100)
    book.write("1 09:00", "ties", action="checked")
    hme = {"device": "hme", "action": "changed"}
    assert supply(book, "1 12:00", "HME")["per_day"] is None
    book.write("2 08:00", "humidity", **hme)
    book.write("2 20:00", "humidity", **hme)
    book.write("5 08:00", "mouth_care")
    assert supply(book, "2 21:00", "HME")["per_day"] == 0
    assert supply(book, "3 00:00", "HME")["per_day"] == 1
    assert supply(book, "6 00:00", "HME")["per_day"] == pytest.approx(2 / 3)
    assert supply(book, "15 23:59", "HME")["per_day"] == pytest.approx(2 / 3)
    assert supply(book, "16 00:00", "HME")["per_day"] == 1
    assert supply(book, "17 00:00", "HME")["per_day"] == 0
    assert supply(book, "20 00:00", "HME")["per_day"] is None


NO_CARE: list[tuple[str, dict[str, Any]]] = [
    ("note", {}),
    ("phrase", {"text": "Please suction me"}),
    ("plan", {"set_by": "a nurse"}),
    ("stock", {"item": "gauze", "count": 3}),
    ("stay", {"action": "start"}),
    ("outing", {"action": "leaving"}),
    ("shift", {"action": "start"}),
    ("seen", {"rule": "blood"}),
    ("kept_from_elsewhere", {}),
]


@pytest.mark.parametrize(("kind", "details"), NO_CARE)
def test_a_day_without_an_entry_of_care_is_no_recorded_day(kind: str, details: dict[str, Any]) -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=100)
    book.write("2 08:00", "humidity", device="hme", action="changed")
    book.write("3 08:00", kind, **details)
    assert supply(book, "4 00:00", "HME")["per_day"] == 1
    book.write("3 08:00", "cuff_state", state="up")
    assert supply(book, "4 00:00", "HME")["per_day"] == 0.5


def test_where_the_record_knows_no_use_the_newest_that_was_entered_counts() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=40, per_day=4)
    book.write("1 09:00", "stock", item="HME", delta=10, per_day=2)
    found = supply(book, "1 12:00", "HME")
    assert (found["count"], found["per_day"], found["days_left"]) == (50, 2, 25)
    assert found["order_by"] == "2026-11-12"
    book.write("2 08:00", "mouth_care")
    assert supply(book, "3 00:00", "HME")["per_day"] == 2
    book.write("3 08:00", "stock", item="HME", count=50)
    book.write("3 09:00", "humidity", device="hme", action="changed")
    assert supply(book, "4 00:00", "HME")["per_day"] == 0.5


def test_the_order_day_is_when_days_left_fall_to_lead_time_and_reserve_rounded_down() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=50)
    book.write("1 09:00", "mouth_care")
    for day in (2, 3):
        for hour in (8, 20):
            book.write(f"{day} {hour:02}:00", "humidity", device="hme", action="changed")
    found = supply(book, "4 00:00", "HME")
    assert (found["count"], found["per_day"]) == (46, pytest.approx(4 / 3))
    assert (found["days_left"], found["order_by"]) == (34.5, "2026-11-24")
    book.plan("1 00:00", lead_days=3, reserve_days=0.5)
    assert supply(book, "4 00:00", "HME")["order_by"] == "2026-12-05"
    book.plan("3 00:00", lead_days=60, reserve_days=0)
    assert supply(book, "4 00:00", "HME")["order_by"] == "2026-10-09"


def test_without_use_there_are_no_days_left_to_count() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=50)
    book.write("1 09:00", "mouth_care")
    found = supply(book, "3 00:00", "HME")
    assert (found["per_day"], found["days_left"], found["order_by"]) == (0, None, None)


def test_supplies_are_sorted_by_item_and_only_those_in_the_stock_are_listed() -> None:
    book = Notebook()
    book.write("1 08:00", "suction", catheter_fr=12)
    for item in ("gauze", "HME", "dressing"):
        book.write("1 08:00", "stock", item=item, count=5)
    found = kit(book.read(), at("3 00:00")).json()["supplies"]
    assert [each["item"] for each in found] == ["HME", "dressing", "gauze"]


def test_absurd_numbers_are_no_trouble() -> None:
    book = Notebook()
    book.write("1 08:00", "stock", item="HME", count=1.5e308)
    book.write("2 08:00", "humidity", device="hme", action="changed")
    book.write("2 09:00", "tube_change", id_mm=1e300, cuff="air", inner_tube="none", next_due="9999-12-31")
    book.write("2 09:00", "box_check", expiries={"gel": "9999-12", "mask": "0001-01-01"})
    found = kit(book.read(), at("5 00:00"))
    assert found.json()["supplies"][0]["order_by"] is None
    assert found.box.expired == ("mask",)
    assert kit(book.read(), -62135400000000000).json()["box"]["complete"] is False


def test_an_empty_record_and_a_single_entry_have_answers() -> None:
    assert kit(Notebook().read(), at("3 08:00")).json()["supplies"] == []
    book = Notebook()
    book.write("1 08:00", "note")
    found = kit(book.read(), at("3 08:00")).json()
    assert (found["tube"], found["catheter_fr"]["suggested"], found["box"]["checked_at"]) == (
        None,
        None,
        None,
    )
