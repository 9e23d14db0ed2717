"""The sentences of the visit's page: which days, what was signed, what a check code says."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from carelog.analysis.times import SHORT_MONTHS, dated, month_day
from carelog.analysis.visit.signed import since_words
from carelog.text import mark, say

if TYPE_CHECKING:
    from carelog.analysis.visit.code import CheckedSheet
    from carelog.analysis.visit.signed import Signature
    from carelog.analysis.visit.visit import Visit

_DAYS = mark("{first} to {last}")
_BESIDE = mark("Visit: {days}, beside {others}")
_SIGNED = mark("Signed {time} by {nurse}.")
_NOT_SIGNED = mark("{days}: not signed.")
_LAST = mark("Signed last: {days}, by {nurse}.")
_NEVER = mark("Nothing was signed here before.")
_HELD = mark("This sheet is what the record held then. It is about {days}.")
_STILL = mark("This sheet is what the record holds now. It is about {days}.")
NO_READING = mark("The record couldn't be read just now. Try it once more.")
NO_CODE = mark("A check code has 16 signs, 0 to 9 and a to f. It stands at the foot of each page.")
NO_SHEET = mark(
    "No sheet of the last 13 weeks has this code. Look at each sign. "
    "A sheet from before entries came from another computer can't be told either."
)


def short(day: date) -> str:
    """22 Nov."""
    return f"{day.day}\N{NO-BREAK SPACE}{say(SHORT_MONTHS[day.month - 1])}"


def days_words(days: Sequence[date]) -> str:
    """22 to 28 Nov; one day with its weekday."""
    if len(days) == 1:
        return month_day(days[0])
    first, last = days[0], days[-1]
    return say(_DAYS).format(first=first.day if first.month == last.month else short(first), last=short(last))


def beside_words(visit: "Visit") -> str:
    """Which days, beside which others."""
    here, others = days_words(visit.days.here), days_words(visit.days.beside)
    return say(_BESIDE).format(days=here, others=others)


def signed_words(visit: "Visit") -> str:
    """Whether the days are signed, by whom, and how much has changed since."""
    home, found = visit.home, visit.signature
    if found is None:
        words = say(_NOT_SIGNED).format(days=days_words(visit.days.signed))
        last = visit.last_signature
        return f"{words} {say(_NEVER) if last is None else _last_words(last)}"
    words = say(_SIGNED).format(time=dated(home, found.held.time), nurse=found.nurse)
    count = len(visit.since_signed)
    return f"{words} {since_words(count)}" if count else words


def _last_words(found: "Signature") -> str:
    return say(_LAST).format(days=days_words(found.days), nurse=found.nurse)


def checked_words(found: "CheckedSheet") -> str:
    """What a typed code says of the paper that it stands on."""
    count = len(found.changed)
    words = say(_HELD if count else _STILL).format(days=days_words(found.days))
    return f"{words} {since_words(count)}" if count else words
