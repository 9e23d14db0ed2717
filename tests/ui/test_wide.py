"""Wide windows: columns of a reading width that are read downwards, and no page that clings to one side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget

from carelog.ui.columns import SideBySide, WideColumns, parted
from carelog.ui.theme import Size, font
from tests.ui.conftest import Opened

PAGES = (
    "flags",
    "due",
    "kit",
    "plan",
    "emergency",
    "help",
    "help_keys",
    "help_words",
    "settings",
    "copies",
    "who",
    "others",
    "give",
    "form_suction",
    "form_plan",
)


@pytest.fixture
def usual_text(qapp: QApplication) -> None:
    """Letters as they are at 100 %."""
    qapp.setFont(font(Size.TEXT, 100))


@given(st.lists(st.integers(1, 400), min_size=1, max_size=12), st.integers(1, 3))
def test_parts_stay_in_their_order_and_no_column_is_higher_than_it_must_be(
    heights: list[int], columns: int
) -> None:
    found = parted(heights, columns, 8)
    assert [number for column in found for number in column] == list(range(len(heights)))
    assert 1 <= len(found) <= columns
    highest = max(height_of(column, heights) for column in found)
    assert highest == min(
        max(height_of(column, heights) for column in cut) for cut in cuts(list(range(len(heights))), columns)
    )


def height_of(column: list[int], heights: list[int]) -> int:
    """The height of parts under one another, 8 px apart."""
    return sum(heights[number] for number in column) + 8 * (len(column) - 1)


def cuts(numbers: list[int], columns: int) -> list[list[list[int]]]:
    """All ways to part numbers into so many columns at most."""
    if columns == 1 or len(numbers) == 1:
        return [[numbers]]
    found = [[numbers]]
    for at in range(1, len(numbers)):
        found += [[numbers[:at], *rest] for rest in cuts(numbers[at:], columns - 1)]
    return found


@pytest.mark.usefixtures("usual_text")
def test_parts_that_have_room_stand_beside_one_another_and_a_title_lies_across() -> None:
    page = QWidget()
    columns = WideColumns(page)
    title, first, second = QLabel("title"), QLabel("first"), QLabel("second")
    columns.add_across(title)
    columns.addWidget(first)
    columns.addWidget(second)
    page.resize(1240, 300)
    page.show()
    QApplication.processEvents()
    assert first.y() == second.y() > title.y()
    assert second.x() >= first.geometry().right()
    assert title.x() == first.x()
    page.resize(800, 300)
    QApplication.processEvents()
    assert second.y() > first.y()
    assert first.x() == second.x()


@pytest.mark.usefixtures("usual_text")
def test_two_things_stand_beside_one_another_only_where_both_have_room() -> None:
    page = QWidget()
    beside = SideBySide(page, least=(300, 500))
    choices, paper = QLabel("choices"), QLabel("paper")
    beside.addWidget(choices)
    beside.addWidget(paper)
    page.resize(900, 300)
    page.show()
    QApplication.processEvents()
    assert (choices.y(), paper.y()) == (0, 0)
    assert paper.x() > choices.geometry().right()
    page.resize(700, 300)
    QApplication.processEvents()
    assert paper.y() > choices.y()


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("width", [1366, 1920])
def test_in_a_wide_window_no_page_clings_to_the_left(opened: Opened, page: str, width: int) -> None:
    opened.window.resize(width, 1080)
    if page.startswith("form_"):
        opened.rest.ways.open_form(page.removeprefix("form_"))
    else:
        assert opened.window.do(page)
    opened.come_to_rest()
    opened.wait(lambda: is_balanced(opened.shown()))  # on a busy computer its words may come later


def is_balanced(page: QWidget) -> bool:
    """Whether what a page shows fits in its width, and leaves no third of it more empty at the right."""
    left, right = edges(page)
    return right - left <= page.width() and (page.width() - right) - left < page.width() / 3


def edges(page: QWidget) -> tuple[int, int]:
    """Where the words and buttons of a page begin and end, in px; words are as wide as they are long."""
    spans = []
    for each in page.findChildren(QWidget):
        if isinstance(each, QLabel | QAbstractButton | QLineEdit) and each.isVisibleTo(page):
            start = each.mapTo(page, each.rect().topLeft()).x()
            is_short = isinstance(each, QLabel)
            wide = min(each.width(), each.sizeHint().width()) if is_short else each.width()
            spans.append((start, start + wide))
    return min(start for start, _end in spans), max(end for _start, end in spans)
