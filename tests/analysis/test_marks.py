"""What is marked of a change: never a completion, a slip only where all is told, a correction everywhere."""

from dataclasses import replace
from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.marks import CHOSEN_AGAIN, PUT_RIGHT, row_marks
from carelog.domain.entry import Entry
from carelog.domain.moment import Home
from tests.analysis.notebook import Notebook

HOME = Home("UTC")


def marks(book: Notebook, **more: Any) -> list[str]:
    """The marks of the one entry in force."""
    (held,) = Reading(book.entries).held
    return row_marks(held, HOME, **more)


def changed(known: str, reason: str, by: str = "AB", **details: Any) -> Notebook:
    """A suction of 08:00, and its change."""
    book = Notebook()
    first = book.write("3 08:00", "suction", colour="white")
    change = book.amend(first, known, **details)
    book.entries[-1] = replace(change, reason=reason, by=by)
    return book


def test_a_completion_is_no_correction_and_is_told_once_it_comes_an_hour_late() -> None:
    full = {"colour": "white", "amount": "small"}
    assert marks(changed("3 09:00", "", **full)) == []
    assert marks(changed("3 09:01", "", **full)) == ["added 09:01"]


def test_a_completion_is_late_by_what_it_completes_not_by_the_first() -> None:
    book = changed("3 08:50", "", colour="white", amount="small")
    book.amend(book.entries[-1], "3 09:40", colour="white", amount="small", frothy=False)
    assert marks(book) == []
    book.amend(book.entries[-1], "3 11:00", colour="white", amount="small", frothy=False, passes=2)
    assert marks(book) == ["added 11:00"]


def test_beside_a_correction_a_completion_is_no_correction_either() -> None:
    book = changed("3 12:00", "the wrong line", colour="yellow")
    book.amend(book.entries[-1], "3 12:05", colour="yellow", amount="small")
    (words,) = marks(book)
    assert words == "amended 12:00 AB: was white (the wrong line)"


@pytest.mark.parametrize("reason", ["", PUT_RIGHT, CHOSEN_AGAIN])
def test_a_slip_put_right_within_ten_minutes_is_marked_only_where_all_is_told(reason: str) -> None:
    book = changed("3 08:10", reason, colour="yellow")
    assert marks(book) == []
    (words,) = marks(book, has_slips=True)
    assert words.startswith("amended 08:10 AB: was white")


CORRECTIONS: list[tuple[str, str, str]] = [
    ("3 08:11", PUT_RIGHT, "AB"),
    ("3 08:10", PUT_RIGHT, "CD"),
    ("3 08:10", "typed the wrong way round", "AB"),
    ("3 08:10", PUT_RIGHT, ""),
]


@pytest.mark.parametrize(("known", "reason", "by"), CORRECTIONS)
def test_what_is_late_by_another_or_has_its_own_reason_is_marked_everywhere(
    known: str, reason: str, by: str
) -> None:
    (words,) = marks(changed(known, reason, by, colour="yellow"))
    assert "was white" in words


def test_a_rival_is_marked_whenever_it_was_written() -> None:
    book = changed("3 08:05", PUT_RIGHT, colour="yellow")
    first: Entry = book.entries[0]
    book.amend(first, "3 08:06", colour="green")
    assert any("two versions" in each for each in marks(book))
