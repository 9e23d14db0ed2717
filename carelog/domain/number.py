"""Numbers as people type them: comma or point, nothing that isn't plainly a number."""

import re

from carelog.domain.trouble import Refused
from carelog.domain.units import Number
from carelog.text import say

LARGEST_WHOLE = 2**53 - 1
_FORM = re.compile(r"[+-]?(\d{1,15}([.,]\d{1,15})?|[.,]\d{1,15})", re.ASCII)


def settle(value: Number) -> Number:
    """The one form a number is kept in: whole numbers up to ±(2^53−1) as int (−0 as 0), all others as float.

    `Refused` for a number beyond the range of a double.
    """
    if isinstance(value, int):
        if abs(value) <= LARGEST_WHOLE:
            return value
        try:
            value = float(value)
        except OverflowError:
            raise Refused(say("a number is too large.")) from None
    if value != value or value in (float("inf"), float("-inf")):
        raise Refused(say("a number is too large, or isn't a number."))
    return int(value) if value.is_integer() and abs(value) <= LARGEST_WHOLE else value


def typed(text: str) -> Number:
    """The number a person typed, with comma or point; `Refused` for anything else, an empty text included."""
    tidy = text.strip().replace("\N{MINUS SIGN}", "-")
    if not _FORM.fullmatch(tidy):
        raise Refused(say("“{text}” isn't a number.").format(text=text[:40]))
    tidy = tidy.replace(",", ".")
    return settle(float(tidy) if "." in tidy else int(tidy))
