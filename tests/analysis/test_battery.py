"""Battery runs, a power cut, and what stands in the line for tonight."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.battery import MOST, RECENT, BatteryRun, lasting, pace, pace_words, picture, runs
from carelog.analysis.drawing import Dot, Label
from carelog.analysis.machines import machines
from carelog.analysis.power import open_cuts, power
from carelog.analysis.things import things
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home
from tests.analysis.notebook import TUBE, Notebook, at

NOW = at("20 20:40")
MACHINE: dict[str, Any] = {"device": "suction_machine", "works": True}


def ran(*minutes: int, back: int = 0) -> list[BatteryRun]:
    """Runs a day apart, the newest `back` days ago."""
    last = len(minutes) - 1
    return [BatteryRun(NOW - (back + last - n) * DAY_24_H, Fraction(m)) for n, m in enumerate(minutes)]


@pytest.mark.parametrize(
    ("minutes", "about", "cautious"),
    [
        ((65,), 65, 65),
        ((70, 60), 60, 60),
        ((70, 60, 65), 65, 60),
        ((50, 60, 70, 80), 60, 50),
        ((50, 60, 70, 80, 90), 70, 60),
        ((1, 50, 60, 70, 80, 90, 100, 110, 120), 80, 60),
    ],
)
def test_the_middle_and_the_lower_quartile_are_runs_that_were_seen(
    minutes: tuple[int, ...], about: int, cautious: int
) -> None:
    found = lasting(ran(*minutes), NOW)
    assert found is not None
    assert [int(found.about), int(found.cautious), found.count] == [about, cautious, min(len(minutes), 8)]


@given(st.lists(st.integers(0, MOST), min_size=1, max_size=20))
def test_no_more_than_a_quarter_of_the_newest_runs_was_shorter_than_the_cautious_time(
    minutes: list[int],
) -> None:
    found = lasting(ran(*minutes), NOW)
    assert found is not None
    newest = minutes[-8:]
    assert found.cautious in newest
    assert sum(each < found.cautious for each in newest) <= len(newest) / 4
    assert found.cautious <= found.about


def test_runs_of_the_last_90_days_count_alone_and_older_ones_are_said_to_be_old() -> None:
    old, new = ran(90, 95, back=120), ran(60, back=1)
    found = lasting([*old, *new], NOW)
    assert found is not None
    assert [int(found.about), found.count, found.is_old] == [60, 1, False]
    found = lasting(old, NOW)
    assert found is not None
    assert [int(found.about), found.is_old] == [90, True]
    edge = lasting([BatteryRun(NOW - RECENT, Fraction(60))], NOW)
    assert edge is not None
    assert not edge.is_old
    assert lasting([], NOW) is None


def test_a_run_of_months_is_a_slip_of_the_pen() -> None:
    book = Notebook()
    for hour, minutes in ((8, 65), (9, 100_000), (10, -3)):
        book.write(f"1 {hour:02}:00", "equipment_check", **MACHINE, on_battery_min=minutes)
    assert [run.minutes for run in runs(machines(book.read())[0][1].runs)] == [65]


def test_several_machines_of_a_kind_are_kept_apart_and_one_given_back_is_gone_with_its_runs() -> None:
    book = Notebook()
    book.write("1 08:00", "equipment_check", **MACHINE, name="upstairs", on_battery_min=60)
    book.write("2 08:00", "equipment_check", **MACHINE, on_battery_min=40)
    book.write("3 08:00", "equipment_check", device="nebuliser", works=True, filter_changed=True)
    book.write("4 08:00", "equipment_check", **MACHINE, name="upstairs", filter_changed=False)
    names = [machine for machine, _ in machines(book.read())]
    assert names == [("suction_machine", ""), ("suction_machine", "upstairs"), ("nebuliser", "")]
    upstairs = machines(book.read())[1][1]
    assert (upstairs.filter, len(upstairs.runs)) == (None, 1)
    book.write("5 08:00", "equipment_check", **MACHINE, name="upstairs", given_back=True)
    assert len(machines(book.read())) == 2
    book.write("6 08:00", "equipment_check", **MACHINE, name="upstairs")
    assert machines(book.read())[1][1].runs == []


def test_the_pace_is_suctions_a_recorded_day_and_unknown_where_none_is_recorded() -> None:
    book = Notebook()
    assert pace(book.read(), NOW) is None
    for day in (10, 11, 19):
        for hour in range(8, 8 + day % 10 + 1):
            book.write(f"{day} {hour:02}:00", "suction")
    book.write("20 08:00", "suction")  # today isn't over
    assert pace(book.read(), NOW) == Fraction(1 + 2 + 10, 3)
    assert pace_words(None) == ""
    assert pace_words(Fraction(13, 3)) == "In the last 14 days 4.3 suctions a day were recorded."


def test_a_line_of_runs_says_its_first_and_its_last_number_and_all_of_them_in_words() -> None:
    found = picture(ran(70, 66, 0), Home("UTC"), 300, 12)
    dots = [part for part in found.parts if isinstance(part, Dot)]
    assert len(dots) == 3
    assert dots[0].y < dots[1].y < dots[2].y  # shorter runs lie lower
    assert [part.text for part in found.parts if isinstance(part, Label)][::2] == ["70", "0"]
    assert "66" in found.words


def test_a_power_cut_goes_on_until_its_own_end_and_no_longer_than_three_days() -> None:
    book = Notebook()
    first = book.write("20 18:00", "incident", what="power_cut")
    changed = book.amend(first, "20 18:05", what="power_cut", called="nobody")
    other = book.write("20 18:10", "incident", what="power_cut")
    book.write("20 18:10", "incident", what="equipment")
    assert [held.time for held in open_cuts(book.read(), NOW)] == [at("20 18:00"), at("20 18:10")]
    book.write("20 19:00", "incident", what="power_cut", ends=changed.id)
    assert [held.entry.id for held in open_cuts(book.read(), NOW)] == [other.id]
    end = book.write("20 19:01", "incident", what="power_cut", ends=other.id.upper())
    assert open_cuts(book.read(), NOW) == []
    book.withdraw(end, "20 19:05")
    assert len(open_cuts(book.read(), NOW)) == 1
    assert open_cuts(book.read(), at("23 18:11")) == []


def test_in_a_cut_each_machine_runs_until_its_cautious_time_after_the_beginning() -> None:
    book = Notebook()
    for hour, minutes in ((8, 60), (9, 70), (10, 80), (11, 90), (12, 100)):
        book.write(f"10 {hour:02}:00", "equipment_check", **MACHINE, on_battery_min=minutes)
    book.write("11 08:00", "equipment_check", device="nebuliser", works=False, charged=False)
    before = power(book.read(), NOW)
    assert (before.since, [each.until for each in before.machines]) == (None, [None, None])
    book.write("20 20:00", "incident", what="power_cut")
    found = power(book.read(), NOW)
    assert found.since == at("20 20:00")
    assert [each.until for each in found.machines] == [at("20 20:00") + 70 * MINUTE, None]
    nebuliser = found.machines[1]
    assert (nebuliser.is_broken, nebuliser.is_not_charged) == (True, True)


@pytest.mark.parametrize(
    ("helped", "first"),
    [("nothing", "power"), ("ventilator_at_night", "power"), ("ventilator_always", "emergency")],
)
def test_the_electricity_company_is_rung_first_and_with_a_ventilator_always_the_emergency_number(
    helped: str, first: str
) -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", helped_by=helped)
    for who in ("family", "emergency", "power", "supplies"):
        book.write("1 08:00", "contact", role=who, phone="01632 960 111", **{"for": who})
    found = [held.entry.details["for"] for held in power(book.read(), NOW).contacts]
    assert found[0] == first
    assert sorted(found) == ["emergency", "family", "power"]


def tonight(book: Notebook) -> str:
    """The line for tonight at 20:40 on the 20th."""
    return " · ".join(things(book.read(), NOW).tonight)


def test_tonight_tells_only_what_was_looked_at_today() -> None:
    book = Notebook()
    assert tonight(book).split(" · ") == [
        "Box: not looked at today",
        "Suction machine: not looked at today",
        "Suction catheters: not counted today",
    ]
    book.write("1 08:00", "tube_change", **TUBE)
    book.plan("1 08:00", catheter_fr=10)
    book.write("19 08:00", "box_check", present=["ties"])
    book.write("19 08:10", "equipment_check", **MACHINE, charged=True)
    book.write("19 08:20", "stock", item="suction catheter 10 Fr", count=40)
    assert tonight(book).count("today") == 3
    book.write("20 08:10", "equipment_check", **MACHINE)
    book.write("20 08:20", "stock", item="suction catheter 10 Fr", count=40)
    assert "Suction machine looked at 08:10, recorded: works ·" in tonight(book)  # charged was said yesterday
    assert "Suction catheter 10 Fr: 40 counted" in tonight(book)
    book.write("20 08:30", "box_check", present=["ties"], missing=["gel"])
    assert "Box looked at 08:30, missing: " in tonight(book)
    assert "water-based gel" in tonight(book)


def test_a_box_that_was_looked_at_before_the_tube_was_changed_is_said_to_be() -> None:
    book = Notebook()
    book.write("20 08:00", "box_check", present=["ties"])
    book.write("20 10:00", "tube_change", **TUBE)
    assert "Box looked at 08:00, before the tube was placed" in tonight(book)


def test_without_a_tube_for_good_nothing_is_asked_of_box_and_catheters() -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("19 10:00", "decannulation")
    assert tonight(book) == "Suction machine: not looked at today"


def test_things_are_the_same_all_through_a_day_for_comparison() -> None:
    book = Notebook()
    book.write("1 08:00", "tube_change", **TUBE)
    book.write("10 08:00", "equipment_check", **MACHINE, on_battery_min=60)
    assert things(book.read(), NOW).of_day() == things(book.read(), NOW - 3 * HOUR).of_day()
    assert things(book.read(), NOW).of_day() != things(book.read(), NOW - DAY_24_H).of_day()
