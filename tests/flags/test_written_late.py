"""What is written down late is a change to the past: a flag isn't held at a level that was never true."""

import pytest

from tests.flags.story import Story, told

PLAN = '{"kind":"inner_tube","every_h":8}'
LIMITS = '{"cuff_pressure":{"low":20,"high":30,"unit":"cmH2O"}}'

DONE = "2 08:00 inner_tube outcome=cleaned"


def household() -> Story:
    """A plan with an inner tube every eight hours and limits for the cuff."""
    return Story().tell(
        "1 00:00 person name=Odette home_zone=UTC",
        f"1 00:00 plan set_by=a~nurse tasks=[{PLAN}] limits={LIMITS}",
    )


def lives(story: Story, rule: str, until: str) -> list[str]:
    """One rule's flags as they were told."""
    return [told(flag) for flag in story.flags(rule, until)]


def test_a_doing_written_down_late_makes_a_call_a_note() -> None:
    story = household().tell(
        "2 08:00 inner_tube outcome=cleaned", "2 20:00 > 3 09:00 inner_tube outcome=cleaned"
    )
    found = lives(story, "overdue", "3 09:30")
    assert found[-2:] == ["inner_tube call 2 17:00..3 09:00 entry", "inner_tube note 3 09:00.."]


def test_a_doing_after_the_level_grew_ends_the_flag_and_nothing_starts() -> None:
    story = household().tell(
        "2 08:00 inner_tube outcome=cleaned", "3 08:30 > 3 09:00 inner_tube outcome=cleaned"
    )
    assert lives(story, "overdue", "3 09:30")[-1:] == ["inner_tube call 2 17:00..3 09:00 entry"]


OUTSIDE = "cuff_pressure value=34 unit=cmH2O value_after=26"
INSIDE = "cuff_pressure value=26 unit=cmH2O"


def test_a_reading_inside_written_down_late_between_two_outside_makes_a_call_a_note() -> None:
    story = household().tell(f"2 08:00 {OUTSIDE}", f"2 16:00 {OUTSIDE}", f"2 12:00 > 2 17:00 {INSIDE}")
    assert lives(story, "cuff_high", "2 18:00") == ["call 2 08:00..2 17:00 entry", "note 2 17:00.."]


@pytest.mark.parametrize("other", ["mouth_care", "suction amount=small"])
def test_an_entry_of_long_ago_that_changes_nothing_lets_the_flag_go_on(other: str) -> None:
    story = household().tell(f"2 08:00 {OUTSIDE}", f"2 16:00 {OUTSIDE}", f"2 12:00 > 2 17:00 {other}")
    assert lives(story, "cuff_high", "2 18:00") == ["call 2 08:00.."]


def test_a_suction_written_down_late_beside_a_stuck_tube_only_lets_the_level_grow() -> None:
    story = household().tell(
        "2 08:00 inner_tube outcome=stuck", "2 07:30 > 2 09:00 suction breathing_after=harder"
    )
    assert lives(story, "stuck_inner_tube", "2 10:00") == ["urgent 2 08:00.."]
