"""Going out: what is taken along; nothing is called charged or looked at that nobody said is."""

from fractions import Fraction
from typing import Any

from carelog.analysis.in_force import Reading
from carelog.analysis.outing import GoingOut, battery_words, catheter_words, out_words
from carelog.analysis.things import things
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Moment
from tests.analysis.test_supplies import NOW
from tests.sheet.pages import entry

TUBE = {"id_mm": 8, "cuff": "air", "inner_tube": "none"}
IN_BOX = ["syringe", "ties", "dressing", "mask", "gel", "gloves", "scissors", "catheters", "tube_details"]


def back(number: int, ago: int, kind: str, **details: Any) -> Entry:
    """An entry so long ago."""
    return entry(number, Moment(NOW - ago).text().replace("+00:00", "Z"), kind, details=details)


def going(*entries: Entry) -> GoingOut:
    return things(Reading(entries), NOW).going


def told(found: GoingOut) -> dict[str, tuple[tuple[str, ...], str]]:
    return {take.words: (take.keys, take.told.replace("\xa0", " ")) for take in found.takes}


def suctions(*counts: int) -> list[Entry]:
    """So many passes on each of the days before today."""
    return [
        back(1000 + ago, ago * DAY_24_H, "suction", passes=count, route="tracheal")
        for ago, count in enumerate(counts, 1)
    ]


def test_with_nothing_recorded_all_is_asked_for_and_nothing_is_said_to_be_ready() -> None:
    found = told(going())
    assert found["portable suction"] == (("portable_suction",), "charge not recorded")
    assert found["spare-tube box"][1] == "never looked at"
    assert {"spare_same", "spare_smaller", "ties", "gloves"} <= set(found["spare-tube box"][0])
    assert "HME to change" not in found
    assert catheter_words(going(), Fraction(4)) == "how many isn't known from the record"


def test_what_the_box_lacked_is_a_tile_of_its_own_and_isnt_packed_with_the_box() -> None:
    found = told(
        going(
            back(1, 9 * DAY_24_H, "tube_change", **TUBE),
            back(
                2,
                DAY_24_H,
                "box_check",
                present=[each for each in IN_BOX if each != "scissors"],
                opened=["scissors"],
                missing=["spare_smaller"],
                spare_same={"id_mm": 8, "cuff": "air"},
                expiries={"ties": "2026-11"},
            ),
        )
    )
    keys, words = found["spare-tube box"]
    assert words == "looked at Sat 28 12:00"
    assert set(keys) == {"spare_same", "syringe", "ties", "dressing", "mask", "gloves", "tube_details"}
    assert found["spare tube, smaller"] == (("spare_smaller",), "was missing, Sat 28 12:00")
    assert found["round-ended scissors"][1] == "was opened, Sat 28 12:00"
    every = [key for each, _ in found.values() for key in each]
    assert len(every) == len(set(every))


def test_a_child_without_cuff_and_inner_tube_is_asked_for_neither_syringe_nor_inner_tubes() -> None:
    child = {"id_mm": 3.5, "cuff": "none", "inner_tube": "none"}
    found = told(
        going(
            back(1, 99 * DAY_24_H, "person", name="Odette", born="2024-05-09"),
            back(2, 9 * DAY_24_H, "tube_change", **child),
        )
    )
    assert not {"syringe", "inner_tubes"} & set(found["spare-tube box"][0])
    assert {"spare_same", "spare_smaller"} <= set(found["spare-tube box"][0])


def test_a_box_looked_at_before_the_tube_was_placed_counts_as_not_looked_at() -> None:
    found = told(
        going(
            back(1, 9 * DAY_24_H, "box_check", present=IN_BOX, missing=["spare_smaller"]),
            back(2, DAY_24_H, "tube_change", **TUBE),
        )
    )
    assert found["spare-tube box"][1] == "not looked at since the tube was placed"
    assert "spare_smaller" in found["spare-tube box"][0]


def test_the_charge_and_the_battery_are_those_of_the_suction_machines() -> None:
    machine = {"device": "suction_machine", "works": True}
    found = going(
        back(1, 3 * HOUR, "equipment_check", device="nebuliser", works=True, charged=True),
        back(2, 2 * HOUR, "equipment_check", charged=False, **machine),
        back(3, 5 * DAY_24_H, "equipment_check", on_battery_min=65, **machine),
    )
    assert told(found)["portable suction"][1] == "Suction machine not charged 10:00"
    assert "The 4 h planned are longer than that." in battery_words(found, Fraction(4)).replace("\xa0", " ")
    assert battery_words(found, Fraction(1)).replace("\xa0", " ").endswith("Planned: 1 h.")
    assert "Nobody wrote down" in battery_words(going(), Fraction(1))


def test_catheters_for_some_hours_follow_the_usual_and_how_far_days_differ() -> None:
    calm = going(*suctions(*[16] * 20))
    wild = going(*suctions(*[4, 28] * 10))
    assert calm.catheters(Fraction(4)) == (4, 4)
    usual, enough = wild.catheters(Fraction(4)) or (0, 0)
    assert (usual, enough > 12) == (4, True)
    assert (wild.catheters(Fraction(8)) or (0, 0))[1] > enough
    mouth = [back(2000 + n, n * DAY_24_H, "suction", route="oral", passes=9) for n in range(1, 20)]
    assert going(*suctions(*[16] * 20), *mouth).catheters(Fraction(4)) == (4, 4)
    assert going(*suctions(*[16] * 9)).catheters(Fraction(4)) is None


def test_the_household_adds_lines_of_its_own_and_an_hme_only_where_one_is_worn() -> None:
    found = going(
        back(1, 9 * DAY_24_H, "checklist", list="going_out", items=["Old line"]),
        back(2, 8 * DAY_24_H, "checklist", list="going_out", items=["Wipes"]),
        back(3, 8 * DAY_24_H, "checklist", list="car", items=["Charger"]),
        back(4, DAY_24_H, "humidity", device="hme", action="changed"),
    )
    assert found.lists == {"going_out": ("Wipes",), "car": ("Charger",)}
    assert told(found)["Wipes"] == (("Wipes",), "")
    assert "HME to change" in told(found)
    without = told(going(back(1, DAY_24_H, "decannulation")))
    assert list(without) == ["contacts card"]


def test_out_until_somebody_is_back_with_the_hours_that_were_planned() -> None:
    leaving = back(1, 90 * MINUTE, "outing", action="leaving", hours=2.5)
    found = going(leaving)
    assert out_words(found).replace("\xa0", " ") == "Out since 10:30, planned for 2.5 h: until about 13:00."
    assert "isn't recorded" in out_words(going(back(1, HOUR, "outing", action="leaving")))
    assert going(leaving, back(2, 5 * MINUTE, "outing", action="back")).out is None
