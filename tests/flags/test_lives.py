"""A flag's life: late entries, changes, rivals, doubtful clocks, tellings, levels, periods."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from carelog.analysis.flags.life import Episode
from carelog.analysis.flags.naming import named
from carelog.analysis.flags.period import flags
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, HOUR, Home, Moment
from carelog.domain.plan import Plan
from tests.flags.cases.cuff import BASE
from tests.flags.cases.time import INNER, plan
from tests.flags.story import LONG_AGO, Story, clock, told

HIGH = "2 20:10 cuff_pressure value=52 unit=cmH2O"
UTC = Home("UTC")
BEGIN = Moment.read("2026-11-28T09:00:00+00:00").instant


def flags_of(rule: str, *lines: str) -> list[str]:
    """One rule's flags of a household."""
    return [told(flag) for flag in Story().tell(*lines).flags(rule)]


# Changes to the past -------------------------------------------------------------------------------


def test_an_amended_reading_was_flagged_and_ended_when_it_was_amended() -> None:
    found = flags_of("cuff_high", *BASE, f"a: {HIGH}", "2 20:15 amend a value=25 unit=cmH2O")
    assert found == ["call 2 20:10..2 20:15 entry"]


def test_a_withdrawn_reading_was_flagged_until_then_and_again_when_that_was_undone() -> None:
    lines = [*BASE, f"a: {HIGH}", "w: 2 20:20 withdraw a", "2 20:30 withdraw w"]
    assert flags_of("cuff_high", *lines) == ["call 2 20:10..2 20:20 entry", "call 2 20:30.."]


def test_an_entry_amended_into_something_serious_raises_at_the_amendment() -> None:
    assert flags_of("blood", "a: 2 08:00 suction blood=none", "5 09:00 amend a blood=fresh") == [
        "urgent 5 09:00.."
    ]


def test_a_completion_is_the_same_evidence_and_doesnt_prolong_the_24_h() -> None:
    lines = ["a: 2 08:00 suction food_seen=true", "2 20:00 amend a food_seen=true colour=white"]
    assert flags_of("food_seen", *lines) == ["call 2 08:00..3 08:00 time"]


def test_a_completion_after_telling_doesnt_raise_it_again() -> None:
    lines = [
        "a: 2 03:00 suction blood=fresh",
        "2 03:12 seen rule=blood told=Nell",
        "2 03:20 amend a blood=fresh amount=small",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:12 entry"]


def test_an_amendment_to_another_level_is_new_evidence() -> None:
    lines = [
        "a: 2 03:00 suction catheter_passed=no",
        "2 03:12 seen rule=catheter_not_passed told=Nell",
        "2 04:00 amend a catheter_passed=tight",
    ]
    assert flags_of("catheter_not_passed", *lines) == [
        "urgent 2 03:00..2 03:12 entry",
        "call 2 04:00..3 04:00 time",
    ]


def test_an_amendment_that_shows_it_again_after_one_that_didnt_is_new_evidence() -> None:
    lines = [
        "a: 2 03:00 suction blood=fresh",
        "b: 2 03:10 amend a blood=none",
        "2 03:12 seen rule=blood told=Nell",
        "2 03:20 amend b blood=fresh",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:10 entry", "urgent 2 03:20.."]


def test_an_entry_that_comes_back_into_force_is_known_since_it_was_written() -> None:
    lines = [
        "a: 2 03:00 suction blood=fresh",
        "2 03:12 seen rule=blood told=Nell",
        "w: 2 03:20 withdraw a",
        "2 03:30 withdraw w",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:12 entry"]


def test_when_one_of_two_entries_is_withdrawn_the_flag_stays() -> None:
    lines = ["a: 2 03:00 suction blood=fresh", "2 04:00 suction colour=red", "2 05:00 withdraw a"]
    assert flags_of("blood", *lines) == ["urgent 2 03:00.."]


def test_when_the_entry_that_kept_a_call_going_is_withdrawn_it_ends() -> None:
    lines = [
        "2 08:00 suction food_seen=true",
        "b: 3 07:00 suction food_seen=true",
        "3 12:00 withdraw b",
        "3 13:00 mouth_care",
    ]
    assert flags_of("food_seen", *lines) == ["call 2 08:00..3 12:00 entry"]


def test_a_change_that_takes_the_highest_level_away_ends_the_flag_and_starts_a_lower_one() -> None:
    lines = [
        "2 08:00 suction catheter_passed=tight",
        "b: 2 09:00 suction catheter_passed=no",
        "2 10:00 withdraw b",
    ]
    assert flags_of("catheter_not_passed", *lines) == [
        "urgent 2 08:00..2 10:00 entry",
        "call 2 10:00..3 08:00 time",
    ]


def test_after_such_a_change_nothing_starts_where_the_24_h_are_over() -> None:
    lines = [
        "2 08:00 suction catheter_passed=tight",
        "b: 2 09:00 suction catheter_passed=no",
        "3 10:00 withdraw b",
    ]
    assert flags_of("catheter_not_passed", *lines) == ["urgent 2 08:00..3 10:00 entry"]


def test_a_change_of_something_else_leaves_the_level_as_it_is() -> None:
    lines = [
        "2 08:00 suction catheter_passed=no",
        "2 08:30 suction catheter_passed=tight",
        "2 08:40 > 2 08:50 seen rule=catheter_not_passed told=Nell",
        "a: 2 09:00 suction amount=small",
        "2 09:10 amend a amount=large",
    ]
    assert flags_of("catheter_not_passed", *lines) == ["urgent 2 08:00..2 08:50 entry"]


def test_a_telling_of_the_worse_alone_leaves_the_flag_at_its_level() -> None:
    lines = [
        "2 08:00 suction catheter_passed=no",
        "2 08:30 suction catheter_passed=tight",
        "2 08:10 > 2 08:50 seen rule=catheter_not_passed told=Nell",
        "a: 2 09:00 suction amount=small",
        "2 09:10 amend a amount=large",
    ]
    assert flags_of("catheter_not_passed", *lines) == ["urgent 2 08:00.."]


def test_of_two_rivals_the_one_recorded_last_counts() -> None:
    limits = '{"pulse_per_min":{"high":110}}'
    lines = [
        f"1 00:00 plan set_by=nurse limits={limits}",
        "a: 2 10:00 observations pulse_per_min=94",
        "b: 2 10:05 amend a pulse_per_min=96",
        "c: 2 10:09 amend a pulse_per_min=124",
        "3 09:00 withdraw c",
    ]
    assert flags_of("pulse", *lines) == ["call 2 10:09..3 09:00 entry"]


def test_an_amendment_moves_a_reading_out_of_the_row() -> None:
    lines = [
        *BASE,
        "a: 2 08:00 cuff_pressure value=34 unit=cmH2O value_after=26",
        "b: 2 20:00 cuff_pressure value=34 unit=cmH2O value_after=26",
        "2 21:00 withdraw a",
    ]
    assert flags_of("cuff_high", *lines) == ["call 2 08:00..2 21:00 entry", "note 2 21:00.."]


# Telling -------------------------------------------------------------------------------------------


def test_a_bleeding_written_down_after_the_telling_is_raised_anew() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "2 03:12 seen rule=blood told=Nell",
        "2 02:00 > 2 05:00 suction blood=fresh",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:12 entry", "urgent 2 05:00.."]


def test_a_telling_before_it_happened_doesnt_cover_it() -> None:
    lines = ["2 03:10 suction blood=fresh", "2 03:00 > 2 03:20 seen rule=blood told=Nell"]
    assert flags_of("blood", *lines) == ["urgent 2 03:10.."]


def test_a_telling_recorded_at_the_very_moment_covers_it_and_nothing_is_raised() -> None:
    assert flags_of("blood", "2 03:00 suction blood=fresh", "2 03:00 seen rule=blood told=Nell") == []


def test_a_telling_recorded_before_the_entry_was_known_doesnt_cover_it() -> None:
    lines = ["2 03:00 > 2 04:00 suction blood=fresh", "2 03:30 seen rule=blood told=Nell"]
    assert flags_of("blood", *lines) == ["urgent 2 04:00.."]


def test_of_two_bleedings_a_telling_covers_the_one_that_was_known() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "2 03:20 suction blood=fresh",
        "2 03:10 > 2 03:30 seen rule=blood told=Nell",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00.."]


def test_a_corrected_telling_counts_from_the_first_that_said_so() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "s: 2 03:12 seen rule=blood told=Nel",
        "2 02:00 > 2 03:30 suction blood=fresh",
        "2 04:00 amend s rule=blood told=Nell",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:12 entry", "urgent 2 03:30.."]


def test_a_telling_completed_later_counts_from_then() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "s: 2 03:12 seen rule=blood",
        "2 03:20 amend s rule=blood told=Nell",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:20 entry"]


def test_a_telling_of_another_rule_corrected_to_this_one_counts_from_then() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "s: 2 03:12 seen rule=froth told=Nell",
        "2 03:15 suction blood=fresh",
        "2 03:20 amend s rule=blood told=Nell",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00.."]


def test_a_telling_that_was_a_slip_brings_the_flag_back() -> None:
    lines = [
        "2 03:00 suction blood=fresh",
        "s: 2 03:12 seen rule=blood told=Nell",
        "9 04:00 withdraw s",
    ]
    assert flags_of("blood", *lines) == ["urgent 2 03:00..2 03:12 entry", "urgent 9 04:00.."]


def test_who_looked_is_listed_with_the_flag_and_so_is_who_looked_after_its_end() -> None:
    story = Story().tell(
        "1 00:00 seen rule=food_seen",
        "2 08:00 suction food_seen=true",
        "a: 2 09:00 seen rule=food_seen",
        "b: 2 10:00 seen rule=food_seen told=Nell",
        "c: 4 10:00 seen rule=food_seen",
        "20 10:00 seen rule=food_seen",
    )
    assert [flag.seen for flag in story.flags("food_seen")] == [story.ids("a", "b", "c")]


def test_a_look_that_was_withdrawn_is_no_look() -> None:
    story = Story().tell(
        "2 08:00 suction food_seen=true", "a: 2 09:00 seen rule=food_seen", "2 09:10 withdraw a"
    )
    assert [flag.seen for flag in story.flags("food_seen")] == [()]


def test_a_telling_of_a_rule_that_isnt_known_here_is_passed_over() -> None:
    assert flags_of("blood", "2 03:00 suction blood=fresh", "2 03:12 seen rule=moon told=Nell") == [
        "urgent 2 03:00.."
    ]


# Which entries show it -------------------------------------------------------------------------------


def test_an_amended_entry_and_its_amendment_are_both_listed() -> None:
    story = Story().tell(
        "a: 2 03:00 suction blood=fresh", "b: 2 03:05 amend a blood=fresh amount=small", "2 04:00 suction"
    )
    assert story.flags("blood")[0].entries == story.ids("a", "b")


def test_both_of_two_blood_stained_suctions_are_listed() -> None:
    story = Story().tell("a: 2 08:00 suction blood=streaks", "b: 2 09:00 suction colour=pink")
    assert story.flags("blood")[0].entries == story.ids("a", "b")


def test_an_overdue_task_lists_its_last_doing_and_silence_the_last_entry() -> None:
    story = Story().tell(plan(INNER), "a: 1 08:00 inner_tube outcome=clear", "2 19:00 suction")
    assert story.flags("overdue")[0].entries == story.ids("a")
    assert story.flags("nothing_recorded")[0].entries == story.ids("a")


def test_what_stands_lists_the_entry_that_says_so() -> None:
    story = Story().tell(
        'a: 1 08:00 box_check expiries={"gel":"2026-11-20"} missing=["gel"]',
        "b: 1 09:00 equipment_check device=nebuliser works=false",
        "c: 1 10:00 tube_change id_mm=8 cuff=air inner_tube=none next_due=2026-11-03",
    )
    assert story.flags("expiry")[0].entries == story.ids("a")
    assert story.flags("equipment")[0].entries == story.ids("b")
    assert story.flags("tube_age")[0].entries == story.ids("c")
    assert story.flags("box_incomplete")[0].entries == story.ids("a", "c")


# Clocks ----------------------------------------------------------------------------------------------


def test_a_time_ahead_of_becoming_known_counts_as_known_then() -> None:
    lines = [*BASE, "5 08:00 > 2 08:00 cuff_pressure value=34 unit=cmH2O"]
    assert flags_of("cuff_high", *lines, "2 20:00 cuff_pressure value=25 unit=cmH2O") == [
        "call 2 08:00..2 20:00 entry"
    ]


def test_a_change_is_never_known_before_what_it_changes() -> None:
    lines = ["a: 2 08:00 > 2 12:00 suction blood=fresh", "2 10:00 amend a blood=none"]
    assert flags_of("blood", *lines) == []


def test_a_period_takes_no_part_in_what_becomes_known_at_its_end() -> None:
    story = Story().tell("2 08:00 suction blood=fresh", "2 09:00 seen rule=blood told=Nell")
    assert story.flags("blood", until="2 08:00") == []
    assert [told(flag) for flag in story.flags("blood", until="2 09:00")] == ["urgent 2 08:00.."]


def live(entries: Sequence[Entry], now: str) -> list[Flag]:
    """A live reading of the last weeks."""
    return flags(entries, LONG_AGO, clock(now), live_now=clock(now))


def test_a_live_reading_takes_what_is_recorded_later_as_recorded_now_and_of_doubtful_time() -> None:
    story = Story().tell("2 03:00 > 9 03:00 suction blood=fresh", "2 04:00 seen rule=blood told=Nell")
    found = [flag for flag in live(story.entries, "2 05:00") if flag.rule == "blood"]
    assert [told(flag) for flag in found] == ["urgent 2 05:00.."]
    assert story.flags("blood", until="2 05:00") == []


def test_a_live_reading_takes_part_in_this_very_moment() -> None:
    story = Story().tell("2 05:00 suction blood=fresh")
    assert [told(flag) for flag in live(story.entries, "2 05:00")] == ["urgent 2 05:00.."]


# Another plan ----------------------------------------------------------------------------------------


def test_another_plan_takes_the_place_of_those_from_the_period_on() -> None:
    story = Story().tell(plan(INNER), "1 08:00 inner_tube outcome=clear", plan(INNER, at="2 12:00"))
    other = Plan.of("", clock("1 00:00"), {"set_by": "x", "tasks": [{"kind": "inner_tube", "every_h": 24}]})
    found = flags(story.entries, clock("1 00:00"), clock("5 00:00"), plan=other)
    assert [told(flag) for flag in found if flag.rule == "overdue"] == ["inner_tube call 2 09:00.."]


def test_another_plan_judges_readings_by_its_limits() -> None:
    story = Story().tell(*BASE, "2 08:00 cuff_pressure value=34 unit=cmH2O")
    limits = {"cuff_pressure": {"low": 20, "high": 40, "unit": "cmH2O"}}
    other = Plan.of("", clock("1 00:00"), {"set_by": "x", "limits": limits})
    found = flags(story.entries, clock("1 00:00"), clock("5 00:00"), plan=other)
    assert [flag for flag in found if flag.rule == "cuff_high"] == []


def test_another_plan_counts_even_where_none_was_recorded() -> None:
    limits = {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}
    other = Plan.of("", clock("1 00:00"), {"set_by": "x", "limits": limits})
    story = Story().tell("2 08:00 cuff_pressure value=34 unit=cmH2O")
    found = flags(story.entries, clock("1 00:00"), clock("5 00:00"), plan=other)
    assert [told(flag) for flag in found if flag.rule == "cuff_high"] == ["call 2 08:00.."]


# Ends in words ---------------------------------------------------------------------------------------

ENDS = {
    "told Nell 03:12": ("blood", ["2 03:00 suction blood=fresh", "2 03:12 seen rule=blood told=Nell"]),
    "next reading 26\N{NO-BREAK SPACE}cmH2O": (
        "cuff_high",
        [*BASE, HIGH, "2 21:00 cuff_pressure value=26 unit=cmH2O"],
    ),
    "cuff down 21:00": ("cuff_high", [*BASE, HIGH, "2 21:00 cuff_state state=down"]),
    "not written again for 24 h; nobody recorded telling anyone": (
        "food_seen",
        ["2 08:00 suction food_seen=true"],
    ),
    "the entry was changed": ("blood", ["a: 2 03:00 suction blood=fresh", "2 03:12 withdraw a"]),
    "next recorded 19:00": ("overdue", [plan(INNER), "1 19:00 inner_tube outcome=clear"]),
    "its end was recorded": (
        "incident",
        ["a: 2 08:00 incident what=power_cut", "2 09:00 incident what=other ends=@a"],
    ),
}


@pytest.mark.parametrize("words", ENDS)
def test_an_ended_flag_says_how_it_ended(words: str) -> None:
    rule, lines = ENDS[words]
    assert Story().tell(*lines).flags(rule)[0].ended == words


def test_a_reading_amended_to_one_inside_isnt_called_the_next_reading() -> None:
    story = Story().tell(*BASE, f"a: {HIGH}", "2 20:15 amend a value=25 unit=cmH2O")
    assert [flag.ended for flag in story.flags("cuff_high")] == ["the entry was changed"]


def test_an_entry_of_a_zone_elsewhere_changes_no_moment() -> None:
    story = Story().tell("2 03:00 suction blood=fresh", "2 03:12 seen rule=blood told=Nell")
    moved = [replace(each, at=Moment(each.at.instant, 600), zone="Pacific/Guam") for each in story.entries]
    found = [told(flag) for flag in flags(moved, LONG_AGO, clock("9 00:00")) if flag.rule == "blood"]
    assert found == ["urgent 2 03:00..2 03:12 entry"]


# Told again ----------------------------------------------------------------------------------------


def test_an_ended_flag_is_told_anew_on_another_day_or_when_somebody_looked_at_it() -> None:
    ended = Episode("blood", None, Level.CALL, BEGIN, f"at {named(BEGIN)}", "", (Level.CALL, BEGIN))
    ended.cleared_at, ended.cleared_by = BEGIN + HOUR, "entry"
    first = ended.flag(UTC, BEGIN + HOUR)
    assert first.headline == "At 09:00"
    assert ended.flag(UTC, BEGIN + 2 * HOUR) is first
    assert ended.flag(UTC, BEGIN + DAY_24_H).headline == "At Sat\N{NO-BREAK SPACE}28 09:00"
    assert ended.flag(Home("Asia/Tokyo"), BEGIN + HOUR).headline == "At 18:00"
    ended.seen["somebody"] = None
    assert ended.flag(UTC, BEGIN + HOUR).seen == ("somebody",)
    assert ended.flag(UTC, BEGIN + HOUR).headline == "At 09:00"


def test_a_flag_in_force_is_told_in_the_words_of_the_moment() -> None:
    standing = Episode("blood", None, Level.CALL, BEGIN, "before", "", (Level.CALL, BEGIN))
    assert standing.flag(UTC, BEGIN, ("one", "")).headline == "One"
    assert standing.flag(UTC, BEGIN, ("two", "")).headline == "Two"
