"""Paints the parts of a drawing on a PDF page."""

from collections.abc import Iterable
from typing import Any

from carelog.analysis.drawing import Anchor, Box, Dot, Fill, Label, Line, Part
from carelog.sheet.letters import Letters

SOFT_GREY = 0.28  # contrast 9:1 on white: still black on a one-bit printer
HAIRLINE = 0.5
_STEPS = {Fill.LIGHT: 4.2, Fill.MIDDLE: 2.6, Fill.DENSE: 1.5}
Place = tuple[float, float]


class Painter:
    """A pen over one ReportLab canvas; it remembers its state, so that a page says each thing once."""

    def __init__(self, canvas: Any, letters: Letters, height: float) -> None:
        """`height` is the page's, in points: drawings count downwards from the top."""
        self._canvas = canvas
        self._letters = letters
        self._height = height
        self.turn_page()

    def turn_page(self) -> None:
        """Forget the state of the page before."""
        self._grey = 0.0
        self._weight = 1.0
        self._is_dashed = False

    def paint(self, parts: Iterable[Part], at: Place = (0, 0)) -> None:
        """Paint parts with their origin at a place of the page."""
        for part in parts:
            match part:
                case Label():
                    self._label(part, at)
                case Line():
                    self._line(part, at)
                case Box():
                    self._box(part, at)
                case Dot():
                    self._dot(part, at)

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

    def _line(self, line: Line, at: Place) -> None:
        self._pen(line.weight, line.dashed)
        self._canvas.line(
            at[0] + line.x1, self._height - at[1] - line.y1, at[0] + line.x2, self._height - at[1] - line.y2
        )

    def _box(self, box: Box, at: Place) -> None:
        left, low = at[0] + box.x, self._height - at[1] - box.y - box.height
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

    def _hatch(self, box: Box, left: float, low: float) -> None:
        if box.fill is Fill.DOTS:
            self._dots(box, left, low)
            return
        self._pen(0.4)
        step, width, height = _STEPS[box.fill], box.width, box.height
        lines, reach = [], step
        while reach < width + height:
            lines.append(
                (
                    left + max(0.0, reach - height),
                    low + min(reach, height),
                    left + min(reach, width),
                    low + max(0.0, reach - width),
                )
            )
            reach += step
        self._canvas.lines(lines)

    def _dots(self, box: Box, left: float, low: float) -> None:
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
            at[0] + dot.x, self._height - at[1] - dot.y, dot.radius, stroke=1, fill=int(is_filled)
        )

    def _label(self, label: Label, at: Place) -> None:
        strokes = self._letters.strokes(label.text, label.bold, label.size)
        width = sum(stroke.width for stroke in strokes)
        shift = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[label.anchor]
        left, base = at[0] + label.x - shift, self._height - at[1] - label.y
        self._ink(1.0 if label.reversed else SOFT_GREY if label.soft else 0.0)
        start = left
        for stroke in strokes:
            self._canvas.setFont(stroke.face, label.size)
            self._canvas.drawString(start, base, stroke.text)
            start += stroke.width
        if label.struck:
            self._pen(0.7)
            middle = base + label.size * 0.3
            self._canvas.line(left, middle, start, middle)
