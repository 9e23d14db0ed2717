"""In a language of longer words, and in our own, nothing runs off a sheet or over its neighbour."""

from collections.abc import Iterator

import pypdfium2
import pytest

from carelog import text
from carelog.analysis.drawing import Straight
from carelog.domain.moment import HOUR
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.blocks import Content, Feet, FormColumn, Heading, Ruled, words
from carelog.sheet.flow import lay_out
from carelog.sheet.hours import LONGEST_BY
from carelog.sheet.letters import Letters
from carelog.sheet.page import Book, style
from carelog.sheet.wrap import LineWidths
from carelog.text import say
from pseudo import LANGUAGES
from tests.sheet.pages import texts
from tests.sheet.weeks import HOME, UNTIL, WEEKS
from tests.words.speaking import as_before


@pytest.fixture
def longer_words() -> Iterator[None]:
    """Everything is said in words that are 40 % longer."""
    with as_before():
        text.use(LANGUAGES["longer"])
        yield


def beyond(pdf: bytes) -> list[str]:
    """The letters that don't stand whole on their page, page by page."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return ["".join(_beyond(page)) for page in document]
    finally:
        document.close()


def _beyond(page: pypdfium2.PdfPage) -> Iterator[str]:
    found = page.get_textpage()
    for place in range(found.count_chars()):
        if found.get_charbox(place)[2] > page.get_width():
            yield found.get_text_range(place, 1)


@pytest.mark.usefixtures("longer_words")
@pytest.mark.parametrize("more", [{}, {"in_columns": True}, {"large": True}])
def test_on_a_blank_sheet_who_writes_goes_on_below_where_its_words_are_longer(more: dict[str, bool]) -> None:
    entries = [each for each in WEEKS["usual"]().entries() if each.recorded_at < HOME.start_of(UNTIL)]
    pdf = make(SheetRequest(name="blank", day=UNTIL, now=HOME.end_of(UNTIL) - 2 * HOUR, **more), entries)  # type: ignore[arg-type]
    assert set(beyond(pdf)) == {""}


def test_what_a_table_to_fill_in_is_called_is_never_cut() -> None:
    house = WEEKS["usual"]()
    house.tube = {**house.tube, "cuff": "foam"}
    entries = [each for each in house.entries() if each.recorded_at < HOME.start_of(UNTIL)]
    pages = texts(make(SheetRequest(name="blank", day=UNTIL, now=HOME.end_of(UNTIL) - 2 * HOUR), entries))
    assert any("Suction, more" in " ".join(page.split()) for page in pages)
    assert not any("…" in page for page in pages)


def test_words_under_a_list_to_tick_stand_clear_of_its_last_line() -> None:
    columns = (FormColumn("thing", 3.0), FormColumn("there", 1.0, is_box=True))
    book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
    lay_out(book, Ruled("Things", columns, ("ties",), told=(("",),)))
    last = max(part.y2 for part in book.leaf.parts if isinstance(part, Straight))
    assert book.y - last > 0.5 * book.style.leading


def test_a_long_heading_goes_on_below_and_moves_down_what_follows() -> None:
    def below(heading: str) -> float:
        book = Book(style("a4", large=False), Content("", "", "", Feet(), ()), Letters())
        lay_out(book, Heading(heading))
        return book.y

    assert below("word " * 40) > below("word")


@pytest.mark.parametrize("large", [False, True])
def test_that_no_one_wrote_is_told_of_in_two_lines_a_week(large: bool) -> None:
    page = style("a4", large=large)
    room = LineWidths(Letters(), page.size, page.left - 4)
    assert len(room.lines(words(say(LONGEST_BY)))) == 1
