"""Odd input: nothing, one entry, unknown kinds, ten years, far times, a record told to nobody."""

import itertools
from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.ledger import Shelf
from carelog.analysis.flags.life import Cause
from carelog.analysis.flags.period import flags
from carelog.analysis.flags.replay import Replay, groups
from carelog.analysis.flags.watch import Watch
from carelog.analysis.in_force import Held
from carelog.analysis.rules.tracker import LIVE_KEPT, Events
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Instant, Moment
from carelog.kinds import ALL
from tests.flags.households import household
from tests.flags.story import LONG_AGO, Story, clock
from tests.strategies import entries as any_entries
from tests.ui.household import Memory

BARE: dict[str, dict[str, Any]] = {
    "inner_tube": {"outcome": "clear"},
    "cuff_pressure": {"value": 25, "unit": "cmH2O"},
    "cuff_state": {"state": "up"},
    "ties": {"action": "checked"},
    "humidity": {"device": "hme", "action": "changed"},
    "valve": {"action": "on"},
    "tube_change": {"id_mm": 8, "cuff": "air", "inner_tube": "none"},
    "incident": {"what": "other"},
    "answer": {"question": "00000000-0000-4000-8000-000000000001"},
    "seen": {"rule": "blood"},
    "equipment_check": {"device": "other", "works": True},
    "stock": {"item": "HME", "count": 0},
    "order": {"item": "HME", "count": 1},
    "outing": {"action": "leaving"},
    "stay": {"action": "end"},
    "shift": {"action": "start"},
    "ill": {"action": "start"},
    "phrase": {"text": "water"},
    "registration": {"what": "ambulance"},
    "plan": {"set_by": "a nurse"},
    "person": {"name": "Odette Farrow"},
    "contact": {"role": "nurse", "phone": "01632 960 000"},
    "recorder": {"initials": "AB"},
    "visit": {"nurse": "Nell"},
}


@pytest.mark.parametrize("kind", [kind.name for kind in ALL])
def test_a_single_bare_entry_of_any_kind_is_read(kind: str) -> None:
    at = Moment(clock("2 08:00"))
    entry = Entry("00000000-0000-4000-8000-000000000002", kind, at, at.instant, details=BARE.get(kind, {}))
    found = flags([entry], LONG_AGO, at.instant + 20 * DAY_24_H)
    silent = [flag for flag in found if flag.rule == "nothing_recorded"]
    assert [flag.raised_at for flag in silent] == [at.instant + 12 * HOUR]
    assert Watch(Memory(entries=[entry])).at(at.instant) == flags(
        [entry], LONG_AGO, at.instant, live_now=at.instant
    )


def test_an_unknown_kind_counts_as_an_entry_and_as_nothing_else() -> None:
    at = Moment(clock("2 08:00"))
    entry = Entry(
        "00000000-0000-4000-8000-000000000002", "moonlight", at, at.instant, details={"blood": "fresh"}
    )
    assert [flag.rule for flag in flags([entry], LONG_AGO, at.instant + DAY_24_H)] == ["nothing_recorded"]


def test_times_at_the_ends_of_the_calendar_are_read() -> None:
    texts = ["0001-01-01T00:00:00Z", "1969-12-31T23:59:59Z", "9999-12-31T23:59:59Z"]
    dates = {"next_due": "0001-01-01", "id_mm": 8, "cuff": "air", "inner_tube": "none"}
    entries = [
        Entry(
            f"00000000-0000-4000-8000-{n:012}",
            "tube_change",
            at,
            at.instant,
            details={**dates, "next_due": day},
        )
        for n, (text, day) in enumerate(zip(texts, ["0001-01-01", "1970-01-01", "9999-12-31"], strict=True))
        for at in [Moment.read(text)]
    ]
    box = Entry(
        "00000000-0000-4000-8000-000000000009",
        "box_check",
        Moment.read(texts[1]),
        0,
        details={"expiries": {"gel": "9999-12-31", "ties": "0001-01-01"}},
    )
    found = flags([*entries, box], Moment.read(texts[0]).instant, Moment.read(texts[2]).instant)
    assert {"tube_age", "expiry"} <= {flag.rule for flag in found}


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.lists(any_entries, min_size=1, max_size=8, unique_by=lambda entry: entry.id), st.data())
def test_any_valid_entries_at_all_are_read(entries: list[Entry], data: st.DataObject) -> None:
    end = max(entry.recorded_at for entry in entries) + data.draw(st.integers(0, 20)) * DAY_24_H
    found = flags(entries, LONG_AGO, end, live_now=end)
    for flag in found:
        assert flag.headline
        assert flag.cleared_at is None or flag.cleared_at > flag.raised_at
    shown = [flag for flag in found if flag.cleared_at is None or flag.cleared_at > end - 7 * DAY_24_H]
    assert Watch(Memory(entries=entries)).at(end) == shown


@pytest.mark.parametrize("kind", [kind.name for kind in ALL])
@pytest.mark.parametrize("year", ["0001-01-01", "9999-12-31"])
def test_the_ends_of_the_calendar_break_no_rule(kind: str, year: str) -> None:
    at = Moment.read(f"{year}T12:00:00Z")
    plan = {"set_by": "a nurse", "quiet": ["23:00", "06:00"], "tasks": [{"kind": kind, "times": ["08:00"]}]}
    entries = [
        Entry("00000000-0000-4000-8000-000000000001", "plan", at, at.instant, details=plan),
        Entry("00000000-0000-4000-8000-000000000002", kind, at, at.instant, details=BARE.get(kind, {})),
        Entry(
            "00000000-0000-4000-8000-000000000003",
            "stock",
            at,
            at.instant,
            details={"item": "HME", "count": 1},
        ),
    ]
    assert isinstance(flags(entries, at.instant - DAY_24_H, at.instant + 1), list)


def test_changes_of_what_isnt_here_and_rings_are_passed_over() -> None:
    at = Moment(clock("2 08:00"))
    ids = [f"00000000-0000-4000-8000-{n:012}" for n in range(4)]
    fresh = {"blood": "fresh"}
    entries = [
        Entry(ids[0], "suction", at, at.instant, details=fresh, amends=ids[3]),
        Entry(ids[1], "suction", at, at.instant, details=fresh, amends=ids[2]),
        Entry(ids[2], "suction", at, at.instant, details=fresh, amends=ids[1]),
    ]
    assert [f.rule for f in flags(entries, LONG_AGO, at.instant + DAY_24_H)] == ["nothing_recorded"]


def test_the_order_in_which_entries_are_given_doesnt_matter() -> None:
    entries = household(Random(7), 60, 12)
    end = max(entry.recorded_at for entry in entries) + DAY_24_H
    assert flags(entries, LONG_AGO, end) == flags(entries[::-1], LONG_AGO, end)


def test_no_period_shows_more_than_was_known_at_its_end() -> None:
    entries = household(Random(8), 60, 12)
    for end in range(clock("1 00:00"), clock("9 00:00"), 12 * HOUR):
        known = [entry for entry in entries if entry.recorded_at < end]
        assert flags(entries, LONG_AGO, end) == flags(known, LONG_AGO, end)


# Ten years -------------------------------------------------------------------------------------------


def long_record(days: int) -> list[Entry]:
    """A record in which nobody is ever told anything."""
    story = Story()
    for day in range(1, days + 1):
        story.tell(
            f"{day} 06:00 suction blood=fresh catheter_passed=no",
            f"{day} 09:00 suction blood=streaks vacuum=30 vacuum_unit=kPa",
            f"{day} 09:30 suction colour=pink catheter_passed=tight",
            f"{day} 12:00 stoma skin=red smell=true",
            f"{day} 20:00 cuff_pressure value=34 unit=cmH2O",
        )
    return story.entries


def replayed(entries: list[Entry]) -> Replay:
    """The state after all of them."""
    replay = Replay()
    for known, group in groups(entries):
        replay.take(known, group)
    return replay


def steps(days: int, monkeypatch: pytest.MonkeyPatch) -> float:
    """How many entries of the past are gone through for one entry, on average."""
    count = itertools.count()

    def counted(walk: Callable[..., Iterator[Held]]) -> Callable[..., Iterator[Held]]:
        def wrapped(shelf: Shelf, *place: Any) -> Iterator[Held]:
            for held in walk(shelf, *place):
                next(count)
                yield held

        return wrapped

    entries = long_record(days)
    with monkeypatch.context() as patch:
        patch.setattr(Shelf, "backward", counted(Shelf.backward))
        patch.setattr(Shelf, "forward", counted(Shelf.forward))
        replayed(entries)
    return next(count) / len(entries)


def test_an_entry_costs_the_same_after_a_year_as_after_two_months(monkeypatch: pytest.MonkeyPatch) -> None:
    assert steps(360, monkeypatch) < 1.2 * steps(60, monkeypatch)


def test_a_walk_through_all_of_the_past_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: a rule that reads everything at each entry."""
    original = Replay.take

    def reads_all(
        replay: Replay, known: Instant, group: Sequence[Entry], doubtful: Sequence[str] = ()
    ) -> Any:
        list(replay.ledger.shelf("suction").backward())
        return original(replay, known, group, doubtful)

    monkeypatch.setattr(Replay, "take", reads_all)
    assert steps(360, monkeypatch) > 1.2 * steps(60, monkeypatch)


def test_what_a_flag_holds_for_long_is_thinned_out() -> None:
    replay = replayed(long_record(120))
    for name in ("blood", "catheter_not_passed"):
        tracker, episode = replay.lookouts[name].tracker, replay.in_force(name, None)
        assert isinstance(tracker, Events)
        assert len(list(tracker.signs(replay.now, Cause()))) <= LIVE_KEPT
        assert episode is not None
        assert len(episode.entries) >= 120


def test_telling_at_last_ends_what_was_held_for_long() -> None:
    told = Entry(
        "f" * 8 + "-0000-4000-8000-000000000000",
        "seen",
        Moment(clock("61 00:00")),
        clock("61 00:00"),
        details={"rule": "blood", "told": "Nell"},
    )
    found = flags([*long_record(60), told], LONG_AGO, clock("61 12:00"))
    ends = [(flag.raised_at, flag.cleared_at) for flag in found if flag.rule == "blood"]
    assert ends == [(clock("1 06:00"), clock("61 00:00"))]


def test_a_telling_of_the_past_alone_leaves_what_is_newer() -> None:
    told = Entry(
        "f" * 8 + "-0000-4000-8000-000000000000",
        "seen",
        Moment(clock("50 00:00")),
        clock("61 00:00"),
        details={"rule": "blood", "told": "Nell"},
    )
    found = flags([*long_record(60), told], LONG_AGO, clock("61 12:00"))
    assert [flag.cleared_at for flag in found if flag.rule == "blood"] == [None]
