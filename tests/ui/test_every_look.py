"""Every page and form in every look, at 100, 200 and 300 %, on a small and a usual screen: many minutes."""

import pytest
from PySide6.QtCore import QSize

from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened
from tests.ui.test_audit import FORMS, PAGES, readable, show

pytestmark = pytest.mark.long

LOOKS = ("day", "night", "contrast_light", "contrast_dark")
SIZES = (QSize(1024, 600), QSize(1366, 768))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size.width()}x{size.height()}")
@pytest.mark.parametrize("percent", [100, 200, 300])
@pytest.mark.parametrize("look", LOOKS)
def test_no_text_is_faint_or_cut_and_nothing_leaves_the_screen(
    opened: Opened, look: str, percent: int, size: QSize
) -> None:
    opened.window.preferences.change(palette=look, text_percent=percent)
    opened.window.resize(size)
    found: dict[str, list[str]] = {}
    for page in (*PAGES, "entry", *FORMS):
        show(opened, page)
        wrong = readable(opened, uiaudit.audit_ink)
        wrong += readable(opened, uiaudit.audit_fit, scales=(100,), small_screen=size)
        if wrong:
            found[page] = wrong
        if page == "cover":
            opened.rest.toggle_cover()
    assert not found, "\n".join(f"{page}: {each}" for page, lines in found.items() for each in lines)
