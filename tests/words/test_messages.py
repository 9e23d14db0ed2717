"""Every text that the program says is in plain words."""

import pytest

from carelog.ui.plan.defaults import DEFAULTS
from catalogue import Saying, sayings
from tests.words.grade import grade, hardest, sentences

HIGHEST = 6.0
PUBLICATION = "Source"  # names of books, papers and hospitals stand as they are printed
ONE_PAGE = "Rule"  # read together, as the page of rules (test_help.py)
AS_AGREED = frozenset(
    {
        "A comparison with your own record, not a diagnosis.",
        "Nothing recorded in this window yet",
        "Nothing recorded about a change.",
        "not written again for 24 h; nobody recorded telling anyone",
    }
)
"""Whole or part of a message whose wording was agreed with those who use it: it stays as it is."""

_CITED = {default.source for default in DEFAULTS}
MESSAGES = [
    each for each in sayings() if each.within not in (PUBLICATION, ONE_PAGE) and each.words not in _CITED
]


def hard(found: list[Saying]) -> list[str]:
    """The texts that are too hard, with the place each stands at."""
    return sorted(
        {
            f"{each.file}:{each.line} ({grade(each.words):.1f}) {each.words}"
            for each in found
            if grade(each.words) > HIGHEST and each.words not in AS_AGREED
        }
    )


def test_every_message_is_easy_to_read() -> None:
    assert len({each.words for each in MESSAGES if sentences(each.words)}) > 150
    found = hard(MESSAGES)
    assert not found, "\n".join(["", *found])


def test_a_message_in_hard_words_is_found_out() -> None:
    words = "Synchronisation unsuccessful: verify configuration and authorisation parameters."
    assert hard([Saying(words, "control.py", 1)]) == [f"control.py:1 ({grade(words):.1f}) {words}"]


def test_what_was_agreed_is_still_said() -> None:
    assert {each.words for each in MESSAGES} >= AS_AGREED


@pytest.mark.parametrize("words", ["all is well", "everything is fine", "cleared", "no problem"])
def test_no_message_reassures(words: str) -> None:
    found = [f"{each.file}:{each.line} {each.words}" for each in sayings() if words in each.words.casefold()]
    assert not found


def test_the_hardest_message_is_named_first() -> None:
    assert hardest(
        "One two three four five. Extraordinarily complicated sentences follow immediately.", 1
    ) == [hardest("Extraordinarily complicated sentences follow immediately.")[0]]
