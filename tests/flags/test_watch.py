"""The live state equals the replay from scratch at every moment, whatever arrives in whatever order."""

import pickle
from collections.abc import Iterable, Sequence
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags import snapshot, watch
from carelog.analysis.flags.frozen import Unreadable, freeze, thaw
from carelog.analysis.flags.period import flags
from carelog.analysis.flags.watch import SHOWN_FOR, Watch
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, HOUR, Instant
from tests.flags.households import household
from tests.flags.story import LONG_AGO, Story, clock, told


def from_scratch(entries: Sequence[Entry], now: Instant) -> list[Flag]:
    """What a replay of everything shows now."""
    found = flags(entries, LONG_AGO, now, live_now=now)
    return [flag for flag in found if flag.cleared_at is None or flag.cleared_at > now - SHOWN_FOR]


class Arrivals:
    """A record that fills in some order, a watch on it, and a clock that mostly goes on."""

    def __init__(self, random: Random, entries: list[Entry]) -> None:
        self.random = random
        self.arrived: list[Entry] = []
        self.waiting = sorted(entries, key=lambda entry: entry.recorded_at)
        if random.random() < 0.5:
            for _ in range(len(entries) // 5):
                late = self.waiting.pop(random.randrange(len(self.waiting)))
                self.waiting.insert(random.randrange(len(self.waiting) + 1), late)
        self.now = self.waiting[0].recorded_at
        self.watch = Watch(lambda: list(self.arrived))

    def go_on(self) -> None:
        """Some entries arrive, and time passes, or the clock is set back."""
        batch = [self.waiting.pop(0) for _ in range(min(self.random.randrange(1, 5), len(self.waiting)))]
        self.arrived += batch
        self.watch.add(batch)
        back = 6 * HOUR if self.random.random() < 0.1 else 0
        self.now = max(*(entry.recorded_at for entry in batch), self.now - back)
        if self.random.random() < 0.4:
            self.now += self.random.randrange(36) * HOUR
        if self.random.random() < 0.1:
            self.now -= self.random.randrange(30) * HOUR

    def start_anew(self) -> None:
        """The program is closed and started again."""
        by_id = {entry.id: entry for entry in self.arrived}
        kept = self.watch.save(len(self.arrived))
        everything = lambda: list(self.arrived)  # noqa: E731
        self.watch = Watch.begin(kept, everything, lambda ids: [by_id[each] for each in ids])


def check(random: Random, count: int, days: int, often: float = 0.6) -> None:
    """Let a household's entries arrive, and hold the watch against a replay from scratch at each step."""
    arrivals = Arrivals(random, household(random, count, days))
    while arrivals.waiting:
        arrivals.go_on()
        if random.random() < often:
            assert arrivals.watch.at(arrivals.now) == from_scratch(arrivals.arrived, arrivals.now)
        if random.random() < 0.15:
            arrivals.start_anew()


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.randoms(use_true_random=False), st.integers(1, 25))
def test_the_live_state_equals_the_replay_from_scratch(random: Random, count: int) -> None:
    check(random, count, 12)


@pytest.mark.parametrize("seed", range(6))
def test_it_does_so_whatever_the_age_of_its_base(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    random = Random(seed)
    age = random.choice([0, 1, 3]) * DAY_24_H
    monkeypatch.setattr(watch, "BASE_AGE", age)
    monkeypatch.setattr(watch, "BASE_OLDEST", age + random.choice([1, 4]) * DAY_24_H)
    check(random, 60, 12)


@pytest.mark.parametrize("seed", [1001, 1004])
def test_it_does_so_with_entries_that_are_no_longer_at_hand(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(snapshot, "KEPT_DAYS", 46)
    monkeypatch.setattr(watch, "BASE_AGE", DAY_24_H)
    monkeypatch.setattr(watch, "BASE_OLDEST", 5 * DAY_24_H)
    check(Random(seed), 130, 100, often=0.2)


def _check_all(seeds: Iterable[int]) -> None:
    for seed in seeds:
        check(Random(seed), 60, 12)


def test_a_watch_that_forgot_something_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: without what the rules look back to, the same check fails."""
    monkeypatch.setattr(watch, "BASE_AGE", 0)
    monkeypatch.setattr(watch, "BASE_OLDEST", DAY_24_H)
    monkeypatch.setattr(snapshot, "KEPT_DAYS", 1)
    monkeypatch.setattr(snapshot, "STANDING", ())
    monkeypatch.setattr(watch, "STANDING", ())
    monkeypatch.setattr(watch, "EDGE", -1000 * DAY_24_H)
    with pytest.raises((AssertionError, KeyError)):
        _check_all(range(20))


# What it costs, and when it reads everything ----------------------------------------------------------


class Counting:
    """A record that counts how often it is read whole."""

    def __init__(self, story: Story) -> None:
        self.story = story
        self.times = 0

    def everything(self) -> list[Entry]:
        """All of it."""
        self.times += 1
        return list(self.story.entries)


def busy(days: int) -> Story:
    """A household that writes six entries a day."""
    story = Story()
    story.tell("1 00:00 person name=Odette home_zone=UTC")
    for day in range(1, days + 1):
        story.tell(*(f"{day} {hour:02}:00 suction amount=small" for hour in range(0, 24, 4)))
    return story


def test_entries_in_order_never_make_it_read_the_whole_record_again() -> None:
    story = busy(40)
    record = Counting(story)
    watch = Watch(record.everything)
    watch.at(clock("40 23:00"))
    for day in range(41, 75):
        before = len(story.entries)
        story.tell(f"{day} 08:00 suction amount=small", f"{day - 3} 09:00 > {day} 09:00 mouth_care")
        watch.add(story.entries[before:])
        watch.at(clock(f"{day} 12:00"))
    assert record.times == 1


def test_an_entry_of_long_before_its_base_makes_it_read_everything_once() -> None:
    story = busy(40)
    record = Counting(story)
    watch = Watch(record.everything)
    watch.at(clock("40 23:00"))
    story.tell("3 08:00 suction blood=fresh")
    watch.add(story.entries[-1:])
    shown = watch.at(clock("40 23:30"))
    assert record.times == 2
    assert [told(flag) for flag in shown if flag.rule == "blood"] == ["urgent 3 08:00.."]


def test_what_is_kept_doesnt_grow_with_the_record() -> None:
    sizes = []
    for days in (240, 400):
        story = busy(days)
        watch = Watch(lambda story=story: story.entries)  # type: ignore[misc]
        watch.at(clock(f"{days} 23:00"))
        sizes.append(len(watch.save(1) or b""))
    assert sizes[1] < 1.1 * sizes[0]


def test_a_start_with_what_was_kept_reads_no_more_than_that() -> None:
    story = busy(40)
    watch = Watch(lambda: story.entries)
    watch.at(clock("40 23:00"))
    kept = watch.save(len(story.entries))
    by_id = {entry.id: entry for entry in story.entries}
    record = Counting(story)
    again = Watch.begin(kept, record.everything, lambda ids: [by_id[each] for each in ids])
    assert again.arrival == len(story.entries)
    assert again.at(clock("41 12:00")) == from_scratch(story.entries, clock("41 12:00"))
    assert record.times == 0


@pytest.mark.parametrize("kept", [None, b"", b"nonsense", freeze({"version": 0}), freeze([1, 2])])
def test_what_cant_be_read_is_worked_out_anew(kept: bytes | None) -> None:
    story = Story().tell("2 08:00 suction blood=fresh")
    watch = Watch.begin(kept, lambda: story.entries, lambda ids: [])
    assert watch.arrival == 0
    assert [told(flag) for flag in watch.at(clock("2 09:00"))] == ["urgent 2 08:00.."]


def test_what_another_version_kept_is_worked_out_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    story = Story().tell("2 08:00 suction blood=fresh")
    watch = Watch(lambda: story.entries)
    watch.at(clock("2 09:00"))
    kept = watch.save(1)
    record = Counting(story)
    monkeypatch.setattr(watch, "code_version", lambda: "another")
    again = Watch.begin(kept, record.everything, lambda ids: story.entries)
    again.at(clock("2 09:00"))
    assert (again.arrival, record.times) == (0, 1)


def test_what_names_entries_that_are_gone_is_worked_out_anew() -> None:
    story = Story().tell("2 08:00 suction blood=fresh")
    watch = Watch(lambda: story.entries)
    watch.at(clock("2 09:00"))
    again = Watch.begin(watch.save(1), lambda: story.entries, lambda ids: [])
    assert [told(flag) for flag in again.at(clock("2 09:00"))] == ["urgent 2 08:00.."]


def test_a_kept_state_can_run_nothing() -> None:
    with pytest.raises(Unreadable):
        thaw(pickle.dumps(pytest.MonkeyPatch))
    with pytest.raises(Unreadable):
        thaw(b"cos\nsystem\n(S'true'\ntR.")
    assert thaw(freeze({"a": [1, 2, (3,)]})) == {"a": [1, 2, (3,)]}


def test_before_the_first_look_there_is_nothing_to_keep() -> None:
    assert Watch(lambda: []).save(0) is None


def test_an_empty_record_shows_nothing_live() -> None:
    watch = Watch(lambda: [])
    assert watch.at(clock("2 09:00")) == []
    assert watch.at(clock("1 09:00")) == []
