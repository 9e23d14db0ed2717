"""Rows of hours beneath a week's pictures: valve on, cuff down, and the longest time without an entry."""

from collections.abc import Iterator

from carelog.analysis.visit.hours import touching, unwritten_words, worn_words
from carelog.analysis.week import Review
from carelog.analysis.worn import cuff_down, valve_on
from carelog.sheet.blocks import Cell, WordRow, words
from carelog.text import mark, say

LONGEST_BY = mark("longest by day / night")


def worn_rows(review: Review) -> Iterator[WordRow]:
    """How long a speaking valve or cap was on and the cuff down on each day; no row for what never was."""
    for title, found in (
        (say(mark("Valve or cap on")), valve_on(review.reading)),
        (say(mark("Cuff down")), cuff_down(review.reading)),
    ):
        here = touching(review, found)
        if here:
            yield WordRow(title, tuple(Cell(words(text)) for text in worn_words(review, here)))


def unwritten_row(review: Review) -> WordRow:
    """The longest time without an entry that begins on each day: by day, and by night."""
    cells = tuple(Cell(words(text)) for text in unwritten_words(review))
    return WordRow(say(mark("No entry for")), cells, say(LONGEST_BY))
