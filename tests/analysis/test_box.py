"""The spare-tube box held against the tube in place."""

from typing import Any

import pytest

from carelog.analysis.kit import kit
from tests.analysis.notebook import TUBE, Notebook, at

ALL_ITEMS = [
    "spare_same",
    "spare_smaller",
    "inner_tubes",
    "syringe",
    "ties",
    "dressing",
    "mask",
    "gel",
    "gloves",
    "scissors",
    "catheters",
    "tube_details",
]
REUSABLE: dict[str, Any] = {"id_mm": 8, "cuff": "air", "inner_tube": "reusable", "inner_id_mm": 6.5}
BARE: dict[str, Any] = {"id_mm": 8, "cuff": "none", "inner_tube": "none"}


def box(
    tube: dict[str, Any] | None = None,
    plan: dict[str, Any] | None = None,
    person: dict[str, Any] | None = None,
    **check: Any,
) -> Any:
    """The box's answer, the tube placed on the 1st, the box checked on the 2nd, asked on the 3rd."""
    book = Notebook()
    if person is not None:
        book.write("1 07:00", "person", name="Odette", **person)
    if tube is not None:
        book.write("1 08:00", "tube_change", **tube)
    if plan is not None:
        book.plan("1 08:00", **plan)
    book.write("2 08:00", "box_check", **check)
    return kit(book.read(), at("3 08:00")).json()["box"]


def without(*items: str) -> list[str]:
    return [item for item in ALL_ITEMS if item not in items]


def test_a_box_with_everything_is_complete() -> None:
    assert box(REUSABLE, present=ALL_ITEMS) == {
        "complete": True,
        "missing": [],
        "opened": [],
        "expired": [],
        "expiring": [],
        "wrong_size": [],
        "checked_at": "2026-11-02T08:00:00+00:00",
    }


@pytest.mark.parametrize("item", ALL_ITEMS)
def test_each_item_in_no_list_is_missing(item: str) -> None:
    found = box(REUSABLE, present=without(item))
    assert (found["missing"], found["complete"]) == ([item], False)


@pytest.mark.parametrize("item", ["portable_suction", "contacts", *ALL_ITEMS])
def test_what_is_listed_as_missing_always_counts_even_beside_present(item: str) -> None:
    found = box(BARE, present=ALL_ITEMS, missing=[item])
    assert (found["missing"], found["complete"]) == ([item], False)


@pytest.mark.parametrize("item", ALL_ITEMS)
def test_an_opened_item_is_there_but_the_box_is_not_complete(item: str) -> None:
    found = box(REUSABLE, present=without(item), opened=[item])
    assert (found["missing"], found["opened"], found["complete"]) == ([], [item], False)


def test_an_expiry_alone_puts_nothing_into_the_box() -> None:
    assert box(REUSABLE, present=without("gel"), expiries={"gel": "2029-01"})["missing"] == ["gel"]


def test_lists_are_sorted() -> None:
    found = box(REUSABLE, present=ALL_ITEMS, missing=["ties", "gel", "mask"], opened=["scissors", "dressing"])
    assert (found["missing"], found["opened"]) == (["gel", "mask", "ties"], ["dressing", "scissors"])


@pytest.mark.parametrize("item", ["spare_same", "spare_smaller"])
def test_a_spares_details_say_that_it_is_there(item: str) -> None:
    details = {"id_mm": 8 if item == "spare_same" else 7, "cuff": "air"}
    assert box(REUSABLE, present=without(item), **{item: details})["complete"] is True
    assert box(REUSABLE, present=without(item), **{item: {}})["missing"] == [item]


@pytest.mark.parametrize(
    ("tube", "spare", "needed"),
    [
        (BARE, None, False),
        (BARE, {"id_mm": 8, "cuff": "air"}, True),
        (BARE, {"id_mm": 8, "cuff": "none"}, False),
        (TUBE, None, True),
        ({**TUBE, "cuff": "foam"}, None, True),
    ],
)
def test_a_syringe_is_needed_with_a_cuffed_tube_in_place_or_in_the_box(
    tube: dict[str, Any], spare: dict[str, Any] | None, needed: bool
) -> None:
    spares = {} if spare is None else {"spare_same": spare}
    found = box(tube, present=without("syringe"), **spares)
    assert found["missing"] == (["syringe"] if needed else [])


@pytest.mark.parametrize(("inner", "needed"), [("none", False), ("disposable", True), ("reusable", True)])
def test_inner_tubes_are_needed_with_an_inner_tube(inner: str, needed: bool) -> None:
    found = box({**TUBE, "inner_tube": inner}, present=without("inner_tubes"))
    assert found["missing"] == (["inner_tubes"] if needed else [])


SAME = [
    (TUBE, {"id_mm": 8, "cuff": "air"}, []),
    (TUBE, {"id_mm": 8.0, "cuff": "air"}, []),
    (TUBE, {"id_mm": 8.5, "cuff": "air"}, ["spare_same"]),
    (TUBE, {"id_mm": 7.5, "cuff": "air"}, ["spare_same"]),
    (TUBE, {"id_mm": 8, "cuff": "none"}, ["spare_same"]),
    (TUBE, {"id_mm": 8, "cuff": "water"}, ["spare_same"]),
    (TUBE, {"expiry": "2029-01"}, []),
    (BARE, {"id_mm": 8, "cuff": "air"}, []),
    (BARE, {"id_mm": 7, "cuff": "none"}, ["spare_same"]),
]


@pytest.mark.parametrize(("tube", "spare", "wrong"), SAME)
def test_the_same_spare_has_the_inner_diameter_and_the_cuff_of_the_tube_in_place(
    tube: dict[str, Any], spare: dict[str, Any], wrong: list[str]
) -> None:
    found = box(tube, present=ALL_ITEMS, spare_same=spare)
    assert (found["wrong_size"], found["complete"]) == (wrong, not wrong)


SMALLER = [
    (8, None, 7, []),
    (8, None, 7.9, []),
    (8, None, 8, ["spare_smaller"]),
    (8, None, 9, ["spare_smaller"]),
    (8, 1, 7, []),
    (8, 1, 7.1, ["spare_smaller"]),
    (8, 0.5, 7.5, []),
    (3, 0.5, 2.5, []),
    (2.5, 0.5, 2.5, []),
    (2.5, None, 3, ["spare_smaller"]),
]


@pytest.mark.parametrize(("id_mm", "step", "spare", "wrong"), SMALLER)
def test_the_smaller_spare_is_smaller_by_the_plans_step_where_it_gives_one(
    id_mm: float, step: float | None, spare: float, wrong: list[str]
) -> None:
    plan = {} if step is None else {"spare_step_mm": step}
    found = box(
        {**TUBE, "id_mm": id_mm}, plan, present=ALL_ITEMS, spare_smaller={"id_mm": spare, "cuff": "air"}
    )
    assert found["wrong_size"] == wrong


def test_of_the_smallest_tube_no_smaller_spare_is_asked_for() -> None:
    assert box({**TUBE, "id_mm": 2.5}, present=without("spare_smaller"))["missing"] == []
    assert box({**TUBE, "id_mm": 3}, present=without("spare_smaller"))["missing"] == ["spare_smaller"]


ADULT, CHILD = {"born": "2008-11-03"}, {"born": "2008-11-04"}
CUFFS = [
    ("none", "none", None, ADULT, ["spare_smaller"]),
    ("none", "none", None, CHILD, []),
    ("none", "none", None, None, []),
    ("none", "none", True, ADULT, ["spare_smaller"]),
    ("none", "none", True, CHILD, ["spare_smaller"]),
    ("none", "none", True, None, ["spare_smaller"]),
    ("none", "none", False, ADULT, []),
    ("air", "none", None, ADULT, []),
    ("none", "air", None, ADULT, []),
    ("air", "air", None, ADULT, []),
    ("air", "none", None, CHILD, []),
    ("air", "none", False, ADULT, []),
]


@pytest.mark.parametrize(("same", "smaller", "cuffed", "born", "wrong"), CUFFS)
def test_of_a_tube_without_a_cuff_one_spare_has_one_as_the_plan_says_else_for_an_adult(
    same: str, smaller: str, cuffed: bool | None, born: dict[str, Any] | None, wrong: list[str]
) -> None:
    plan = {} if cuffed is None else {"cuffed_spare": cuffed}
    spares = {"spare_same": {"id_mm": 8, "cuff": same}, "spare_smaller": {"id_mm": 7, "cuff": smaller}}
    assert box(BARE, plan, born, present=ALL_ITEMS, **spares)["wrong_size"] == wrong
    if cuffed is None:
        assert box(BARE, None, born, present=ALL_ITEMS, **spares)["wrong_size"] == wrong


def test_a_spare_that_is_missing_is_not_of_wrong_size_as_well() -> None:
    found = box(TUBE, missing=["spare_same"], present=ALL_ITEMS, spare_same={"id_mm": 9, "cuff": "air"})
    assert (found["missing"], found["wrong_size"]) == (["spare_same"], [])


DATES = [
    ("2026-11-02", ["gel"], []),
    ("2026-11-03", [], ["gel"]),
    ("2026-12-03", [], ["gel"]),
    ("2026-12-04", [], []),
    ("2026-10", ["gel"], []),
    ("2026-11", [], ["gel"]),
    ("2026-12", [], []),
]


@pytest.mark.parametrize(("date", "expired", "expiring"), DATES)
def test_a_date_is_good_to_its_end_and_is_near_for_thirty_days(
    date: str, expired: list[str], expiring: list[str]
) -> None:
    found = box(REUSABLE, present=ALL_ITEMS, expiries={"gel": date})
    assert (found["expired"], found["expiring"], found["complete"]) == (expired, expiring, not expired)


def test_of_two_dates_of_a_spare_the_earlier_counts() -> None:
    spare = {"id_mm": 8, "cuff": "air", "expiry": "2026-11-02"}
    found = box(TUBE, present=ALL_ITEMS, spare_same=spare, expiries={"spare_same": "2029-01"})
    assert found["expired"] == ["spare_same"]
    found = box(TUBE, present=ALL_ITEMS, spare_same={**spare, "expiry": "2029-01"})
    assert found["expired"] == []


def test_days_are_the_home_zones() -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", home_zone="Australia/Lord_Howe")
    book.write("2 08:00", "box_check", present=ALL_ITEMS, expiries={"gel": "2026-11-03"})
    assert kit(book.read(), at("3 12:59")).box.expired == ()
    assert kit(book.read(), at("3 13:00")).box.expired == ("gel",)


def test_a_later_check_without_dates_drops_those_of_the_one_before() -> None:
    book = Notebook()
    book.write("1 08:00", "box_check", present=ALL_ITEMS, expiries={"gel": "2026-11-02"}, missing=["mask"])
    book.write("2 08:00", "box_check", present=ALL_ITEMS)
    found = kit(book.read(), at("9 08:00")).box
    assert (found.expired, found.missing) == ((), ())


def test_when_the_tube_changes_the_box_is_out_of_date_at_once() -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("2 08:00", "box_check", present=ALL_ITEMS)
    assert kit(book.read(), at("3 08:00")).box.complete is True
    book.write("3 08:00", "tube_change", **{**TUBE, "ease": "failed"})
    assert kit(book.read(), at("3 08:00")).box.complete is True
    book.write("3 09:00", "tube_change", **TUBE)
    assert kit(book.read(), at("3 09:00")).box.complete is False


def test_without_a_tube_no_box_is_complete() -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("2 08:00", "decannulation")
    book.write("3 08:00", "box_check", present=ALL_ITEMS)
    found = kit(book.read(), at("3 08:00")).json()
    assert (found["tube"], found["box"]["complete"]) == (None, False)
    assert set(found["catheter_fr"].values()) == {None}


def test_what_nobody_checked_is_never_complete() -> None:
    assert box(None, present=ALL_ITEMS)["complete"] is False
    found = kit(Notebook().read(), at("3 08:00")).json()["box"]
    assert found == {
        "complete": False,
        "missing": [],
        "opened": [],
        "expired": [],
        "expiring": [],
        "wrong_size": [],
        "checked_at": None,
    }
