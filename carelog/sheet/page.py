"""The one page style of all sheets: sizes, margins, head and foot, page x of y."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from io import BytesIO

from carelog.analysis.drawing import Anchor, Fill, Label, Part, Rectangle, Straight
from carelog.sheet.bidi import has_right_to_left
from carelog.sheet.blocks import Content, Words, words
from carelog.sheet.letters import REGULAR, Letters
from carelog.sheet.painter import Painter
from carelog.sheet.wrap import Line as WrappedLine
from carelog.sheet.wrap import LineWidths
from carelog.text import is_right_to_left, mark, say

_UNPRINTABLE = mark("Characters not printed: {numbers}")
MOST_TITLED = 3  # lines: a name is whole on the first page, however long a name is
MOST_KEPT = 3  # lines; each number stands in its place as well
MILLIMETRE = 72 / 25.4
SIZES = {"a4": (210 * MILLIMETRE, 297 * MILLIMETRE), "letter": (612.0, 792.0)}
SPACINGS = {"a4": 8.8, "letter": 8.3}
"""From base line to base line at 8 pt: letter paper is shorter, and holds about as many lines as A4."""


@dataclass(frozen=True, slots=True)
class Style:
    """Measures of a page in points; `scale` is how much larger than 8 pt the text is."""

    width: float
    height: float
    scale: float = 1.0
    margin: float = 12 * MILLIMETRE
    spacing: float = 8.8

    @property
    def is_large(self) -> bool:
        """Whether it is large print, which has room for fewer columns."""
        return self.scale > 1.5

    @property
    def size(self) -> float:
        """The text, and the smallest type there is."""
        return 8 * self.scale

    @property
    def leading(self) -> float:
        """From base line to base line."""
        return self.spacing * self.scale

    @property
    def inner(self) -> float:
        """The width between the margins."""
        return self.width - 2 * self.margin

    @property
    def title_size(self) -> float:
        """The head of the first page."""
        return 14 * min(self.scale, 1.6)

    @property
    def left(self) -> float:
        """The width of the rows' titles beside days."""
        return 90 * self.scale

    def day(self, count: int) -> float:
        """The width of one of so many days side by side."""
        return (self.inner - self.left) / count


def style(paper: str, large: bool, scale: float = 1.0) -> Style:
    """The style for a paper (`a4`, `letter`); large letters are 16 pt on a page turned on its side.

    Large print needs each line that a page can have, so its margins are 10 mm.

    `scale`: how much larger than 8 pt the others are.
    """
    width, height = SIZES[paper]
    if large:
        return Style(height, width, 2.0, margin=10 * MILLIMETRE)
    return Style(width, height, scale, spacing=SPACINGS[paper])


@dataclass(slots=True)
class Leaf:
    """One page while it is being filled: groups of parts with their origin, and where to find a heading."""

    groups: list[tuple[tuple[float, float], tuple[Part, ...]]] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    marks: list[tuple[str, float, int]] = field(default_factory=list)
    numbers: dict[str, None] = field(default_factory=dict)


class Book:
    """Pages that are filled from the top down."""

    def __init__(
        self,
        page: Style,
        content: Content,
        letters: Letters,
        progress: Callable[[int], None] | None = None,
        kept: int = 0,
    ) -> None:
        """`progress` is told the number of each new page, and may stop the work by raising.

        `kept` lines below each foot are for the letters that can't be printed.
        """
        self.style = page
        self.kept = kept
        self.content = content
        self.letters = letters
        self.leaves: list[Leaf] = []
        self._progress = progress
        self._all_feet = [self._lines(content.feet.lines), self._lines(content.feet.later)]
        self.y = 0.0
        self.turn()

    def _lines(self, texts: Iterable[str]) -> list[WrappedLine]:
        return [line for text in texts for line in self.measure(self.style.inner).lines(words(text))]

    def _feet(self, number: int) -> list[WrappedLine]:
        """The foot of a page, which are numbered from 1."""
        first, later = self._all_feet
        return later if later and number > 1 and self.style.is_large else first

    @property
    def leaf(self) -> Leaf:
        """The page being filled."""
        return self.leaves[-1]

    @property
    def bottom(self) -> float:
        """Where the room for blocks ends."""
        return self._bottom(len(self.leaves))

    def _bottom(self, number: int) -> float:
        page = self.style
        return page.height - page.margin - (len(self._feet(number)) + self.kept + 0.3) * page.leading

    @property
    def room(self) -> float:
        """What is left of the page, in points."""
        return self.bottom - self.y

    @property
    def whole(self) -> float:
        """About how much room a page that isn't the first has for blocks, in points."""
        bars = sum(map(bool, (self.content.alert, self.content.warning, self.content.banner)))
        return self._bottom(2) - self.style.margin - (1.5 + 2 * bars) * self.style.leading

    def turn(self) -> None:
        """Begin a new page."""
        self.leaves.append(Leaf())
        if self._progress:
            self._progress(len(self.leaves))
        self.y = self.style.margin
        self._title() if len(self.leaves) == 1 else self._running()

    def need(self, height: float) -> None:
        """Begin a new page unless so much room is left."""
        if self.room < height:
            self.turn()

    def add(self, *parts: Part) -> None:
        """Put parts on the page; labels must hold drawable text."""
        self.leaf.parts.extend(parts)
        for part in parts:
            if isinstance(part, Label) and "[U+" in part.text:
                self.leaf.numbers.update(dict.fromkeys(self.letters.numbers_in(part.text)))

    def add_drawing(self, parts: Iterable[Part], x: float, y: float) -> None:
        """Put a drawing on the page; its labels may hold any text."""
        drawable = tuple(
            part._replace(text=self.letters.drawable(part.text)) if isinstance(part, Label) else part
            for part in parts
        )
        for part in drawable:
            if isinstance(part, Label):
                self.leaf.numbers.update(dict.fromkeys(self.letters.numbers_in(part.text)))
        self.leaf.groups.append(((x, y), drawable))

    def measure(self, width: float, first: float = 0.0) -> LineWidths:
        """How text of the usual size is broken at a width."""
        return LineWidths(self.letters, self.style.size, width, first)

    def line(self, x: float, y: float, pieces: WrappedLine, soft: bool = False) -> None:
        """One wrapped line with its base line at y."""
        size = self.style.size
        for piece in pieces:
            width = self.letters.width(piece.text, piece.bold, size)
            text, start = piece.text, x
            if text.startswith(" ") and not text.isascii() and has_right_to_left(text):
                text = text.lstrip(" ")  # it would be drawn behind the letters
                start += width - self.letters.width(text, piece.bold, size)
            self.add(Label(start, y, text, size, bold=piece.bold, struck=piece.struck, soft=soft))
            x += width

    def paragraph(self, pieces: Words, x: float, width: float, soft: bool = False) -> None:
        """Words over the width, over as many pages as they need."""
        for line in self.measure(width).lines(pieces):
            self.need(self.style.leading)
            self.y += self.style.leading
            self.line(x, self.y - 0.22 * self.style.leading, line, soft)

    def mark(self, text: str, level: int) -> None:
        """Remember a heading for the outline."""
        self.leaf.marks.append((text, self.y, level))

    def _title(self) -> None:
        page, content = self.style, self.content
        measure = LineWidths(self.letters, page.title_size, page.inner * 0.78)
        lines = measure.lines(words(content.title, bold=True))
        lines = lines if len(lines) <= MOST_TITLED else [words(measure.one_line(content.title, True))]
        for line in lines:
            self.y += page.title_size
            text = "".join(piece.text for piece in line)
            self.add(Label(page.margin, self.y, text, page.title_size, bold=True))
        self.mark(content.title, 0)
        self.y += 0.35 * page.leading
        self.paragraph(words(content.subtitle), page.margin, page.inner)
        self._alert()
        self._warning()
        self._banner()

    def _running(self) -> None:
        page = self.style
        self.y += page.leading
        measure = self.measure(page.inner * 0.8)
        self.add(
            Label(page.margin, self.y, measure.one_line(self.content.running, True), page.size, bold=True)
        )
        self.y += 0.4 * page.leading
        self.add(Straight(page.margin, self.y, page.width - page.margin, self.y))
        self._alert()
        self._warning()
        self._banner()

    def _alert(self) -> None:
        """What is urgent and still there, in reversed ink across the top of every page."""
        if not self.content.alert:
            return
        page = self.style
        self.y += 0.35 * page.leading
        text = self.measure(page.inner - 8).one_line(self.content.alert, True)
        self.add(
            Rectangle(page.margin, self.y, page.inner, 1.25 * page.leading, Fill.INK, weight=0),
            Label(page.margin + 4, self.y + 0.9 * page.leading, text, page.size, bold=True, reversed=True),
        )
        self.y += 1.4 * page.leading

    def _warning(self) -> None:
        """What nobody may overlook about the person, in a thick frame on every page."""
        if not self.content.warning:
            return
        page = self.style
        self.y += 0.35 * page.leading
        size = 1.3 * page.size
        height = 1.45 * size
        text = LineWidths(self.letters, size, page.inner - 8).one_line(self.content.warning, True)
        self.add(
            Rectangle(page.margin, self.y, page.inner, height, weight=1.6),
            Label(page.width / 2, self.y + 1.1 * size, text, size, Anchor.MIDDLE, bold=True),
        )
        self.y += height + 0.25 * page.leading

    def _banner(self) -> None:
        if not self.content.banner:
            return
        page = self.style
        self.y += 0.35 * page.leading
        height = 1.25 * page.leading
        self.add(Rectangle(page.margin, self.y, page.inner, height, Fill.LIGHT, weight=0.5))
        text = self.letters.drawable(self.content.banner)
        width = self.letters.width(text, True, page.size) + 8
        middle = page.width / 2
        self.add(Rectangle(middle - width / 2, self.y, width, height, Fill.PAPER))
        base = self.y + 0.9 * page.leading
        self.add(Label(middle, base, text, page.size, Anchor.MIDDLE, bold=True))
        self.y += height + 0.15 * page.leading

    def _finish(self, leaf: Leaf, number: int) -> list[Part]:
        """Head and foot of a page, known only when all pages are."""
        page = self.style
        place = say("page {number} of {count}").format(number=number, count=len(self.leaves))
        top = page.margin + (page.title_size if number == 1 else page.leading)
        found: list[Part] = [Label(page.width - page.margin, top, place, page.size, Anchor.END)]
        feet = self._feet(number)
        base = page.height - page.margin - (len(feet) + self.kept - 1) * page.leading
        rule = base - page.leading
        found.append(Straight(page.margin, rule, page.width - page.margin, rule))
        for foot in feet:
            found += [Label(page.margin, base, piece.text, page.size) for piece in foot]
            base += page.leading
        if leaf.numbers:
            found += self._unprintable(list(leaf.numbers), number, base)
        return found

    def lacking(self) -> int:
        """How many lines below the foot the unprintable letters need; 0 where they fit beside it."""
        pages = enumerate(self.leaves, 1)
        wanted = [self._beside(leaf.numbers, number) for number, leaf in pages if leaf.numbers]
        return max((min(len(lines), MOST_KEPT) for fits, lines in wanted if not fits), default=0)

    def _beside(self, numbers: Iterable[str], page: int) -> tuple[bool, list[WrappedLine]]:
        """Whether what the numbers stand for fits beside the foot's last line, and its lines below it."""
        text = say(_UNPRINTABLE).format(numbers=" ".join(numbers))
        room = self.style.width - self.style.margin - self._foot_end(page)
        fits = self.letters.width(text, False, self.style.size) <= room
        return fits, self.measure(self.style.inner).lines(words(text))

    def _foot_end(self, page: int) -> float:
        last = self._feet(page)[-1]
        ends = (self.letters.width(piece.text, piece.bold, self.style.size) for piece in last)
        return self.style.margin + sum(ends) + 8

    def _unprintable(self, numbers: list[str], number: int, base: float) -> Iterator[Label]:
        """What the numbers on a page stand for: beside the foot's last line, or in lines kept below it."""
        page = self.style
        fits, lines = self._beside(numbers, number)
        if fits or not self.kept:
            start = self._foot_end(number)
            text = say(_UNPRINTABLE).format(numbers=" ".join(numbers))
            measure = self.measure(page.width - page.margin - start)
            yield Label(start, base - page.leading, measure.one_line(text), page.size)
            return
        for place, line in enumerate(lines[: self.kept]):
            text = "".join(piece.text for piece in line)
            if place == self.kept - 1 < len(lines) - 1:
                text = f"{text.rsplit(' ', 1)[0]} …"
            yield Label(page.margin, base + place * page.leading, text, page.size)

    def pdf(self, title: str) -> bytes:
        """All pages as a PDF under a title: the same content gives the same bytes."""
        from reportlab.pdfgen.canvas import Canvas

        out = BytesIO()
        canvas = Canvas(
            out,
            pagesize=(self.style.width, self.style.height),
            invariant=1,
            pageCompression=1,
            initialFontName=REGULAR,
            initialFontSize=self.style.size,
            lang=self.content.language,
        )
        canvas.setTitle(title)
        canvas.setSubject(self.content.subtitle)
        canvas.setAuthor("carelog")
        canvas.setCreator("carelog")
        canvas.setViewerPreference("DisplayDocTitle", "true")
        painter = Painter(canvas, self.letters, (self.style.width, self.style.height), is_right_to_left())
        for number, leaf in enumerate(self.leaves, 1):
            painter.turn_page()
            whole = [*leaf.parts, *self._finish(leaf, number)]
            painter.paint([*leaf.groups, ((0.0, 0.0), whole)])
            self._outline(canvas, leaf, number)
            canvas.showPage()
        canvas.save()
        return out.getvalue()

    def _outline(self, canvas: object, leaf: Leaf, number: int) -> None:
        for place, (text, y, level) in enumerate(leaf.marks):
            key = f"p{number}-{place}"
            canvas.bookmarkHorizontal(key, 0, self.style.height - y)  # type: ignore[attr-defined]
            canvas.addOutlineEntry(text, key, level)  # type: ignore[attr-defined]
