"""Readings that lie close together: no number overprints another, and what is outside keeps its words."""

from fractions import Fraction
from random import Random

import pytest

from carelog.analysis.drawing import Dot, Drawing, Fill, Label, Rectangle
from carelog.analysis.pictures import MOST_READINGS, Columns, LimitBand, ReadingPoint, readings
from carelog.analysis.room import Patch

COLUMNS = Columns(7, 66.0)
BAND = LimitBand(Fraction(20), Fraction(30))
LETTER = 0.55  # of the size: what a figure is at least wide


def crowded(seed: int) -> list[ReadingPoint]:
    """Three to six readings a day."""
    rng, found = Random(seed), []
    for day in range(7):
        for part in sorted(rng.random() for _ in range(rng.randrange(3, 7))):
            value = round(rng.gauss(25, 5))
            is_outside = not 20 <= value <= 30
            words = f"{value} cmH2O" if is_outside else str(value)
            found.append(ReadingPoint(day, part, Fraction(value), words, is_outside))
    return found


def labels(drawing: Drawing) -> list[tuple[Label, Patch]]:
    """The words with the box that their letters fill."""
    found = [part for part in drawing.parts if isinstance(part, Label)]
    return [
        (each, Patch(each.x, each.y - 0.7 * each.size, LETTER * each.size * len(each.text), 0.7 * each.size))
        for each in found
    ]


@pytest.mark.parametrize("seed", range(40))
def test_the_number_of_what_is_inside_overprints_nothing(seed: int) -> None:
    drawing = readings(COLUMNS, crowded(seed), BAND)
    boxes = labels(drawing)
    rings = [
        Patch(each.x - each.radius, each.y - each.radius, 2 * each.radius, 2 * each.radius)
        for each in drawing.parts
        if isinstance(each, Dot)
    ]
    for label, box in boxes:
        if not label.bold:
            others = [other for _, other in boxes if other is not box] + rings
            assert not any(box.shared(other) for other in others), label.text


@pytest.mark.parametrize("seed", range(40))
def test_what_is_outside_always_has_its_words_on_the_picture(seed: int) -> None:
    found = crowded(seed)
    drawing = readings(COLUMNS, found, BAND)
    bold = sorted(label.text for label, _ in labels(drawing) if label.bold)
    assert bold == sorted(each.words for each in found if each.is_outside)
    assert all(box.x >= 0 and box.x + box.width <= COLUMNS.whole for _, box in labels(drawing))
    assert all(box.y >= 0 and label.y <= drawing.height for label, box in labels(drawing))


def test_numbers_that_were_left_out_for_want_of_room_are_still_told_in_words() -> None:
    close = [ReadingPoint(0, 0.5 + n / 500, Fraction(25), f"2{n}", False) for n in range(6)]
    drawing = readings(COLUMNS, close, BAND)
    assert 1 <= len(labels(drawing)) < 6
    assert all(each.words in drawing.words for each in close)
    assert sum(isinstance(part, Dot) for part in drawing.parts) == 6
    assert not any(isinstance(part, Rectangle) and part.weight for part in drawing.parts)


def test_a_day_of_many_readings_is_one_bar_and_its_words_stand_above_it() -> None:
    many = [ReadingPoint(3, n / 10, Fraction(20 + n), f"2{n}", n > 7) for n in range(MOST_READINGS + 3)]
    drawing = readings(COLUMNS, many, BAND)
    (words,) = (part for part in drawing.parts if isinstance(part, Label))
    bars = [part for part in drawing.parts if isinstance(part, Rectangle) and part.fill is Fill.MIDDLE]
    assert words.text == f"{len(many)}, {sum(each.is_outside for each in many)} out"
    assert all(words.y <= bar.y for bar in bars)
    assert len(bars) == 1


def test_patches_share_what_lies_in_both_and_nothing_where_they_are_apart_either_way() -> None:
    patch = Patch(0, 0, 10, 10)
    assert patch.shared(Patch(6, 8, 10, 10)) == 8
    assert patch.shared(Patch(15, 0, 10, 10)) == 0
    assert patch.shared(Patch(0, 15, 10, 10)) == 0
