"""What is noticed in an even household, and when; beside each silence stands a case that is flagged."""

import re
from datetime import UTC, datetime
from typing import Any

import pytest

from carelog.analysis.drawing import Fill, Rectangle
from carelog.analysis.pictures import Columns
from carelog.analysis.usual.weeks import drawn, weeks
from carelog.domain.flag import Level
from carelog.domain.moment import Home
from tests.detection.steady import Steady, by_rule, day_of, moment

CLOSING = "A comparison with your own record, not a diagnosis."


def even(days: int = 30, **how: object) -> Steady:
    household = Steady(**how)  # type: ignore[arg-type]
    household.days(0, days)
    return household


def test_an_even_household_raises_nothing() -> None:
    assert even(60).flags() == {}


def test_twice_as_many_suctions_are_noticed_within_three_days() -> None:
    household = even()
    household.days(30, 34, suctions=20)
    (flag,) = household.flags()["suction_more"]
    assert 30 < day_of(flag.raised_at) < 33
    assert flag.level is Level.CALL
    assert flag.entries


def test_nothing_is_judged_before_the_fourteenth_recorded_day() -> None:
    early, later = even(10), even(13)
    early.days(10, 13, suctions=30, consistency="sticky", colour="green")
    later.days(13, 16, suctions=30, consistency="sticky", colour="green")
    assert early.flags() == {}
    (flag,) = later.flags()["secretions_colour"]
    assert 13 <= day_of(flag.raised_at) < 14.5


def test_the_fourteenth_day_is_counted_in_recorded_days() -> None:
    household = even(7)
    household.days(12, 17)
    household.days(17, 18, suctions=30, consistency="sticky", colour="green")
    assert household.flags() == {}
    household.days(18, 20, suctions=30, consistency="sticky", colour="green")
    assert "secretions_colour" in household.flags()


def test_a_reason_names_the_time_that_it_counts_since_it_is_read_days_later() -> None:
    household = even()
    household.days(30, 34, suctions=20)
    (flag,) = household.flags()["suction_more"]
    day = r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\s\d+\s\w{3} "
    counted = re.match(rf"{day}(\d\d:\d\d) to ({day})?(\d\d:\d\d): ", flag.why)
    assert counted, flag.why
    assert counted[5] == f"{datetime.fromtimestamp(flag.raised_at / 1e6, UTC):%H:%M}"
    (later,) = [each for each in household.noticing(until=38).flags() if each.rule == "suction_more"]
    assert later.why == flag.why


def test_thicker_and_coloured_secretions_are_flags_of_their_own() -> None:
    household = even()
    household.days(30, 32, consistency="sticky", colour="yellow", amount="large", suctions=16)
    assert {"suction_more", "secretions_thicker", "secretions_colour"} <= set(household.flags())


def test_larger_amounts_alone_are_noticed() -> None:
    household = even()
    household.days(30, 33, amount="large")
    assert set(household.flags()) == {"secretions_amount"}


def test_blood_above_the_persons_own_rate_is_a_change_of_colour() -> None:
    household = even()
    household.days(30, 33, blood="streaks")
    (flag,) = household.flags()["secretions_colour"]
    assert "pink or with blood" in flag.why


def test_crusts_in_the_inner_tube_are_noticed() -> None:
    household = even()
    for day in range(30, 33):
        household.suctioned(day, 10)
        household.care(day, found="crusted")
    assert set(household.flags()) == {"inner_tube_blocking"}


def test_a_cuff_that_loses_three_times_as_much_is_noticed_but_not_by_one_wrong_reading() -> None:
    leaking, wrong = even(), even()
    for day in range(30, 33):
        leaking.suctioned(day, 10)
        leaking.care(day, loss=1.0)
    wrong.write(30.5, "cuff_pressure", value=9, unit="cmH2O", value_after=26)
    wrong.days(30, 33)
    assert set(leaking.flags()) == {"cuff_leak"}
    assert wrong.flags() == {}


def test_cuff_readings_in_other_units_are_the_same_readings() -> None:
    found = []
    for unit, in_unit in (("cmH2O", 1.0), ("mmHg", 0.735559), ("kPa", 0.0980665)):
        household = Steady()
        for day in range(34):
            household.suctioned(day, 10)
            for hour, loss in ((8, 3), (20, 4)):
                value = 26 - loss * (3 if day >= 31 else 1)
                details: dict[str, Any] = {
                    "value": round(value * in_unit, 2),
                    "value_after": round(26 * in_unit, 2),
                }
                household.write(day + hour / 24, "cuff_pressure", unit=unit, **details)
        found.append([flag.raised_at for flag in household.flags().get("cuff_leak", [])])
    assert found[0] == found[1] == found[2] != []


def test_fewer_suctions_are_a_question_where_other_care_was_recorded() -> None:
    household = even()
    household.days(30, 34, suctions=2)
    (flag,) = household.flags()["suction_less"]
    assert flag.level is Level.NOTE
    assert "Was every suction written down?" in flag.why
    assert 30.5 < day_of(flag.raised_at) < 34


def test_half_of_everything_written_down_is_no_fewer_suctions() -> None:
    household, complete = even(), even()
    household.days(30, 36)
    complete.days(30, 36)
    late = [entry for entry in household.entries if entry.at.instant >= moment(30)]
    household.entries = [entry for entry in household.entries if entry not in late[::2]]
    complete.entries = [e for e in complete.entries if e.at.instant < moment(30) or e.kind != "suction"]
    assert household.flags() == {}
    assert "suction_less" in complete.flags()


def test_days_without_any_entry_are_unknown_not_zero() -> None:
    household = even()
    household.days(34, 36)
    assert household.flags() == {}


def test_suctions_of_the_mouth_do_not_count() -> None:
    household, tracheal = even(), even()
    household.days(30, 33)
    tracheal.days(30, 33)
    for day in range(30, 33):
        for number in range(14):
            household.write(day + 0.3 + number / 24, "suction", route="oral", colour="yellow")
            tracheal.write(day + 0.3 + number / 24, "suction", route="tracheal", colour="yellow")
    assert household.flags() == {}
    assert {"suction_more", "secretions_colour"} <= set(tracheal.flags())


def test_a_new_harsher_rater_is_no_change() -> None:
    new, known = even(), even()
    new.days(30, 34, by="ZZ", consistency="thick")
    known.days(30, 34, by="AB", consistency="thick")
    assert "secretions_thicker" not in new.flags()
    assert "secretions_thicker" in known.flags()


def test_ill_days_are_judged_but_not_learnt_from() -> None:
    ill, unsaid = Steady(), Steady()
    for household in (ill, unsaid):
        household.days(0, 20)
        household.days(20, 30, suctions=12)
        household.days(30, 40)
    ill.write(20.01, "ill", action="start")
    ill.write(29.9, "ill", action="end")
    means = [_usual_mean(household) for household in (ill, unsaid)]
    assert means[0] == pytest.approx(10, abs=0.3)
    assert means[1] > means[0] + 0.3
    ill.days(40, 43, suctions=22)
    ill.write(40.01, "ill", action="start")
    assert "suction_more" in ill.flags()


def test_days_that_stand_out_by_themselves_are_not_learnt_from() -> None:
    household = even()
    household.days(30, 40, suctions=20)
    household.days(40, 44)
    assert "suction_more" in household.flags()
    assert _usual_mean(household) == pytest.approx(10, abs=0.6)


def _usual_mean(household: Steady) -> float:
    noticing = household.noticing()
    return noticing.course.usual(noticing.today, noticing.head).rate.mean


def test_raised_at_an_entry_or_at_a_quarter_of_the_homes_day() -> None:
    household = Steady(zone="Europe/London", seed=3)
    household.days(0, 100)
    household.days(100, 103, suctions=20)
    household.days(103, 106)
    found = household.noticing().flags()
    known = {entry.recorded_at for entry in household.entries}
    home = Home("Europe/London")
    assert found
    for flag in found:
        assert flag.raised_at in known or home.local(flag.raised_at).hour in (0, 6, 12, 18)
        assert flag.cleared_at is not None
        assert home.local(flag.cleared_at).strftime("%H:%M") in ("00:00", "06:00", "12:00", "18:00")
        assert flag.cleared_by == "time"


def test_the_reason_tells_period_numbers_usual_days_and_names() -> None:
    household = even()
    household.days(30, 32, consistency="sticky", suctions=18)
    flags = household.flags()
    assert "sticky or thicker, usually 0 of" in flags["secretions_thicker"][0].why
    assert "Rated by AB." in flags["secretions_thicker"][0].why
    more = flags["suction_more"][0].why
    assert "suctions in" in more
    assert "usually" in more
    assert "Compared with" in more
    assert all(
        flag.by_statistics and flag.closing.endswith(CLOSING) for each in flags.values() for flag in each
    )


def test_a_flag_names_the_entries_that_show_it_while_it_lasts() -> None:
    household = even()
    household.days(30, 33, consistency="sticky")
    (flag,) = household.flags()["secretions_thicker"]
    thick = [e.id for e in household.in_order() if e.details.get("consistency") == "sticky"]
    assert list(flag.entries) == thick


def test_an_amended_entry_no_longer_speaks_for_the_change() -> None:
    household = even()
    for day in range(30, 33):
        for entry in list(household.entries):
            if day <= day_of(entry.at.instant) < day + 1:
                household.entries.remove(entry)
    household.days(30, 33, consistency="sticky")
    before = household.flags()
    for entry in [e for e in household.entries if e.details.get("consistency") == "sticky"]:
        calm = {**entry.details, "consistency": "thin"}
        household.change(entry, day_of(entry.recorded_at) + 0.001, **calm)
    assert "secretions_thicker" in before
    assert "secretions_thicker" not in household.flags()


def test_withdrawn_suctions_do_not_count() -> None:
    household = even()
    household.days(30, 33)
    for day in range(30, 33):
        for number in range(14):
            entry = household.write(day + 0.3 + number / 24, "suction")
            household.change(entry, day_of(entry.recorded_at) + 0.0007, withdrawn=True)
    assert household.flags() == {}


def test_what_is_written_late_is_noticed_when_it_is_known() -> None:
    household = even()
    household.days(30, 33)
    for day in (30, 31):
        for number in range(14):
            household.write(day + 0.3 + number / 24, "suction", known=33.5)
    (flag,) = household.flags()["suction_more"]
    assert day_of(flag.raised_at) == pytest.approx(33.5)


@pytest.mark.parametrize("wanted", [1, 4])
def test_a_setting_of_the_plan_moves_how_early_a_flag_comes(wanted: int) -> None:
    household, usual = even(), even()
    household.write(1.0, "plan", set_by="NN", tasks=[], false_flags_a_year=wanted)
    for each in (household, usual):
        each.random.seed(5)
        each.days(30, 36, suctions=17)
    other, two = (each.flags()["suction_more"][0].raised_at for each in (household, usual))
    assert (other > two) if wanted == 1 else (other < two)


def test_flags_by_rule_keeps_every_flag() -> None:
    household = even()
    household.days(30, 32, consistency="sticky", suctions=18)
    flags = household.noticing().flags()
    assert sum(map(len, by_rule(flags).values())) == len(flags) > 1


def test_the_last_weeks_are_counted_beside_the_usual_range() -> None:
    household = even()
    household.days(31, 34, suctions=20, consistency="sticky")
    found = weeks(household.noticing(until=33.99), "suction_more")
    assert found is not None
    assert len(found.counts) == 28
    assert found.counts[-4] is None
    assert all(19 <= (count or 0) <= 21 for count in found.counts[-3:])
    assert found.newest(7).counts == found.counts[-7:]
    assert found.usual[0] <= 10 <= found.usual[1] < 19
    thick = weeks(household.noticing(until=33.99), "secretions_thicker")
    assert thick is not None
    assert thick.counts[0] == 0
    assert (thick.counts[-1] or 0) >= 19 > thick.usual[1]

    assert weeks(even(10).noticing(), "suction_more") is None


def test_a_day_in_part_shows_what_is_recorded_of_it_and_a_day_without_a_rating_shows_none() -> None:
    household = even()
    household.days(30, 34, suctions=20, consistency="sticky")
    for hour in (1, 3, 4, 5, 7):
        household.write(34 + hour / 24, "suction", consistency="sticky")
    household.write(35.3, "suction")
    judged = household.noticing(until=35.4)
    suctions, thick = weeks(judged, "suction_more"), weeks(judged, "secretions_thicker")
    assert suctions is not None
    assert thick is not None
    assert [*suctions.counts[-2:], *thick.counts[-2:]] == [5, 1, 5, None]
    assert [sorted(each.partial) for each in (suctions, thick)] == [[26, 27], [26]]
    assert sorted(suctions.newest(7).partial) == [5, 6]
    assert "Hatched: recorded in part only." in suctions.caption()
    assert "Recorded in part only: Wed\u00a04\u00a0Feb, Thu\u00a05\u00a0Feb." in suctions.days()
    fills = [part.fill for part in drawn(suctions, Columns(28, 30)).parts if isinstance(part, Rectangle)]
    assert fills.count(Fill.LIGHT) == 2
    whole = weeks(household.noticing(until=33.99), "secretions_colour")
    assert whole is not None
    assert whole.counts[-2] == 0
