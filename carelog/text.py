"""Marks and says translatable words without any window toolkit."""

import gettext
from collections.abc import Callable

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
