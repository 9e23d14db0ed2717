"""The words of the trade: what each means, and where one stands in a text."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from carelog.text import say
from carelog.ui.help.paragraphs import HEADING, paragraphs
from carelog.ui.help.topics import WORDS, WORDS_HERE, topic_text

DRAWN = {
    "tracheostomy": "trachea",
    "stoma": "stoma",
    "inner tube": "inner_tube",
    "flange": "flange",
    "ID": "bore",
    "OD": "bore",
    "fenestrated": "fenestrated",
    "cuff": "cuff_state",
    "gauge": "cuff_pressure",
    "speaking valve": "valve",
    "ties": "ties",
    "HME": "humidity",
    "nebuliser": "nebuliser",
    "suction": "suction",
    "catheter": "catheter",
    "spare-tube box": "box_check",
}
"""The drawing of a word, by its first name as it is written in the resources."""


@dataclass(frozen=True, slots=True)
class Term:
    """A word with its other forms, and what it means."""

    names: tuple[str, ...]
    meaning: str
    glyph: str = ""

    @property
    def name(self) -> str:
        """The form that it is listed by."""
        return self.names[0]

    def told(self) -> str:
        """The word and its meaning in one line."""
        return f"{self.name}: {self.meaning}"


@cache
def _written(topic: str) -> tuple[tuple[str, str], ...]:
    return tuple(paragraphs(topic_text(topic)))


def _terms(topic: str) -> Iterator[Term]:
    """A heading for each form of a word, then what it means."""
    forms: list[str] = []
    for sign, words in _written(topic):
        if sign == HEADING:
            forms.append(words)
        elif forms:
            yield Term(tuple(map(say, forms)), say(words), DRAWN.get(forms[0], ""))
            forms = []


def terms() -> tuple[Term, ...]:
    """The words of the trade, in the language in use."""
    return tuple(_terms(WORDS))


def terms_here() -> tuple[Term, ...]:
    """The words that the program uses in a way of its own."""
    return tuple(_terms(WORDS_HERE))


@dataclass(frozen=True, slots=True)
class TermPlace:
    """Where a word of the trade stands in a text: from which letter, and how many."""

    start: int
    length: int
    term: Term


@cache
def _sought(listed: tuple[Term, ...]) -> tuple[re.Pattern[str], dict[str, Term]]:
    by_name = {name.casefold(): term for term in listed for name in term.names}
    longest_first = sorted(by_name, key=len, reverse=True)
    pattern = "|".join(re.escape(name) for name in longest_first)
    return re.compile(rf"(?<!\w)(?:{pattern})(?!\w)", re.IGNORECASE), by_name


def places(text: str) -> list[TermPlace]:
    """Each word of the trade where it first stands in a text."""
    pattern, by_name = _sought(terms())
    found: dict[str, TermPlace] = {}
    for match in pattern.finditer(text):
        term = by_name[match.group().casefold()]
        found.setdefault(term.name, TermPlace(match.start(), len(match.group()), term))
    return list(found.values())
