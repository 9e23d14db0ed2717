"""Days as people write them: 28.11.2026, 28/11/26, 28 Nov, today."""

import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

_PARTS = re.compile(r"\d+|[^\W\d_]+")
_ORDINAL = re.compile(r"(?<=\d)(?:st|nd|rd|th)\b", re.IGNORECASE)
_SIGNS = re.compile(r"[\s.,/–-]*")


def readings(
    text: str, today: date, months: Sequence[str], near: Sequence[str], *, is_near: bool, with_months: bool
) -> tuple[str, ...]:
    """What a typed day may mean, as YYYY-MM-DD: nothing, one day, or more when it can be read in two ways.

    `months` are the names of the twelve, `near` the words for yesterday, today and tomorrow. `is_near`: a day
    of these years, whose year may be left out (the nearest is meant) or have two digits. `with_months`: a
    month by itself is taken too, as YYYY-MM. With dots or spaces the day stands first; with slashes it may be
    the month.
    """
    words = [each.casefold() for each in near]
    if text.strip().casefold() in words:
        return ((today + timedelta(days=words.index(text.strip().casefold()) - 1)).isoformat(),)
    text = _ORDINAL.sub("", text)
    parts = _PARTS.findall(text)
    if not all(_SIGNS.fullmatch(each) for each in _PARTS.split(text)):
        return ()
    found = [*_days(text, parts, today, months, is_near)]
    if with_months:
        found += _months(parts, months)
    return tuple(dict.fromkeys(found))


def _days(
    text: str, parts: Sequence[str], today: date, months: Sequence[str], is_near: bool
) -> Iterator[str]:
    numbers = [each for each in parts if each.isdecimal()]
    names = [_month(each, months) for each in parts if not each.isdecimal()]
    if len(names) == 1 and names[0] and 1 <= len(numbers) <= 2:
        year_first = len(numbers[0]) == 4
        day, year = (numbers[-1], numbers[0]) if year_first else (numbers[0], *numbers[1:], "")[:2]
        yield from _day(day, names[0], year, today, is_near)
    elif not names and len(numbers) == 3 and len(numbers[0]) == 4:
        yield from _day(numbers[2], int(numbers[1]), numbers[0], today, is_near)
    elif not names and len(numbers) in (2, 3):
        first, second, year = (*numbers, "")[:3]
        if len(first) > 2 or len(second) > 2:
            return
        yield from _day(first, int(second), year, today, is_near)
        if "/" in text:
            yield from _day(second, int(first), year, today, is_near)


def _day(day: str, month: int, year: str, today: date, is_near: bool) -> Iterator[str]:
    """The day with this number, if there is one and its year is clear."""
    if not 1 <= month <= 12 or len(day) > 2 or len(year) not in ((0, 2, 4) if is_near else (4,)):
        return
    years = [int(year) + (2000 if len(year) == 2 else 0)] if year else [today.year + n for n in (-1, 0, 1)]
    found = [
        date(each, month, int(day)) for each in years if each and 1 <= int(day) <= monthrange(each, month)[1]
    ]
    if found:
        yield min(found, key=lambda each: abs(each - today)).isoformat()


def _months(parts: Sequence[str], months: Sequence[str]) -> Iterator[str]:
    """A month and its year: 2026-11, 11/2026, 11/26, Nov 2026."""
    if len(parts) != 2:
        return
    first, second = parts if len(parts[0]) != 4 or not parts[0].isdecimal() else (parts[1], parts[0])
    month = (int(first) if len(first) <= 2 else 0) if first.isdecimal() else _month(first, months)
    if 1 <= month <= 12 and second.isdecimal() and len(second) in (2, 4) and int(second):
        yield f"{int(second) + (2000 if len(second) == 2 else 0):04}-{month:02}"


def _month(word: str, months: Sequence[str]) -> int:
    """The number of a month by its name or its first three letters or more; 0 for another word."""
    found = [n for n, name in enumerate(months, 1) if name.casefold().startswith(word.casefold())]
    return found[0] if len(found) == 1 and len(word) >= 3 else 0
