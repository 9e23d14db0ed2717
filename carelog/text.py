"""Marks and says translatable words without any window toolkit."""

import gettext
from collections.abc import Callable, Sequence
from pathlib import Path

NAME = "carelog"  # of a catalogue: <folder>/<language>/LC_MESSAGES/carelog.mo

_translate: Callable[[str], str] = gettext.NullTranslations().gettext


def mark(words: str) -> str:
    """Mark words for the catalogue where they are declared; `say` translates them where they are shown."""
    return words


def say(words: str) -> str:
    """The words in the language in use."""
    return _translate(words) if words else ""


def use(translate: Callable[[str], str]) -> None:
    """Say everything from now on through this function (a catalogue, or a pseudo-language)."""
    global _translate
    _translate = translate


def choose(folder: Path, languages: Sequence[str] = ()) -> None:
    """Say everything in the first of these languages that has a catalogue here; none given: the system's own.

    Without any catalogue the words stay as they are written. A catalogue that can't be read is passed over: a
    record that opens in English is better than none.
    """
    try:
        found = gettext.translation(NAME, folder, list(languages) or None, fallback=True)
    except Exception:  # gettext lets through whatever a damaged file makes it stumble over
        found = gettext.NullTranslations()
    use(found.gettext)


DIRECTION = mark("LTR")
"""Not shown: a language that is written from right to left translates this as RTL."""


def is_right_to_left() -> bool:
    """Whether the language in use is written from right to left."""
    return say(DIRECTION) == "RTL"
