"""For eyes that need more: the computer's own choices, letters up to 300 %, nothing by colour alone."""

import ast

import pytest
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtWidgets import QWidget

from carelog.app.settings import BY_ITSELF, CONTRAST_DARK, CONTRAST_LIGHT, NIGHT, SettingsFile
from carelog.domain.due import DueState
from carelog.domain.flag import Level
from carelog.ui.board.face import FaceState
from carelog.ui.button import Button
from carelog.ui.column import row
from carelog.ui.computer import Computer, this_computer
from carelog.ui.preferences import Preferences
from carelog.ui.theme import SIZES, Size, pixels
from tests.architecture.tree import PACKAGE, modules
from tests.ui.audit import uiaudit
from tests.ui.conftest import Opened
from tests.ui.test_pages import flag, raise_flags

STIRRING = ("Animation", "QTimeLine", "QMovie", "QGraphicsEffect", "animateClick")


class Shown:
    """A theme that only notes what it is given."""

    def __init__(self) -> None:
        self.percent, self.look = 0, ""

    def set_percent(self, percent: int) -> None:
        self.percent = percent

    def set_look(self, look: str) -> None:
        self.look = look


def test_a_window_that_is_pushed_wider_while_its_letters_change_has_its_size_again(opened: Opened) -> None:
    window = opened.window
    window.resize(1024, 600)
    window.theme.set_percent(200)
    window.resize(1500, 900)  # as a layout does that asks for more than it needs afterwards
    opened.wait(lambda: (window.width(), window.height()) == (1024, 600))


# The computer's own choices ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("letters", "percent"), [(0, 100), (16, 100), (17, 125), (24, 150), (40, 250), (90, 300)]
)
def test_text_is_no_smaller_than_the_computers_own(letters: int, percent: int) -> None:
    assert Computer(letters).text_percent == percent


def test_this_computer_says_how_large_its_letters_are(opened: Opened) -> None:
    assert this_computer().letters > 0


def test_what_the_computer_asks_for_counts_until_somebody_chooses(opened: Opened) -> None:
    file = SettingsFile(opened.window.desk.parts.places.settings.with_name("new.json"))
    theme = Shown()
    chosen = Preferences(file, theme, Computer(24, wants_contrast=True))  # type: ignore[arg-type]
    assert (theme.percent, theme.look) == (150, CONTRAST_LIGHT)
    chosen.set_quiet(True)
    assert theme.look == CONTRAST_DARK
    chosen.resize(is_larger=True)
    chosen.change(palette=NIGHT)
    assert (theme.percent, theme.look) == (175, NIGHT)
    again = Preferences(file, theme, Computer(32, wants_contrast=True))  # type: ignore[arg-type]
    assert (theme.percent, theme.look) == (175, NIGHT)
    again.change(palette=BY_ITSELF)
    assert theme.look == CONTRAST_LIGHT


def test_the_computers_contrast_is_shown_from_the_first_picture_of_the_next_start(opened: Opened) -> None:
    file = SettingsFile(opened.window.desk.parts.places.settings.with_name("new.json"))
    for computer, look in (
        (Computer(0, True, False), CONTRAST_LIGHT),
        (Computer(0, True, True), CONTRAST_DARK),
        (Computer(0, False, True), "day"),
    ):
        before = Preferences(file, Shown(), Computer(0))  # type: ignore[arg-type]
        before.meet(computer)
        theme = Shown()
        Preferences(file, theme, Computer(0))  # type: ignore[arg-type]
        assert theme.look == look


def test_on_a_dark_desktop_high_contrast_is_dark_and_without_it_day_stays_day(opened: Opened) -> None:
    file = SettingsFile(opened.window.desk.parts.places.settings.with_name("new.json"))
    for computer, look in ((Computer(0, True, True), CONTRAST_DARK), (Computer(0, False, True), "day")):
        theme = Shown()
        Preferences(file, theme, computer)  # type: ignore[arg-type]
        assert theme.look == look


# Large letters ----------------------------------------------------------------------------------------


def test_every_size_grows_and_none_falls_behind_the_text() -> None:
    for size in Size:
        grown = [pixels(size, percent) for percent in SIZES]
        assert grown == sorted(grown)
        assert grown[SIZES.index(200)] == 2 * size.value[0]
        if size.value[0] >= Size.TEXT.value[0]:
            assert pixels(size, 300) >= pixels(Size.TEXT, 300) == 48


@pytest.mark.parametrize("page", ["board", "emergency"])
def test_at_300_per_cent_a_small_window_cuts_nothing(opened: Opened, page: str) -> None:
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.window.preferences.change(text_percent=300)
    opened.window.do(page)
    opened.wait(lambda: (opened.window.width(), opened.window.height()) == (1024, 600))
    opened.come_to_rest()
    for name in ("go_emergency", *(("undo",) if page == "board" else ())):
        button: QWidget = opened.find(name)
        assert button.visibleRegion().boundingRect().size() == button.size()
    found = uiaudit.audit(opened.window, scales=(300,), scale_hook=opened.window.theme.set_percent)
    assert [
        str(each) for each in found if each.level == "error" and each.rule in ("overflow", "overlap")
    ] == []


LONG = "Try the copy of 2026-11-25 12:40, on this computer"


def test_huge_words_of_a_button_wrap_where_a_page_is_narrower_than_they_are(opened: Opened) -> None:
    assert not Button(LONG).wraps()
    opened.window.preferences.change(text_percent=300)
    opened.window.do("flags")
    holder = row(long := Button(LONG, "long"))
    holder.setParent(opened.window)
    holder.setGeometry(0, 0, 700, 200)
    holder.show()
    opened.come_to_rest()
    assert (long.width(), long.height()) == (700, long.heightForWidth(700))
    assert long.height() > long.sizeHint().height() + Size.TEXT.value[0]
    assert [each for each in cut(opened) if "long" in each] == []
    long.setFixedHeight(60)
    assert [each for each in cut(opened) if "long" in each] != []  # the control


def cut(opened: Opened) -> list[str]:
    """What the audit finds cut now."""
    shown = uiaudit._shown(opened.window)
    return [str(each) for each in uiaudit.check_clipped(opened.window, shown, 100) if each.level == "error"]


def test_huge_letters_leave_the_foot_of_the_plans_editor_whole_under_two_bands(opened: Opened) -> None:
    raise_flags(opened, flag(Level.URGENT, headline="Fresh blood at 03:00."))
    opened.rest.ways.open_form("plan")
    opened.window.preferences.change(text_percent=300)
    opened.wait(lambda: (opened.window.width(), opened.window.height()) == (1024, 600))
    assert all(opened.find(name).isVisible() for name in ("urgent_band", "reminder_band"))
    opened.wait(lambda: [each for each in cut(opened) if "PlanFoot" in each] == [])
    save = opened.find("save")
    assert save.visibleRegion().boundingRect().size() == save.size()


# Without colours --------------------------------------------------------------------------------------


def in_black_and_white(widget: QWidget) -> QImage:
    """How it looks when only dark and light are left of it."""
    return widget.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)


def differing(one: QImage, other: QImage) -> int:
    """How many points are dark in one of them and light in the other."""
    size = one.size().boundedTo(other.size())
    return sum(
        (one.pixelColor(x, y).lightness() < 128) != (other.pixelColor(x, y).lightness() < 128)
        for x in range(0, size.width(), 2)
        for y in range(0, size.height(), 2)
    )


def test_every_state_is_told_without_its_colour(opened: Opened) -> None:
    tile = opened.window.board.tiles[0]
    seen = []
    for mark in (None, DueState.DUE, DueState.LATE):
        tile.show_state(FaceState((), ("03:00",), "at 03:00", mark))
        seen.append(in_black_and_white(tile))
    choice = opened.window.rail.buttons["flags"]
    choice.show_on(False)
    seen_choice = [in_black_and_white(choice)]
    choice.show_on(True)
    seen_choice.append(in_black_and_white(choice))
    seen_flags = []
    for level in (Level.CALL, Level.NOTE):
        raise_flags(opened, flag(level, headline="The same words.", why=""))
        seen_flags.append(in_black_and_white(opened.window.board.aside))
    for images in (seen, seen_choice, seen_flags):
        for number, one in enumerate(images):
            assert all(differing(one, other) >= 8 for other in images[number + 1 :])


# Names --------------------------------------------------------------------------------------------------


def plain(words: str) -> str:
    """Words as they are spoken: without the dots that promise a form."""
    return words.rstrip(" …").replace("\n", " ").replace("\N{NO-BREAK SPACE}", " ").casefold()


def test_whoever_says_what_stands_on_a_button_names_it(opened: Opened) -> None:
    """WCAG 2.2, criterion 2.5.3: a control is named by what is seen on it."""
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    looked_at = 0
    for page in ("board", "course", "settings", "kit", "power", "home", "cards", "due", "flags", "sheet"):
        opened.window.do(page)
        for each in (button for button in opened.window.findChildren(Button) if button.isVisible()):
            name = QAccessible.queryAccessibleInterface(each).text(QAccessible.Text.Name)
            assert plain(each.words) in plain(name), (page, each.objectName())
            looked_at += 1
    assert looked_at > 200


# Motion -----------------------------------------------------------------------------------------------


def stirring(source: str) -> list[str]:
    """What in a module moves by itself."""
    names = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Name | ast.Attribute)]
    found = [node.id if isinstance(node, ast.Name) else node.attr for node in names]
    return [name for name in found if any(word in name for word in STIRRING)]


def test_nothing_in_the_window_is_animated() -> None:
    sources = [each.read_text(encoding="utf-8") for each in modules() if PACKAGE / "ui" in each.parents]
    assert len(sources) > 100
    assert [name for source in sources for name in stirring(source)] == []
    assert stirring("QPropertyAnimation(self).start()") == ["QPropertyAnimation"]
