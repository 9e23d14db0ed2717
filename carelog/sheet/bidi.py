"""The order in which the parts of one line stand when right-to-left letters are among them.

The Unicode Bidirectional Algorithm (UAX #9), rules W1 to L2, without explicit marks: those never get here,
since invisible characters are printed as their number. In place of P2 a line runs from right to left only
when no letter of it runs the other way: sheets are in a language that runs left to right.
"""

from collections.abc import Sequence
from unicodedata import bidirectional

_RIGHT = ("R", "AL")
_NEUTRAL = ("B", "S", "WS", "ON", "BN")


def has_right_to_left(text: str) -> bool:
    """Whether any letter of the text runs from right to left."""
    return any(bidirectional(letter) in ("R", "AL", "AN") for letter in text)


def levels(text: str) -> list[int]:
    """The level of each character of one line: even runs left to right, odd runs right to left."""
    kinds = [bidirectional(letter) or "L" for letter in text]
    base = 0 if "L" in kinds or not any(kind in _RIGHT for kind in kinds) else 1
    _weak(kinds, "R" if base else "L")
    _neutral(kinds, "R" if base else "L")
    found = [_level(kind, base) for kind in kinds]
    for place in range(len(text) - 1, -1, -1):
        if bidirectional(text[place]) not in ("WS", "S", "B"):
            break
        found[place] = base
    return found


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
