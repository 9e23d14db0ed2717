"""Two pseudo-languages: what a translation would break shows without one."""

import io
import re
import unicodedata
from collections.abc import Iterator

import pytest

import pseudo
from carelog import text
from catalogue import sayings
from pseudo import LANGUAGES, LONGER_BY
from tests.words.speaking import as_before

BRACES = re.compile(r"\{[^{}]*\}")
WORDS = sorted({each.words for each in sayings()} - {text.DIRECTION})


@pytest.fixture(autouse=True)
def _own_words() -> Iterator[None]:
    with as_before():
        yield


def letters(words: str) -> int:
    """How many characters a text has without the places of values."""
    return len(BRACES.sub("", words))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_text_keeps_the_places_of_its_values(language: str) -> None:
    speak = LANGUAGES[language]
    broken = [words for words in WORDS if BRACES.findall(speak(words)) != BRACES.findall(words)]
    assert len(WORDS) > 500
    assert not broken


def test_every_text_is_two_fifths_longer() -> None:
    short = [words for words in WORDS if letters(pseudo.pseudo(words)) < (1 + LONGER_BY) * letters(words)]
    long = [
        words
        for words in WORDS
        if letters(words) > 10 and letters(pseudo.pseudo(words)) > (1.02 + LONGER_BY) * letters(words) + 1
    ]
    assert (short, long) == ([], [])


def test_longer_words_have_accents_and_two_ends() -> None:
    assert pseudo.pseudo("Nothing recorded: {names}.").startswith("[Ñö")
    assert pseudo.pseudo("Nothing recorded: {names}.").endswith("{names}.]")


def test_mirrored_words_are_of_letters_that_run_from_right_to_left_and_hold_no_invisible_mark() -> None:
    words = BRACES.sub("", pseudo.pseudo("Not saved yet: {names}.", mirrored=True))
    assert {unicodedata.bidirectional(letter) for letter in words} == {"AL", "WS", "CS"}


def test_a_pseudo_language_is_said_everywhere_and_says_its_direction() -> None:
    text.use(LANGUAGES["mirrored"])
    assert text.is_right_to_left()
    assert text.say("Undo") != "Undo"
    text.use(LANGUAGES["longer"])
    assert not text.is_right_to_left()
    assert text.say("") == ""


def test_the_developers_command_speaks_it(monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.StringIO()
    monkeypatch.setattr("sys.stdout", out)
    monkeypatch.setattr("sys.path", [*__import__("sys").path])
    assert pseudo.main(["longer", "--help"]) == 0
    assert "[ööpëëñš thëë wîîñdööw]" in out.getvalue()


def test_another_language_is_refused_with_the_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert pseudo.main(["klingon"]) == 2
    assert "mirrored" in capsys.readouterr().err
