"""At night nothing is bright, not even for a moment: the first picture, pages, dialogs, menus, lists."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QImage, QPainter, QPalette
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QLineEdit, QToolTip, QWidget

from carelog.analysis.drawing import Anchor, Fill, Label, Rectangle
from carelog.app.settings import BY_ITSELF, DAY, Settings, SettingsFile
from carelog.ui import files
from carelog.ui.drawing import paint
from carelog.ui.palette import DAY as BY_DAY
from carelog.ui.palette import LOOKS, SURFACE, palette
from carelog.ui.preferences import Preferences
from carelog.ui.sheet.preview import Preview
from tests.ui.conftest import Opened
from tests.ui.household import NOW
from tests.ui.test_audit import PAGES, contrast

DARKEST_OF_THE_BRIGHT = 200
"""The lightness from which a pixel counts as bright; the night's ink has 163 at most."""
FEW = 0.002
"""The share of bright pixels from which something is a bright area."""


def bright(image: QImage) -> float:
    """The share of an image's pixels that are bright."""
    small = image.convertToFormat(QImage.Format.Format_Grayscale8)
    lines: Any = (small.constScanLine(y) for y in range(small.height()))
    rows = [bytes(line[: small.width()]) for line in lines]
    return sum(sum(value >= DARKEST_OF_THE_BRIGHT for value in row) for row in rows) / (
        small.width() * small.height()
    )


def turn(opened: Opened, look: str) -> None:
    """Put on a look; Qt tells the widgets of it by its events."""
    opened.window.preferences.change(palette=look)
    QApplication.processEvents()


@pytest.fixture
def night(opened: Opened) -> Opened:
    turn(opened, "night")
    return opened


def test_no_page_is_bright_when_it_is_first_shown(night: Opened) -> None:
    for page in (*PAGES, "form_suction"):
        if page.startswith("form_"):
            night.rest.ways.open_form("suction")
        else:
            night.window.do(page)
        assert bright(night.window.grab().toImage()) <= FEW, page
        if page == "cover":
            night.rest.toggle_cover()


def test_in_the_day_it_is_bright(opened: Opened) -> None:
    """The control: the same look finds a bright window."""
    assert bright(opened.window.grab().toImage()) > 0.5


@pytest.mark.parametrize("look", ["night", "contrast_dark"])
def test_what_opens_over_the_window_is_dark_too(opened: Opened, look: str) -> None:
    turn(opened, look)
    most = FEW if look == "night" else 0.4  # high contrast has bright letters
    asked = files.dialog(opened.window, "Import", "*.carelog", files.READ)
    asked.setOption(QFileDialog.Option.DontUseNativeDialog)
    line = QLineEdit(opened.window)
    over: list[QWidget] = [asked, line.createStandardContextMenu(), line]
    over.append(QPrintDialog(QPrinter(QPrinter.PrinterMode.HighResolution), opened.window))
    for widget in over:
        widget.ensurePolished()
        assert bright(widget.grab().toImage()) <= most, type(widget).__name__
    combo = QComboBox(asked)
    combo.addItems(["A4", "Letter"])
    combo.showPopup()
    assert bright(combo.view().window().grab().toImage()) <= (
        0.02 if look == "night" else 0.5
    )  # the line it is on
    combo.hidePopup()
    QToolTip.showText(QPoint(5, 5), "earlier", opened.window)
    tips = [each for each in QApplication.topLevelWidgets() if each.inherits("QTipLabel")]
    assert tips
    for each in tips:
        assert bright(each.grab().toImage()) <= most, each.palette().color(each.backgroundRole()).name()
    asked.deleteLater()


def test_white_paper_is_not_left_in_the_dark(opened: Opened) -> None:
    preview = Preview(1)
    paper = QWidget()
    paper.setStyleSheet("background: white")
    paper.setFixedSize(300, 300)
    preview._column.addWidget(paper)
    preview.resize(320, 320)
    preview.show()
    assert bright(preview.grab().toImage()) > 0.5
    turn(opened, "night")
    assert bright(preview.grab().toImage()) <= FEW
    preview.close()


class Looks:
    """A theme that notes each look that it is given."""

    def __init__(self) -> None:
        self.looks: list[str] = []

    def set_percent(self, _percent: int) -> None:
        pass

    def set_look(self, look: str) -> None:
        self.looks.append(look)


@pytest.mark.parametrize(
    ("night", "begun", "look"),
    [
        ("22:00 07:00", "03:12", "night"),
        ("22:00 07:00", "07:00", "day"),
        ("01:00 05:00", "23:00", "day"),
        ("nonsense", "03:12", "day"),
    ],
)
def test_a_window_begins_in_the_look_of_the_hour(tmp_path: Path, night: str, begun: str, look: str) -> None:
    file = SettingsFile(tmp_path / "settings.json")
    file.write(Settings(night=night))
    theme = Looks()
    Preferences(file, theme, None, begun)  # type: ignore[arg-type]
    assert theme.looks == [look]
    file.write(Settings(night=night, palette=DAY))
    Preferences(file, theme, None, begun)  # type: ignore[arg-type]
    assert theme.looks[1:] == ["day"]


def test_a_window_that_is_opened_at_night_is_dark_from_its_first_picture(
    opener: Callable[..., Opened], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[float] = []
    shown = QWidget.show
    monkeypatch.setattr(Preferences, "change", lambda self, **_chosen: None)

    def noted(window: QWidget) -> None:
        kept.append(bright(window.grab().toImage()))
        shown(window)

    monkeypatch.setattr(QWidget, "show", noted)
    hour = datetime.fromtimestamp(NOW / 1e6).hour
    opened = opener()
    assert opened.window.preferences.now.palette == BY_ITSELF
    is_night = hour >= 22 or hour < 7  # here where the tests run
    assert (kept[0] <= FEW) == is_night
    assert QColor(BY_DAY.ground).lightness() >= DARKEST_OF_THE_BRIGHT


def test_the_plans_quiet_hours_are_kept_for_the_next_start(opened: Opened) -> None:
    opened.window.tick()
    assert opened.window.preferences.now.night == "23:00 06:00"
    assert SettingsFile(opened.window.desk.parts.places.settings).read().night == "23:00 06:00"


@pytest.mark.parametrize("look", LOOKS)
def test_every_role_that_is_declared_has_its_own_colour_where_several_are_alike(look: str) -> None:
    for colours in LOOKS[look]:
        made, roles = palette(colours), QPalette.ColorRole
        grounds = {made.color(each).name() for each in (roles.Window, roles.ToolTipBase)}
        surfaces = {made.color(each).name() for each in (roles.Base, roles.Button, roles.Light)}
        assert grounds == {colours.ground.lower()}
        assert surfaces == {colours.surface.lower()}
        assert made.color(roles.HighlightedText).name() == colours.ground.lower()


@pytest.mark.parametrize("look", ["day", "night"])
def test_words_on_a_filled_area_can_be_read_by_day_and_at_night(opened: Opened, look: str) -> None:
    """At night an area is dim: what stands on it by day stands in a gap of it."""
    turn(opened, look)
    colours = QApplication.palette()
    image = QImage(120, 40, QImage.Format.Format_RGB32)
    image.fill(colours.color(SURFACE))
    painter = QPainter(image)
    paint(painter, Rectangle(0, 0, 119, 39, Fill.INK, weight=1), colours, QApplication.font())
    paint(painter, Label(60, 26, "brown", 16, Anchor.MIDDLE, reversed=True), colours, QApplication.font())
    painter.end()
    around = image.pixelColor(60 - 26, 20).name()
    letters = {image.pixelColor(x, y).name() for x in range(34, 86) for y in range(12, 30)}
    assert max(contrast(around, each) for each in letters) >= 7
