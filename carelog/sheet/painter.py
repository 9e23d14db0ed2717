"""Paints the parts of a drawing on a PDF page."""

from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.lib.rl_accel import escapePDF, fp_str
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import ShapedStr
from reportlab.pdfgen.textobject import PDFTextObject

from carelog.analysis.drawing import Anchor, Dot, Fill, Label, Part, Rectangle, Straight
from carelog.sheet.letters import Letters

HAIRLINE = 0.5
_STRIPES = {Fill.LIGHT: [0.6, 2.6], Fill.MIDDLE: [0.7, 1.3], Fill.DENSE: [0.9, 0.6]}
_BEFORE = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}
"""How much of a label stands before its place."""
Place = tuple[float, float]


class _Written(dict[int, str]):
    """How a document writes each letter of a typeface, as a table for `str.translate`.

    `is_whole`: all letters so far are of one subset, so that words need no change of the typeface.
    """

    def __init__(self, face: str, document: Any) -> None:
        super().__init__()
        self.font, self.document = pdfmetrics.getFont(face), document
        self.is_whole = True
        self._begins: dict[float, str] = {}

    def __missing__(self, letter: int) -> str:
        ((subset, code),) = self.font.splitString(chr(letter), self.document)
        self.is_whole = self.is_whole and not subset
        self[letter] = escapePDF(code)
        return self[letter]

    def begins(self, size: float) -> str:
        """How words of a size begin."""
        if size not in self._begins:
            name = self.font.getSubsetInternalName(0, self.document)
            self._begins[size] = f"{name} {fp_str(size)} Tf {fp_str(1.2 * size)} TL "
        return self._begins[size]


class _Text(PDFTextObject):  # type: ignore[misc]
    """Words at places, to a tenth of a point.

    ReportLab looks every letter up anew and takes longer over two numbers than over the words.
    """

    def __init__(self, canvas: Any, written: dict[str, _Written]) -> None:
        self._curSubset: int
        super().__init__(canvas)
        self._written = written

    def put(self, x: float, base: float, text: str) -> None:
        """One stroke with its base line at a place."""
        self._code.append(f"1 0 0 1 {x:.1f} {base:.1f} Tm {self._words(text)}")

    def _words(self, text: str) -> str:
        if not text or isinstance(text, ShapedStr):
            return str(self._formatText(text))
        if self._fontname not in self._written:
            self._written[self._fontname] = _Written(self._fontname, self._canvas._doc)
        written = self._written[self._fontname]
        words = text.translate(written)
        if self._curSubset > 0 or not written.is_whole:
            return str(self._formatText(text))
        start = written.begins(self._fontsize) if self._curSubset else ""
        self._curSubset = 0
        return f"{start}({words}) Tj"


class Painter:
    """A pen over one ReportLab canvas; it remembers its state, so that a page says each thing once."""

    def __init__(self, canvas: Any, letters: Letters, size: Place, is_mirrored: bool = False) -> None:
        """`size` is the page's, in points: drawings count down from the top, from the left or mirrored."""
        self._canvas = canvas
        self._width, self._height = size
        self._is_mirrored = is_mirrored
        self._letters = letters
        self._written: dict[str, _Written] = {}
        self.turn_page()

    def turn_page(self) -> None:
        """Forget the state of the page before."""
        self._grey = 0.0
        self._weight = 1.0
        self._is_dashed = False

    def paint(self, groups: Iterable[tuple[Place, Sequence[Part]]]) -> None:
        """Paint parts with their origins at places of the page: shapes first, then all words in one go."""
        labels: list[tuple[Place, Label]] = []
        for at, parts in groups:
            for part in parts:
                match part:
                    case Label():
                        labels.append((at, part))
                    case Straight():
                        self._line(part, at)
                    case Rectangle():
                        self._box(part, at)
                    case Dot():
                        self._dot(part, at)
        self._words(labels)

    def _pen(self, weight: float, dashed: bool = False) -> None:
        if weight != self._weight:
            self._canvas.setLineWidth(weight)
            self._weight = weight
        if dashed != self._is_dashed:
            self._canvas.setDash([1.6, 1.6] if dashed else [])
            self._is_dashed = dashed

    def _ink(self, grey: float) -> None:
        if grey != self._grey:
            self._canvas.setFillGray(grey)
            self._grey = grey

    def _across(self, left: float, width: float = 0.0) -> float:
        """Where on the page something of this width begins, counted from the left."""
        return self._width - left - width if self._is_mirrored else left

    def _line(self, line: Straight, at: Place) -> None:
        self._pen(line.weight, line.dashed)
        start, end = self._across(at[0] + line.x1), self._across(at[0] + line.x2)
        self._canvas.line(start, self._height - at[1] - line.y1, end, self._height - at[1] - line.y2)

    def _box(self, box: Rectangle, at: Place) -> None:
        left, low = self._across(at[0] + box.x, box.width), self._height - at[1] - box.y - box.height
        is_filled = box.fill in (Fill.INK, Fill.PAPER)
        if is_filled:
            self._ink(0.0 if box.fill is Fill.INK else 1.0)
        elif box.fill is not Fill.NONE:
            self._hatch(box, left, low)
        if box.weight or is_filled:
            self._pen(box.weight or HAIRLINE, box.dashed)
            self._canvas.rect(
                left, low, box.width, box.height, stroke=int(bool(box.weight)), fill=int(is_filled)
            )

    def _hatch(self, box: Rectangle, left: float, low: float) -> None:
        if box.fill is Fill.DOTS:
            self._dots(box, left, low)
            return
        # Upright stripes: one thick broken line says what a dozen hairlines would.
        self._pen(box.height)
        self._canvas.setDash(_STRIPES[box.fill])
        middle = low + box.height / 2
        self._canvas.line(left, middle, left + box.width, middle)
        self._canvas.setDash([])
        self._is_dashed = False

    def _dots(self, box: Rectangle, left: float, low: float) -> None:
        self._pen(0.7)
        self._canvas.setDash([0.7, 2.3])
        count = int(box.height // 3)
        start = low + (box.height - 3 * (count - 1)) / 2
        rows = [start + 3 * n for n in range(count)]
        self._canvas.lines([(left + 1.1, row, left + box.width, row) for row in rows])
        self._canvas.setDash([])
        self._is_dashed = False

    def _dot(self, dot: Dot, at: Place) -> None:
        is_filled = dot.fill in (Fill.INK, Fill.PAPER)
        if is_filled:
            self._ink(0.0 if dot.fill is Fill.INK else 1.0)
        self._pen(dot.weight)
        self._canvas.circle(
            self._across(at[0] + dot.x),
            self._height - at[1] - dot.y,
            dot.radius,
            stroke=1,
            fill=int(is_filled),
        )

    def _words(self, labels: Iterable[tuple[Place, Label]]) -> None:
        text = _Text(self._canvas, self._written)
        used: tuple[str, float] | None = None
        lines = []
        for at, label in labels:
            strokes = self._letters.strokes(label.text, label.bold, label.size)
            left = at[0] + label.x
            if label.anchor is not Anchor.START or self._is_mirrored:
                width = sum(stroke.width for stroke in strokes)
                left = self._across(left - width * _BEFORE[label.anchor], width)
            start, base = left, self._height - at[1] - label.y
            # Soft words are lighter by weight alone: a one-bit printer breaks thin grey letters up.
            grey = 1.0 if label.reversed else 0.0
            if grey != self._grey:
                text.setFillGray(grey)
                self._grey = grey
            for stroke in strokes:
                if (stroke.face, label.size) != used:
                    used = (stroke.face, label.size)
                    text.setFont(*used)
                text.put(start, base, stroke.text)
                start += stroke.width
            if label.struck:
                lines.append((left, base + label.size * 0.3, start))
        self._canvas.drawText(text)
        for left, middle, end in lines:
            self._pen(0.7)
            self._canvas.line(left, middle, end, middle)
