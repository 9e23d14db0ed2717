"""Hostile text in every free text of every kind, and what a reader finds of it in each output."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import count, product
from string import ascii_lowercase
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.field import Choice, Field, Group, ListOf, Number, Text, Type
from carelog.domain.kind import Kind
from carelog.domain.moment import MINUTE, Instant, Moment
from carelog.kinds import ALL
from tests.store.making import START, id_of

HOSTILE = {
    "nul": "a\x00b",
    "controls": "".join(map(chr, range(32))) + "\x7f\x80\x9f",
    "line ends": "a\r\nb\rc\nd\u2028e\u2029f\x85g",
    "quotes": "'; DROP TABLE entry; --\" \\ \\u0000 \\n",
    "markup": "<b>&amp;<script>alert(1)</script>]]><!--",
    "formula": '=HYPERLINK("http://x";"y")',
    "right to left": "\u202eabc\u202c \u2066مرحبا\u2069 עברית",
    "combining": "e\u0301" + "\u0300" * 200,
    "same look": "\u00e9 e\u0301 \ufb01 fi Å Å",
    "emoji": "👩🏽‍⚕️🏴󠁧󠁢󠁥󠁮󠁧󠁿🇺🇦",
    "last of all": "\U0010ffff\ufffe\uffff\ufdd0",
    "mark": "\ufeffabc\ufeff",
    "spaces": " \t\u00a0\u3000\u200b ",
    "long": "pneumonoultramicroscopic" * 8000,
    "percent": "%s {0} {name} %(x)s %%",
    "path": "../../etc/passwd\\..\\..",
    "terminal": "\x1b[2J\x1b]0;title\x07\x9b31mred",
}
MIXED = "".join(text[:20] for text in HOSTILE.values())
REFERENCE = id_of(7)
VALUES: tuple[Any, ...] = (True, 7, "2026-11-23", "2000-11-23T09:00:00Z", "08:00", "Europe/London", REFERENCE)


@dataclass(frozen=True, slots=True)
class Slot:
    """One place for free text: where it is, and the text there between two marks of its own."""

    where: str
    start: str
    text: str
    end: str

    @property
    def whole(self) -> str:
        """The text with its marks."""
        return f"{self.start}{self.text}{self.end}"

    def among(self, letters: str) -> str | None:
        """What stands between the marks in some text without spaces; None when the marks aren't there."""
        start = _found(self.start, letters)
        end = _found(self.end, letters, start.end()) if start else None
        return letters[start.end() : end.start()] if start and end else None


@dataclass
class Household:
    """Entries of every kind with one hostile text in every slot: in force, changed, struck out."""

    text: str
    slots: list[Slot] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    _marks: Iterator[str] = field(default_factory=lambda: map("".join, product(ascii_lowercase, repeat=3)))

    def slot(self, where: str) -> str:
        """The text for the next place."""
        letters = next(self._marks)
        self.slots.append(Slot(where, f"jq{letters}", self.text, f"{letters}qj"))
        return self.slots[-1].whole

    def details(self, kind: Kind) -> dict[str, Any]:
        """Details of a kind with the text wherever free text may stand, and what else the kind asks for."""
        found = {**OTHERWISE.get(kind.name, {}), **self._filled(kind.fields, kind.name)}
        assert kind.problems(found) == [], (kind.name, kind.problems(found))
        return found

    def _filled(self, fields: tuple[Field, ...], where: str) -> dict[str, Any]:
        found: dict[str, Any] = {self.slot(f"{where}, a name not known"): self.slot(f"{where}, not known")}
        for each in fields:
            value = self._value(each.type, f"{where}.{each.name}")
            if value is None and each.required:
                value = _any_value(each.type)
            if value is not None:
                found[each.name] = value
        if any(isinstance(each.type, Number) and each.name == "every_h" for each in fields):
            found["every_h"] = 8
        return found

    def _value(self, kind: Type, where: str) -> Any:
        """A value that holds the text, or None where the type has no room for it."""
        if isinstance(kind, Text):
            return self.slot(where) if kind.form is None else None
        if isinstance(kind, ListOf):
            item = self._value(kind.item, where)
            return None if item is None else [item]
        if (isinstance(kind, Group) and all(not each.required for each in kind.fields)) or _has_text(kind):
            return self._filled(kind.fields, where)  # type: ignore[attr-defined]
        return None


def _has_text(kind: Type) -> bool:
    return isinstance(kind, Group) and any(
        isinstance(each.type, Text) and each.type.form is None for each in kind.fields
    )


def _any_value(kind: Type) -> Any:
    options = [option.value for option in kind.options] if isinstance(kind, Choice) else VALUES
    return next(value for value in options if kind.problem(value) is None)


OTHERWISE: dict[str, dict[str, Any]] = {
    "stock": {"count": 1},
    "person": {"home_zone": "UTC"},
}


def household(text: str, kinds: Sequence[Kind] = ALL, start: Instant = START) -> Household:
    """Kinds on one day: each in force, each changed with a reason, each struck out with a reason."""
    found, numbers = Household(text), count(1)
    for kind in kinds:
        for state in ("in force", "changed", "struck out"):
            number = next(numbers)
            first = _entry(found, kind, number, start, f"{kind.name} {state}")
            found.entries.append(first)
            if state != "in force":
                found.entries.append(_change(found, first, kind, next(numbers), state))
    return found


def _entry(found: Household, kind: Kind, number: int, start: Instant, where: str) -> Entry:
    instant = start + number * MINUTE
    return Entry(
        id=id_of(number),
        kind=kind.name,
        at=Moment(instant),
        recorded_at=instant,
        by=found.slot(f"{where}, by"),
        details=found.details(kind),
        note=found.slot(f"{where}, note"),
    )


def _change(found: Household, first: Entry, kind: Kind, number: int, state: str) -> Entry:
    is_struck = state == "struck out"
    return replace(
        first,
        id=id_of(number),
        recorded_at=first.recorded_at + MINUTE,
        by=found.slot(f"{kind.name} {state}, by whom"),
        details={} if is_struck else found.details(kind),
        note="" if is_struck else found.slot(f"{kind.name} {state}, the new note"),
        amends=first.id,
        reason=found.slot(f"{kind.name} {state}, reason"),
        withdrawn=is_struck,
    )


# What a sheet prints where its listing goes on in the next column, and where a page ends.
_COLUMN = re.compile(r"…(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)\d{1,2}[A-Z][a-z]{2}")
_PAGE = r"(?:page\d+of\d+.{0,3000}?)?"


def run_on(text: str) -> str:
    """The text of a sheet without spaces, lines and columns."""
    return _COLUMN.sub("", "".join(text.split()))


def _found(parts: Iterable[str], letters: str, start: int = 0) -> "re.Match[str] | None":
    """Where a text stands, given as a pattern for each of its letters: whole, or broken by a page's end."""
    parts = list(parts)
    broken = re.compile(_PAGE.join(parts), re.DOTALL)
    return re.compile("".join(parts)).search(letters, start) or broken.search(letters, start)


def _number(letter: str) -> list[str]:
    """The pattern of a letter's number; a reader turns a bracket beside Arabic round."""
    return [r"[\[\]]", *map(re.escape, f"U+{ord(letter):04X}"), r"[\[\]]"]


def missing(text: str, letters: str) -> list[str]:
    """Which characters of a text neither stand among some letters nor their numbers, as [U+1F642], do.

    Readers drop copies of a mark that lie on one another, and join a mark to a letter of the next line: so
    letters and their marks are looked for apart.
    """
    numbers = Counter(re.findall(r"[\[\]]U\+([0-9A-F]{4,6})[\[\]]", letters))
    left = Counter(unicodedata.normalize("NFKD", letters))
    lacking = []
    for letter in unicodedata.normalize("NFC", text):
        parts = [each for each in unicodedata.normalize("NFKD", letter) if not each.isspace()]
        if letter.isspace() or letter in "\x85\u2028\u2029":
            continue
        if numbers[f"{ord(letter):04X}"] > 0:
            numbers[f"{ord(letter):04X}"] -= 1
        elif all(left[each] > 0 for each in parts):
            left.subtract(each for each in parts if not unicodedata.combining(each))
        elif not _found(_number(letter), letters):
            lacking.append(letter)
    return lacking
