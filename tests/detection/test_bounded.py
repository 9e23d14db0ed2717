"""Nothing older than what is declared takes part: flags from a bounded past are those from everything."""

from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.period import flags
from carelog.analysis.past import PastWindow
from carelog.analysis.usual.settling import LOOKS_BACK_RECORDED, Begun
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, Instant, Moment
from tests.detection.bounded import Record, shown
from tests.detection.steady import TUBE, Steady, day_of, moment
from tests.ui.household import Memory

SHOWN = 7  # days for which an ended flag is shown
CHANGES = {
    "more": {"suctions": 20},
    "thick": {"consistency": "sticky"},
    "new rater": {"consistency": "sticky", "by": "ZZ"},
    "green": {"colour": "green", "suctions": 15},
    "blood": {"blood": "streaks"},
    "fewer": {"suctions": 1},
}
OTHERS = ("leak", "drift", "gap", "stay", "silence", "ill", "tube", "size", "plan")


def household(seed: int, days: int) -> tuple[Steady, int]:
    """A household with weeks as usual between changes, gaps, stays, restarts; and how many days it has."""
    random, day = Random(seed), 0
    found = Steady(seed=seed, zone=random.choice(("UTC", "Europe/London", "Asia/Tokyo")))
    while day < days:
        calm = random.randint(15, 60)
        found.days(day, day + calm, by=random.choice(("AB", "AB", "CD")))
        day += calm
        length = random.randint(2, 20)
        what = random.choice((*CHANGES, *OTHERS))
        if what in CHANGES:
            found.days(day, day + length, **CHANGES[what])  # type: ignore[arg-type]
        else:
            other(found, what, day, length, random)
        day += length
    spoil(found, day, random)
    return found, day


def other(found: Steady, what: str, day: int, length: int, random: Random) -> None:
    """A time that isn't only another way of suctioning."""
    end = day + length
    if what in ("stay", "ill"):
        found.write(day, what, action="start")
        found.write(end, what, action="end")
    if what == "gap":
        found.write(end, "gap", since=Moment(moment(day)).text())
    if what in ("tube", "size"):
        same = {**TUBE, "reason": "planned"}
        found.write(day + 0.4, "tube_change", **({**same, "id_mm": 7} if what == "size" else same))
    if what == "plan":
        groups = random.sample(["suction", "secretions", "cuff", "inner_tube"], 2)
        found.write(day + 0.4, "plan", set_by="NN", tasks=[], restarts=groups)
    for each in range(day, end):
        if what in ("gap", "stay", "silence"):
            break
        if what == "drift":
            found.suctions += each % 2
        found.suctioned(each, found.suctions)
        found.care(each, loss=1.0 if what == "leak" else 0.3)


def spoil(found: Steady, days: int, random: Random) -> None:
    """Write some late, change and strike out others."""
    own = [entry for entry in found.entries if entry.kind in ("suction", "cuff_pressure", "inner_tube")]
    for entry in random.sample(own, 60):
        late, is_struck = day_of(entry.recorded_at) + random.uniform(0, 9), random.random() < 0.5
        found.change(entry, late, withdrawn=is_struck, **({} if is_struck else entry.details))
    for day in random.sample(range(14, days - 2), 30):
        found.write(day + 0.4, "suction", known=day + random.uniform(0.4, 8), colour="yellow")


@settings(max_examples=1, deadline=None)
@given(st.integers(0, 100_000), st.integers(200, 300), st.floats(2, 60))
@example(1, 300, 40.1)
@example(5, 300, 3.3)
def test_flags_from_a_bounded_past_are_those_from_everything(seed: int, days: int, before: float) -> None:
    found, last = household(seed, days)
    record, end = Record(found.entries), moment(last - before)
    start = end - SHOWN * DAY_24_H
    whole, part = record.taken_up(None, (0, 0), end), record.bounded(start, end)
    assert shown(part.noticing, start) == shown(whole.noticing, start)


@pytest.mark.parametrize(("seed", "before"), [(1, 40.1), (8, 5.2)])
def test_so_are_those_that_a_window_shows_with_the_rules_on_what_was_written(
    seed: int, before: float
) -> None:
    found, last = household(seed, 260)
    end = moment(last - before)
    start = end - SHOWN * DAY_24_H
    window = PastWindow(Memory(entries=found.entries), start, end)
    assert window.flags() == flags(found.entries, start, end)
    assert len(window.entries) < len(found.entries)


def test_most_of_a_long_record_is_not_read() -> None:
    found = Steady()
    found.days(0, 300)
    found.days(300, 303, suctions=22)
    record, end = Record(found.entries), moment(303)
    part = record.bounded(end - SHOWN * DAY_24_H, end)
    assert part.taken < 0.9 * len(found.entries)
    assert [flag.rule for flag in shown(part.noticing, end)] == ["suction_more"]


def first_weeks(what: str) -> Steady:
    """Most of a year with three suctions more in its first weeks than later; something happens in these."""
    found = Steady(seed=4)
    found.days(0, 45, suctions=11)
    found.days(45, 280, suctions=8)
    known = None if what.endswith("then") else 250.0
    if what.startswith(("ill", "stay")):
        kind = what.split()[0]
        found.write(12.0, kind, known=known, action="start")
        found.write(30.0, kind, known=None if known is None else known + 0.1, action="end")
    if what.startswith("struck out"):
        for entry in [each for each in found.entries if 12 <= day_of(each.at.instant) < 30]:
            found.change(entry, 31.0 if known is None else known, withdrawn=True)
    return found


@pytest.mark.parametrize(
    "what", ["even then", "ill then", "ill", "stay then", "stay", "struck out then", "struck out"]
)
def test_a_slow_drift_is_held_against_the_same_days_in_a_bounded_past(what: str) -> None:
    found = first_weeks(what)
    record, now = Memory(entries=found.entries), moment(280)
    read, reads = record.period, list[Instant]()

    def period(start: Instant, end: Instant) -> list[Entry]:
        reads.append(end)
        return read(start, end)

    record.period = period  # type: ignore[method-assign]
    part = PastWindow(record, now - SHOWN * DAY_24_H, now).whole().noticing
    whole = found.noticing(280)
    assert part.drift.reference is not None
    assert part.drift.reference == whole.drift.reference
    assert part.drift.sum == whole.drift.sum
    is_read_to_its_end = any(moment(92) < each < moment(100) for each in reads)
    assert is_read_to_its_end == (what in ("ill", "stay"))


def test_a_past_that_is_too_short_says_so_and_raises_nothing() -> None:
    found = Steady()
    found.days(0, LOOKS_BACK_RECORDED + 10)
    found.days(LOOKS_BACK_RECORDED + 10, LOOKS_BACK_RECORDED + 13, suctions=22)
    record, end = Record(found.entries), moment(LOOKS_BACK_RECORDED + 13)
    short = record.taken_up(Begun(moment(60), moment(30)), (moment(0), moment(30)), end).noticing
    assert short.known_from() is None
    assert short.flags() == []
    assert record.bounded(end - SHOWN * DAY_24_H, end).noticing.flags() != []
