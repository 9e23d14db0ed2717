"""One thing has one word: the other words for it, which mean something else or nothing, are said nowhere."""

import re

import pytest

from catalogue import Saying, help_sayings, sayings

SHOWN = [*sayings(), *help_sayings()]
FORBIDDEN = {
    r"\blate\b(?! entr)": "overdue, or done late; what was written later is a late entry",
    r"\bstay away\b": "reads as an order: a hospital or respite stay",
    r"^Ends: ": "reads as an instruction: ends once it is recorded",
    r"\bbreaths\b(?! a minute)": "the breathing rate",
    r"\bto \{high\}(?<!\{low\} to \{high\})": "a limit with one end is below, at most or at least",
    r"\bmarks?\b": "a check code, a remark, or what is printed on the flange",
    r"^Humidity$": "reads as a room's: humidification",
    r"\b(?:usual|large) letters\b": "beside the paper's size Letter: normal print, large print",
    r"\bno letter here\b": "characters not printed",
    r"\bbecause of$": "the reason",
    r"^Sound: ": "a record isn't heard: no damage found",
    r"\breceipt\b": "what was last saved",
    r"\bwithdrawn\b(?!” must)": "an entry is struck out",
    r"\bif absent\b": "if not given",
    r"\bmay be left out\b": "what is needed is said, not what isn't",
    r"\b1 (?:more )?(?:flags|entries|pages|days|times)\b": "one flag, one entry",
}


def said(pattern: str, shown: list[Saying]) -> list[str]:
    """The texts that hold a pattern, with their places."""
    return [
        f"{each.file}:{each.line} {words}"
        for each in shown
        for words in (each.words, each.many)
        if re.search(pattern, words, re.IGNORECASE)
    ]


@pytest.mark.parametrize("pattern", FORBIDDEN)
def test_another_word_for_the_same_thing_is_said_nowhere(pattern: str) -> None:
    assert len(SHOWN) > 1000
    assert said(pattern, SHOWN) == [], FORBIDDEN[pattern]


@pytest.mark.parametrize(
    "words",
    [
        "late since 10:55",
        "late {times}",
        "Stay away from home",
        "Ends: Valve off.",
        "no limit for breaths",
        "to {high}",
        "Mark 12ab",
        "mark on the flange",
        "Humidity",
        "usual letters",
        "No letter here: U+1F600",
        "because of",
        "Sound: 2 entries checked",
        "Receipt",
        "withdrawn 10:00 AB: twice",
        "now if absent",
        " (may be left out)",
        "1 more flags",
    ],
)
def test_an_old_word_would_be_found(words: str) -> None:
    assert any(said(pattern, [Saying(words, "x.py", 1)]) for pattern in FORBIDDEN)


@pytest.mark.parametrize(
    "words",
    ["late entry 10:00", "{low} to {high}", "“withdrawn” must be true or false.", "a later look"],
)
def test_a_word_in_its_place_is_let_through(words: str) -> None:
    assert not any(said(pattern, [Saying(words, "x.py", 1)]) for pattern in FORBIDDEN)
