"""The order of a line with letters of both ways is that of another program, whatever the line."""

import random
import unicodedata
from collections.abc import Iterator

import pypdfium2
import pytest
from bidi import get_display

from carelog import text
from carelog.analysis.drawing import Label
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.bidi import levels, reversed_line, visual_order
from carelog.sheet.blocks import Content, Feet, Piece
from carelog.sheet.letters import Letters
from carelog.sheet.page import Book, style
from pseudo import LANGUAGES
from tests.loading import load
from tests.sheet.pages import W43, sheet, texts
from tests.words.speaking import as_before

LINES = 20_000
ALPHABET = (
    *"abc xyz  12 90 ()[]{}<> .,:;/+-*%$ \"'!? «»",
    *"\u05d0\u05d1\u05d2 \u05bc \u0627\u0628\u062a\u062b \u0651 \u0661\u0669",
    *"\u2329\u232a\u3008\u3009\u2308\u2309",
)


def ordered(words: str, is_right_to_left: bool = False) -> str:
    """The line's characters from the left, no bracket turned: python-bidi turns none either."""
    return "".join(words[place] for place in visual_order(levels(words, is_right_to_left)))


def way(words: str) -> str:
    """Which way a line runs, in a language that runs from left to right."""
    return "R" if levels(words + "\n")[-1] else "L"


def lines(count: int) -> list[str]:
    """Made-up lines of a few signs, letters and brackets."""
    chance = random.Random(9)
    return ["".join(chance.choices(ALPHABET, k=chance.randint(1, 16))) for _ in range(count)]


def test_no_random_line_stands_in_another_order_than_by_python_bidi() -> None:
    made = lines(LINES)
    assert [line for line in made if ordered(line) != get_display(line, base_dir=way(line))] == []
    assert sum(ordered(line) != line for line in made) > LINES / 4


@pytest.mark.parametrize("line", ["13:05, \u0633\u0645", "20:11 \u0643\u062f \u0633"])
def test_a_line_that_begins_with_a_time_goes_on_in_the_language_of_the_sheet(line: str) -> None:
    assert ordered(line) == get_display(line, base_dir="L")
    assert ordered(line)[0] == line[0]


def test_the_space_before_a_word_from_right_to_left_stands_before_it() -> None:
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    first, second = Piece("Mouth care"), Piece(" \u0643\u062f")
    book.line(0, 20, (first, second))
    label = next(part for part in book.leaf.parts if isinstance(part, Label) and "\u0643" in part.text)
    assert label.text == second.text.lstrip()
    assert label.x == pytest.approx(book.letters.width(first.text + " ", False, book.style.size))


def test_in_a_language_from_right_to_left_mixed_lines_run_that_way() -> None:
    mixed = [
        line for line in lines(LINES) if {"L", "R"} <= {unicodedata.bidirectional(each) for each in line}
    ]
    assert len(mixed) > LINES / 10
    assert [line for line in mixed if ordered(line, True) != get_display(line, base_dir="R")] == []


def test_every_bracket_of_unicode_is_paired_with_the_one_that_closes_it_and_no_other() -> None:
    signs = [chr(code) for code in range(0x10000) if unicodedata.category(chr(code)) in ("Ps", "Pe")]
    made = [
        f"a {sign}\u05d0{chr(ord(sign) + step)} \u05d1" for sign in signs for step in (-3, -2, -1, 1, 2, 3)
    ]
    made = [line for line in made if unicodedata.bidirectional(line[4]) not in ("", "B", "BN")]
    assert [line for line in made if ordered(line) != get_display(line, base_dir="L")] == []


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("\u05d0\u05d1 (\u05d2) \u05d3", "\u05d3 )\u05d2( \u05d1\u05d0"),
        ("a (\u05d0) b", "a (\u05d0) b"),
        ("a \u05d0 (b) \u05d1", "a \u05d0 (b) \u05d1"),
    ],
)
def test_a_pair_of_brackets_stays_around_what_it_holds(line: str, shown: str) -> None:
    assert ordered(line) == shown


def test_brackets_are_turned_where_they_stand_from_right_to_left() -> None:
    assert reversed_line("(\u05d0) < [1]") == "[1] > (\u05d0)"
    assert reversed_line("\u298d \u27e8\u27e9") == "\u27e8\u27e9 \u2990"


@pytest.fixture
def mirrored_words() -> Iterator[None]:
    """Everything is said in a language that is written from right to left."""
    with as_before():
        text.use(LANGUAGES["mirrored"])
        yield


def beginning(pdf: bytes, words: str) -> float:
    """How far from the left of the first page these words begin, as a part of its width."""
    page = pypdfium2.PdfDocument(pdf)[0]
    found = page.get_textpage().search(words).get_next()
    assert found is not None
    return float(page.get_textpage().get_charbox(found[0])[0]) / float(page.get_width())


def test_in_english_the_title_stands_on_the_left() -> None:
    assert beginning(sheet(load("four-weeks.jsonl")), "2026-W43") < 0.5


@pytest.mark.usefixtures("mirrored_words")
def test_in_a_language_from_right_to_left_the_sheet_is_mirrored_and_prints_no_mark_as_a_number() -> None:
    made = sheet(load("four-weeks.jsonl"))
    assert beginning(made, "W43") > 0.5
    assert not any("[U+20" in page for page in texts(made))


@pytest.mark.usefixtures("mirrored_words")
def test_in_a_language_from_right_to_left_the_page_for_a_browser_says_so() -> None:
    page = make(SheetRequest(week=W43, html=True), load("four-weeks.jsonl")).decode()
    assert ' dir="rtl">' in page.splitlines()[1]
