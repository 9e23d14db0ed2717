"""How the flags by statistics begin, end, stay silent and begin anew."""

from copy import deepcopy
from itertools import groupby, pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.period import flags
from carelog.analysis.usual.explain import Reason
from carelog.analysis.usual.lives import Change, Lives
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.threshold import Thresholds, thresholds
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, Moment
from tests.detection.people import changed as changed_home
from tests.detection.people import notice
from tests.detection.simulator import World
from tests.detection.steady import TUBE, Steady, day_of, moment
from tests.loading import expected, load

STATISTICS = (
    "suction_more",
    "suction_less",
    "secretions_thicker",
    "secretions_colour",
    "secretions_amount",
    "cuff_leak",
    "inner_tube_blocking",
    "spo2_falling",
    "pulse_rising",
)
FOUR_WEEKS = load("four-weeks.jsonl")


def changed(last: int = 34, **how: object) -> Steady:
    household = Steady()
    household.days(0, 30)
    household.days(30, last, **{"suctions": 20, **how})  # type: ignore[arg-type]
    return household


def test_a_flag_ends_by_time_when_two_days_are_as_usual_again() -> None:
    household = changed(33)
    household.days(33, 38)
    (flag,) = household.flags()["suction_more"]
    assert flag.cleared_at is not None
    assert 34 < day_of(flag.cleared_at) <= 35.5
    assert flag.cleared_by == "time"
    assert flag.ended


def test_a_flag_may_come_again_seven_days_after_it_came_and_not_a_moment_sooner() -> None:
    lives, begun = Lives(), 100 * DAY_24_H
    reason = Reason("", "", None)
    lives.start(Change("suction_more", Level.CALL, begun, begun, reason, ""))
    again = begun + 7 * DAY_24_H
    assert not lives.may_raise("suction_more", Level.CALL, again - 1, fired=0)
    assert lives.may_raise("suction_more", Level.CALL, again, fired=0)


def test_a_flag_stays_while_nothing_is_recorded() -> None:
    household, recorded = changed(33), changed(33)
    recorded.days(33, 38)
    (flag,) = household.flags(until=40.0)["suction_more"]
    assert flag.cleared_at is None
    assert recorded.flags(until=40.0)["suction_more"][0].cleared_at is not None


def test_no_rule_is_raised_again_within_seven_days() -> None:
    household = changed(33)
    household.days(33, 36)
    household.days(36, 39, suctions=20)
    household.days(39, 43)
    household.days(43, 46, suctions=20)
    raised = [flag.raised_at for flag in household.flags()["suction_more"]]
    assert len(raised) >= 2
    assert all(later - earlier >= 7 * DAY_24_H for earlier, later in pairwise(raised))


def test_a_rule_on_what_was_written_lets_it_be_raised_again_sooner() -> None:
    household = changed(33)
    household.days(33, 36)
    household.days(36, 39, suctions=20)
    silent = len(household.flags()["suction_more"])
    household.write(35.5, "observations", temperature_c=38.6)
    found = flags(household.entries, moment(0), moment(39))
    assert silent == 1
    assert sum(flag.rule == "suction_more" for flag in found) == 2


def test_what_raised_a_flag_is_no_evidence_once_it_has_ended() -> None:
    household = changed(33)
    household.days(33, 55)
    assert len(household.flags()["suction_more"]) == 1


def test_a_change_that_stays_is_learnt_in_the_end() -> None:
    household = changed(118)
    found = household.flags()["suction_more"]
    assert found[-1].cleared_at is not None
    assert day_of(found[-1].cleared_at) < 115


def test_a_plan_that_says_so_restarts_its_groups_and_no_others() -> None:
    stays, restarted = changed(34, suctions=26), changed(34, suctions=26)
    stays.write(32.9, "plan", set_by="NN", tasks=[], restarts=["secretions", "cuff"])
    restarted.write(32.9, "plan", set_by="NN", tasks=[], restarts=["suction"])
    (kept,) = stays.flags()["suction_more"]
    (ended,) = restarted.flags()["suction_more"]
    assert kept.cleared_at is None
    assert day_of(ended.cleared_at or 0) == pytest.approx(32.9, abs=0.01)
    assert ended.cleared_by == "entry"


def test_a_plan_that_begins_later_restarts_by_time() -> None:
    household = changed(36)
    begins: dict[str, Any] = {"from": Moment(moment(33.4)).text()}
    household.write(31.9, "plan", set_by="NN", tasks=[], restarts=["suction"], **begins)
    (ended,) = household.flags()["suction_more"]
    assert ended.cleared_at == moment(33.4)
    assert ended.cleared_by == "time"


def test_after_a_restart_the_new_level_is_no_change() -> None:
    restarted, silent = Steady(), Steady()
    for household in (restarted, silent):
        household.days(0, 30)
        household.days(30, 60, suctions=16)
    restarted.write(30.01, "plan", set_by="NN", tasks=[], restarts=["suction"])
    assert restarted.flags() == {}
    assert "suction_more" in silent.flags()


def test_a_tube_of_the_same_make_restarts_cuff_and_inner_tube_alone() -> None:
    same, other = changed(34, suctions=26), changed(34, suctions=26)
    same.write(32.9, "tube_change", **{**TUBE, "reason": "planned"})
    other.write(32.9, "tube_change", **{**TUBE, "reason": "planned", "id_mm": 7})
    assert same.flags()["suction_more"][0].cleared_at is None
    assert other.flags()["suction_more"][0].cleared_at is not None


def test_a_tube_change_that_failed_restarts_nothing() -> None:
    failed, done = changed(34, suctions=26), changed(34, suctions=26)
    failed.write(32.9, "tube_change", **{**TUBE, "ease": "failed", "id_mm": 7})
    done.write(32.9, "tube_change", **{**TUBE, "id_mm": 7})
    assert failed.flags()["suction_more"][0].cleared_at is None
    assert done.flags()["suction_more"][0].cleared_at is not None


def test_four_weeks_raise_what_they_must_and_nothing_before() -> None:
    rules = expected("four-weeks.expected.json")["flags_in_week"]
    start, week, end = (
        Moment.read(text).instant
        for text in ("2026-09-28T00:00:00+01:00", "2026-10-19T00:00:00+01:00", "2026-10-26T00:00:00+00:00")
    )
    found = [flag for flag in flags(FOUR_WEEKS, start, end) if flag.rule in STATISTICS]
    noticed = {flag.rule for flag in found if flag.by_statistics}
    assert set(rules["must"]) & set(STATISTICS) <= noticed
    assert not set(rules["must_not"]) & noticed
    assert all(flag.raised_at >= week for flag in found)


def test_a_flag_by_statistics_is_seen_and_not_ended_by_telling() -> None:
    household = changed(34)
    household.write(33.95, "seen", rule="suction_more", told="the nurse")
    seen = household.entries[-1].id
    (flag,) = [
        each for each in flags(household.entries, moment(0), moment(34)) if each.rule == "suction_more"
    ]
    assert flag.seen == (seen,)
    assert flag.cleared_at is None


def test_what_was_written_and_what_was_noticed_is_one_flag_of_a_rule() -> None:
    household = Steady()
    household.days(0, 30)
    for day in range(30, 33):
        household.suctioned(day, 10)
        household.care(day, loss=1.0)
    household.write(32.9, "cuff_state", state="up", voice_heard=True)
    found = [each for each in flags(household.entries, moment(0), moment(33)) if each.rule == "cuff_leak"]
    assert len(found) == 1
    assert household.entries[-1].id in found[0].entries


def played(entries: list[Entry], tables: Thresholds, seed: int = 0, pauses: float = 0.0) -> list[Flag]:
    """Judge moment by moment, now and then as one that was kept and taken up again."""
    random, ledger, noticing = Random(seed), Ledger(), Noticing(tables)
    for known, group in groupby(entries, key=lambda entry: entry.recorded_at):
        noticing.pass_time(known)
        shifts = ledger.take(list(group), known)
        ledger.moves_home(shifts)
        noticing.take(known, shifts, ledger)
        if random.random() < pauses:
            noticing = taken_up(noticing)
    return noticing.flags()


def taken_up(noticing: Noticing) -> Noticing:
    """A copy of this one as it is, that shares nothing with it."""
    return deepcopy(noticing)


@st.composite
def records(draw: st.DrawFn) -> list[Entry]:
    """A record with changes of all kinds, written late, amended and struck out."""
    seed = draw(st.integers(0, 10_000))
    random = Random(seed)
    household = Steady(seed=seed, zone=random.choice(("UTC", "Europe/London", "Asia/Tokyo")))
    household.days(0, 16)
    household.days(16, 26, suctions=random.choice((4, 10, 22)), colour=random.choice(("white", "green")))
    household.days(27, 34, by=random.choice(("AB", "ZZ")), consistency=random.choice(("thin", "sticky")))
    own = [entry for entry in household.entries if entry.kind in ("suction", "cuff_pressure")]
    for entry in random.sample(own, 25):
        late = day_of(entry.recorded_at) + random.uniform(0, 6)
        is_struck = random.random() < 0.5
        household.change(entry, late, withdrawn=is_struck, **({} if is_struck else entry.details))
    for day in random.sample(range(14, 33), 4):
        household.write(day + 0.4, "suction", known=day + random.uniform(0.4, 8), colour="yellow")
    household.write(random.uniform(15, 30), "tube_change", **{**TUBE, "id_mm": random.choice((7, 8))})
    household.write(random.uniform(15, 30), "ill", action=random.choice(("start", "end")))
    return household.in_order()


@settings(max_examples=3, deadline=None)
@given(records(), st.integers(0, 1000))
def test_judging_with_what_was_kept_is_the_same_as_judging_all(entries: list[Entry], seed: int) -> None:
    tables = thresholds()
    assert played(entries, tables, seed, pauses=0.05) == played(entries, tables)


@settings(max_examples=3, deadline=None)
@given(records(), st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_matter_to_a_replay(entries: list[Entry], random: Random) -> None:
    start, end = moment(0), moment(40)
    shuffled = random.sample(entries, len(entries))
    assert flags(shuffled, start, end) == flags(entries, start, end)


def test_the_state_does_not_grow_with_the_record() -> None:
    household = Steady()
    household.days(0, 240)
    short = household.noticing()
    household.days(240, 340)
    long = household.noticing()
    assert len(long.diary.days) <= len(short.diary.days) + 1
    assert len(long.diary.presence) <= 1.1 * len(short.diary.presence)
    assert len(long.course.usuals._plain) <= len(short.course.usuals._plain) + 1


def test_a_slow_drift_is_told_of_the_last_two_weeks_and_shows_their_entries() -> None:
    household = changed_home(350_005, "slow drift", World(mean=14.0, size=40.0))
    entries = household.entries()
    times = {entry.id: entry.at.instant for entry in entries}
    found = [flag for flag in notice(entries, thresholds()).flags() if "In the 14 days to " in flag.why]
    assert found
    first = min(times[each] for each in found[0].entries)
    assert 13 * DAY_24_H < found[0].raised_at - first <= 14 * DAY_24_H
