"""The course as a drawing: one axis for all rows, nothing over its edges, blank where nothing is recorded."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carelog.analysis.course.axis import days_to
from carelog.analysis.course.course import WholeCourse, course
from carelog.analysis.course.drawn import picture
from carelog.analysis.course.frame import BOLD_LETTER
from carelog.analysis.drawing import Anchor, Dot, Fill, Label, Part, Rectangle, Straight
from carelog.domain.entry import Entry
from tests.analysis.notebook import Notebook
from tests.analysis.test_course import ALL_NAMES, CUFF, november, review
from tests.strategies import entries

SLACK = 1.5


def edges(part: Part) -> tuple[float, float]:
    """How far a part reaches; words are taken at their anchor alone, since nobody measures them here."""
    match part:
        case Straight():
            return min(part.x1, part.x2), max(part.x1, part.x2)
        case Rectangle():
            return part.x, part.x + part.width
        case Dot():
            return part.x - part.radius, part.x + part.radius
        case Label():
            return part.x, part.x


def shapes(found: WholeCourse, number: int) -> list[Part]:
    """The shapes, no lines and words, that lie within a column."""
    drawn = picture(found, 900, 12)
    left, right = drawn.left + number * drawn.column, drawn.left + (number + 1) * drawn.column
    return [
        part
        for part in drawn.drawing.parts
        if isinstance(part, Rectangle | Dot)
        and part.fill is not Fill.DOTS
        and edges(part)[0] >= left - 0.01
        and edges(part)[1] <= right + 0.01
    ]


def household() -> Notebook:
    book = Notebook()
    book.plan("1 00:00", {"kind": "mouth_care", "times": ["08:00", "20:00"]}, limits=CUFF)
    book.write("2 08:00", "suction", colour="yellow", consistency="thick")
    book.write("2 09:00", "cuff_pressure", value=34, unit="cmH2O")
    book.write("2 09:00", "stoma", skin="red")
    book.write("4 08:00", "mouth_care")
    return book


def test_a_day_of_which_nothing_is_recorded_has_no_shape_but_what_was_asked_for() -> None:
    found = november(household(), 2, 5)
    assert shapes(found, 0)
    assert len(shapes(found, 1)) == 1
    without = course(review(household().entries, days_to(date(2026, 11, 5), 4)), names=ALL_NAMES[:13])
    assert shapes(without, 1) == []


def test_a_count_of_0_is_drawn_where_other_care_was_recorded() -> None:
    found = november(household(), 2, 5)
    labels = [part.text for part in picture(found, 900, 12).drawing.parts if isinstance(part, Label)]
    assert labels.count("0") == 1


def test_what_lies_outside_is_ink_with_its_number_and_worse_is_a_box_with_a_stroke() -> None:
    parts = picture(november(household(), 2, 5), 900, 12).drawing.parts
    assert any(isinstance(part, Label) and part.text == "34" and part.bold for part in parts)
    assert any(isinstance(part, Label) and part.text == "skin red" for part in parts)
    assert any(isinstance(part, Label) and part.text == "yellow" and part.reversed for part in parts)
    assert sum(isinstance(part, Straight) and part.weight == 1.2 and not part.soft for part in parts) == 1


def test_a_point_finds_its_column() -> None:
    drawn = picture(november(household(), 2, 5), 900, 12)
    assert drawn.number(drawn.left + 2.5 * drawn.column, 4) == 2
    assert (drawn.number(0, 4), drawn.number(5000, 4)) == (0, 3)


@pytest.mark.parametrize("count", [7, 91, 364])
@settings(max_examples=15)
@given(
    found=st.lists(entries, max_size=25, unique_by=lambda each: each.id),
    width=st.integers(300, 2000),
    size=st.integers(8, 32),
)
def test_whatever_is_recorded_nothing_reaches_over_the_edges(
    count: int, found: list[Entry], width: int, size: int
) -> None:
    whole = course(review(found, days_to(date(2026, 9, 30), count)), names=ALL_NAMES)
    drawn = picture(whole, width, size).drawing
    assert drawn.words
    for part in drawn.parts:
        left, right = edges(part)
        assert left >= -SLACK - size
        assert right <= width + SLACK + size
        if isinstance(part, Label):
            assert part.anchor in Anchor
        else:
            assert part.weight >= 0


def test_the_same_course_gives_the_same_drawing() -> None:
    assert picture(november(household(), 2, 5), 700, 11) == picture(november(household(), 2, 5), 700, 11)


def test_blood_that_was_seen_is_a_box_and_a_day_without_is_a_line() -> None:
    book = Notebook()
    book.write("2 09:00", "suction", blood="none")
    book.write("3 09:00", "suction", blood="fresh")
    drawn = november(book, 2, 3).chosen(["blood"])
    boxes = [sum(isinstance(part, Rectangle) for part in shapes(drawn, number)) for number in (0, 1)]
    assert boxes == [0, 1]


def test_a_title_is_bold_and_what_its_shapes_mean_is_soft_and_nothing_is_both() -> None:
    labels = [
        part
        for part in picture(november(household(), 2, 5), 900, 12).drawing.parts
        if isinstance(part, Label)
    ]
    assert any(label.bold for label in labels)
    assert any(label.soft for label in labels)
    assert not any(label.bold and label.soft for label in labels)


@pytest.mark.parametrize(("width", "is_each"), [(900, True), (200, False)])
def test_how_often_what_was_asked_for_is_not_recorded_is_said_where_it_has_room(
    width: int, is_each: bool
) -> None:
    book = Notebook()
    book.plan("1 00:00", {"kind": "mouth_care", "times": ["08:00", "20:00"]})
    for day in range(2, 30):
        book.write(f"{day} 12:00", "note")
    found = november(book, 2, 29).chosen(["asked"])
    labels = [part for part in picture(found, width, 12).drawing.parts if isinstance(part, Label)]
    numbers = [label for label in labels if label.text == "2" and label.bold]
    assert all(after.x - before.x >= 12 * BOLD_LETTER for before, after in pairwise(numbers))
    assert (len(numbers) == 28) is is_each
    assert len(numbers) >= 14
