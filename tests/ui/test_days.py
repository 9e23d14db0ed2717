"""The page of days: the week above, an entry beside its rows where there is room, the same again."""

from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest

from carelog.analysis.in_force import Reading
from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import DAY_24_H, MINUTE, Home, Instant, Moment
from carelog.ui.timeline import facts
from carelog.ui.timeline.detail import Detail
from carelog.ui.timeline.model import TimelineModel
from carelog.ui.timeline.page import Timeline
from carelog.ui.timeline.rows import TimelineRow
from tests.store.making import START, entry, fresh
from tests.ui.conftest import Opened


@pytest.fixture
def days(opened: Opened) -> Timeline:
    opened.window.resize(1366, 768)
    opened.press("go_timeline")
    page = opened.shown()
    assert isinstance(page, Timeline)
    opened.wait(lambda: page.model.rowCount() > 3 and page._strip.days[0]._glance.count >= 0)
    return page


def row_of(page: Timeline, kind: str) -> int:
    """The newest row of a kind."""
    return next(n for n in range(page.model.rowCount()) if page.model.row(n).kind == kind)


def beside(page: Timeline) -> list[Detail]:
    """The entry that is shown."""
    return [each for each in page.findChildren(Detail) if each.isVisible()]


def test_in_a_wide_window_an_entry_stands_beside_the_rows(opened: Opened, days: Timeline) -> None:
    place = days.model.index(row_of(days, "cuff_pressure"), 1)
    QTest.mouseClick(
        days.table.viewport(), Qt.MouseButton.LeftButton, pos=days.table.visualRect(place).center()
    )
    opened.wait(lambda: bool(beside(days)))
    assert days.table.isVisible()
    told = [each.accessibleName() for each in beside(days)[0].findChildren(type(days._state))]
    assert any(name.startswith("by: ") for name in told)
    assert any(name.startswith("written: ") for name in told)
    assert any(name.startswith("limits: ") for name in told)


def test_the_arrow_keys_show_the_row_that_they_come_to(opened: Opened, days: Timeline) -> None:
    days.table.setFocus()
    days.table.setCurrentIndex(days.model.index(1, 0))
    opened.wait(lambda: bool(beside(days)))
    first = beside(days)[0].root
    QTest.keyClick(days.table, Qt.Key.Key_Down)
    QTest.keyClick(days.table, Qt.Key.Key_Down)
    opened.wait(lambda: bool(beside(days)) and beside(days)[0].root != first)
    assert opened.window.focusWidget() is days.table, "the keys stay with the rows"


def test_an_entry_goes_along_when_the_window_gets_narrow_and_wide_again(
    opened: Opened, days: Timeline
) -> None:
    days.open_entry(days.model.row(row_of(days, "suction")).root)
    opened.wait(lambda: bool(beside(days)))
    root = beside(days)[0].root
    opened.window.resize(1024, 600)
    opened.wait(lambda: bool(beside(days)) and not beside(days)[0].is_beside)
    assert beside(days)[0].root == root
    opened.press("timeline_back")
    assert days.table.isVisible()
    assert not beside(days)


def test_the_same_again_records_it_as_of_now_and_a_bounce_records_nothing_more(
    opened: Opened, days: Timeline
) -> None:
    before = len(opened.written("suction"))
    newest = days.model.row(row_of(days, "suction"))
    days.open_entry(newest.root)
    opened.wait(lambda: bool(beside(days)))
    opened.press("same_again")
    opened.press("same_again")
    opened.wait(lambda: len(opened.written("suction")) == before + 1)
    said = beside(days)[0]._message
    opened.wait(lambda: said.text().startswith("Recorded once more"))
    assert said.visibleRegion().boundingRect().size() == said.size()
    made = opened.written("suction")[-1]
    same = next(each for each in opened.written("suction") if each.id == newest.root)
    assert made.details == same.details
    assert made.recorded_at == opened.clock.now()


def test_a_day_of_the_week_begins_the_rows_with_it_and_pressed_again_brings_the_newest_back(
    opened: Opened, days: Timeline
) -> None:
    home = opened.window.desk.present.home()
    newest = days.model.row(1).root
    first = home.day(days.model.row(1).time) - timedelta(days=2)
    if first not in days._strip.week():
        opened.press("week_before")
    opened.press(f"day_{first.weekday()}")
    opened.wait(lambda: days.model.rowCount() > 1 and home.day(days.model.row(1).time) <= first)
    assert "the days before it" in days._state.text()
    opened.pause()
    opened.press(f"day_{first.weekday()}")
    opened.wait(lambda: days.model.rowCount() > 1 and days.model.row(1).root == newest)


def test_the_weeks_before_are_turned_to_and_the_days_ahead_cant_be_pressed(
    opened: Opened, days: Timeline
) -> None:
    now = days._strip.week()
    assert not opened.find("week_after").isEnabled()
    opened.press("week_before")
    assert days._strip.week()[0] == now[0] - timedelta(days=7)
    opened.press("week_after")
    assert days._strip.week() == now
    today = opened.window.desk.present.home().day(opened.clock.now())
    assert [each.isEnabled() for each in days._strip.days] == [day <= today for day in now]
    opened.wait(lambda: "not read yet" not in days._strip.days[0].accessibleName())
    counted = [each for each in days._strip.days if each._glance.count > 0]
    assert all(f", {each._glance.count} entries" in each.accessibleName() for each in counted)
    assert counted


def test_what_is_recorded_now_is_counted_at_once(opened: Opened, days: Timeline) -> None:
    today = days._strip.days[opened.window.desk.present.home().day(opened.clock.now()).weekday()]
    before = today._glance.count
    opened.press("go_board")
    opened.press("tile_suction")
    opened.wait(lambda: today._glance.count == before + 1)


def test_a_button_leads_to_what_happened_since_one_was_last_here(opened: Opened, days: Timeline) -> None:
    assert days.isVisible()
    opened.press("days_since")
    assert opened.window.page() == "since"


@pytest.mark.parametrize("percent", [200, 300])
def test_in_large_letters_a_row_says_what_it_is_whole_and_nothing_lies_sideways(
    opened: Opened, days: Timeline, percent: int
) -> None:
    opened.window.preferences.change(text_percent=percent)
    opened.window.resize(1024, 600)
    opened.wait(lambda: days.table.isColumnHidden(1))
    opened.wait(lambda: days.table.horizontalScrollBar().maximum() == 0)
    assert days.table.mapTo(opened.window, days.table.rect().topLeft()).x() > opened.window.rail.width()
    row = row_of(days, "cuff_pressure")
    shown = days.model.index(row, 2).data()
    assert shown.startswith("Cuff pressure: ")
    clock = days.model.index(row, 0)
    letters = QFontMetrics(clock.data(Qt.ItemDataRole.FontRole))
    opened.wait(lambda: letters.horizontalAdvance(clock.data()) < days.table.visualRect(clock).width())
    opened.window.preferences.change(text_percent=100)
    opened.wait(lambda: not days.table.isColumnHidden(1))
    assert "Cuff pressure" not in days.model.index(row, 2).data()


def ringed(page: Timeline) -> str:
    """The row that the ring is around."""
    return page.table.stands_at()


def test_the_ring_goes_along_with_the_entry_that_is_shown_and_stays_at_it_when_it_is_changed(
    opened: Opened, days: Timeline
) -> None:
    root = days.model.row(row_of(days, "cuff_pressure")).root
    days.table.setCurrentIndex(days.model.index(row_of(days, "suction"), 0))
    days.open_entry(root)
    opened.wait(lambda: bool(beside(days)) and beside(days)[0].root == root)
    assert ringed(days) == root
    held = opened.picture().latest["cuff_pressure"]
    for value, at in ((21, None), (22, Moment(held.time - 30 * DAY_24_H)), (23, held.entry.at)):
        change_it(opened, root, {**held.entry.details, "value": value}, at)
        opened.wait(partial(is_told, days, root, f"found at {value} "))
        assert ringed(days) == root


def change_it(opened: Opened, root: str, details: Details, at: Moment | None) -> None:
    """Somebody changes an entry."""

    def change(logbook: Logbook, record: Record) -> Entry:
        return logbook.amend(Reading(record.chain([root])).held[0], details, at=at, reason="misread", by="LR")

    opened.window.desk.access.act(change, lambda _entry: None, pytest.fail)


def is_told(page: Timeline, root: str, words: str) -> bool:
    """Whether the row of an entry holds these words."""
    place = page.model.place_of(root)
    return place is not None and words in page.model.row(place).line.replace("\N{NO-BREAK SPACE}", " ")


def test_in_little_room_what_was_recorded_stands_before_what_was_done_to_it() -> None:
    mark = "changed after these days were signed, Wed 25 13:10; amended Wed 25 13:10 HQ: was amount small"
    row = TimelineRow(
        1, "a", "suction", "17:43", "Suction", "cream, thin, amount large, blood streaks", marks=mark
    )
    model = TimelineModel(lambda: None)
    model.append([row], is_done=True)
    model.set_room(90, 0)
    told = model.data(model.index(1, 2))
    assert told.startswith("cream, thin, amount large, blood streaks; changed after these days were signed")
    model.set_room(60, 0)
    assert model.data(model.index(1, 2)).startswith("cream, thin, amount large")
    model.set_room(90, 40)
    assert model.data(model.index(1, 2)) == row.line


def test_an_entry_is_held_against_its_kind_in_the_four_weeks_before_and_nothing_older(tmp_path: Path) -> None:
    def looked(number: int, at: Instant, found: str) -> Entry:
        details = {"outcome": "cleaned", "found": found}
        return entry(number, "inner_tube", details=details, at=Moment(at), recorded_at=at)

    record = fresh(tmp_path / "record.carelog")
    older, oldest = START - 28 * DAY_24_H, START - 28 * DAY_24_H - MINUTE
    record.append([looked(1, oldest, "clear"), looked(2, older, "coated"), looked(3, START, "clear")])
    (held,) = Reading([looked(3, START, "clear")]).held
    _, _, kin = facts.beside(record, held, Home("UTC"))
    record.close()
    assert kin is not None
    assert kin.told == ("found clear: 1 of 1 in 7 days; in the 3 weeks before, 0 of 1",)
