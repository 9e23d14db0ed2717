"""The room in which a course is drawn: its sizes in points, and how wide words are, by an estimate."""

from dataclasses import dataclass

from carelog.analysis.drawing import Anchor, Label, Part

LETTER = 0.57
"""The width of a letter in sizes of it, on the average of Noto Sans; half-bold ones are a little wider."""
BOLD_LETTER = 0.62
TITLES = 13.0
"""The width of the titles in sizes of their letters; less where that would be a quarter of the whole."""


@dataclass(frozen=True, slots=True)
class Frame:
    """How wide the whole drawing is and how large its letters are, in points or pixels."""

    width: float
    size: float
    count: int
    """How many columns there are."""

    @property
    def line(self) -> float:
        """The height of a line of words."""
        return 1.3 * self.size

    @property
    def left(self) -> float:
        """Where the columns begin; the titles stand before it."""
        return min(TITLES * self.size, 0.26 * self.width)

    @property
    def column(self) -> float:
        """The width of a column."""
        return (self.width - self.left - 2) / max(self.count, 1)

    @property
    def right(self) -> float:
        """Where the columns end."""
        return self.left + self.count * self.column

    def x(self, place: float) -> float:
        """Where a place on the axis, in columns, lies."""
        return self.left + place * self.column

    def middle(self, number: int) -> float:
        """The middle of a column."""
        return self.x(number + 0.5)

    def wide(self, text: str, *, bold: bool = False) -> float:
        """About how wide words are."""
        return (BOLD_LETTER if bold else LETTER) * self.size * len(text)

    def label(self, x: float, base: float, text: str, *, bold: bool = False, soft: bool = False) -> Label:
        """Words over a point, moved so far that they stay between the columns' ends."""
        half = self.wide(text, bold=bold) / 2
        middle = min(max(x, self.left + half), max(self.right - half, self.left + half))
        return Label(middle, base, text, self.size, Anchor.MIDDLE, bold=bold, soft=soft)

    def wrapped(self, text: str, *, bold: bool = False) -> list[str]:
        """A title in as many lines as it needs beside the columns."""
        lines: list[str] = []
        for word in text.split(" "):
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.wide(longer, bold=bold) <= self.left - self.size:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines


@dataclass(frozen=True, slots=True)
class Lane:
    """One row drawn: its parts, as if its top were 0, and its height."""

    parts: tuple[Part, ...]
    height: float
    beside: str = ""
    """The soft words under its title."""
