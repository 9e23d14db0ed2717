"""Marks and says translatable words without any window toolkit."""

import gettext
from collections.abc import Callable, Sequence
from pathlib import Path

NAME = "carelog"  # of a catalogue: <folder>/<language>/LC_MESSAGES/carelog.mo

_translate: Callable[[str], str] = gettext.NullTranslations().gettext
_translate_n: Callable[[str, str, int], str] = gettext.NullTranslations().ngettext


def mark(words: str) -> str:
    """Mark words for the catalogue where they are declared; `say` translates them where they are shown."""
    return words


def say(words: str) -> str:
    """The words in the language in use."""
    return _translate(words) if words else ""


def say_n(one: str, many: str, count: int) -> str:
    """The words for a number of things in the language in use, which may have more forms than two."""
    return _translate_n(one, many, count)


def use(translate: Callable[[str], str], translate_n: Callable[[str, str, int], str] | None = None) -> None:
    """Say everything from now on through this function (a catalogue, or a pseudo-language).

    Without a function for numbers its words for one and for many are those of English.
    """
    global _translate, _translate_n
    _translate = translate
    _translate_n = translate_n or (lambda one, many, count: translate(one if count == 1 else many))


def choose(folder: Path, languages: Sequence[str] = ()) -> None:
    """Say everything in the first of these languages that has a catalogue here; none given: the system's own.

    Without any catalogue the words stay as they are written. A catalogue that can't be read is passed over: a
    record that opens in English is better than none.
    """
    try:
        found = gettext.translation(NAME, folder, list(languages) or None, fallback=True)
    except Exception:  # gettext lets through whatever a damaged file makes it stumble over
        found = gettext.NullTranslations()
    use(found.gettext, found.ngettext)


def languages(folder: Path) -> list[str]:
    """The languages that have a compiled catalogue here, as in “de”; English needs none."""
    return sorted(path.parts[-3] for path in folder.glob(f"*/LC_MESSAGES/{NAME}.mo"))


DIRECTION = mark("LTR")
"""Not shown: a language that is written from right to left translates this as RTL."""


def is_right_to_left() -> bool:
    """Whether the language in use is written from right to left."""
    return say(DIRECTION) == "RTL"
