"""What the entry's own page tells beside its words: by whom, when it was written, what the plan asked for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from carelog.analysis import cuff
from carelog.analysis.due import dues, matches
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.kin import BEFORE_DAYS, Kin, kin
from carelog.analysis.limits import READ, range_words
from carelog.analysis.marks import who
from carelog.analysis.outside import Judging
from carelog.analysis.past import FEW
from carelog.analysis.people import recorders
from carelog.analysis.visit.signed import NOT_SIGNED, Signed
from carelog.app.ports import Record
from carelog.domain.due import Due
from carelog.domain.entry import PAPER, Entry
from carelog.domain.moment import DAY_24_H, MINUTE, Home
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui import times

AT_ONCE = 15 * MINUTE
"""Written so soon, it was written at the time."""
DOINGS = 40  # entries of the kind before it: at set times those of three days are looked at


@dataclass(frozen=True, slots=True)
class EntryFacts:
    """One entry with all that its page tells: the chain, its limits, who people are, what was asked for."""

    chain: list[Entry]
    judging: Judging
    signed: Signed = NOT_SIGNED
    names: Mapping[str, str] = field(default_factory=dict)
    due: Due | None = None
    kin: Kin | None = None
    spoken_of: Mapping[str, str] = field(default_factory=dict)
    """The words of other entries that it names by their ids."""


def beside(record: Record, held: Held, home: Home) -> tuple[dict[str, str], Due | None, Kin | None]:
    """Who people are, what the plan asked for just before an entry, and its kind in the days before."""
    few = record.of_kinds(FEW)
    names = {str(each.entry.details["initials"]): each.entry.details.get("name", "") for each in _people(few)}
    kinds = {held.entry.kind, *cuff.SAYS}
    before = [entry for kind in kinds for entry in record.newest(kind, DOINGS, held.time)]
    own = {each.id for each in held.chain}
    known = [each for each in (*few, *before) if each.at.instant < held.time and each.id not in own]
    since = held.time - BEFORE_DAYS * DAY_24_H
    same = Reading(record.saying(held.entry.kind, "", since=since, before=held.time))
    return names, _due(Reading(known), held), kin(held, same.of(held.entry.kind), home)


def _people(few: list[Entry]) -> list[Held]:
    return recorders(Reading(few))


def _due(reading: Reading, held: Held) -> Due | None:
    """What the plan asked for when it was done, if it was a doing of it."""
    kind, details = named_or_unknown(held.entry.kind), held.entry.details
    if not kind.does(details):
        return None
    asked = [each for each in dues(reading, held.time) if each.kind == kind.name]
    return next((each for each in asked if matches(each.where, details)), None)


def facts(shown: EntryFacts, held: Held, home: Home) -> Iterator[tuple[str, str]]:
    """Each fact: what it is called, and its words."""
    name = shown.names.get(held.first.by, "")
    yield say("by"), f"{who(held.first.by)}, {name}" if name else who(held.first.by)
    yield say("written"), _written(held, home)
    if shown.due is not None:
        yield say("asked for"), _asked(shown.due, held, home)
    yield from _limits(shown.judging, held)


def _written(held: Held, home: Home) -> str:
    first = held.first
    later = first.recorded_at - first.at.instant
    words = times.near(home, first.recorded_at, first.at.instant)
    if first.source == PAPER:
        return say("{time}, typed in from paper").format(time=words)
    if -AT_ONCE <= later <= AT_ONCE:
        return say("{time}, at the time").format(time=words)
    return say("{time}, {span} after").format(time=words, span=times.span(later)) if later > 0 else words


def _asked(due: Due, held: Held, home: Home) -> str:
    """When the plan asked for it, and how long before or after that it was done."""
    time, off = times.near(home, due.due_at, held.time), held.time - due.due_at
    if abs(off) < MINUTE:
        return say("at {time}").format(time=time)
    words = say("at {time}, done {span} after that") if off > 0 else say("at {time}, done {span} before that")
    return words.format(time=time, span=times.span(abs(off)))


def _limits(judging: Judging, held: Held) -> Iterator[tuple[str, str]]:
    """The limits of the numbers that it gives, as they were at its time."""
    kind, details = named_or_unknown(held.entry.kind), held.entry.details
    against = judging.against(held) if kind.name in READ else None
    seen = set[str]()
    for name, limit_name in READ.get(kind.name, {}).items():
        limit = against.limit(limit_name) if against is not None and name in details else None
        if limit is not None and limit_name not in seen:
            seen.add(limit_name)
            yield say("limits"), range_words(limit)
