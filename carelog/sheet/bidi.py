"""The order in which the parts of one line stand when right-to-left letters are among them.

The Unicode Bidirectional Algorithm (UAX #9), rules W1 to L4, without explicit marks: those never get here,
since invisible characters are printed as their number. In place of P2 a line runs against the language of the
sheet only when no letter of it runs that way and it doesn't begin with a number: such a line, with a time for
instance, goes on from the line above. It is our own since what is drawn needs the place of each character;
python-bidi, which tests hold this against, gives the finished line alone.
"""

from collections.abc import Iterator, Sequence
from functools import cache
from unicodedata import bidirectional, category, mirrored, normalize

_RIGHT = ("R", "AL")
_NEUTRAL = ("B", "S", "WS", "ON", "BN")


def has_right_to_left(text: str) -> bool:
    """Whether any letter of the text runs from right to left."""
    return any(bidirectional(letter) in ("R", "AL", "AN") for letter in text)


def levels(text: str, is_right_to_left: bool = False) -> list[int]:
    """The level of each character of one line: even runs left to right, odd runs right to left.

    The language of the sheet says which way a line runs that has letters of both ways, or none.
    """
    given = [bidirectional(letter) or "L" for letter in text]
    kinds, base = list(given), _base(given, is_right_to_left)
    edge = "R" if base else "L"
    _weak(kinds, edge)
    _brackets(text, given, kinds, edge)
    _neutral(kinds, edge)
    found = [_level(kind, base) for kind in kinds]
    for place in range(len(text) - 1, -1, -1):
        if bidirectional(text[place]) not in ("WS", "S", "B"):
            break
        found[place] = base
    return found


def reversed_line(text: str) -> str:
    """A run as it stands on paper from right to left: its letters reversed, and rule L4's brackets turned."""
    turned = _turned()
    return "".join(turned.get(letter, letter) for letter in reversed(text))


def _base(kinds: Sequence[str], is_right_to_left: bool) -> int:
    is_left, is_right = "L" in kinds, any(kind in _RIGHT for kind in kinds)
    first = next((kind for kind in kinds if kind in ("L", "EN", "AN", *_RIGHT)), "L")
    if first in ("EN", "AN"):
        return int(is_right_to_left)
    return int(is_right or not is_left) if is_right_to_left else int(is_right and not is_left)


def _level(kind: str, base: int) -> int:
    if base % 2:
        return base if kind == "R" else base + 1
    return base + {"R": 1, "AN": 2, "EN": 2}.get(kind, 0)


def _weak(kinds: list[str], edge: str) -> None:
    """Rules W1 to W7: marks, numbers and the signs between and beside numbers."""
    strong = before = edge
    for place, kind in enumerate(kinds):
        if kind == "NSM":
            kinds[place] = kind = before
        before = kind
        if kind in ("L", *_RIGHT):
            strong = kind
        elif kind == "EN" and strong == "AL":
            kinds[place] = "AN"
    for place, kind in enumerate(kinds):
        if kind == "AL":
            kinds[place] = "R"
    _signs(kinds)
    strong = edge
    for place, kind in enumerate(kinds):
        if kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            kinds[place] = "L"


def _signs(kinds: list[str]) -> None:
    for place in range(1, len(kinds) - 1):
        left, kind, right = kinds[place - 1 : place + 2]
        if left == right and ((kind == "CS" and left in ("EN", "AN")) or (kind == "ES" and left == "EN")):
            kinds[place] = left
    for order in (range(1, len(kinds)), range(len(kinds) - 2, -1, -1)):
        step = -1 if order.step > 0 else 1
        for place in order:
            if kinds[place] == "ET" and kinds[place + step] == "EN":
                kinds[place] = "EN"
    for place, kind in enumerate(kinds):
        if kind in ("ES", "ET", "CS"):
            kinds[place] = "ON"


@cache
def _closing() -> dict[str, str]:
    """Each opening bracket with the one that closes it (BidiBrackets.txt): in Unicode they stand in pairs."""
    opening = [chr(code) for code in range(0x10000) if category(chr(code)) == "Ps" and mirrored(chr(code))]
    pairs = {each: chr(ord(each) + (1 if category(chr(ord(each) + 1)) == "Pe" else 2)) for each in opening}
    return pairs | {"\u298d": "\u2990", "\u298f": "\u298e"}


@cache
def _turned() -> dict[str, str]:
    """The other of each pair of brackets, quotation marks and comparing signs."""
    pairs = {**_closing(), "<": ">", "«": "»", "‹": "›", "≤": "≥"}
    return pairs | {closing: opening for opening, closing in pairs.items()}


def _brackets(text: str, given: Sequence[str], kinds: list[str], edge: str) -> None:
    """Rule N0: a pair of brackets goes the line's way if anything within does, else as what is around."""
    for opening, closing in sorted(_pairs(text, kinds)):
        within = {_side(kind) for kind in kinds[opening + 1 : closing] if kind not in _NEUTRAL}
        if not within:
            continue
        way = edge
        if edge not in within:
            before = (_side(kind) for kind in reversed(kinds[:opening]) if kind not in _NEUTRAL)
            way = next(before, edge)
        for place in (opening, closing):
            kinds[place] = way
            follower = place + 1
            while follower < len(kinds) and given[follower] == "NSM":
                kinds[follower] = way
                follower += 1


def _pairs(text: str, kinds: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Rule BD16: the places of the brackets that belong together; nothing after 63 that are open."""
    closing = _closing()
    wanted: list[tuple[str, int]] = []
    for place, letter in enumerate(text):
        if kinds[place] != "ON":
            continue
        if letter in closing:
            if len(wanted) == 63:
                return
            wanted.append((normalize("NFC", closing[letter]), place))
            continue
        ends = normalize("NFC", letter)
        found = next((n for n in range(len(wanted) - 1, -1, -1) if wanted[n][0] == ends), None)
        if found is not None:
            yield wanted[found][1], place
            del wanted[found:]


def _neutral(kinds: list[str], edge: str) -> None:
    """Rules N1 and N2: what stands between two of one direction takes it, the rest the line's own."""
    place = 0
    while place < len(kinds):
        if kinds[place] not in _NEUTRAL:
            place += 1
            continue
        end = place
        while end < len(kinds) and kinds[end] in _NEUTRAL:
            end += 1
        left = _side(kinds[place - 1]) if place else edge
        right = _side(kinds[end]) if end < len(kinds) else edge
        kinds[place:end] = [left if left == right else edge] * (end - place)
        place = end


def _side(kind: str) -> str:
    return "R" if kind in ("R", "AN", "EN") else "L"


def visual_order(found: Sequence[int]) -> list[int]:
    """Rule L2 over runs: the places of runs with these levels, in the order in which they stand on paper."""
    order = list(range(len(found)))
    for level in range(max(found, default=0), 0, -1):
        place = 0
        while place < len(order):
            if found[order[place]] < level:
                place += 1
                continue
            end = place
            while end < len(order) and found[order[end]] >= level:
                end += 1
            order[place:end] = order[place:end][::-1]
            place = end
    return order
