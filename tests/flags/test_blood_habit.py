"""Blood-stained suctions that are usual for the person: counted back in recorded days from the second one."""

import pytest

from carelog.analysis.flags.period import flags
from tests.flags.story import LONG_AGO, Story, clock, told

TODAY = 60


def blood_on(*days_before: int, unrecorded: tuple[int, ...] = ()) -> list[str]:
    """The blood flag of a second stained suction today, after pairs so many recorded days before."""
    story = Story()
    for day in range(1, TODAY + 1):
        if day not in unrecorded:
            story.tell(f"{day} 05:00 mouth_care")
        if TODAY - day in (0, *days_before):
            story.tell(f"{day} 08:00 suction blood=streaks", f"{day} 09:00 suction blood=streaks")
    today = clock(f"{TODAY} 00:00")
    return [told(flag) for flag in flags(story.entries, today, today * 2) if flag.rule == "blood"]


CALLS = [f"call {TODAY} 09:00..{TODAY + 1} 09:00 time"]


@pytest.mark.parametrize(
    ("days_before", "calls"),
    [
        ((), True),
        ((10, 20), True),
        ((10, 20, 30), False),
        ((3, 20, 30), False),
        ((2, 20, 30), True),
        ((1, 2, 30), True),
        ((20, 30, 44), False),
        ((20, 30, 45), True),
    ],
)
def test_three_days_of_the_42_before_the_newest_three_make_it_usual(
    days_before: tuple[int, ...], calls: bool
) -> None:
    found = blood_on(*days_before)
    assert bool(found) == calls
    assert all(flag.endswith(CALLS[0][-len("61 09:00 time") :]) for flag in found)


def test_days_without_an_entry_arent_counted() -> None:
    assert blood_on(20, 30, 45, unrecorded=(TODAY - 5,)) == []
    assert blood_on(20, 30, 46, unrecorded=(TODAY - 5,)) == CALLS


def test_a_pair_that_spans_midnight_happened_on_the_day_of_its_second() -> None:
    story = Story()
    for day in range(1, TODAY + 1):
        story.tell(f"{day} 05:00 mouth_care")
        if TODAY - day in (20, 30, 46):
            story.tell(f"{day} 23:00 suction blood=streaks", f"{day + 1} 01:00 suction blood=streaks")
    story.tell(f"{TODAY} 08:00 suction blood=streaks", f"{TODAY} 09:00 suction blood=streaks")
    today = clock(f"{TODAY} 00:00")
    found = [told(flag) for flag in flags(story.entries, today, today * 2) if flag.rule == "blood"]
    assert found == CALLS


def test_fresh_blood_is_urgent_however_usual_stains_are() -> None:
    story = Story()
    for day in range(1, TODAY):
        story.tell(f"{day} 08:00 suction blood=streaks", f"{day} 09:00 suction blood=streaks")
    story.tell(f"{TODAY} 09:00 suction blood=fresh")
    found = [
        told(flag) for flag in flags(story.entries, LONG_AGO, clock(f"{TODAY} 12:00")) if flag.rule == "blood"
    ]
    assert found[-1].startswith("urgent")


def test_a_usual_day_that_turns_out_to_be_a_slip_makes_the_second_one_show() -> None:
    story = Story()
    for day in range(1, TODAY + 1):
        story.tell(f"{day} 05:00 mouth_care")
        if TODAY - day in (0, 10, 20, 30):
            story.tell(f"a{day}: {day} 08:00 suction blood=streaks", f"{day} 09:00 suction blood=streaks")
    story.tell(f"{TODAY} 15:00 withdraw a{TODAY - 20}")
    today = clock(f"{TODAY} 00:00")
    found = [told(flag) for flag in flags(story.entries, today, today * 2) if flag.rule == "blood"]
    assert found == [f"call {TODAY} 15:00..{TODAY + 1} 09:00 time"]
