"""The glyphs: one for every kind and page, in a simple form, drawn as another program draws them."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QByteArray, QRect
from PySide6.QtGui import QBrush, QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from carelog import resources
from carelog.kinds import ALL
from carelog.ui.board.order import every_tile
from carelog.ui.glyphs import ANY, Glyph, draw_glyph, glyph_picture, outline
from carelog.ui.pages import PAGES, Spot

SVG = "{http://www.w3.org/2000/svg}"
LINES = {
    "viewBox": "0 0 28 28",
    "fill": "none",
    "stroke": "currentColor",
    "stroke-width": "1.8",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}
PLACES = {
    f"{SVG}path": {"d"},
    f"{SVG}circle": {"cx", "cy", "r"},
    f"{SVG}rect": {"x", "y", "width", "height", "rx"},
}
pytestmark = pytest.mark.usefixtures("qapp")
SIDE = 112  # px of the pictures that are compared


def files() -> list[Path]:
    return sorted(resources.find("glyphs").glob("*.svg"))


@pytest.mark.parametrize("name", [kind.name for kind in ALL])
def test_every_kind_has_a_glyph(name: str) -> None:
    assert outline(name) != outline(ANY)


def test_every_tile_and_every_page_of_the_rail_and_its_list_has_a_glyph() -> None:
    names = {placed.glyph for placed in every_tile()}
    names |= {page.glyph for page in PAGES if page.spot is not Spot.WAYS}
    assert names <= {file.stem for file in files()}


@pytest.mark.parametrize("file", files(), ids=lambda file: file.stem)
def test_a_glyph_is_lines_of_one_width_and_nothing_else(file: Path) -> None:
    root = ElementTree.fromstring(file.read_text(encoding="utf-8"))
    assert (root.tag, root.attrib) == (f"{SVG}svg", LINES)
    assert len(root)
    for each in root:
        assert set(each.attrib) == PLACES[each.tag]
    steps = " ".join(each.attrib.get("d", "") for each in root)
    assert re.fullmatch(r"[MLHVCZ0-9. ]*", steps)


@pytest.mark.parametrize("file", files(), ids=lambda file: file.stem)
def test_a_glyph_is_read_as_another_program_reads_it(file: Path) -> None:
    text = file.read_text(encoding="utf-8").replace("currentColor", "#000000")
    theirs = blank()
    painter = QPainter(theirs)
    QSvgRenderer(QByteArray(text.encode())).render(painter)
    painter.end()
    assert differing(drawn(file.stem), theirs) < 0.002
    assert differing(drawn(file.stem), blank()) > 0.01


def test_two_different_glyphs_are_told_apart_by_the_comparison() -> None:
    assert differing(drawn("suction"), drawn("stoma")) > 0.02


def test_what_has_no_glyph_is_drawn_as_any_entry() -> None:
    assert outline("of_a_newer_version") == outline(ANY)


@pytest.mark.parametrize("name", ["x" * 300, "a\0b", "../glyphs/note", "/etc/hostname", "\ud800", ""])
def test_what_another_program_calls_a_kind_is_never_looked_for_as_a_file(name: str) -> None:
    """An exception while a widget is painted would end the program."""
    assert outline(name) == outline(ANY)
    assert not glyph_picture(name, 28, QBrush(QColor("black"))).isNull()


def test_a_glyph_has_the_ink_that_is_asked_for_and_grows_without_blur() -> None:
    ink = QBrush(QColor("#0E4F5C"))
    small, large = (glyph_picture("flags", side, ink, 2.0).toImage() for side in (28, 56))
    assert (small.width(), large.width()) == (56, 112)
    for image in (small, large):
        inks = {
            image.pixelColor(x, y).name()
            for x in range(image.width())
            for y in range(image.height())
            if image.pixelColor(x, y).alpha() == 255
        }
        assert inks == {"#0e4f5c"}


def test_a_glyph_beside_words_is_not_told_a_second_time() -> None:
    glyph = Glyph("flags")
    assert glyph.accessibleName() == ""
    assert glyph.focusPolicy().value == 0


def blank() -> QImage:
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    return image


def drawn(name: str) -> QImage:
    image = blank()
    painter = QPainter(image)
    draw_glyph(painter, name, QRect(0, 0, SIDE, SIDE), QBrush(QColor("black")))
    painter.end()
    return image


def differing(one: QImage, other: QImage) -> float:
    """The share of pixels that differ by more than a third of the way from black to white."""
    wrong = sum(
        abs(one.pixelColor(x, y).lightness() - other.pixelColor(x, y).lightness()) > 85
        for x in range(SIDE)
        for y in range(SIDE)
    )
    return wrong / SIDE**2
