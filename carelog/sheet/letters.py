"""The typefaces of a sheet: which letters they have, how wide a text is, how Arabic is joined.

A letter that no typeface has is never left out: its number is printed in its place, as [U+1F642].
"""

import re
from collections.abc import Iterator
from functools import cache, lru_cache
from typing import Any, NamedTuple
from unicodedata import category, combining, normalize

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import ShapedStr, TTFont, shapeStr

from carelog.resources import find
from carelog.sheet.bidi import has_right_to_left, levels, reversed_line, visual_order
from carelog.text import is_right_to_left

# Bytes as bytes: text in their place takes a quarter more room and a tenth more time.
rl_config.useA85 = 0

REGULAR = "NotoSans-Regular"
HALF_BOLD = "NotoSans-SemiBold"
ARABIC = {REGULAR: "NotoSansArabic-Regular", HALF_BOLD: "NotoSansArabic-SemiBold"}
JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"
_INVISIBLE = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
NUMBER_IN_PLACE = re.compile(r"\[U\+[0-9A-F]{4,6}\]")


def face(bold: bool) -> str:
    """The name of the typeface for a weight."""
    return HALF_BOLD if bold else REGULAR


@cache
def plain_letters() -> frozenset[str]:
    """Every character that the main typeface draws as it stands, one after the other."""
    codes = _shared(REGULAR).face.charToGlyph.keys() & _shared(HALF_BOLD).face.charToGlyph.keys()
    letters = map(chr, codes)
    return frozenset(each for each in letters if category(each) not in (*_INVISIBLE, "Mn", "Me", "Mc"))


@cache
def _shared(name: str) -> Any:
    """A typeface that only draws plain letters; read and registered once a process."""
    font = TTFont(name, str(find(f"fonts/{name}.ttf")), asciiReadable=False)
    pdfmetrics.registerFont(font)
    return font


@cache
def _marks() -> frozenset[str]:
    """Marks that the main typeface sets over or under a letter."""
    return frozenset(chr(code) for code in _shared(REGULAR).face.charToGlyph if combining(chr(code)))


@cache
def _joined_letters() -> frozenset[str]:
    """Letters and marks of the Arabic typeface."""
    known = TTFont("", str(find(f"fonts/{ARABIC[REGULAR]}.ttf"))).face.charToGlyph
    return frozenset(chr(code) for code in known if 0x600 <= code <= 0x8FF and category(chr(code)) != "Cf")


class _Shaped(TTFont):  # type: ignore[misc]
    """A typeface of one document, whose joined glyphs are read back as the letters they stand for."""

    def __init__(self, name: str, file: str) -> None:
        super().__init__(name, file, asciiReadable=False)
        self.sources: dict[int, str] = {}

    def addObjects(self, doc: Any) -> None:
        subsets = list(self.state[doc].subsets)
        before = set(doc.idToObject)
        super().addObjects(doc)
        maps = sorted(key for key in set(doc.idToObject) - before if str(key).startswith("toUnicodeCMap:"))
        for key, subset in zip(maps, subsets, strict=True):
            doc.idToObject[key].content = _reading_map(key, subset, self.sources)


def _reading_map(name: str, subset: list[int], sources: dict[int, str]) -> str:
    """The table by which a reader gets text back from the glyphs of one subset."""
    rows = [
        f"<{place:02X}> <{sources.get(code, chr(code)).encode('utf-16-be').hex().upper()}>"
        for place, code in enumerate(subset)
    ]
    blocks = [rows[start : start + 100] for start in range(0, len(rows), 100)]
    ranges = "\n".join("\n".join([f"{len(block)} beginbfchar", *block, "endbfchar"]) for block in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        f"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        f"/CMapName /{name.partition(':')[2]} def\n/CMapType 2 def\n"
        f"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n{ranges}\n"
        "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    )


class Stroke(NamedTuple):
    """A part of a line as it stands on paper: its typeface, what is drawn, how wide it is in points."""

    face: str
    text: str
    width: float


class Letters:
    """The typefaces of one document; `missing` gathers the letters that had to be printed as numbers."""

    def __init__(self) -> None:
        self.missing: dict[str, None] = {}
        self._own: dict[str, _Shaped] = {}
        self._plain = plain_letters()
        self._widths = {name: _letter_widths(name) for name in (REGULAR, HALF_BOLD)}
        self._parts: dict[tuple[str, str], tuple[str, float]] = {}
        self.tokens = (_Tokens(self, bold=False), _Tokens(self, bold=True))

    def drawable(self, text: str) -> str:
        """The text in composed form, each character that can't be drawn given as its number."""
        if self._plain.issuperset(text):
            return text
        return "".join(self._drawable(normalize("NFC", text.replace("\t", " "))))

    def _drawable(self, text: str) -> Iterator[str]:
        for place, letter in enumerate(text):
            if letter in self._plain or self._can_join(text, place):
                yield letter
            else:
                number = f"[U+{ord(letter):04X}]"
                self.missing[number] = None
                yield number

    def _can_join(self, text: str, place: int) -> bool:
        """Whether a letter is drawn together with its neighbours: Arabic, or a mark over a letter."""
        letter, arabic = text[place], _joined_letters()
        before, after = text[place - 1 : place] if place else "", text[place + 1 : place + 2]
        if letter in arabic:
            return True
        if letter in JOINERS:
            return bool(before) and before in arabic and bool(after) and after in arabic
        return letter in _marks() and bool(before) and (before.isalpha() or bool(combining(before)))

    def numbers_in(self, text: str) -> list[str]:
        """The letters' numbers that a drawable text holds because no typeface has the letters."""
        if "[U+" not in text:
            return []
        return [each for each in NUMBER_IN_PLACE.findall(text) if each in self.missing]

    def width(self, text: str, bold: bool, size: float) -> float:
        """How wide a drawable text is, in points."""
        if self._plain.issuperset(text):
            return size * _plain_width(text, face(bold))
        return sum(each.width for each in self.strokes(text, bold, size))

    def strokes(self, text: str, bold: bool, size: float) -> list[Stroke]:
        """A drawable text of one line as it stands on paper, from left to right."""
        name = face(bold)
        if self._plain.issuperset(text):
            return [Stroke(name, text, size * _plain_width(text, name))]
        found = list(self._runs(text))
        order = visual_order([level for level, _, _ in found])
        return [self._stroke(*found[place], name, size) for place in order]

    def _runs(self, text: str) -> Iterator[tuple[int, str, str]]:
        """Parts of one level and one way of drawing: plain, marked, or Arabic."""
        found = levels(text, is_right_to_left()) if has_right_to_left(text) else [0] * len(text)
        start, ways = 0, [self._way(text, place) for place in range(len(text))]
        for place in range(1, len(text) + 1):
            if place == len(text) or (found[place], ways[place]) != (found[start], ways[start]):
                yield found[start], ways[start], text[start:place]
                start = place

    def _way(self, text: str, place: int) -> str:
        letter = text[place]
        if letter in _joined_letters() or letter in JOINERS:
            return "arabic"
        if letter in _marks() or text[place + 1 : place + 2] in _marks():
            return "marked" if text[place + 1 : place + 2] or letter in _marks() else "plain"
        return "plain"

    def _stroke(self, level: int, way: str, text: str, name: str, size: float) -> Stroke:
        if way == "plain":
            drawn = reversed_line(text) if level % 2 else text
            return Stroke(name, drawn, size * sum(self._widths[name].get(each, 0.6) for each in text))
        own = ARABIC[name] if way == "arabic" else name
        key = f"{own}-Shaped"
        if (key, text) not in self._parts:
            self._parts[key, text] = self._shape(key, own, text)
        drawn, width = self._parts[key, text]
        return Stroke(key, drawn, width * size)

    def _shape(self, key: str, own: str, text: str) -> tuple[str, float]:
        # A typeface of this document alone: what an earlier document joined must not change this one's bytes.
        if key not in self._own:
            self._own[key] = _Shaped(key, str(find(f"fonts/{own}.ttf")))
            pdfmetrics.registerFont(self._own[key])
        drawn = shapeStr(text, key, 1, force=True)
        places = [each.cluster for each in drawn.__shapeData__]
        self._remember(key, text, drawn, places)
        return drawn, sum(each.x_advance for each in drawn.__shapeData__) / 1000

    def _remember(self, key: str, text: str, drawn: ShapedStr, places: list[int]) -> None:
        ends = [*sorted(set(places)), len(text)]
        taken: set[int] = set()
        for letter, place in zip(str(drawn), places, strict=True):
            source = text[place : ends[ends.index(place) + 1]] if place not in taken else ""
            taken.add(place)
            self._own[key].sources.setdefault(ord(letter), source or text[place])


class _Tokens(dict[str, float]):
    """How wide words and stretches of spaces are at size 1 in one weight; the same come again and again."""

    def __init__(self, letters: Letters, bold: bool) -> None:
        super().__init__()
        self._letters, self._bold = letters, bold

    def __missing__(self, token: str) -> float:
        self[token] = self._letters.width(token, self._bold, 1)
        return self[token]


class _Widths(dict[str, float]):
    """A letter's width at size 1, looked up in the typeface the first time."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._face = _shared(name).face

    def __missing__(self, letter: str) -> float:
        width: float = self._face.charWidths.get(ord(letter), self._face.defaultWidth) / 1000
        self[letter] = width
        return width


@cache
def _letter_widths(name: str) -> dict[str, float]:
    return _Widths(name)


@lru_cache(maxsize=16_384)
def _plain_width(text: str, name: str) -> float:
    """At size 1, remembered: a line is measured when it is broken, placed and painted, sheet after sheet."""
    widths = _letter_widths(name)
    return sum([widths[letter] for letter in text])
