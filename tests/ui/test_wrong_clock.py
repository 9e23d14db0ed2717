"""The window distrusts the computer's clock: nothing is flagged, hidden or misfiled by a wrong one."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from carelog.app.reckoning import Reckoning
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Instant
from carelog.ui.application import build, furnish
from carelog.ui.parts import Parts
from carelog.ui.ringed import Line
from carelog.ui.words import Words
from tests.ui.conftest import Opened
from tests.ui.household import NOW, ZONE, Memory, Numbered, StandingClock, household

YEAR = 365 * DAY_24_H


class Bedside:
    """A computer beside the bed: its clock, the steady one beneath it, and the windows opened on it."""

    def __init__(self, folder: Path, parts_of: Callable[..., Parts], bot: QtBot, app: QApplication) -> None:
        self.clock = StandingClock()
        self.ticks: Instant = 0
        self.boot = "first"
        self.record = household()
        self.windows: list[Opened] = []
        self._ids = Numbered()
        self._file, self._parts_of, self._bot, self._app = folder / "clock.json", parts_of, bot, app

    def go_on(self, by: Instant) -> None:
        self.clock.instant += by
        self.ticks += by

    def switch_on(self, instant: Instant) -> None:
        """Off, and on again with this on its clock."""
        self.clock.instant, self.ticks, self.boot = instant, MINUTE, f"{self.boot} again"

    def open(self) -> Opened:
        reckoning = Reckoning(self.clock, self._file, lambda: self.ticks, self.boot)
        reckoning.watch()
        parts = self._parts_of(self.record, self.clock)
        parts = parts._replace(reckoning=reckoning, clock=reckoning, ids=self._ids)
        window = build(parts, self._app)
        window.resize(1024, 600)
        window.show()
        found = Opened(window, furnish(window), self.record, self.clock, self._bot)
        self.windows.append(found)
        found.wait(lambda: window.desk.access.is_open() and window.desk.present.flags is not None)
        window.tick()
        return found

    def close(self) -> None:
        for opened in self.windows:
            opened.window.close()
            opened.window.deleteLater()
        self.windows.clear()


@pytest.fixture
def bedside(
    tmp_path: Path, parts_of: Callable[..., Parts], qtbot: QtBot, qapp: QApplication
) -> Iterator[Bedside]:
    found = Bedside(tmp_path, parts_of, qtbot, qapp)
    yield found
    found.close()


def used(bedside: Bedside) -> Memory:
    """The record after a day's first press in a window whose clock was right."""
    opened = bedside.open()
    press(opened, "tile_suction")
    bedside.close()
    return bedside.record


def press(opened: Opened, tile: str) -> Entry:
    """What stands in the record after a press on a tile."""
    before = len(opened.record.entries)
    opened.press(tile)
    opened.wait(lambda: len(opened.record.entries) > before)
    return opened.record.entries[-1]


def as_of(opened: Opened) -> Instant | None:
    """The moment that the picture is of, while the clock is in doubt."""
    assert opened.window.desk.present.picture is not None
    return opened.window.desk.present.picture.as_of


def words(opened: Opened) -> str:
    """All that can be read in the window."""
    return "\n".join(each.text() for each in opened.window.findChildren(Words) if each.isVisible())


def in_force(record: Memory, first: Entry) -> Entry:
    """What stands in an entry's place."""
    changes = [each for each in record.entries if each.amends == first.id]
    return changes[-1] if changes else first


def settled(opened: Opened, day: str, time: str) -> None:
    """Answer the question with a day and a time."""
    opened.press("clock_set")
    opened.find("clock_day", Line).setText(day)
    opened.find("clock_time", Line).setText(time)
    opened.press("clock_save")


def test_a_start_in_2010_asks_for_the_time_and_raises_nothing_new(bedside: Bedside) -> None:
    used(bedside)
    right = bedside.open()
    flags = right.window.desk.present.flags
    bedside.close()
    bedside.clock.instant = NOW - 16 * YEAR
    opened = bedside.open()
    assert opened.window.desk.present.flags == flags
    band = opened.find("clock_band")
    assert "2010" in band.accessibleName()
    assert "2026" in band.accessibleName()
    assert "What time is it?" in band.accessibleName()


@pytest.mark.parametrize("page", ["board", "timeline", "flags", "due", "plan", "sheet", "emergency", "help"])
def test_the_band_stands_on_every_page(bedside: Bedside, page: str) -> None:
    used(bedside)
    bedside.clock.instant = NOW - 16 * YEAR
    opened = bedside.open()
    opened.window.go(page)
    assert opened.find("clock_band").isVisible()


def test_what_is_due_isnt_known_while_the_clock_is_wrong(bedside: Bedside) -> None:
    used(bedside)
    bedside.clock.instant = NOW - 16 * YEAR
    opened = bedside.open()
    assert "not known while the clock is wrong" in words(opened)
    assert "Flags as of" in words(opened)
    opened.window.go("due")
    assert "not known while the clock is wrong" in words(opened)


def test_a_clock_set_back_while_running_misfiles_no_care(bedside: Bedside) -> None:
    opened = bedside.open()
    bedside.go_on(HOUR)
    bedside.clock.instant -= YEAR
    made = press(opened, "tile_suction")
    assert made.at.instant == made.recorded_at == NOW + HOUR


@pytest.mark.parametrize("by", [-YEAR, 14 * YEAR])
def test_a_jump_leaves_the_flags_as_they_were(bedside: Bedside, by: Instant) -> None:
    opened = bedside.open()
    press(opened, "tile_suction")
    opened.window.tick()
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    flags = opened.window.desk.present.flags
    bedside.clock.instant += by
    opened.window.tick()
    opened.wait(lambda: as_of(opened) is not None)
    assert opened.window.desk.present.flags == flags


def test_what_was_pressed_in_doubt_is_put_at_its_time_by_the_answer(bedside: Bedside) -> None:
    record = used(bedside)
    bedside.clock.instant = NOW - 16 * YEAR
    opened = bedside.open()
    bedside.go_on(HOUR)
    made = press(opened, "tile_suction")
    later = NOW + 2 * DAY_24_H
    settled(opened, Home(ZONE).day(later).isoformat(), "03:12")
    opened.wait(lambda: in_force(record, made) != made)
    moved = in_force(record, made)
    assert moved.at.instant == later
    assert "clock" in moved.reason
    opened.wait(lambda: as_of(opened) is None)
    assert not opened.window.findChildren(QWidget, "clock_band")[0].isVisible()
    assert press(opened, "tile_inner_tube").at.instant == later


def test_a_clock_that_is_right_after_months_away_is_believed_by_one_press(bedside: Bedside) -> None:
    used(bedside)
    bedside.go_on(90 * DAY_24_H)
    opened = bedside.open()
    assert opened.window.desk.present.now() == NOW
    opened.press("clock_right")
    assert opened.window.desk.present.now() == NOW + 90 * DAY_24_H
    bedside.close()
    assert bedside.open().window.desk.parts.doubt() is None


def test_an_answer_that_isnt_a_time_gets_its_sentence_and_stays_typed(bedside: Bedside) -> None:
    used(bedside)
    bedside.clock.instant = NOW - 16 * YEAR
    opened = bedside.open()
    settled(opened, "tomorrow", "25:99")
    assert "Type the day like" in words(opened)
    assert opened.find("clock_time", Line).text() == "25:99"
    assert opened.window.desk.parts.doubt() is not None


def test_a_clock_that_comes_right_by_itself_is_believed(bedside: Bedside) -> None:
    record = used(bedside)
    bedside.switch_on(NOW - 16 * YEAR)
    opened = bedside.open()
    made = press(opened, "tile_suction")
    bedside.ticks += MINUTE
    bedside.clock.instant = NOW + 5 * HOUR
    opened.window.tick()
    opened.wait(lambda: in_force(record, made) != made)
    assert in_force(record, made).at.instant == NOW + 5 * HOUR - MINUTE


def test_travel_and_summer_time_are_no_jumps(bedside: Bedside) -> None:
    opened = bedside.open()
    bedside.clock.name = "Asia/Tokyo"
    bedside.go_on(MINUTE)
    opened.window.tick()
    assert opened.window.desk.parts.doubt() is None


def moved_to(opened: Opened, made: Entry, at: Instant) -> None:
    """Somebody gives an entry another time in its form."""
    change = replace(
        made,
        id="00000000-0000-4000-8000-00000000feed",
        at=Home(ZONE).moment(at),
        recorded_at=opened.window.desk.present.now(),
        amends=made.id,
        reason="the clock was wrong",
    )
    opened.record.append([change])
    opened.window.tick()


def test_a_clock_set_ahead_while_closed_is_asked_about_though_it_is_a_few_days_only(bedside: Bedside) -> None:
    used(bedside)
    bedside.go_on(HOUR)
    bedside.clock.instant += 20 * DAY_24_H
    opened = bedside.open()
    assert opened.find("clock_band").isVisible()
    assert press(opened, "tile_suction").at.instant == NOW + HOUR


def test_what_was_written_in_doubt_before_the_computer_was_off_is_asked_about(bedside: Bedside) -> None:
    used(bedside)
    bedside.switch_on(NOW - 16 * YEAR)
    first = bedside.open()
    made = press(first, "tile_suction")
    bedside.close()
    bedside.switch_on(NOW + 2 * DAY_24_H)
    opened = bedside.open()
    assert not opened.window.findChildren(QWidget, "clock_band")[0].isVisible()
    opened.wait(lambda: opened.window.findChildren(QWidget, "asked_band")[0].isVisible())
    assert "One entry stands at a wrong time" in opened.find("asked_band").accessibleName()
    opened.press("asked_show")
    opened.wait(lambda: any(each.isVisible() for each in opened.window.findChildren(QWidget, "amend")))
    moved_to(opened, made, NOW + DAY_24_H)
    opened.wait(lambda: not opened.window.findChildren(QWidget, "asked_band")[0].isVisible())
    bedside.close()
    again = bedside.open()
    assert not again.window.findChildren(QWidget, "asked_band")[0].isVisible()


def test_what_was_written_by_a_clock_ahead_is_asked_about_when_it_is_found_out(bedside: Bedside) -> None:
    used(bedside)
    bedside.switch_on(NOW + 20 * DAY_24_H)  # as if it had been off for so long
    made = press(bedside.open(), "tile_suction")
    assert made.at.instant == NOW + 20 * DAY_24_H
    bedside.close()
    bedside.switch_on(NOW + DAY_24_H)
    opened = bedside.open()
    opened.press("clock_right")
    opened.wait(lambda: opened.window.findChildren(QWidget, "asked_band")[0].isVisible())
    opened.press("asked_leave")
    opened.wait(lambda: not opened.window.findChildren(QWidget, "asked_band")[0].isVisible())
    assert not any(each.amends == made.id for each in opened.record.entries)
