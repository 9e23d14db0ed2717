"""What a sheet consists of, before anybody knows whether it becomes paper or a page for a browser."""

from enum import Enum
from typing import NamedTuple

from carelog.analysis.compare import Unlike
from carelog.analysis.drawing import Drawing


class Shape(Enum):
    """Shapes that stand before words; each is told apart by form, never by colour."""

    NONE = "none"
    URGENT = "urgent"
    CALL = "call"
    NOTE = "note"
    FULL = "full"
    OUT = "out"
    OPEN = "open"
    HALF = "half"
    GAP = "gap"


class Piece(NamedTuple):
    """Some words in one weight; `struck` words have a line through them."""

    text: str
    bold: bool = False
    struck: bool = False


Words = tuple[Piece, ...]


def words(text: str, bold: bool = False, struck: bool = False) -> Words:
    """Words in one weight."""
    return (Piece(text, bold, struck),) if text else ()


def said(pieces: Words) -> str:
    """The words without their weight."""
    return "".join(piece.text for piece in pieces)


class Heading(NamedTuple):
    """The heading of a part of the sheet, with a soft line beside it."""

    text: str
    beside: str = ""


class Facts(NamedTuple):
    """Names and what they hold, side by side in columns, under a heading of their own if there is a title."""

    rows: tuple[tuple[str, Words], ...]
    columns: int = 2
    title: str = ""


class Item(NamedTuple):
    """One point of a list: its shape, its words, and words on lines of their own beneath."""

    words: Words
    sign: Shape = Shape.NONE
    under: tuple[Words, ...] = ()


class Points(NamedTuple):
    """A list of points."""

    items: tuple[Item, ...]


class Compared(NamedTuple):
    """What is different, one row each: words, and a picture of these days against those before."""

    rows: tuple[Unlike, ...]


class Cell(NamedTuple):
    """One day of one row: shapes in the order of time, and words."""

    words: Words = ()
    signs: tuple[Shape, ...] = ()


class WordRow(NamedTuple):
    """A row of cells, one a day; `below` when it belongs to the row above it.

    A cell takes the room of so many days as it `spans`.
    """

    title: str
    cells: tuple[Cell, ...]
    beside: str = ""
    below: bool = False
    spans: int = 1


class PictureRow(NamedTuple):
    """A picture across the days, and the same in words, one cell a day."""

    title: str
    drawing: Drawing
    cells: tuple[str, ...]
    beside: str = ""
    below: bool = False


class Days(NamedTuple):
    """Days side by side: their names, and rows of cells or pictures."""

    title: str
    names: tuple[str, ...]
    rows: tuple[WordRow | PictureRow, ...]


class Row(NamedTuple):
    """One entry: when, what (`bold`: in half-bold), details, by whom, and the marks at the row's end."""

    time: str
    title: str
    details: str = ""
    by: str = ""
    marks: tuple[str, ...] = ()
    struck: bool = False
    bold: bool = False


class RunTogether(NamedTuple):
    """Entries of one kind that say nothing but when, by whom and what was `unlike` the usual.

    The times of each recorder stand together; the title is empty where it is the same as the run's above.
    """

    title: str
    times: tuple[tuple[str, tuple[str, ...]], ...]
    unlike: str = ""


class DayRows(NamedTuple):
    """The entries of one day: what is run together, the others by time; who wrote where a row doesn't say."""

    title: str
    rows: tuple[Row, ...]
    empty: str = ""
    runs: tuple[RunTogether, ...] = ()
    writer: str = ""


class Listing(NamedTuple):
    """Entries by day under a heading, in columns like a newspaper's; `has_day_columns`: one column a day.

    `fewer` are the same in fewer lines, for where they don't fit on a page otherwise.
    """

    groups: tuple[DayRows, ...]
    columns: int
    title: str
    beside: str = ""
    has_day_columns: bool = False
    fewer: tuple[DayRows, ...] = ()


class Paragraphs(NamedTuple):
    """Entries by day under a heading, one paragraph a day."""

    groups: tuple[DayRows, ...]
    title: str
    beside: str = ""


class Handwriting(NamedTuple):
    """Room for somebody to write by hand: labels with their share of the width, over some empty lines."""

    labels: tuple[tuple[str, float], ...]
    lines: int


class Spread(NamedTuple):
    """Headings and lists in columns, read down one column and then the next."""

    blocks: tuple[Heading | Points | Compared, ...]
    columns: int = 2


class LoudBox(NamedTuple):
    """Words that must be found at a glance: a label, then words `size` times the text's size, more `under`.

    `share` is its part of the width; a `heavy` one has the thickest frame on the sheet.
    """

    label: str
    words: Words
    share: float
    size: float = 1.0
    under: tuple[Words, ...] = ()
    heavy: bool = False


class Loud(NamedTuple):
    """Rows of boxes side by side, in larger letters than all else."""

    rows: tuple[tuple[LoudBox, ...], ...]


class Ticks(NamedTuple):
    """Empty squares for somebody to tick by hand, each before its words, under a title."""

    title: str
    labels: tuple[str, ...]


class TableRow(NamedTuple):
    """One row: a cell for each column, the first names it; and a line of its own beneath them."""

    cells: tuple[str, ...]
    under: str = ""


class Tabled(NamedTuple):
    """Rows under heads, each with its share of the width; the heads stand again on each page."""

    title: str
    heads: tuple[tuple[str, float], ...]
    rows: tuple[TableRow, ...]


class FormColumn(NamedTuple):
    """A column to fill in: its name, the group it belongs to, its share of the width; a box or a line."""

    name: str
    share: float
    group: str = ""
    is_box: bool = False


class Ruled(NamedTuple):
    """Rows to fill in by hand, each `height` mm high; `first` is printed in the first column of each row.

    `told`: what is known already in the columns after it, row by row; an empty text where somebody writes,
    any other in a box ticks it. With it the first column names its row, and begins at the left.
    """

    title: str
    columns: tuple[FormColumn, ...]
    first: tuple[str, ...]
    beside: str = ""
    height: float = 7.0
    told: tuple[tuple[str, ...], ...] = ()


class Boxes(NamedTuple):
    """Boxes to tick, each with its words and a line for the time and the initials, in two columns."""

    title: str
    labels: tuple[str, ...]


class DayLine(NamedTuple):
    """A row to fill in for each day: its `lines` to write on, each named; or a box and one line."""

    title: str
    lines: tuple[str, ...] = ()


class RuledDays(NamedTuple):
    """Rows to fill in by hand, days side by side."""

    title: str
    names: tuple[str, ...]
    rows: tuple[DayLine, ...]
    beside: str = ""


class NewPage(NamedTuple):
    """What follows begins on a page of its own, under these words."""

    title: str


class Figure(NamedTuple):
    """Pictures over the whole width, one beneath the other, and all of them in words as one table."""

    title: str
    drawings: tuple[Drawing, ...]
    table: Tabled


class CardLine(NamedTuple):
    """A line of a card: what it is about (for the note where it stands), its words, how large, on which side.

    What is larger than 1 is half-bold. What `is_back` never stands on the front.
    """

    about: str
    text: str
    size: float = 1.0
    is_back: bool = False


class Card(NamedTuple):
    """A card's lines in the order of reading; its code holds the same."""

    lines: tuple[CardLine, ...]

    @property
    def text(self) -> str:
        """What the code holds: the lines as they are printed, spaces as plain ones."""
        return "\n".join(line.text.replace("\N{NO-BREAK SPACE}", " ") for line in self.lines)


class Cards(NamedTuple):
    """Cards to cut out and fold."""

    cards: tuple[Card, ...]


Block = (
    Heading
    | Facts
    | Points
    | Compared
    | Days
    | Listing
    | Paragraphs
    | Handwriting
    | Spread
    | Loud
    | Ticks
    | Cards
    | Tabled
    | Ruled
    | Boxes
    | RuledDays
    | NewPage
    | Figure
)


class Feet(NamedTuple):
    """The lines at a page's foot; in large print, which has little room, `later` pages have fewer."""

    lines: tuple[str, ...] = ()
    later: tuple[str, ...] = ()


class Content(NamedTuple):
    """A whole sheet: what its pages are headed with, what stands at their feet, and its blocks.

    Above the blocks of every page: `alert`, what is urgent and still there; `warning`, what about the person
    nobody may overlook; `banner`, that the household is a made-up one.
    """

    title: str
    subtitle: str
    running: str
    feet: Feet
    blocks: tuple[Block, ...]
    banner: str = ""
    alert: str = ""
    warning: str = ""
    language: str = "en"
