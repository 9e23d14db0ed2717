"""Every page, by day and by night, at 100 and 200 %: named, reached by Tab, large enough, readable, uncut."""

import sys
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QWidget

from carelog.app.demo import demo_entries
from carelog.domain.flag import Level
from carelog.kinds import ALL
from carelog.ui.palette import (
    CONTRAST_DARK,
    CONTRAST_LIGHT,
    DAY,
    GROUND,
    INK,
    NIGHT,
    NIGHT_LARGE,
    RING,
    SOFT,
    Colours,
)
from carelog.ui.theme import SIZES, Size, pixels
from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, Memory
from tests.ui.test_pages import flag, raise_flags
from tests.ui.test_visit import read_whole

PAGES = (
    "board",
    "timeline",
    "course",
    "since",
    "visit",
    "flags",
    "kit",
    "power",
    "outing",
    "home",
    "due",
    "plan",
    "emergency",
    "help",
    "help_keys",
    "help_words",
    "settings",
    "copies",
    "code",
    "reading",
    "sides",
    "typed",
    "first",
    "basics",
    "who",
    "more",
    "others",
    "cards",
    "cover",
)
FORMS = tuple(f"form_{kind.name}" for kind in ALL if kind.name not in ("seen",))
LOOKS = ("day", "night")
FULL_PAGES = ("board", "timeline", "course", "flags", "kit", "since", "visit", "due", "emergency", "power")
LARGE_LETTERS = 24  # px


def show(opened: Opened, page: str) -> None:
    """Open a page with something on it."""
    raise_flags(
        opened, flag(Level.URGENT, headline="Fresh blood at 03:00."), flag(Level.CALL), flag(Level.NOTE)
    )
    if page.startswith("form_"):
        opened.rest.ways.open_form(page.removeprefix("form_"))
    elif page == "entry":
        opened.rest.ways.open_entry(opened.record.entries[-1].id)
    elif page == "cover":
        opened.rest.toggle_cover()
    else:
        assert opened.window.do(page)
    if page == "visit":
        read_whole(opened)
    opened.come_to_rest()


def errors(opened: Opened) -> list[str]:
    """What the audit finds, as readable lines."""
    return readable(opened, uiaudit.audit, scale_hook=opened.window.theme.set_percent)


def faint(opened: Opened) -> list[str]:
    """What the audit finds that depends on the colours alone."""
    return readable(opened, uiaudit.audit_ink)


def misfits(opened: Opened) -> list[str]:
    """What the audit finds that depends on the words' length and the letters' size alone."""
    return readable(opened, uiaudit.audit_fit, scale_hook=opened.window.theme.set_percent)


def readable(opened: Opened, audit: Callable[..., Any], **given: Any) -> list[str]:
    """The errors of an audit as lines, but for the ink of texts that a scrolled page's edge cuts."""
    opened.come_to_rest()  # what comes later takes the place of widgets that are being looked at
    slivers = cut_texts(opened)
    wrong = [each for each in audit(opened.window, **given) if each.level == "error"]
    return [str(each) for each in wrong if each.rule != "low-contrast" or each.text not in slivers]


def cut_texts(opened: Opened) -> set[str]:
    """Texts that a scrolled page's edge cuts: what is left of their letters says nothing of their ink."""
    found = set()
    for each in opened.window.findChildren(QWidget):
        text = getattr(each, "text", None)
        if callable(text) and 0 < each.visibleRegion().boundingRect().height() < each.height():
            found.add(str(text()).strip())
    return found - {""}


@pytest.mark.parametrize("page", [*PAGES, "entry"])
def test_no_page_has_a_defect_that_can_be_measured(opened: Opened, page: str) -> None:
    show(opened, page)
    assert errors(opened) == []
    opened.window.preferences.change(palette="night")
    opened.come_to_rest()
    assert faint(opened) == []


@pytest.mark.parametrize("look", ["contrast_light", "contrast_dark"])
@pytest.mark.parametrize("page", ["board", "flags", "kit", "emergency", "form_suction"])
def test_no_text_and_no_ring_is_faint_in_high_contrast(opened: Opened, page: str, look: str) -> None:
    opened.window.preferences.change(palette=look)
    show(opened, page)
    assert faint(opened) == []


@pytest.mark.parametrize("colours", [CONTRAST_LIGHT, CONTRAST_DARK])
def test_in_high_contrast_all_text_has_7_to_1_and_lines_3_to_1(colours: Colours) -> None:
    for ground in (colours.ground, colours.surface, colours.rail):
        texts = (colours.ink, colours.soft, colours.accent, colours.ring)
        assert min(contrast(each, ground) for each in texts) >= 7
        assert contrast(colours.line, ground) >= 3


@pytest.mark.parametrize("page", FORMS)
def test_no_form_has_a_defect_that_can_be_measured(opened: Opened, page: str) -> None:
    show(opened, page)
    assert errors(opened) == []


def test_the_receipt_with_its_choices_has_no_defect(opened: Opened) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.come_to_rest()
    assert errors(opened) == []


def test_the_audit_finds_a_planted_defect(opened: Opened) -> None:
    nameless = QPushButton(opened.window.board)
    nameless.setGeometry(2, 2, 10, 10)
    nameless.show()
    found = errors(opened)
    assert any("no-name" in each for each in found)
    assert any("small-target" in each for each in found)


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("page", [*PAGES, "entry", "form_suction", "form_plan"])
def test_the_night_is_dark_enough_for_a_dark_room(opened: Opened, page: str, percent: int) -> None:
    opened.window.preferences.change(palette="night", text_percent=percent)
    if page == "board":
        opened.press("tile_suction")
        opened.wait(lambda: "saved" in opened.receipt())
        raise_flags(opened, flag(Level.CALL), flag(Level.NOTE))
        opened.come_to_rest()
    elif page.startswith("form_"):
        opened.rest.ways.open_form(page.removeprefix("form_"))
    elif page == "entry":
        opened.rest.ways.open_entry(opened.record.entries[-1].id)
    else:
        assert opened.window.do(page)
    opened.come_to_rest()
    mean, _blue = uiaudit.mean_luminance(opened.window)
    assert mean <= 0.015


@pytest.mark.parametrize("percent", [100, 200])
def test_a_full_record_leaves_the_night_as_dark(opener: Opener, percent: int) -> None:
    """Charts, long lists and the emergency page with all that can stand on it light a room most."""
    full = opener(Memory(entries=list(demo_entries(NOW))))
    full.wait(lambda: full.window.desk.present.flags is not None)
    full.window.preferences.change(palette="night", text_percent=percent)
    found = {}
    for page in FULL_PAGES:
        assert full.window.do(page)
        full.come_to_rest()
        found[page] = uiaudit.mean_luminance(full.window)[0]
    assert {page: mean for page, mean in found.items() if mean > 0.015} == {}


def contrast(one: str, other: str) -> float:
    """The contrast of two colours after WCAG."""
    lights = sorted((uiaudit._lum(int(each[1:], 16)) for each in (one, other)), reverse=True)
    return float((lights[0] + 0.05) / (lights[1] + 0.05))


@pytest.mark.parametrize("colours", [DAY, NIGHT])
def test_all_text_has_7_to_1_and_every_line_and_the_ring_3(colours: Colours) -> None:
    for ground in (colours.ground, colours.surface, colours.rail):
        assert min(contrast(each, ground) for each in (colours.ink, colours.soft)) >= 7
        assert min(contrast(each, ground) for each in (colours.accent, colours.ring, colours.line)) >= 3


@pytest.mark.parametrize("percent", SIZES)
def test_at_night_no_letters_under_24_px_have_less_than_7_to_1(opened: Opened, percent: int) -> None:
    """WCAG 2.2, criterion 1.4.6: 4.5:1 is enough for letters of 24 px."""
    opened.window.preferences.change(palette="night", text_percent=percent)
    colours = opened.window.palette()
    texts = [colours.color(role).name() for role in (INK, SOFT)]
    smallest = min(pixels(size, percent) for size in Size)
    enough = 7 if smallest < LARGE_LETTERS else 4.5
    assert min(contrast(each, colours.color(GROUND).name()) for each in texts) >= enough


def test_large_letters_at_night_have_4_5_to_1() -> None:
    colours = NIGHT_LARGE
    for ground in (colours.ground, colours.surface):
        assert min(contrast(colours.ink, ground), contrast(colours.soft, ground)) >= 4.5
        assert min(contrast(each, ground) for each in (colours.accent, colours.ring, colours.line)) >= 3


@pytest.mark.parametrize("look", LOOKS)
def test_the_focus_is_a_ring_of_three_pixels_all_around(opened: Opened, look: str) -> None:
    opened.window.preferences.change(palette=look)
    ring = (DAY if look == "day" else NIGHT).ring.lower()
    opened.press("go_timeline")
    opened.wait(lambda: opened.window.palette().color(RING).name() == ring)
    for name, kind in (("go_plan", QPushButton), ("filter_words", QLineEdit), ("go_emergency", QPushButton)):
        widget = opened.find(name, kind)
        opened.window.activateWindow()
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        opened.wait(partial(has_focus, widget))
        shown = widget.parentWidget() if kind is QLineEdit else widget
        assert ring_width(shown, ring) >= 3, name


def has_focus(widget: QWidget) -> bool:
    """Whether what is typed goes to this widget."""
    return QApplication.focusWidget() is widget


def ring_width(widget: QWidget, ring: str) -> int:
    """How many pixels of the ring's colour lie one after another at the middle of the left edge."""
    window = widget.window()
    area = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())
    image = window.grab(area).toImage().convertToFormat(QImage.Format.Format_RGB32)
    row = [image.pixelColor(x, image.height() // 2).name() for x in range(8)]
    return sum(colour == ring for colour in row)


def test_no_key_is_used_twice_in_the_window(opened: Opened) -> None:
    check: Callable[..., Sequence[object]] = uiaudit.check_keys
    assert check(opened.window, uiaudit._shown(opened.window)) == []


def test_reportlab_and_other_heavy_packages_are_not_loaded_by_the_window(opened: Opened) -> None:
    for name in ("matplotlib", "pandas"):
        assert name not in sys.modules
