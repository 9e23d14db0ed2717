"""Clocks that jump, stand in 1970 or 2040, or travel: every save is taken, no day counts wrong."""

import os
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from datetime import date
from pathlib import Path

import pytest

from carelog.analysis.in_force import Reading
from carelog.app.logbook import Logbook
from carelog.domain.entry import new_id
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Instant, Moment
from carelog.store.record import StoredRecord
from tests.store.making import fresh, opened

Reader = Callable[[], StoredRecord]
LONDON, SYDNEY = "Europe/London", "Australia/Sydney"


class Odd:
    """A clock that shows what a test wants."""

    def __init__(self, zone: str = LONDON) -> None:
        self.instant, self.name = 0, zone

    def now(self) -> Instant:
        """The instant it shows."""
        return self.instant

    def zone(self) -> str:
        """The zone it stands in."""
        return self.name


@pytest.fixture
def clock() -> Odd:
    return Odd()


@pytest.fixture
def record(tmp_path: Path) -> Iterator[StoredRecord]:
    """The record of that logbook."""
    with closing(fresh(tmp_path / "record.carelog")) as record:
        yield record


@pytest.fixture
def book(record: StoredRecord, clock: Odd) -> Logbook:
    """A logbook under that clock."""
    return Logbook(record, clock, lambda now: new_id(now, os.urandom(10)))


@pytest.fixture
def read(record: StoredRecord) -> Iterator[Reader]:
    """Opens that record as another program does."""
    with ExitStack() as stack:
        yield lambda: stack.enter_context(closing(opened(record.path)))


def at(text: str) -> Instant:
    return Moment.read(text).instant


def a_day(home: Home, day: date) -> tuple[Instant, Instant]:
    return home.start_of(day), home.end_of(day)


def days_of(reading: Reading) -> Counter[date]:
    return Counter(reading.home.day(held.entry.at.instant) for held in reading.of("suction"))


@pytest.mark.parametrize(
    ("day", "hours"),
    [("2026-03-29", 23), ("2026-10-25", 25), ("2026-11-22", 24)],
    ids=["gap", "fold", "usual"],
)
def test_an_entry_each_half_hour_of_a_day_counts_by_its_length(
    book: Logbook, clock: Odd, read: Reader, day: str, hours: int
) -> None:
    start, end = a_day(Home(LONDON), date.fromisoformat(day))
    for instant in range(start - HOUR, end + HOUR, 30 * MINUTE):
        clock.instant = instant
        book.record("suction", {}, "AB")
    record = read()
    counts = days_of(Reading(record.everything()))
    assert counts[date.fromisoformat(day)] == 2 * hours
    assert counts.total() == 2 * hours + 4
    assert record.check() == []
    offsets = {each.at.offset for each in record.period(start, end)}
    assert len(offsets) == (1 if hours == 24 else 2)


def test_a_clock_that_jumps_loses_nothing_and_is_marked(book: Logbook, clock: Odd, read: Reader) -> None:
    shown = [
        "2026-11-22T08:00:00Z",
        "1970-01-01T00:00:00Z",
        "1969-12-31T23:59:59Z",
        "2040-02-29T12:00:00Z",
        "2026-11-22T08:05:00Z",
        "0001-01-02T00:00:00Z",
        "9999-12-30T00:00:00Z",
        "2026-11-22T08:04:00Z",
    ]
    for text in shown:
        clock.instant = at(text)
        book.record("suction", {}, "AB")
    record = read()
    reading = Reading(record.everything())
    assert len(reading.of("suction")) == len(shown)
    assert days_of(reading).total() == len(shown)
    assert record.check() == []
    assert len({each.id for each in record.everything()}) == len(shown)


def test_a_time_ahead_of_its_writing_is_of_doubtful_time(book: Logbook, clock: Odd, read: Reader) -> None:
    clock.instant = at("2026-11-22T08:00:00Z")
    for minutes in (-60, 0, 15, 16, 60 * 24 * 30):
        book.record("suction", {}, "AB", at=Moment(clock.instant + minutes * MINUTE))
    reading = Reading(read().everything())
    doubtful = [(held.entry.at.instant - clock.instant) // MINUTE for held in reading.held if held.doubtful]
    assert sorted(doubtful) == [16, 60 * 24 * 30]


def test_a_journey_keeps_each_place_and_the_days_of_home(book: Logbook, clock: Odd, read: Reader) -> None:
    clock.instant = at("2026-11-20T12:00:00Z")
    book.record("person", {"name": "Odette Farrow", "home_zone": LONDON}, "AB")
    for hour in range(72):
        clock.instant += HOUR
        clock.name = LONDON if hour < 24 else SYDNEY
        book.record("suction", {}, "AB")
    record = read()
    reading = Reading(record.everything())
    counts = days_of(reading)
    assert counts[date(2026, 11, 21)] == counts[date(2026, 11, 22)] == DAY_24_H // HOUR
    assert {(held.entry.zone, held.entry.at.offset) for held in reading.of("suction")} == {
        (LONDON, 0),
        (SYDNEY, 660),
    }
