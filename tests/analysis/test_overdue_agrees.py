"""The flag `overdue` and what is due say the same: two ways of working out when a task gets late."""

from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.due import dues
from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.domain.due import DueState
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import HOUR, Instant, Moment
from tests.analysis.rhythm import NaiveTask
from tests.analysis.test_rhythm import AROUND, _details, _entry, offsets, rhythms


def _is_late(entries: list[Entry], now: Instant) -> bool:
    found = dues(Reading(entries, now), now)
    return bool(found) and found[0].state is DueState.LATE


def _in_force(found: list[Flag], now: Instant) -> bool:
    return any(
        flag.raised_at <= now and (flag.cleared_at is None or now < flag.cleared_at)
        for flag in found
        if flag.rule == "overdue"
    )


@given(
    where=st.sampled_from(AROUND),
    task=rhythms,
    doings=st.lists(offsets, max_size=3, unique=True),
    looks=st.lists(offsets, min_size=5, max_size=20),
)
def test_a_task_that_is_late_is_overdue_and_one_newly_overdue_is_late(
    where: tuple[str, str], task: NaiveTask, doings: list[Instant], looks: list[Instant]
) -> None:
    task.zone, around = where[0], Moment.read(where[1]).instant
    start, end = around - 24 * HOUR, around + 24 * HOUR
    entries = [_entry(n, "mouth_care", around + each, task.zone) for n, each in enumerate(doings, 1)]
    entries.append(_entry(0, "plan", start, task.zone, set_by="x", tasks=[_details(task)]))
    found = flags(entries, start, end)
    for look in looks:
        assert not _is_late(entries, around + look) or _in_force(found, around + look)
    for flag in found:
        if flag.rule == "overdue":
            assert _is_late(entries, flag.raised_at)
            assert not _is_late(entries, flag.raised_at - 1)
