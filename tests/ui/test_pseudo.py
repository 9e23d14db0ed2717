"""No page breaks in a language whose words are 40 % longer, or that is written from right to left."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from carelog import text
from pseudo import LANGUAGES
from tests.ui.conftest import Opened, Opener
from tests.ui.test_audit import PAGES, errors, show
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
    assert errors(translated) == []


@pytest.mark.parametrize("translated", LANGUAGES, indirect=True)
def test_the_receipt_says_all_of_it_and_keeps_undo_and_more_in_a_pseudo_language(translated: Opened) -> None:
    translated.window.preferences.change(text_percent=200)
    translated.press("tile_suction")
    translated.wait(lambda: translated.record.entries[-1].kind == "suction" and undo_is_seen(translated))
    translated.bot.wait(80)
    assert errors(translated) == []
    assert not translated.find("more_details").visibleRegion().isEmpty()
    translated.window.preferences.change(text_percent=100)
    translated.bot.wait(80)
    assert translated.find("pick_amount_large").isVisible()


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
