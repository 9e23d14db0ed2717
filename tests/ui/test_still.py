"""A window that is left alone works out nothing that can't have changed, and tells nobody the same again."""

from typing import Any

import pytest

from carelog.analysis import glance
from carelog.app.outlook import Outlook
from carelog.domain.kind import Kind
from carelog.domain.moment import DAY_24_H, MINUTE, SECOND
from carelog.ui import present
from tests.ui.conftest import Opened


@pytest.fixture
def looked(opened: Opened, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The moments at which the record is looked at, once its flags are read."""
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    found: list[int] = []
    real = present.look

    def noted(outlook: Outlook, now: int, *more: object) -> object:
        found.append(now)
        return real(outlook, now, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(present, "look", noted)
    return found


def settled(opened: Opened) -> None:
    """Until the reader's thread has nothing to do any more."""
    done: list[bool] = []
    opened.window.desk.access.reader.ask(lambda: None, lambda _: done.append(True), pytest.fail)
    opened.wait(lambda: bool(done))


def test_within_a_minute_the_timer_works_nothing_out_and_in_the_next_it_does(
    opened: Opened, looked: list[int]
) -> None:
    opened.clock.instant += MINUTE - opened.clock.instant % MINUTE + SECOND
    opened.window._on_timer()
    settled(opened)
    assert looked == [opened.clock.instant]
    told: list[bool] = []
    opened.window.desk.present.when_changed.append(lambda: told.append(True))
    opened.clock.instant += 30 * SECOND
    opened.window._on_timer()
    settled(opened)
    assert len(looked) == 1
    assert told == []
    opened.clock.instant += 30 * SECOND
    opened.window._on_timer()
    settled(opened)
    assert len(looked) == 2
    assert told != []


def test_a_due_that_comes_within_the_minute_is_seen_by_the_next_timer(
    opened: Opened, looked: list[int]
) -> None:
    due = next(each for each in opened.picture().dues if each.late_at > opened.clock.instant)
    opened.clock.instant = max(due.late_at - 20 * SECOND, opened.clock.instant)
    opened.window.tick()
    settled(opened)
    before = len(looked)
    opened.clock.instant = due.late_at + 10 * SECOND
    opened.window._on_timer()
    settled(opened)
    assert len(looked) == before + 1


def test_a_look_that_finds_the_same_tells_nobody(opened: Opened, looked: list[int]) -> None:
    opened.clock.instant += DAY_24_H
    opened.window.desk.present.look()
    settled(opened)
    told: list[bool] = []
    opened.window.desk.present.when_changed.append(lambda: told.append(True))
    opened.window.desk.present.look()
    settled(opened)
    assert len(looked) == 2
    assert told == []


def test_what_counts_seconds_is_called_within_a_minute_too(opened: Opened, looked: list[int]) -> None:
    opened.window.tick()
    called: list[str] = []
    opened.window.when_timed.append(lambda: called.append("timed"))
    opened.window.when_ticked.append(lambda: called.append("ticked"))
    opened.clock.instant -= opened.clock.instant % MINUTE
    opened.window.tick()
    opened.clock.instant += 30 * SECOND
    opened.window._on_timer()
    assert called == ["timed", "ticked", "timed"]


def test_what_a_tile_tells_is_worked_out_anew_only_where_something_it_hangs_on_has_changed(
    opened: Opened, looked: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    found, real = list[str](), glance.glance

    def noted(kind: Kind, *more: Any) -> glance.Glance:
        found.append(kind.name)
        return real(kind, *more)

    def minutes(count: int) -> int:
        """How many glances are worked out in so many minutes; what is seen is what a first look sees."""
        found.clear()
        for _ in range(count):
            opened.clock.instant += MINUTE
            opened.window._on_timer()
            settled(opened)
        worked_out = len(found)
        seen, outlook = opened.window.desk.present, opened.window.desk.present._outlook
        assert outlook is not None
        fresh = present.look(outlook, opened.clock.instant)
        assert (seen.picture, seen.glances, seen.calls) == (fresh.picture, fresh.glances, fresh.calls)
        return worked_out

    monkeypatch.setattr(glance, "glance", noted)
    minutes(1)
    assert minutes(3) == 0
    opened.press("tile_suction")
    opened.wait(lambda: "Suction saved" in opened.receipt())
    settled(opened)
    assert len(found) >= len(opened.window.board.tiles)
    assert minutes(2) == 0
    due = min(each.due_at for each in opened.picture().dues if each.due_at > opened.clock.instant)
    opened.clock.instant = due - MINUTE // 2
    assert minutes(1) > 0  # it is due, and its tile says so
    opened.clock.instant += DAY_24_H
    assert minutes(1) > 0
