"""A page with nothing to show yet says why and offers the one next thing; none jumps as it is read."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QWidget

from carelog.ui.column import ColumnView
from carelog.ui.ringed import Scrolled
from tests.ui.conftest import Opened

Opens = Callable[[Path], Opened]
NEXT = {
    "timeline": ("Nothing is recorded yet", "days_board", "board"),
    "course": ("Nothing is recorded in these days.", "course_board", "board"),
    "due": ("nothing is asked for", "due_plan", "plan"),
    "plan": ("no limit set", "plan_change", "form"),
}
"""What each page says in an empty record, its button, and the page that this leads to."""


def texts(page: QWidget) -> str:
    """All words that are seen."""
    return " ".join(label.text() for label in page.findChildren(QLabel) if label.isVisibleTo(page))


@pytest.mark.parametrize("page", NEXT)
def test_in_an_empty_record_a_page_offers_the_one_next_thing(evening: Opened, page: str) -> None:
    words, button, leads_to = NEXT[page]
    evening.window.go(page)
    evening.wait(lambda: words in texts(evening.shown()))
    evening.press(button)
    assert evening.window.page() == leads_to


def test_the_days_have_their_rows_as_soon_as_something_is_recorded(evening: Opened) -> None:
    evening.window.go("timeline")
    evening.wait(lambda: "Nothing is recorded yet" in texts(evening.shown()))
    evening.press("days_board")
    evening.press("tile_suction")
    evening.wait(lambda: "saved" in evening.receipt())
    evening.press("go_timeline")
    evening.wait(lambda: evening.find("timeline_list").model().rowCount() > 0)
    assert "Nothing is recorded yet" not in texts(evening.shown())


def test_a_page_that_is_filled_anew_has_all_its_room_at_once(opened: Opened) -> None:
    opened.window.go("plan")
    page = opened.shown()
    assert isinstance(page, ColumnView)
    for _ in range(2):
        page._key = object()
        page.refresh()
        assert page.findChildren(Scrolled)[-1].geometry() == page.rect()


@pytest.mark.parametrize("page", ["plan", "kit", "since", "due", "copies"])
def test_the_title_of_a_page_begins_at_one_edge_before_and_after_it_is_read(
    opened: Opened, page: str
) -> None:
    opened.window.resize(1366, 768)
    places: set[int] = set()
    opened.window.go(page)
    for is_read in (False, True):
        if is_read:
            opened.come_to_rest()
        title = next(label for label in opened.shown().findChildren(QLabel) if label.isVisible())
        places.add(title.mapTo(opened.shown(), title.rect().topLeft()).x())
    assert places == {16}


def test_a_record_that_nothing_was_written_into_yet_has_no_copy_that_failed(
    on_disk: Opens, tmp_path: Path
) -> None:
    opened = on_disk(tmp_path / "data" / "record.carelog")
    opened.press("begin_record")
    opened.wait(opened.window.desk.access.is_open)
    copies = opened.rest.copies
    for ask in (copies.look, copies.make):
        ask()
        opened.wait(lambda: not copies.is_asked)
        assert copies.failed_words() == ""
    assert copies.said == "There is no entry yet, so there is nothing to copy."
    opened.window.close()
    assert opened.window.preferences.now.copy_trouble == ""
