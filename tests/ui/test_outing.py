"""Going out and coming home in the window: packed by tiles, there by one press, all taken back."""

import pytest

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE
from carelog.ui import repeats
from carelog.ui.outing.tile import PackTile
from tests.ui.conftest import Opened, Opener
from tests.ui.household import household
from tests.ui.test_kit import kept, kit_of, words, written


def box(**more: object) -> Entry:
    return written(1, "box_check", DAY_24_H, present=["ties", "gloves"], missing=["spare_smaller"], **more)


def page_of(opener: Opener, name: str, *entries: Entry) -> Opened:
    opened = opener(kept(*entries))
    opened.press(f"go_{name}")
    ready = {"outing": "We are leaving", "home": "What must be there"}[name]
    opened.wait(lambda: ready in words(opened) or bool(opened.window.findChildren(PackTile)))
    return opened


def tile(opened: Opened, name: str) -> PackTile:
    found = [each for each in opened.shown().findChildren(PackTile) if each.accessibleName().startswith(name)]
    return found[0]


def test_what_isnt_packed_is_told_before_the_door_and_recorded_as_missing(opener: Opener) -> None:
    opened = page_of(opener, "outing", box())
    assert "Nothing is packed yet." in words(opened)
    tile(opened, "Portable suction").click()
    tile(opened, "Spare-tube box").click()
    assert "packed" in tile(opened, "Portable suction").accessibleName()
    assert "spare tube, smaller" in words(opened).split("Still missing")[1]
    opened.press("pick_outing_hours_3")
    opened.press("outing_leave")
    opened.wait(lambda: len(opened.written("outing")) == 1)
    details = opened.written("outing")[0].details
    assert (details["action"], details["hours"]) == ("leaving", 3)
    assert {"portable_suction", "ties", "gloves"} <= set(details["packed"])
    assert {"spare_smaller", "catheters", "gel"} <= set(details["missing"])
    assert not set(details["packed"]) & set(details["missing"])
    opened.wait(lambda: "Out since 03:12, planned for 3 h: until about 06:12." in words(opened))
    assert "Not packed then:" in words(opened)
    opened.press("outing_undo")
    opened.wait(lambda: opened.record.entries[-1].withdrawn)
    opened.wait(lambda: "Still missing" in words(opened))
    assert tile(opened, "Portable suction").isChecked()


def test_who_leaves_without_using_the_tiles_says_nothing_of_what_is_packed(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = page_of(opener, "outing", box())
    tile(opened, "Water-based gel").click()
    opened.pause()
    tile(opened, "Water-based gel").click()
    opened.press("outing_leave")
    opened.wait(lambda: len(opened.written("outing")) == 1)
    assert opened.written("outing")[0].details == {"action": "leaving"}
    opened.wait(lambda: "Out since 03:12" in words(opened))
    with monkeypatch.context() as patch:
        patch.setattr(repeats, "SAME_PRESS", 60_000)  # a busy computer isn't a slow hand
        opened.press("outing_back")  # a hand's second press, where the first button was
    opened.clock.instant += HOUR
    opened.pause()
    opened.press("outing_back")
    opened.wait(lambda: len(opened.written("outing")) == 2)
    assert opened.written("outing")[1].details == {"action": "back"}


def test_who_is_back_begins_with_nothing_packed(opener: Opener) -> None:
    opened = page_of(opener, "outing", box())
    tile(opened, "Water-based gel").click()
    opened.clock.instant += MINUTE
    opened.press("outing_leave")
    opened.wait(lambda: "Out since" in words(opened))
    opened.clock.instant += HOUR
    opened.pause()
    opened.press("outing_back")
    opened.wait(lambda: "Nothing is packed yet." in words(opened))


def test_a_pressed_tile_can_be_taken_back_and_isnt_kept_for_another_day(opener: Opener) -> None:
    opened = page_of(opener, "outing", box())
    tile(opened, "Water-based gel").click()
    assert "not packed" not in tile(opened, "Water-based gel").accessibleName()
    opened.pause()
    tile(opened, "Water-based gel").click()
    assert "Nothing is packed yet." in words(opened)
    tile(opened, "Contacts card").click()
    opened.press("go_board")
    opened.clock.instant += 13 * HOUR
    opened.press("go_outing")
    opened.wait(lambda: "Nothing is packed yet." in words(opened))


def test_the_cars_lines_come_along_by_car_and_lists_are_changed_in_their_form(opener: Opener) -> None:
    lines = written(2, "checklist", DAY_24_H, list="car", items=["Charger for the car"])
    opened = page_of(opener, "outing", box(), lines)
    count = len(opened.shown().findChildren(PackTile))
    opened.press("pick_outing_car_true")
    assert len(opened.shown().findChildren(PackTile)) == count + 1
    opened.press("outing_list_car")
    assert opened.window.page() == "form"
    opened.press("throw_away")
    assert opened.window.page() == "outing"


def test_there_by_one_press_and_taken_back_by_another(opener: Opener) -> None:
    opened = page_of(opener, "home")
    opened.press("home_there_0")
    opened.wait(lambda: len(opened.written("arrangement")) == 1)
    what = opened.written("arrangement")[0].details["what"]
    assert opened.written("arrangement")[0].details == {"what": what, "done": True}
    opened.wait(lambda: "There, by what was recorded" in words(opened))
    opened.press("home_undo")
    opened.wait(lambda: opened.record.entries[-1].withdrawn)
    opened.wait(lambda: "There, by what was recorded" not in words(opened))


def test_who_learns_is_chosen_once_and_stands_in_each_form(opener: Opener) -> None:
    opened = page_of(
        opener, "home", written(1, "training", DAY_24_H, task="suction", who="Petra", shown_by="Nell")
    )
    assert "Petra, shown Wed 25 Nov by Nell, alone: not recorded" in words(opened)
    opened.press("pick_home_learner_Petra")
    opened.press("home_alone_1")
    assert opened.find("field_task").text() == "suction"
    assert opened.find("field_who").text() == "Petra"
    opened.press("save")
    opened.wait(lambda: len(opened.written("training")) == 2)
    assert opened.written("training")[1].details == {"task": "suction", "who": "Petra", "done_alone": True}
    opened.wait(lambda: opened.window.page() == "home" and "alone Thu 26 Nov" in words(opened))


def test_time_that_goes_by_doesnt_unpack(opener: Opener) -> None:
    opened = page_of(opener, "outing", box())
    tile(opened, "Water-based gel").click()
    opened.clock.instant += 2 * MINUTE
    opened.window.tick()
    assert tile(opened, "Water-based gel").isChecked()


def test_a_household_that_never_counted_anything_can_go_out_and_come_home(opener: Opener) -> None:
    record = household()
    record.entries = [each for each in record.entries if each.kind in ("person", "recorder")]
    opened = opener(record)
    opened.press("go_outing")
    opened.wait(lambda: "how long" in words(opened).lower())
    assert "never looked at" in tile(opened, "Spare-tube box").accessibleName()
    opened.press("go_home")
    opened.wait(lambda: "What must be there" in words(opened))


def uneven(days: int) -> list[Entry]:
    """Catheters on each of the days before today: three, then nine, and so on."""
    return [
        written(1000 + 10 * ago, "suction", ago * DAY_24_H, catheter_fr=10, passes=9 if ago % 2 else 3)
        for ago in range(1, days + 1)
    ]


def test_how_surely_the_supplies_must_last_is_chosen_and_moves_the_order_day(opener: Opener) -> None:
    plan = written(3, "plan", HOUR, set_by="a nurse", tasks=[], lead_days=7, reserve_days=0)
    count = written(4, "stock", HOUR, item="suction catheter 10 Fr", count=120)
    saline = written(5, "stock", HOUR, item="saline 5 mL", count=60, per_day=3)
    old = written(6, "stock", 9 * HOUR, item="gel", count=3, expiry="2026-10")
    more = written(7, "stock", 8 * HOUR, item="gel", delta=2, expiry="2027-05", per_day=0.1)
    opened = kit_of(opener, kept(plan, count, saline, old, more, *uneven(40)))
    opened.wait(lambda: "20 (15 to 27) days" in words(opened))
    assert "order by Fri 4 Dec" in words(opened)
    assert "60 left, 3 a day as entered" in words(opened)
    assert "Out of date: 3." in words(opened)
    opened.press("pick_kit_sure_99")
    opened.wait(lambda: "each in 99 of 100" in words(opened) and "20 (13 to 30)" in words(opened))
    assert "order by Wed 2 Dec" in words(opened)
    assert opened.window.preferences.now.sure == 99
