"""Breaking words into lines of a width."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from carelog.sheet.blocks import Piece, Words
from carelog.sheet.letters import NUMBER_IN_PLACE, Letters

_TOKENS = re.compile(r" +|[^ ]+")
_UNITS = re.compile(f"{NUMBER_IN_PLACE.pattern}|.", re.DOTALL)
NEW_LINE = re.compile(r"\r\n|[\r\n\v\f\x85\u2028\u2029]")
Line = tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class LineWidths:
    """How wide lines are: the first may begin further right than the others."""

    letters: Letters
    size: float
    width: float
    first: float = 0.0

    def lines(self, pieces: Words) -> list[Line]:
        """The pieces in lines that fit; line breaks stay, nothing is left out but spaces at breaks."""
        found: list[Line] = []
        for paragraph in _paragraphs(pieces):
            found += self._filled(paragraph, self.width - (0.0 if found else self.first))
        return found or [()]

    def one_line(self, text: str, bold: bool = False) -> str:
        """The text cut to one line, with an ellipsis where something is left out."""
        drawable = self.letters.drawable(NEW_LINE.sub(" ", text))
        if self.letters.width(drawable, bold, self.size) <= self.width:
            return drawable
        while drawable and self.letters.width(f"{drawable}…", bold, self.size) > self.width:
            drawable = drawable[: max(len(drawable) * 9 // 10, 1) if len(drawable) > 20 else -1]
        return f"{drawable}…"

    def _filled(self, paragraph: Words, room: float) -> Iterator[Line]:
        drawable = tuple(map(self._drawable, paragraph))
        if sum([self.letters.width(piece.text, piece.bold, self.size) for piece in drawable]) <= room:
            yield _trimmed(list(drawable))
            return
        yield from self._broken(drawable, room)

    def _drawable(self, piece: Piece) -> Piece:
        text = self.letters.drawable(piece.text)
        return piece if text is piece.text else Piece(text, piece.bold, piece.struck)

    def _broken(self, paragraph: Words, room: float) -> Iterator[Line]:
        line: list[Piece] = []
        left = room
        for piece in paragraph:
            widths, text = self.letters.tokens[piece.bold], piece.text
            start = place = 0  # from `start` on the piece stands on this line
            for token in _TOKENS.findall(text):
                width, end = widths[token] * self.size, place + len(token)
                if width > left:
                    _add(line, text[start:place], piece)
                    if line or left < self.width:
                        yield _trimmed(line)
                    line, left, start = [], self.width, place
                    if token.isspace():
                        width, start = 0.0, end
                    elif width > left:
                        *full, (rest, width) = self._parts(token, piece)
                        yield from ((Piece(part, piece.bold, piece.struck),) for part, _ in full)
                        start = end - len(rest)
                left -= width
                place = end
            _add(line, text[start:], piece)
        yield _trimmed(line)

    def _parts(self, token: str, piece: Piece) -> Iterable[tuple[str, float]]:
        """A word that is wider than a line, in parts that each fit one."""
        parts: list[tuple[str, float]] = []
        part, length = "", 0.0
        for unit in self._units(token, piece):
            step = self.letters.width(unit, piece.bold, self.size)
            if length + step > self.width and part:
                head, part = _at_hyphen(part)
                parts.append((head, self.letters.width(head, piece.bold, self.size)))
                length = self.letters.width(part, piece.bold, self.size) if part else 0.0
            part += unit
            length += step
        return [*parts, (part, length)]

    def _units(self, token: str, piece: Piece) -> Iterator[str]:
        """The letters of a word; the number of a missing one stays whole where a line can hold it."""
        for unit in _UNITS.findall(token):
            if len(unit) > 1 and self.letters.width(unit, piece.bold, self.size) > self.width:
                yield from unit
            else:
                yield unit


def _at_hyphen(part: str) -> tuple[str, str]:
    """What of a part stays on its line: up to its last hyphen, if it has one within."""
    place = part.rfind("-") + 1
    return (part[:place], part[place:]) if 1 < place < len(part) else (part, "")


def _add(line: list[Piece], part: str, piece: Piece) -> None:
    """Put a part of a piece on the line, as one with what is like it before it."""
    if not part:
        return
    if line and (line[-1].bold, line[-1].struck) == (piece.bold, piece.struck):
        part = line.pop().text + part
    line.append(Piece(part, piece.bold, piece.struck))


def _trimmed(line: list[Piece]) -> Line:
    if line and line[-1].text.endswith(" "):
        last = line[-1]
        line = [*line[:-1], Piece(last.text.rstrip(" "), last.bold, last.struck)]
    return tuple(piece for piece in line if piece.text)


def _paragraphs(pieces: Words) -> Iterator[Words]:
    current: list[Piece] = []
    for piece in pieces:
        if NEW_LINE.search(piece.text) is None:
            current.append(piece)
            continue
        first, *others = NEW_LINE.split(piece.text)
        current.append(Piece(first, piece.bold, piece.struck))
        for other in others:
            yield tuple(current)
            current = [Piece(other, piece.bold, piece.struck)]
    yield tuple(current)
