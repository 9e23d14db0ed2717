"""The plan as read from its entry."""

from datetime import time

from carelog.domain.moment import HOUR, MINUTE
from carelog.domain.plan import Plan, Task

DETAILS = {
    "set_by": "Imke Dorsett",
    "quiet": ["23:00", "06:00"],
    "tasks": [
        {"kind": "inner_tube", "every_h": 8},
        {
            "kind": "humidity",
            "where": {"device": "hme"},
            "times": ["20:00", "08:00"],
            "quiet": None,
            "grace_min": 30,
        },
    ],
}


def test_a_task_takes_the_plans_quiet_hours_unless_it_says_its_own_or_none() -> None:
    plan = Plan.of("an entry", 0, DETAILS)
    assert plan.tasks[0].quiet == (time(23), time(6))
    assert plan.tasks[1].quiet is None


def test_hours_and_minutes_become_elapsed_time_and_times_are_sorted() -> None:
    first, second = Plan.of("an entry", 0, DETAILS).tasks
    assert (first.every, first.grace, first.early) == (8 * HOUR, 60 * MINUTE, 60 * MINUTE)
    assert (second.times, second.grace) == ((time(8), time(20)), 30 * MINUTE)


def test_defaults_written_out_are_no_change() -> None:
    bare = Task.of({"kind": "ties", "every_h": 24}, None)
    full = Task.of(
        {"kind": "ties", "where": {}, "every_h": 24.0, "grace_min": 60, "early_min": 5, "quiet": None}, None
    )
    other = Task.of({"kind": "ties", "every_h": 12}, None)
    assert bare.same() == full.same()
    assert bare.same() != other.same()


def test_a_tasks_key_names_the_kind_and_the_values_it_asks_for_in_the_order_of_their_names() -> None:
    assert Task.of({"kind": "ties", "every_h": 24}, None).key == "ties"
    where = {"device": "hme", "action": "changed", "x": True}
    assert (
        Task.of({"kind": "humidity", "where": where, "every_h": 24}, None).key == "humidity:changed:hme:true"
    )
