"""No page breaks in a language whose words are 40 % longer, or that is written from right to left."""

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from carelog import text
from carelog.analysis.times import SHORT_MONTHS, month_day
from carelog.ui.words import Words
from pseudo import LANGUAGES
from tests.ui.conftest import Opened, Opener
from tests.ui.test_audit import PAGES, misfits, show
from tests.words.speaking import as_before

FORMS = ("form_suction", "form_plan", "form_stoma", "form_box_check")


@pytest.fixture
def translated(request: pytest.FixtureRequest, opener: Opener, qapp: QApplication) -> Iterator[Opened]:
    """A window in the pseudo-language that the test asks for."""
    with as_before():
        text.use(LANGUAGES[request.param])
        yield opener()
    qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


@pytest.mark.parametrize("translated", LANGUAGES, indirect=True)
@pytest.mark.parametrize("page", [*PAGES, "entry", *FORMS])
def test_no_page_breaks_in_a_pseudo_language(translated: Opened, page: str) -> None:
    show(translated, page)
    assert misfits(translated) == []


@pytest.mark.parametrize("translated", LANGUAGES, indirect=True)
def test_the_receipt_says_all_of_it_and_keeps_undo_and_more_in_a_pseudo_language(translated: Opened) -> None:
    translated.window.preferences.change(text_percent=200)
    translated.press("tile_suction")
    translated.wait(lambda: translated.record.entries[-1].kind == "suction" and undo_is_seen(translated))
    translated.come_to_rest()
    assert misfits(translated) == []
    assert not translated.find("more_details").visibleRegion().isEmpty()
    translated.window.preferences.change(text_percent=100)
    translated.come_to_rest()
    assert not translated.find("more_details").visibleRegion().isEmpty()
    assert translated.find("minutes_5").isVisible()


def undo_is_seen(opened: Opened) -> bool:
    """Whether the receipt shows an entry that can be taken back."""
    return opened.window.board.receipt.undo.isVisible()


@pytest.mark.parametrize("translated", ["mirrored"], indirect=True)
def test_a_language_from_right_to_left_mirrors_the_window(translated: Opened) -> None:
    emergency = translated.find("go_emergency")
    assert translated.window.isRightToLeft()
    assert emergency.mapTo(translated.window, emergency.rect().center()).x() < translated.window.width() / 2


def test_the_usual_window_is_not_mirrored(opened: Opened) -> None:
    emergency = opened.find("go_emergency")
    assert not opened.window.isRightToLeft()
    assert emergency.mapTo(opened.window, emergency.rect().center()).x() > opened.window.width() / 2


@pytest.mark.parametrize("translated", ["mirrored"], indirect=True)
def test_a_text_in_latin_letters_begins_at_the_right_in_a_mirrored_window(translated: Opened) -> None:
    translated.press("go_plan")
    translated.come_to_rest()
    page = translated.window.stack.currentWidget()
    assert page is not None
    found = [each for each in page.findChildren(Words) if each.isVisible() and each.text()]
    latin = Words("Set by the team")
    latin.resize(400, 40)
    for each in [*found, latin]:
        assert is_at_the_right(each), each.text()
    assert not is_at_the_right(unmirrored())


def unmirrored() -> Words:
    """A text as a window from left to right shows it."""
    words = Words("Set by the team")
    words.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    words.setAlignment(Qt.AlignmentFlag.AlignLeading)
    words.resize(400, 40)
    return words


def is_at_the_right(words: Words) -> bool:
    """Whether the letters lie nearer to the right edge than to the left one, or fill the line."""
    image = words.grab().toImage()
    ground = image.pixelColor(image.width() - 1, 0)
    columns = [
        x
        for x in range(image.width())
        if any(image.pixelColor(x, y) != ground for y in range(0, image.height(), 2))
    ]
    return not columns or columns[0] + 4 >= image.width() - 1 - columns[-1]


@pytest.mark.parametrize("translated", LANGUAGES, indirect=True)
def test_months_are_short_by_their_own_words_and_never_cut(translated: Opened) -> None:
    for month in range(1, 13):
        assert text.say(SHORT_MONTHS[month - 1]) in month_day(date(2026, month, 5))
    assert translated.window.isVisible()
