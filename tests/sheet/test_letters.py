"""Letters of any script are right or visibly marked; none is silently missing."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.sheet.bidi import levels, visual_order
from carelog.sheet.blocks import words
from carelog.sheet.letters import Letters
from carelog.sheet.wrap import NEW_LINE, LineWidths
from tests.sheet.pages import entry, running, sheet, texts

SCRIPTS = {
    "Polish": "Zażółć gęślą jaźń",
    "Greek": "Ελένη ώρα",
    "Cyrillic": "нога щука ёж",
    "Vietnamese": "Nguyễn Thị Ảnh",
    "German": "Größe für Öl",
}


def note(text: str) -> str:
    return running(sheet([entry(1, "2026-10-20T10:07:00Z", "note", note=text)]))


@pytest.mark.parametrize("text", SCRIPTS.values(), ids=SCRIPTS)
def test_scripts_of_the_typeface_are_read_back_as_written(text: str) -> None:
    assert text in note(text)


@pytest.mark.parametrize(
    "letter", ["🙂", "א", "ก", "中", "\u202e", "\u200b", "\x07", "\U0001f3f3", "\ufdd0", "✓", "≤"]
)
def test_what_has_no_letter_stands_as_its_number(letter: str) -> None:
    text = note(f"before{letter}after")
    assert f"before[U+{ord(letter):04X}]after" in text
    assert f"Characters not printed: [U+{ord(letter):04X}]" in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("count", [1, 9, 20])
def test_the_page_says_whole_which_letters_it_lacks(paper: str, large: bool, count: int) -> None:
    letters = "".join(chr(0x1F600 + place) for place in range(count))
    notes = [entry(1, "2026-10-20T10:07:00Z", "note", note=f"x {letters} y")]
    pages = texts(sheet(notes, paper=paper, large=large))
    for page in pages:
        lacks = {f"[U+{ord(letter):04X}]" for letter in letters if f"U+{ord(letter):04X}" in page}
        told = page.split("Characters not printed:")[1] if lacks else ""
        assert all(number in told for number in lacks)
        assert "…" not in told
    assert any("Characters not printed:" in page for page in pages)


def test_of_very_many_letters_that_are_lacking_only_the_first_are_told_again_below() -> None:
    letters = "".join(chr(0x4E00 + place) for place in range(900))
    pages = texts(sheet([entry(1, "2026-10-20T10:07:00Z", "note", note=letters)], large=True))
    assert all(
        "[U+" in page.split("Characters not printed:")[1]
        for page in pages
        if "Characters not printed:" in page
    )
    assert any(page.rstrip().endswith("…") for page in pages)
    assert len(set(re.findall(r"U\+[4-5][0-9A-F]{3}", "".join(pages)))) == 900


def test_marks_without_a_letter_of_their_own_are_set_over_their_letter() -> None:
    text = note("m\N{COMBINING TILDE} j\N{COMBINING TILDE}")
    assert text.count("\N{COMBINING TILDE}") == 2
    assert "Characters not printed" not in text


def test_decomposed_letters_are_composed() -> None:
    assert "Zoë" in note("Zoe\N{COMBINING DIAERESIS}")


def test_a_number_in_brackets_that_somebody_typed_is_not_taken_for_a_missing_letter() -> None:
    assert "Characters not printed" not in note("[U+0041] typed by hand")


def test_line_breaks_stay_line_breaks() -> None:
    letters = Letters()
    lines = LineWidths(letters, 8, 200).lines(words("one\r\ntwo\n\nfour"))
    assert ["".join(piece.text for piece in line) for line in lines] == ["one", "two", "", "four"]


@given(st.text(max_size=300), st.integers(20, 200))
def test_lines_hold_every_letter_and_fit_the_width(text: str, width: int) -> None:
    letters = Letters()
    measure = LineWidths(letters, 8, width)
    lines = ["".join(piece.text for piece in line) for line in measure.lines(words(text))]
    kept = "".join("".join(lines).split())
    wanted = letters.drawable(NEW_LINE.sub("", text))
    assert kept == "".join(wanted.split())
    for line in lines:
        assert len(line) <= 1 or letters.width(line, False, 8) <= width + 0.01


@given(st.text(max_size=60))
def test_drawable_text_is_drawn_from_edge_to_edge_in_strokes(text: str) -> None:
    letters = Letters()
    drawable = letters.drawable(text.replace("\n", " "))
    assert letters.drawable(drawable) == drawable
    width = letters.width(drawable, False, 8)
    assert width == pytest.approx(sum(stroke.width for stroke in letters.strokes(drawable, False, 8)))


def ordered(text: str) -> str:
    """The text as it stands on paper, letter by letter."""
    return "".join(text[place] for place in visual_order(levels(text)))


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("plain", "plain"),
        ("car אבג CAR", "car גבא CAR"),
        ("אבג", "גבא"),
        ("x אבג 12 דה y", "x הד 12 גבא y"),
        ("עלות 12.5 שח", "חש 12.5 תולע"),
        ("a (אב) b", "a (בא) b"),
        ("ضم 12-34", "34-12 مض"),
    ],
)
def test_parts_that_run_to_the_left_stand_in_their_place(text: str, seen: str) -> None:
    assert ordered(text) == seen


def test_arabic_letters_are_joined() -> None:
    letters = Letters()
    joined = letters.width("ببب", False, 10)
    apart = sum(letters.width(letter, False, 10) for letter in "ببب")
    assert joined < 0.8 * apart


def test_a_long_word_is_broken_after_its_hyphen_rather_than_within_a_name() -> None:
    letters = Letters()
    whole = "Featherstonehaugh-Worthington"
    widths = LineWidths(letters, 8, letters.width("Featherstonehaugh-Wor", False, 8))
    assert [line[0].text for line in widths.lines(words(whole))] == ["Featherstonehaugh-", "Worthington"]
    for text in ("-" * 60, "x" * 60, f"{'x' * 30}-"):
        assert "".join(line[0].text for line in widths.lines(words(text))) == text
