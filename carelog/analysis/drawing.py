"""A drawing as plain parts that any canvas can paint: paper, SVG, a window. Points, y from the top down."""

from enum import Enum
from typing import NamedTuple


class Fill(Enum):
    """How an area is filled; told apart without colour, on a one-bit printer too."""

    NONE = "none"
    PAPER = "paper"
    DOTS = "dots"
    LIGHT = "light"
    MIDDLE = "middle"
    DENSE = "dense"
    INK = "ink"


class Anchor(Enum):
    """Which point of a label its x is."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Straight(NamedTuple):
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float = 0.5
    dashed: bool = False
    soft: bool = False


class Rectangle(NamedTuple):
    """An upright rectangle from its upper left corner; weight 0 draws no outline."""

    x: float
    y: float
    width: float
    height: float
    fill: Fill = Fill.NONE
    weight: float = 0.5
    dashed: bool = False


class Dot(NamedTuple):
    """A ring, or a disc when filled with ink."""

    x: float
    y: float
    radius: float
    fill: Fill = Fill.NONE
    weight: float = 0.8


class Label(NamedTuple):
    """Words; y is their base line. `reversed`: paper-coloured on ink."""

    x: float
    y: float
    text: str
    size: float = 8
    anchor: Anchor = Anchor.START
    bold: bool = False
    reversed: bool = False
    struck: bool = False
    soft: bool = False


Part = Straight | Rectangle | Dot | Label


class Drawing(NamedTuple):
    """A picture of a size in points; `words` say all that it shows to whoever can't see it."""

    width: float
    height: float
    parts: tuple[Part, ...]
    words: str
