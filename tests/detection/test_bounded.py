"""Nothing older than what is declared takes part: flags from a bounded past are those from everything."""

from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.period import flags
from carelog.analysis.past import PastWindow
from carelog.analysis.usual.settling import LOOKS_BACK_RECORDED, Begun
from carelog.domain.moment import DAY_24_H, Moment
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


def test_a_past_that_is_too_short_says_so_and_raises_nothing() -> None:
    found = Steady()
    found.days(0, LOOKS_BACK_RECORDED + 10)
    found.days(LOOKS_BACK_RECORDED + 10, LOOKS_BACK_RECORDED + 13, suctions=22)
    record, end = Record(found.entries), moment(LOOKS_BACK_RECORDED + 13)
    short = record.taken_up(Begun(moment(60), moment(30)), (moment(0), moment(30)), end).noticing
    assert short.known_from() is None
    assert short.flags() == []
    assert record.bounded(end - SHOWN * DAY_24_H, end).noticing.flags() != []
