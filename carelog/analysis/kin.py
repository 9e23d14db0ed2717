"""An entry beside those of its kind: the days before it, and how often its findings were there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.in_force import Held
from carelog.analysis.times import clock
from carelog.domain.entry import Details
from carelog.domain.field import Choice, Field, Number
from carelog.domain.kind import Kind
from carelog.domain.moment import DAY_24_H, Home
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

NEAR_DAYS, BEFORE_DAYS = 7, 28
DAYS_SHOWN = 4
MOST_A_DAY = 12
MOST_FINDINGS = 3
_TOLD = mark("{finding}: {count} of {all} in 7 days; in the 3 weeks before, {count_before} of {all_before}")
_ALONE = mark("{finding}: {count} of {all} in 7 days")


@dataclass(frozen=True, slots=True)
class KinDay:
    """The entries of one day, newest first: the clock and the words of each; `more` weren't listed."""

    day: date
    entries: tuple[tuple[str, str], ...]
    more: int = 0


@dataclass(frozen=True, slots=True)
class Kin:
    """What the days before an entry say of its kind."""

    days: tuple[KinDay, ...]
    told: tuple[str, ...]


def kin(held: Held, same: Sequence[Held], home: Home) -> Kin:
    """`same` are the entries of the kind in the four weeks before it; the entry itself is left out."""
    earlier = [each for each in same if each.time < held.time and each.first.id != held.first.id]
    days: dict[date, list[Held]] = {}
    for each in reversed(earlier):
        days.setdefault(home.day(each.time), []).append(each)
    shown = list(days.items())[:DAYS_SHOWN]
    return Kin(tuple(_day(day, found, home) for day, found in shown), tuple(_findings(held, earlier)))


def _day(day: date, found: Sequence[Held], home: Home) -> KinDay:
    listed = tuple((clock(home, each.time), _words(each)) for each in found[:MOST_A_DAY])
    return KinDay(day, listed, len(found) - len(listed))


def _words(held: Held) -> str:
    kind = named_or_unknown(held.entry.kind)
    return kind.line(held.entry.details) or held.entry.note.strip() or say(kind.title)


def _findings(held: Held, earlier: Sequence[Held]) -> Iterator[str]:
    """How often each choice of this entry was there, the entry with it, and before.

    What was always the same says nothing, and is left out.
    """
    near, told = held.time - NEAR_DAYS * DAY_24_H, 0
    details = held.entry.details
    for field in _choices(named_or_unknown(held.entry.kind), details):
        given = [each for each in earlier if field.name in each.entry.details]
        now = [each for each in given if each.time > near]
        then = [each for each in given if each.time <= near]
        value = details[field.name]
        if then and all(each.entry.details[field.name] == value for each in given):
            continue
        told += 1
        words = {
            "finding": f"{say(field.label)} {field.type.words(value)}".strip(),
            "count": sum(each.entry.details[field.name] == value for each in now) + 1,
            "all": len(now) + 1,
            "count_before": sum(each.entry.details[field.name] == value for each in then),
            "all_before": len(then),
        }
        yield say(_TOLD if then else _ALONE).format(**words)
        if told == MOST_FINDINGS:
            return


def _choices(kind: Kind, details: Details) -> list[Field]:
    """The fields with choices that an entry gives; the unit of a number is none of them."""
    units = {each.type.unit_field for each in kind.fields if isinstance(each.type, Number)}
    return [
        each
        for each in kind.fields
        if isinstance(each.type, Choice) and each.name in details and each.name not in units
    ]
