"""The kit's page and the one for a power cut: each act is one press, saved, told and taken back."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Moment
from carelog.ui import repeats
from carelog.ui.kit.panel import Sight, SightSign
from carelog.ui.words import Words
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, Memory, household
from tests.ui.test_board import texts

SPARES = {"spare_same": {"id_mm": 8, "cuff": "air"}, "spare_smaller": {"id_mm": 7, "cuff": "air"}}


def written(number: int, kind: str, back: int, **details: object) -> Entry:
    """One entry of the household, `back` before now."""
    at = Moment(NOW - back)
    return Entry(
        f"60000000-0000-7000-8000-{number:012x}", kind, at, at.instant, "Europe/London", "LR", details
    )


def kept(*entries: Entry) -> Memory:
    """The made-up household with these entries too."""
    record = household()
    record.entries += entries
    return record


def kit_of(opener: Opener, record: Memory) -> Opened:
    """A window on its kit's page, read."""
    opened = opener(record)
    opened.press("go_kit")
    opened.wait(lambda: "For tonight" in texts(opened.shown()))
    return opened


def words(opened: Opened) -> str:
    """All that the page says, with plain spaces."""
    return texts(opened.shown()).replace("\N{NO-BREAK SPACE}", " ")


def ticks(opened: Opened) -> list[Sight]:
    """The shapes of the rows."""
    return [sign.state for sign in opened.shown().findChildren(SightSign) if sign.isVisibleTo(opened.shown())]


def tab_to(opened: Opened, name: str) -> None:
    """By the keyboard alone to the widget of this name."""
    for _ in range(60):
        here = opened.window.focusWidget()
        if here is not None and here.objectName() == name:
            return
        QTest.keyClick(here or opened.window, Qt.Key.Key_Tab)
    pytest.fail(f"Tab doesn't lead to {name}")


def test_of_what_nobody_looked_at_no_tick_is_shown(opener: Opener) -> None:
    opened = kit_of(opener, household())
    shown = words(opened)
    assert "ID 8 OD 11" in " ".join(shown.split())
    assert "change due Thursday 10 December, in 14 days" in shown
    assert "Box: not looked at today" in shown
    assert "Never looked through" in shown
    assert "Nothing was counted yet." in shown
    assert set(ticks(opened)) == {Sight.UNSEEN}


def test_one_press_says_that_all_is_there_and_another_takes_it_back(opener: Opener) -> None:
    last = written(1, "box_check", 2 * DAY_24_H, present=["ties"], expiries={"ties": "2028-05"}, **SPARES)
    opened = kit_of(opener, kept(last))
    assert Sight.WANTING in ticks(opened)
    assert "Gloves, wanting" in [each.accessibleName() for each in opened.shown().findChildren(Words)]
    tab_to(opened, "box_save")
    QTest.keyClick(opened.window.focusWidget(), Qt.Key.Key_Return)
    opened.wait(lambda: len(opened.written("box_check")) == 2)
    details = opened.written("box_check")[-1].details
    assert details["expiries"] == {"ties": "2028-05"}
    assert details["spare_smaller"] == SPARES["spare_smaller"]
    assert {"gel", "mask", "inner_tubes", "syringe"} <= set(details["present"])
    opened.wait(lambda: "Box looked at 03:12, nothing recorded as missing" in words(opened))
    assert set(ticks(opened)) == {Sight.THERE}
    opened.press("kit_undo")
    opened.wait(lambda: opened.record.entries[-1].withdrawn)
    opened.wait(lambda: "undone" in words(opened) and "Box: not looked at today" in words(opened))


def test_item_by_item_what_is_missing_is_recorded_with_the_rest_and_says_why_it_matters(
    opener: Opener,
) -> None:
    opened = kit_of(opener, household())
    opened.press("box_look")
    opened.press("pick_box_spare_smaller_missing")
    opened.press("pick_box_gel_opened")
    opened.press("pick_box_ties_present")
    assert opened.find("box_save").text() == "All else is there"
    opened.clock.instant += 2 * MINUTE  # what was pressed stays while time goes by
    opened.window.tick()
    opened.come_to_rest()
    opened.record.trouble = "The disk is full."
    opened.press("box_save")
    opened.wait(lambda: "The disk is full." in words(opened))
    opened.record.trouble = ""
    opened.pause()
    opened.press("box_save")  # what was found is still there
    opened.wait(lambda: len(opened.written("box_check")) == 1)
    details = opened.written("box_check")[0].details
    assert (details["missing"], details["opened"]) == (["spare_smaller"], ["gel"])
    assert "ties" in details["present"]
    opened.wait(lambda: "missing: spare tube, smaller" in words(opened))
    assert "22 had none" in words(opened)
    assert opened.window.page() == "kit"


def test_a_look_that_is_left_records_nothing(opener: Opener) -> None:
    opened = kit_of(opener, household())
    opened.press("box_look")
    opened.press("pick_box_gel_missing")
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.window.page() == "kit"
    assert opened.find("box_save").text() == "All there"
    assert opened.written("box_check") == []


def test_a_tube_change_opens_the_box_again(opener: Opener) -> None:
    opened = kit_of(opener, kept(written(1, "box_check", 25 * DAY_24_H, present=["ties"])))
    assert "The tube was changed since. Look through the box again." in words(opened)
    assert Sight.THERE not in ticks(opened)


def test_sizes_and_dates_are_typed_into_the_form_that_holds_the_last_ones(opener: Opener) -> None:
    last = written(1, "box_check", DAY_24_H, present=["ties"], expiries={"ties": "2028-05"}, **SPARES)
    opened = kit_of(opener, kept(last))
    opened.press("box_dates")
    assert opened.find("field_expiry_ties").text() == "2028-05"
    opened.find("field_expiry_ties").setText("2029-01")
    opened.press("save")
    opened.wait(lambda: len(opened.written("box_check")) == 2)
    assert opened.written("box_check")[1].details["expiries"] == {"ties": "2029-01"}
    assert opened.written("box_check")[1].details["spare_same"] == SPARES["spare_same"]


def machines() -> tuple[Entry, ...]:
    """Two suction machines, one of them by its name, with runs on battery."""
    own = {"device": "suction_machine", "works": True}
    return (
        written(1, "equipment_check", 9 * DAY_24_H, **own, name="upstairs", on_battery_min=70),
        written(2, "equipment_check", 2 * DAY_24_H, **own, name="upstairs", on_battery_min=60),
        written(3, "equipment_check", 2 * HOUR, **own, charged=True),
        written(4, "equipment_check", DAY_24_H, device="nebuliser", works=False),
    )


def test_each_machine_tells_its_last_look_and_its_runs_and_is_checked_by_its_own_name(opener: Opener) -> None:
    opened = kit_of(opener, kept(*machines()))
    shown = words(opened)
    assert "Suction machine “upstairs”" in shown
    assert "ran about 60 min on battery, by 2 runs, the newest of" in shown
    assert "doesn't work" in shown
    assert "70" in opened.find("runs_1").accessibleName()
    opened.press("check_1")
    opened.find("pick_works_true").click()
    opened.press("save")
    opened.wait(lambda: len(opened.written("equipment_check")) == 5)
    details = opened.written("equipment_check")[-1].details
    assert details == {"device": "suction_machine", "name": "upstairs", "works": True}


def test_one_press_begins_a_power_cut_and_one_ends_it(opener: Opener) -> None:
    contact = written(9, "contact", DAY_24_H, role="power network", phone="01632 960 562", **{"for": "power"})
    pump = written(10, "checklist", DAY_24_H, list="power_cut", items=["Foot pump under the bed"])
    opened = kit_of(opener, kept(*machines(), contact, pump))
    opened.press("power_off")
    opened.wait(lambda: opened.window.page() == "power")
    (cut,) = opened.written("incident")
    assert cut.details == {"what": "power_cut"}
    opened.wait(lambda: "Off since 03:12" in words(opened))
    shown = words(opened)
    assert "until about 04:12" in shown
    assert "Foot pump under the bed" in shown
    assert shown.index("power network") < shown.index("emergency, 555-0100")
    assert "Sit up. Suction. Call 555-0100." in shown
    assert "Power company's list: not recorded" in shown
    opened.clock.instant += 90 * MINUTE
    opened.window.tick()
    opened.wait(lambda: "until about 04:12, which is past" in words(opened))
    opened.pause()
    opened.press("power_on")
    opened.wait(lambda: len(opened.written("incident")) == 2)
    assert opened.written("incident")[1].details == {"what": "power_cut", "ends": cut.id}
    opened.wait(lambda: "No power cut is written down that goes on." in words(opened))


def test_a_cut_that_was_pressed_by_mistake_is_taken_back_where_one_stands(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = kit_of(opener, household())
    opened.press("power_off")
    opened.wait(lambda: opened.window.page() == "power")
    opened.press("go_kit")
    opened.wait(lambda: opened.find("kit_power").text().startswith("Power off since 03:12"))
    opened.press("kit_power")
    opened.press("power_dark")
    assert opened.window.theme.is_night
    with monkeypatch.context() as patch:
        patch.setattr(repeats, "SAME_PRESS", 60_000)  # a busy computer isn't a slow hand
        opened.press("power_on")  # the same press still: a shaking hand doesn't end what it began
    assert len(opened.written("incident")) == 1
    opened.pause()
    opened.press("power_on")
    opened.wait(lambda: len(opened.written("incident")) == 2)
    opened.press("power_undo")
    opened.wait(lambda: opened.record.entries[-1].withdrawn)
    opened.wait(lambda: "Off since 03:12" in words(opened))


@pytest.mark.parametrize(
    ("tube", "person", "said"),
    [
        (
            {"cuff": "none", "inner_tube": "none"},
            {},
            "By its inner size 12 Fr: the two rules give 12 and 12.",
        ),
        ({"cuff": "air", "inner_tube": "reusable"}, {}, "The inner tube's size isn't recorded"),
        ({"cuff": "none", "inner_tube": "none"}, {"born": "2020-01-01"}, "For a child none is worked out"),
    ],
)
def test_the_catheters_size_is_worked_out_only_where_the_rules_hold(
    opener: Opener, tube: dict[str, str], person: dict[str, str], said: str
) -> None:
    opened = kit_of(
        opener,
        kept(
            written(1, "tube_change", HOUR, id_mm=8, **tube),
            written(2, "person", HOUR, name="Nima", **person),
        ),
    )
    assert said in words(opened)


def test_supplies_stand_as_days_and_say_when_to_order(opener: Opener) -> None:
    used = [written(n, "suction", n * 2 * HOUR + DAY_24_H, catheter_fr=10) for n in range(20, 150)]
    counts = (
        written(1, "stock", HOUR, item="suction catheter 10 Fr", count=60),
        written(2, "stock", HOUR, item="saline 5 mL", delta=30),
    )
    opened = kit_of(opener, kept(*used, *counts))
    shown = words(opened)
    assert "60 left," in shown
    assert "order today" in shown
    assert "Saline 5 mL never counted" in shown
    opened.press("stock_delivered")
    assert opened.find("pick_reason_delivery").isChecked()


def test_the_page_is_opened_by_its_key_and_without_a_record_says_so(opener: Opener) -> None:
    opened = opener(Memory(), is_missing=True)
    QTest.keyClick(opened.window, Qt.Key.Key_0, Qt.KeyboardModifier.AltModifier)
    assert opened.window.page() == "kit"
    assert "There is no record here yet" in words(opened)


def test_while_the_clock_is_wrong_all_of_it_is_said_to_be_as_of_the_last_entry(opener: Opener) -> None:
    opened = kit_of(opener, household())
    present = opened.window.desk.present
    present.picture = replace(opened.picture(), as_of=NOW - DAY_24_H)
    present.when_changed.tell()
    opened.wait(lambda: "All of this is as of Wed 25 November 2026, 03:12." in words(opened))


def test_what_is_registered_is_asked_for_once(opener: Opener) -> None:
    opened = kit_of(opener, household())
    assert "Is the home on these lists?" in words(opened)
    opened.press("register_ambulance")
    assert opened.find("pick_what_ambulance").isChecked()
    opened.press("go_kit")
    opened.press("register_ask_no_more")
    opened.wait(lambda: "Is the home on these lists?" not in words(opened))
    opened.press("kit_power")  # it still stands where it matters
    opened.wait(lambda: "Ambulance service: not recorded" in words(opened))


def test_on_the_first_day_all_of_it_says_that_it_is_not_known(opener: Opener) -> None:
    opened = kit_of(opener, Memory())
    shown = words(opened)
    for said in ("No tube is recorded.", "No machine was looked at yet", "Nothing was counted yet."):
        assert said in shown
    assert set(ticks(opened)) == {Sight.UNSEEN}
    opened.press("kit_power")
    opened.wait(lambda: "No power cut is written down that goes on." in words(opened))
    for said in ("No contact recorded.", "No list yet.", "Use the plan on paper."):
        assert said in words(opened)


def test_without_cuff_and_inner_tube_neither_syringe_nor_inner_tubes_are_looked_for(opener: Opener) -> None:
    tube = written(1, "tube_change", HOUR, id_mm=4, cuff="none", inner_tube="none")
    child = written(2, "person", HOUR, name="Nima", born="2022-05-01")
    opened = kit_of(opener, kept(tube, child))
    assert "10 mL syringe" not in words(opened)
    assert "Inner tubes" not in words(opened)
    opened.press("box_save")
    opened.wait(lambda: "Box looked at 03:12, nothing recorded as missing" in words(opened))


def test_at_night_where_no_boxes_are_drawn_the_words_begin_under_the_title(opener: Opener) -> None:
    opened = kit_of(opener, household())

    def left(beginning: str) -> int:
        found = opened.shown().findChildren(Words)
        each = next(each for each in found if each.isVisible() and each.text().startswith(beginning))
        return each.mapTo(opened.window, each.rect().topLeft()).x()

    assert left("For tonight") > left("Kit")
    opened.window.preferences.change(palette="night")
    opened.wait(lambda: left("For tonight") == left("Kit"))
