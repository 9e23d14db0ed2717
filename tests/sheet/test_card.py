"""The card fits a pocket, and its code holds what is printed on it; what doesn't fit says where it stands."""

import re
from datetime import date
from itertools import pairwise
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from carelog.analysis.drawing import Label
from carelog.domain.entry import Entry
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.blocks import Card, CardLine, Cards, Content, Feet
from carelog.sheet.cards import MODULE, PANEL, WIDTH, put_cards
from carelog.sheet.code import QUIET, modules
from carelog.sheet.letters import Letters
from carelog.sheet.page import MILLIMETRE, Book, style
from tests.sheet.pages import entry, no_flags, running, texts

DAY = date(2026, 11, 20)
PERSON: dict[str, Any] = {
    "name": "Odette Farrow",
    "born": "1961-05-09",
    "upper_airway": "none",
    "emergency_plan": "Ring the ward. The box is by the bed.",
}
TUBE = {"id_mm": 7.5, "cuff": "air", "inner_tube": "reusable"}


def household(**person: Any) -> list[Entry]:
    when = "2026-11-02T08:00:00Z"
    roles = {"night": "01632 960 118", "emergency": "01632 960 999", "supplies": "01632 960 331"}
    contacts = [
        entry(10 + n, when, "contact", details={"role": f"{purpose} line", "phone": phone, "for": purpose})
        for n, (purpose, phone) in enumerate(roles.items())
    ]
    return [
        entry(1, when, "person", details=PERSON | person),
        entry(2, when, "tube_change", details=TUBE),
        *contacts,
    ]


def card(entries: list[Entry], **more: Any) -> bytes:
    return make(SheetRequest(name="card", day=DAY, **more), entries, find_flags=no_flags)


def picture(pdf: bytes, dots: int = 300, page: int = 0) -> Image.Image:
    """A page as a printer of so many dots an inch puts it on paper."""
    with pypdfium2.PdfDocument(pdf) as document:
        image: Image.Image = document[page].render(scale=dots / 72).to_pil()
        return image


def codes(pdf: bytes, dots: int = 300) -> list[str]:
    """What a reader gets from the codes on the first page."""
    found = zxingcpp.read_barcodes(picture(pdf, dots))
    assert all(each.ec_level == "M" for each in found)
    return [each.bytes.decode() for each in found]


def test_four_codes_are_read_back_from_the_picture_and_hold_the_printed_text() -> None:
    pdf = card(household())
    read = codes(pdf)
    assert len(read) == 4
    assert len(set(read)) == 1
    assert read[0].splitlines() == [
        "Odette Farrow",
        "born 9 May 1961",
        "Breathes through a tube in the neck",
        "NO air passes by mouth and nose",
        "Tube: ID 7.5 mm, cuff air; inner tube reusable",
        "emergency line: 01632 960 999",
        "night line: 01632 960 118",
        "Emergency plan: Ring the ward. The box is by the bed.",
        "Recorded up to 2 November 2026. A record, not advice.",
    ]
    printed = running(pdf)
    for line in read[0].splitlines():
        assert printed.count(line) == 4
    assert "supplies" not in printed
    assert "http" not in read[0]


def test_the_codes_are_read_from_a_one_bit_printer_and_from_200_dots_an_inch_too() -> None:
    pdf = card(household())
    one_bit = picture(pdf).convert("1")
    assert len(zxingcpp.read_barcodes(one_bit.convert("L"))) == 4
    assert len(codes(pdf, 200)) == 4


def test_a_spoiled_code_is_not_read() -> None:
    image = picture(card(household())).convert("L")
    grey = Image.new("L", image.size, 255)
    grey.paste(image.crop((0, 0, image.width, image.height // 4)), (0, 0))
    assert zxingcpp.read_barcodes(grey) == []


def test_a_card_is_as_large_as_it_says_and_its_modules_are_half_a_millimetre_at_least() -> None:
    assert (round(WIDTH / MILLIMETRE, 1), round(PANEL / MILLIMETRE, 1)) == (85.6, 54)
    image = picture(card(household())).convert("L")
    dark = image.point(lambda value: 255 if value < 128 else 0)
    found = zxingcpp.read_barcodes(image)
    rows = modules(codes(card(household()))[0])
    for each in found:
        corners = each.position
        width = corners.top_right.x - corners.top_left.x
        assert width / 300 * 25.4 / len(rows) >= 0.495
    columns = [x for x in range(image.width) if sum(dark.crop((x, 900, x + 1, 1500)).histogram()[128:]) > 500]
    edges = [columns[0], *(x for before, x in pairwise(columns) if x - before > 3)]
    assert abs((edges[1] - edges[0]) / 300 * 25.4 - 85.6) < 0.3


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_four_stand_on_one_page(paper: str) -> None:
    assert len(texts(card(household(invented=True), paper=paper))) == 1


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("open", "Air passes by mouth and nose"),
        ("partly", "Air passes partly by mouth and nose"),
        ("none", "NO air passes by mouth and nose"),
    ],
)
def test_the_airway_is_told_in_words(value: str, words: str) -> None:
    assert words in codes(card(household(upper_airway=value)))[0].splitlines()


def test_of_an_empty_record_all_is_not_recorded() -> None:
    read = codes(card([]))[0]
    assert "Whether air passes by mouth and nose: not recorded" in read
    assert "Tube: not recorded" in read
    assert "Call: your country's emergency number" in read
    assert "Contacts: not recorded" in read
    assert "Emergency plan: not recorded" in read
    assert "Nothing recorded yet." in read


def test_after_the_tube_was_taken_out_for_good_no_card_says_that_they_breathe_through_one() -> None:
    out = entry(30, "2026-11-19T08:00:00Z", "decannulation")
    read = codes(card([*household(), out]))[0]
    assert "Breathes through" not in read
    assert "Tube: no tube: taken out for good" in read


def test_a_made_up_household_says_so_on_the_card_itself() -> None:
    assert codes(card(household(invented=True)))[0].startswith("MADE-UP HOUSEHOLD\n")


def test_a_long_plan_says_where_it_goes_on_and_the_front_says_what_stands_on_the_other_side() -> None:
    plan = " ".join(f"step-{number}" for number in range(300))
    pdf = card(household(emergency_plan=plan))
    read = codes(pdf)[0]
    line = next(each for each in read.splitlines() if each.startswith("Emergency plan"))
    assert line.endswith("… (goes on: hand-over sheet)")
    assert line.startswith("Emergency plan: step-0 step-1 step-2")
    assert running(pdf).count("Other side: emergency plan, this text as a code") == 4


def test_many_numbers_that_dont_fit_on_the_front_stand_on_the_other_side_or_are_counted() -> None:
    many = [
        entry(
            50 + n,
            "2026-11-02T08:00:00Z",
            "contact",
            details={"role": f"line {n}", "phone": f"01632 960 {n:03}", "for": "family"},
        )
        for n in range(40)
    ]
    pdf = card([*household(), *many])
    read = codes(pdf)[0]
    told = len(re.findall(r"^line \d+:", read, re.M))
    left = re.search(r"^(\d+) more: hand-over sheet$", read, re.M)
    assert left is not None
    assert told + int(left[1]) == 40
    assert "Other side: numbers, emergency plan" in running(pdf)


NAMES = ("Świętosława Brzęczyszczykiewicz", "ليلى الحداد", "Wolfeschlegelsteinhausenbergerdorff " * 4)


@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_read_back_in_every_script(name: str) -> None:
    read = codes(card(household(name=name.strip())))
    assert len(read) == 4
    assert read[0].splitlines()[0].startswith(name.strip()[:50])
    assert len(read[0].encode()) <= 560


def test_a_name_of_four_long_parts_stands_whole_on_the_card_and_in_its_code() -> None:
    name = "Philippa-Wilhelmina Featherstonehaugh-Cholmondeley-Worthington"
    pdf = card(household(name=name))
    assert codes(pdf)[0].splitlines()[0] == name
    assert running(pdf).replace("- ", "-").count(name) == 4


@settings(max_examples=12, deadline=None)
@given(
    name=st.text("WŁż لا-x", min_size=1, max_size=700),
    plan=st.text("WŁż لا-x ", max_size=1500),
    phone=st.text("W0 ل", min_size=1, max_size=300),
)
def test_whatever_stands_in_the_record_the_card_is_made_and_its_text_fits_its_code(
    name: str, plan: str, phone: str
) -> None:
    found = household(name=name, emergency_plan=plan)
    found.append(
        entry(40, "2026-11-02T08:00:00Z", "contact", details={"role": "r", "phone": phone, "for": "team"})
    )
    read = codes(card(found))
    assert len(read) == 4
    assert len(read[0].encode()) <= 560


def test_the_widest_letters_that_the_code_holds_fit_on_the_card() -> None:
    widest = Card((CardLine("name", "W" * 60, 1.5), CardLine("emergency plan", "W" * 499, is_back=True)))
    assert len(modules(widest.text)) == 89
    assert (89 + 2 * QUIET) * MODULE <= PANEL
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    put_cards(book, Cards((widest,) * 4))
    labels = [part for part in book.leaf.parts if isinstance(part, Label)]
    assert "".join(each.text for each in labels).count("W") == 4 * (60 + 499)
    assert min(each.size for each in labels) >= 6


def test_a_text_that_fills_both_sides_goes_on_where_the_front_left_off() -> None:
    words = " ".join(f"w{number}" if number % 7 else f"\u0e01{number}" for number in range(110))
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    put_cards(book, Cards((Card((CardLine("name", "O", 1.5), CardLine("plan", words, is_back=True))),)))
    labels = " ".join(part.text for part in book.leaf.parts if isinstance(part, Label))
    printed = re.findall(r"w\d+|\[U\+0E01\]\d+", labels.split("Other side")[0] + labels.split("code", 1)[1])
    assert printed == re.findall(r"w\d+|\[U\+0E01\]\d+", words.replace("\u0e01", "[U+0E01]"))


def test_large_print_is_the_same_card() -> None:
    assert card(household(), large=True) == card(household())


def test_the_page_for_a_browser_has_the_card_once_with_its_code() -> None:
    page = card(household(), html=True).decode()
    assert page.count('<section class="card">') == 1
    assert 'aria-label="Code: the same text"' in page
    assert "<p>NO air passes by mouth and nose</p>" in page
