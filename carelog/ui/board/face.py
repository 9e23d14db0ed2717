"""How a tile's texts lie on it: the most that its size has room for, nothing cut, names never left out."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QRect
from PySide6.QtGui import QFontMetrics

from carelog.ui.numbers import ABSOLUTE, LEFT, MIDDLE, RIGHT
from carelog.ui.theme import LARGE, STEP, Size, font, is_strong, percent_now

if TYPE_CHECKING:
    from carelog.domain.due import DueState

PAD = 10  # px at the sides
GLYPH = 26  # px at 100 %
BELOW = 6  # px under the last line
SQUARE = 12  # px at 100 %, before what is due
WIDE = 220  # px at 100 %, from which letters are larger
SEPARATOR = " · "
MARKED = ("due", "late")  # states of a due that have a square
NAMES = (Size.RECEIPT, Size.TILE, Size.NAME, Size.STRONG)


class FaceState(NamedTuple):
    """What a tile tells beside its name."""

    said: tuple[str, ...] = ()
    """What was recorded last, in a few words each, the most telling first: as many as fit are shown."""
    when: tuple[str, ...] = ()
    """The time and who, and how many today; shown whole."""
    due: str = ""
    mark: "DueState | None" = None
    """The square before `due`, if it is due or late."""

    def words(self) -> str:
        """All of it, for who can't see it."""
        return ", ".join(part for part in (*self.said, *self.when, self.due) if part)


class FaceText(NamedTuple):
    """One text in its place."""

    words: str
    place: QRect
    size: Size
    is_soft: bool = False
    at_end: bool = False


class Face:
    """Everything on a tile; `height` is what it needs in px."""

    def __init__(self, height: int, name: Size, is_whole: bool) -> None:
        """`is_whole`: no word is wider than the tile."""
        self.height = height
        self.name = name
        self.is_whole = is_whole
        self.texts: list[FaceText] = []
        self.glyph = QRect()
        self.square = QRect()


class _Shape(NamedTuple):
    """One way to lay it out, richer ones first."""

    name: Size
    has_glyph: bool
    has_said: bool


def face(width: int, height: int, name: str, state: FaceState, largest: Size = NAMES[0]) -> Face:
    """The richest way that fits a tile of this size in px; the plainest, where none does.

    `largest`: the letters of the name are no larger, so that all tiles of a board look alike.
    """
    found = None
    for shape in _shapes(width):
        if NAMES.index(shape.name) < NAMES.index(largest):
            continue
        found = _Layout(width, name, state, shape).at(height)
        if found.height <= height and found.is_whole:
            break
    assert found is not None
    return found


def least_height(width: int, name: str, state: FaceState) -> int:
    """The height in px that the plainest way needs, so that name, time and what is due are seen whole."""
    plainest = list(_shapes(width))[-1]
    return _Layout(width, name, state, plainest).at(0).height


def least_width(name: str) -> int:
    """The width in px below which a word of the name would be cut."""
    metrics = _metrics(NAMES[-1], percent_now())
    return max(metrics.horizontalAdvance(word) for word in name.split(" ")) + 2 * PAD


def _shapes(width: int) -> Iterator[_Shape]:
    percent = percent_now()
    first = 2 if percent >= LARGE else 0 if width >= WIDE * percent // 100 else 1
    names = NAMES[first:]
    for has_glyph, has_said in ((True, True), (False, True), (False, False)):
        for name in names:
            yield _Shape(name, has_glyph, has_said)


class _Layout:
    """One shape at one width."""

    def __init__(self, width: int, name: str, state: FaceState, shape: _Shape) -> None:
        self._percent = percent_now()
        self._measures: dict[Size, QFontMetrics] = {}
        self._width = width
        self._inner = width - 2 * PAD
        self._state = state
        self._shape = shape
        self._small = Size.TEXT if width >= WIDE * self._percent // 100 else Size.SMALL
        self._glyph = GLYPH * self._percent // 100 if shape.has_glyph else 0
        self._square = SQUARE * self._percent // 100 if state.mark in MARKED else 0
        self._due_size = Size.SMALL_STRONG if self._square else Size.SMALL
        self._due = self._lines(state.due, self._due_room(), self._due_size)
        self._name = self._lines(name, self._inner, shape.name)
        self._said = self._fitting(state.said) if shape.has_said else ""
        self._when = self._joined(state.when)

    def at(self, height: int) -> Face:
        """Laid out in this height, or in what it needs, if that is more."""
        top, small = STEP, self._line(self._small)
        below = len(self._name) * self._line(self._shape.name) + len(self._when) * small
        below += small if self._said else 0
        head = max(self._glyph, len(self._due) * self._line(self._due_size))
        metrics = self._metrics(self._shape.name)
        is_whole = all(metrics.horizontalAdvance(line) <= self._inner for line in self._name)
        made = Face(top + head + below + BELOW, self._shape.name, is_whole)
        self._put_head(made, top)
        y = max(height, made.height) - BELOW - below
        y = self._put(made, self._name, y, self._shape.name)
        y = self._put(made, [self._said] if self._said else [], y, self._small)
        self._put(made, self._when, y, self._small, is_soft=True)
        return made

    def _put_head(self, made: Face, top: int) -> None:
        if self._glyph:
            made.glyph = QRect(PAD, top, self._glyph, self._glyph)
        line, metrics = self._line(self._due_size), self._metrics(self._due_size)
        start = PAD + (self._glyph + STEP if self._glyph else 0)
        for number, words in enumerate(self._due):
            place = QRect(start, top + number * line, self._width - PAD - start, line)
            made.texts.append(FaceText(words, place, self._due_size, is_soft=not self._square, at_end=True))
        if self._due and self._square:
            wide = metrics.horizontalAdvance(self._due[0])
            left = self._width - PAD - wide - self._square - STEP // 2
            made.square = QRect(left, top + (line - self._square) // 2, self._square, self._square)

    def _put(self, made: Face, lines: Sequence[str], y: int, size: Size, *, is_soft: bool = False) -> int:
        high = self._line(size)
        for words in lines:
            made.texts.append(FaceText(words, QRect(PAD, y, self._inner, high), size, is_soft))
            y += high
        return y

    def _due_room(self) -> int:
        beside = (self._glyph + STEP if self._glyph else 0) + (
            self._square + STEP // 2 if self._square else 0
        )
        return self._inner - beside

    def _metrics(self, size: Size) -> QFontMetrics:
        """Looked up once: this is asked for at each word."""
        found = self._measures.get(size)
        if found is None:
            found = self._measures[size] = _metrics(size, self._percent)
        return found

    def _line(self, size: Size) -> int:
        return self._metrics(size).height()

    def _lines(self, words: str, room: int, size: Size) -> list[str]:
        """The words in lines that fit the room; a single word that doesn't is a line of its own."""
        metrics, lines = self._metrics(size), list[str]()
        for word in words.split(" ") if words else ():
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and metrics.horizontalAdvance(longer) <= room:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines

    def _fitting(self, parts: Sequence[str]) -> str:
        """As many of the parts as one line holds; one that doesn't fit is left out, never cut."""
        metrics = self._metrics(self._small)
        kept = ""
        for part in parts:
            longer = f"{kept}, {part}" if kept else part
            if metrics.horizontalAdvance(longer) <= self._inner:
                kept = longer
        return kept

    def _joined(self, parts: Sequence[str]) -> list[str]:
        """The parts in one line, or in two where they are too long for it."""
        metrics, whole = self._metrics(self._small), SEPARATOR.join(parts)
        if not parts or metrics.horizontalAdvance(whole) <= self._inner:
            return [whole] if whole else []
        return [line for part in parts for line in self._lines(part, self._inner, self._small)]


@lru_cache(maxsize=64)
def _measured(size: Size, percent: int, _is_strong: bool) -> QFontMetrics:
    return QFontMetrics(font(size, percent))


def _metrics(size: Size, percent: int) -> QFontMetrics:
    return _measured(size, percent, is_strong(size, percent))


def alignment(*, at_end: bool, is_mirrored: bool) -> int:
    """Where a text lies in its place; in a mirrored window the other way round."""
    return (RIGHT if at_end is not is_mirrored else LEFT) | MIDDLE | ABSOLUTE
