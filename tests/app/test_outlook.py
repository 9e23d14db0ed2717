"""The outlook's small working set shows what the whole record shows."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.due import dues
from carelog.analysis.home import home_of, zone_givers
from carelog.analysis.in_force import Reading
from carelog.app.demo import demo_entries
from carelog.app.outlook import NEWEST, Outlook, Picture
from carelog.domain.entry import Entry, new_id
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Moment
from carelog.store.record import StoredRecord
from tests.app.books import START, Desk, desk_in
from tests.flags.households import household as made_up

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant


class Counting:
    """A record that counts how often it is read from."""

    def __init__(self, record: StoredRecord) -> None:
        self._record = record
        self.reads = 0

    def __getattr__(self, name: str) -> object:
        self.reads += 1
        return getattr(self._record, name)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with desk_in(tmp_path) as desk:
        yield desk


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with desk_in(tmp_path_factory.mktemp("demo")) as desk:
        desk.record.append(demo_entries(NOW))
        yield desk


def entry(desk: Desk, kind: str, at: int, **details: object) -> Entry:
    """An entry that was written down as it happened."""
    desk.clock.instant = at
    return desk.book.record(kind, details, "AB")


def plan(desk: Desk, at: int, *tasks: dict[str, object]) -> Entry:
    """A plan with these tasks."""
    return entry(desk, "plan", at, set_by="a nurse", tasks=list(tasks))


def test_the_picture_of_a_long_record_is_that_of_all_its_entries(household: Desk) -> None:
    picture = Outlook(household.record).picture(NOW)
    whole = Reading(household.record.everything())
    assert picture.home.name == "Europe/London"
    assert picture.person.name == "Harriet Quillon"
    assert list(picture.dues) == dues(whole, NOW)
    assert picture.last == whole.held[-1]
    assert picture.count == len(household.record.everything())
    assert picture.last_known == max(each.recorded_at for each in household.record.everything())
    assert picture.latest["suction"] == whole.of("suction")[-1]
    assert picture.tube == whole.of("tube_change")[-1]


def test_the_working_set_stays_small(household: Desk) -> None:
    held = Outlook(household.record).reading(NOW).held
    assert len(held) < 400 < len(household.record.everything()) / 4


def test_an_empty_record_has_an_empty_picture(desk: Desk) -> None:
    picture = Outlook(desk.record).picture(NOW)
    assert (picture.plan, picture.tube, picture.last, picture.last_known) == (None, None, None, None)
    assert (picture.dues, picture.count, picture.last_by, picture.home.name) == ((), 0, "", "UTC")


def test_a_doing_far_behind_others_of_its_kind_is_found(desk: Desk) -> None:
    task = {"kind": "humidity", "where": {"device": "hme"}, "every_h": 24}
    plan(desk, START, task)
    done = entry(desk, "humidity", START + HOUR, device="hme", action="changed")
    for number in range(5 * NEWEST):
        entry(desk, "humidity", START + 2 * HOUR + number * MINUTE, device="nebuliser", action="given")
    (due,) = Outlook(desk.record).picture(START + 9 * HOUR).dues
    assert due.last_at == done.at.instant
    assert due.due_at == done.at.instant + 24 * HOUR


def test_a_task_that_was_never_done_is_searched_for_once(desk: Desk) -> None:
    plan(desk, START, {"kind": "humidity", "where": {"device": "humidifier"}, "every_h": 24})
    for number in range(5 * NEWEST):
        entry(desk, "humidity", START + number * MINUTE, device="nebuliser", action="given")
    record = Counting(desk.record)
    outlook = Outlook(record)  # type: ignore[arg-type]
    now = START + 3 * HOUR
    assert outlook.picture(now).dues[0].last_at is None
    reads = record.reads
    outlook.add([entry(desk, "humidity", now, device="humidifier", action="started")])
    assert outlook.picture(now).dues[0].last_at == now
    assert record.reads == reads


def test_entries_of_a_wrong_clock_hide_no_doing(desk: Desk) -> None:
    plan(desk, START, {"kind": "mouth_care", "every_h": 8})
    done = entry(desk, "mouth_care", START + HOUR)
    for number in range(2 * NEWEST):
        at = Moment(START + 9000 * DAY_24_H + number)
        desk.book.record("mouth_care", {"x": number}, "AB", at=at)
    now = START + 30 * HOUR
    later = entry(desk, "mouth_care", now - HOUR)
    for outlook in (Outlook(desk.record), Outlook(desk.record)):
        assert list(outlook.picture(now).dues) == dues(desk.reading(), now)
        assert outlook.picture(now).dues[0].last_at == later.at.instant
    assert done.at.instant < later.at.instant


def test_an_entry_of_a_clock_ahead_counts_as_written_now(desk: Desk) -> None:
    plan(desk, START, {"kind": "mouth_care", "every_h": 8})
    entry(desk, "mouth_care", START + 5 * HOUR)
    outlook = Outlook(desk.record)
    for now in (START + HOUR, START + 2 * HOUR, START + 6 * HOUR):
        (due,) = outlook.picture(now).dues
        assert due.last_at == min(now, START + 5 * HOUR)


def test_slots_of_the_last_days_are_all_there(desk: Desk) -> None:
    plan(desk, START, {"kind": "suction", "times": ["08:00", "20:00"]})
    for number in range(6 * NEWEST):
        entry(desk, "suction", START + number * HOUR // 2)
    now = desk.clock.instant
    assert list(Outlook(desk.record).picture(now).dues) == dues(desk.reading(), now)


def test_what_another_process_wrote_is_taken_in(desk: Desk) -> None:
    outlook = Outlook(desk.record)
    assert outlook.refresh() == []
    first = entry(desk, "mouth_care", START)
    assert outlook.refresh() == [first]
    outlook.add([first])
    assert outlook.refresh() == []
    picture = outlook.picture(START)
    assert (picture.count, picture.last_by) == (1, "AB")


def test_what_another_process_wrote_while_the_first_flags_were_read_is_flagged_counted_and_told(
    desk: Desk,
) -> None:
    desk.book.record("suction", {"colour": "white"}, "AB")
    now = desk.clock.instant
    outlook = Outlook(desk.record)
    flags = outlook.foresee()
    flags.at(now)
    wrote = Entry(
        new_id(now + 1, bytes(10)), "incident", Moment(now), now + 1, by="CD", details={"what": "tube_out"}
    )
    desk.record.append([wrote])
    outlook.watch(flags)
    outlook.keep_since(now - DAY_24_H)  # the day's counts read it before it is asked what arrived
    assert outlook.refresh() == [wrote]
    found = outlook.picture(now + 2)
    assert [flag.rule for flag in found.flags or ()] == ["incident"]
    assert (found.count, found.last_known) == (desk.record.count(), now + 1)
    assert outlook.refresh() == []


def test_an_old_entry_that_is_amended_brings_its_chain(desk: Desk) -> None:
    entry(desk, "person", START, name="Odette", home_zone="Europe/London")
    old = entry(desk, "suction", START)
    for number in range(2 * NEWEST):
        entry(desk, "suction", START + (number + 1) * MINUTE)
    outlook = Outlook(desk.record)
    assert outlook.reading().get(old.id) is None
    change = desk.book.amend(desk.held(old), {"colour": "white"}, reason="looked again")
    outlook.add([change])
    held = outlook.reading().get(old.id)
    assert held is not None
    assert held.entry == change


def test_without_a_person_the_first_zone_is_home(desk: Desk) -> None:
    desk.clock.name = "Asia/Tokyo"
    entry(desk, "suction", START)
    desk.clock.name = "Europe/London"
    for number in range(2 * NEWEST):
        entry(desk, "suction", START + (number + 1) * MINUTE)
    assert home_of(desk.record).name == "Asia/Tokyo"
    assert Outlook(desk.record).picture(START).home.name == "Asia/Tokyo"
    entry(desk, "person", START + HOUR * 9, name="Odette", home_zone="Europe/Paris")
    assert home_of(desk.record).name == "Europe/Paris"


ZONES = ("", "", "", "Asia/Tokyo", "Europe/Paris", "America/Lima")


OFFSETS = ((0, 0, -30 * DAY_24_H, -HOUR, 40 * DAY_24_H), (0, 40 * DAY_24_H), (0, 0, 0, -HOUR))


def zoned(rng: Random, number: int, before: Sequence[Entry], style: int) -> Entry:
    """An entry of some day, often without a zone, late, of doubtful time, or a change of an earlier one."""
    written = START + number * HOUR
    off = rng.choice(OFFSETS[style])
    changes = rng.choice(before[:30]) if before and rng.random() < (0.4, 0.4, 0.8)[style] else None
    return Entry(
        id=new_id(written, number.to_bytes(10, "big")),
        kind="suction",
        at=Moment(written + off),
        recorded_at=written,
        zone=rng.choice(ZONES),
        amends=changes.id if changes else None,
        withdrawn=changes is not None and rng.random() < 0.7,
    )


@pytest.mark.parametrize("seed", range(40))
def test_the_first_zone_is_found_as_if_the_whole_record_were_read(seed: int, tmp_path: Path) -> None:
    rng, entries = Random(seed), list[Entry]()
    for number in range(90):
        entries.append(zoned(rng, number, entries, seed % 3))
    with desk_in(tmp_path) as desk:
        desk.record.append(entries)
        for known_by in (None, START + 20 * HOUR, START + 60 * HOUR):
            whole = [held for held in Reading(entries, known_by).held if held.entry.zone]
            assert zone_givers(desk.record, known_by) == whole[:1]


KINDS: list[tuple[str, dict[str, object]]] = [
    ("suction", {}),
    ("mouth_care", {}),
    ("inner_tube", {"outcome": "cleaned"}),
    ("inner_tube", {"outcome": "stuck"}),
    ("cuff_pressure", {"value": 25, "unit": "cmH2O"}),
    ("cuff_state", {"state": "down"}),
    ("cuff_state", {"state": "up"}),
    ("tube_change", {"id_mm": 8, "cuff": "air", "inner_tube": "none"}),
    ("stay", {"action": "start"}),
    ("stay", {"action": "end"}),
]
TASKS: list[dict[str, object]] = [
    {"kind": "mouth_care", "times": ["08:00", "13:00"]},
    {"kind": "inner_tube", "every_h": 8, "quiet": ["23:00", "06:00"]},
    {"kind": "cuff_pressure", "every_h": 12},
]


@settings(max_examples=25)
@given(st.lists(st.tuples(st.sampled_from(KINDS), st.integers(1, 600)), max_size=25))
def test_adding_one_by_one_shows_what_reading_all_shows(
    tmp_path_factory: pytest.TempPathFactory, steps: Sequence[tuple[tuple[str, dict[str, object]], int]]
) -> None:
    with desk_in(tmp_path_factory.mktemp("outlook")) as desk:
        plan(desk, START, *TASKS)
        outlook = Outlook(desk.record)
        now = START
        for (kind, details), minutes in steps:
            now += minutes * MINUTE
            outlook.add([entry(desk, kind, now, **details)])
            assert list(outlook.picture(now).dues) == dues(desk.reading(), now)
        kept, anew = outlook.picture(now), Outlook(desk.record).picture(now)
        assert kept.home.name == anew.home.name
        assert kept == replace(anew, home=kept.home)


def moments_of(outlook: Outlook, random: Random, start: int, count: int) -> Iterator[tuple[int, int]]:
    """Moments that go on, each with the first one at which time alone may show anything else."""
    now = start
    for _ in range(count):
        until = outlook.same_until(outlook.picture(now))
        yield now, until
        in_its_minute = max(until - until % MINUTE, until - random.randrange(1, MINUTE))
        is_near = now < in_its_minute < now + HOUR
        now = in_its_minute if is_near else max(now, min(until, now + 20 * MINUTE)) + random.randrange(MINUTE)


def but_for_words(outlook: Outlook, now: int) -> Picture:
    """What is shown at a moment, without how long ago anything was, which is told by the minute."""
    picture = outlook.picture(now)
    flags = tuple(replace(each, headline="", why="") for each in picture.flags or ())
    return replace(picture, now=0, flags=flags)


def test_until_the_next_change_that_is_known_time_alone_changes_nothing_within_a_minute(
    tmp_path: Path,
) -> None:
    still = changed = 0
    for seed in range(4):
        random = Random(seed)
        folder = tmp_path / str(seed)
        folder.mkdir()
        with desk_in(folder) as desk:
            odd = 1 + random.randrange(MINUTE - 1)  # a household's times have seconds; these have none
            entries = [
                replace(
                    each,
                    at=replace(each.at, instant=each.at.instant + odd),
                    recorded_at=each.recorded_at + odd,
                )
                for each in made_up(random, 80, 12, is_fuller=True)
            ]
            desk.record.append(entries)
            outlook = Outlook(desk.record)
            outlook.watch()
            for now, until in moments_of(outlook, random, max(each.recorded_at for each in entries), 150):
                before = but_for_words(outlook, now)
                last = min(until, now - now % MINUTE + MINUTE) - 1
                if last > now:
                    still += 1
                    assert but_for_words(outlook, last) == before
                if last == until - 1:
                    changed += but_for_words(outlook, until) != before
    assert still > 200
    assert changed > 5  # the control: where it says that something may change, something does
