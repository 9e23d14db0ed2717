"""The recovery code: 26 random letters and four check letters, in six groups of five.

The check letters are those of a Reed-Solomon code over GF(32) with four check symbols (the format's page
says it in full): any two wrong letters are found, and one that is wrong, or two neighbours that changed
places, can be told by their place.
"""

import os

from carelog.domain.trouble import Refused
from carelog.text import mark, say

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O, U: they are read as 1, 1, 0, V
RANDOM, CHECK, GROUP = 26, 4, 5
LENGTH = RANDOM + CHECK
_READ_AS = str.maketrans("ILOU", "110V")
_BETWEEN = " -\t\r\n\N{NO-BREAK SPACE}\N{EN DASH}\N{NON-BREAKING HYPHEN}"
_POLYNOMIAL = 0b100101  # x⁵ + x² + 1

WRONG_LENGTH = mark("The code has {wanted} letters in {groups} groups; {found} were typed.")
NO_LETTER = mark("“{sign}” is in no code. Look at group {group}.")
ONE_WRONG = mark("The code isn't right: something is wrong in group {group}. Look at it again.")
MORE_WRONG = mark("The code isn't right: more than one letter is wrong. Look at each group again.")


def make(random: bytes | None = None) -> str:
    """A new code of 130 random bits, without spaces between its groups; `random` is 26 bytes."""
    drawn = os.urandom(RANDOM) if random is None else random
    values = [byte % 32 for byte in drawn[:RANDOM]]
    return "".join(LETTERS[value] for value in (*values, *_checks(values)))


def grouped(code: str, between: str = " ") -> str:
    """The code as it is shown and printed: six groups of five."""
    return between.join(code[start : start + GROUP] for start in range(0, LENGTH, GROUP))


def read(typed: str) -> str:
    """The code in what somebody typed; `Refused` names the group where a letter is wrong."""
    letters = "".join(sign for sign in typed.upper() if sign not in _BETWEEN).translate(_READ_AS)
    for place, sign in enumerate(letters):
        if sign not in LETTERS:
            raise Refused(say(NO_LETTER).format(sign=sign, group=place // GROUP + 1))
    if len(letters) != LENGTH:
        words = say(WRONG_LENGTH)
        raise Refused(words.format(wanted=LENGTH, groups=LENGTH // GROUP, found=len(letters)))
    values = [LETTERS.index(sign) for sign in letters]
    if any(_syndromes(values)):
        group = _wrong_group(values)
        raise Refused(say(ONE_WRONG).format(group=group) if group else say(MORE_WRONG))
    return letters


def _checks(values: list[int]) -> list[int]:
    """The remainder of the letters as a polynomial, divided by (x - 1)(x - 2)(x - 4)(x - 8) in GF(32)."""
    divisor = [1]
    for root in (1, 2, 4, 8):
        divisor = [a ^ _PRODUCTS[b][root] for a, b in zip([*divisor, 0], [0, *divisor], strict=True)]
    rest = [*values, *[0] * CHECK]
    for start in range(len(values)):
        factor = rest[start]
        for place, value in enumerate(divisor):
            rest[start + place] ^= _PRODUCTS[factor][value]
    return rest[-CHECK:]


def _syndromes(values: list[int]) -> list[int]:
    found = []
    for root in (1, 2, 4, 8):
        total = 0
        for value in values:
            total = _PRODUCTS[root][total] ^ value
        found.append(total)
    return found


def _wrong_group(values: list[int]) -> int:
    """The group (from 1) of the one letter that is wrong, or of two that changed places; 0: it is more."""
    error = _syndromes(values)[0]  # at 1 every letter counts once, so one wrong letter is wrong by this
    for place, value in enumerate(values):
        if not any(_syndromes([*values[:place], value ^ error, *values[place + 1 :]])):
            return place // GROUP + 1
        if not any(_syndromes([*values[:place], *values[place : place + 2][::-1], *values[place + 2 :]])):
            return place // GROUP + 1
    return 0


def _products() -> list[list[int]]:
    """All products in GF(32), by both factors."""
    powers = [1]
    for _ in range(30):
        doubled = powers[-1] << 1
        powers.append(doubled ^ _POLYNOMIAL if doubled > 31 else doubled)
    places = {power: place for place, power in enumerate(powers)}
    return [[powers[(places[a] + places[b]) % 31] if a and b else 0 for b in range(32)] for a in range(32)]


_PRODUCTS = _products()
