"""Looking through the spare-tube box: what comes of it, and what is carried over."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.box import SPARES
from carelog.analysis.boxlook import ITEMS, MISSING, OPENED, THERE, WHY, BoxLook, items_of
from carelog.analysis.kit import kit
from carelog.kinds.box_check import BOX_CHECK
from tests.analysis.notebook import TUBE, Notebook, at

LAST: dict[str, Any] = {
    "present": [item for item in ITEMS if item not in ("inner_tubes", "portable_suction", "contacts")],
    "expiries": {"gel": "2028-05", "catheters": "2028-11-30"},
    "spare_same": {"id_mm": 8, "cuff": "air", "expiry": "2029-01"},
    "spare_smaller": {"id_mm": 7, "cuff": "air", "expiry": "2028-09"},
}
STATES = st.dictionaries(st.sampled_from(ITEMS), st.sampled_from([THERE, MISSING, OPENED]))


def checked(last: dict[str, Any], found: dict[str, str]) -> dict[str, Any]:
    """The check that comes of a look at which all else was there."""
    return BoxLook(tuple(items_of(last, TUBE)), found).all_else_there().check(last)


def test_all_there_says_again_what_was_typed_once_and_the_box_is_complete() -> None:
    assert checked(LAST, {}) == LAST
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("2 08:00", "box_check", **LAST)
    book.write("3 08:00", "box_check", **checked(LAST, {}))
    found = kit(book.read(), at("3 09:00")).box
    assert (found.complete, found.missing) == (True, ())


def test_what_comes_in_the_place_of_something_missing_or_opened_has_no_date_yet() -> None:
    once = checked(LAST, {"gel": MISSING, "spare_same": OPENED, "spare_smaller": MISSING})
    assert once["expiries"] == {"catheters": "2028-11-30"}
    assert once["spare_same"] == LAST["spare_same"]  # it is the same tube, out of its wrapping
    assert "spare_smaller" not in once
    again = checked(once, {})
    assert "spare_same" not in again
    assert again["present"] == LAST["present"]


def test_a_changed_tube_opens_the_box_again_and_its_old_spares_are_of_the_wrong_size() -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("2 08:00", "box_check", **LAST)
    book.write("3 08:00", "tube_change", **{**TUBE, "id_mm": 7})
    assert not kit(book.read(), at("3 09:00")).box.complete
    book.write("3 10:00", "box_check", **checked(LAST, {}))
    assert kit(book.read(), at("3 11:00")).box.wrong_size == ("spare_same", "spare_smaller")


@given(found=STATES, last=st.none() | STATES)
def test_every_look_makes_a_check_that_is_taken_and_loses_nothing_that_was_found(
    found: dict[str, str], last: dict[str, str] | None
) -> None:
    before = None if last is None else BoxLook(ITEMS, last).check(LAST)
    look = BoxLook(tuple(items_of(before, TUBE)), found).all_else_there()
    check = look.check(before)
    assert BOX_CHECK.problems(check) == []
    assert look.unseen == ()
    for item in look.items:
        assert item in check[look.found[item]]
    for item in (*SPARES, *check.get("expiries", {})):
        if item in check:
            assert look.found[item] != MISSING


def test_what_nobody_looked_at_is_in_no_list() -> None:
    look = BoxLook(("ties", "gel"), {}).find("ties", THERE)
    assert look.unseen == ("gel",)
    assert look.check(None) == {"present": ["ties"]}
    assert look.find("ties", None).check(None) == {}


def test_every_item_says_why_it_matters() -> None:
    assert set(WHY) == set(ITEMS)
