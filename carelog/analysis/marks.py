"""What stands at the end of an entry's row: written late, from paper, changed, struck, doubtful, rivals."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from carelog.analysis.in_force import LATE_AFTER, Held, Reading, Withdrawn, is_completion, is_slip
from carelog.analysis.times import clock, near
from carelog.analysis.visit.signed import NOT_SIGNED, Signed
from carelog.domain.entry import PAPER, Details, Entry
from carelog.domain.field import Number
from carelog.domain.kind import Kind
from carelog.domain.moment import Home
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

_LATE = mark("late entry {time}")
_AFTER = mark("written after these days, {time}")
_FROM_PAPER = mark("from paper, typed in {time}")
_AMENDED = mark("amended {time} {by}: {changes}")
_AMENDED_WHY = mark("amended {time} {by}: {changes} ({reason})")
_ADDED = mark("added {time}")
_ADDED_BY = mark("added {time} {by}")
_WITHDRAWN = mark("struck out {time} {by}: {reason}")
_DOUBTFUL = mark("doubtful time: given as {at}, written {time}")
_RIVALS = mark("two versions, this one was written last; the other {by}: {words}")
_STRAY = mark("a change of an entry that isn't here; it counts for nothing")
_WAS = mark("was {words}")
_NOT_SAID = mark("was not said: {words}")
_NO_NAME = mark("no name")
PUT_RIGHT = mark("put right at once")
CHOSEN_AGAIN = mark("chosen again after it was saved")
WORDS = (
    _LATE,
    _AFTER,
    _FROM_PAPER,
    _AMENDED,
    _ADDED,
    _WITHDRAWN,
    _DOUBTFUL,
    _RIVALS,
    _STRAY,
    _WAS,
    _NOT_SAID,
    PUT_RIGHT,
    CHOSEN_AGAIN,
)
"""What marks are made of, for whoever looks for one."""
SLIP_REASONS = (PUT_RIGHT, CHOSEN_AGAIN)
"""What the program fills in where somebody puts right within ten minutes what they wrote."""


def is_the_programs(reason: str) -> bool:
    """Whether nobody typed why: the program filled it in."""
    return reason in ("", *SLIP_REASONS, *map(say, SLIP_REASONS))


def who(by: str) -> str:
    """Initials, or the words for none."""
    return by.strip() or say(_NO_NAME)


def row_marks(
    held: Held,
    home: Home,
    end: int | None = None,
    *,
    has_slips: bool = False,
    signed: Signed = NOT_SIGNED,
) -> list[str]:
    """The marks of an entry in force; `end` is the end of a period, for what was written after it.

    `has_slips`: what whoever wrote it put right within ten minutes, without saying why, is marked too;
    `signed`: what was done after a nurse signed the day.
    """
    changes = [*_changes(held, home, has_slips), *_rivals(held)] if len(held.chain) > 1 else []
    return [*_since_signed(held, home, signed), *_writing(held, home, end), *changes]


def _since_signed(shown: Held | Withdrawn, home: Home, signed: Signed) -> Iterator[str]:
    after = signed.after(shown.chain)
    if after is not None:
        yield after.words(home, shown.entry.at.instant)


def _writing(held: Held, home: Home, end: int | None) -> Iterator[str]:
    first = held.first
    is_paper = PAPER in (first.source, held.entry.source)
    is_after = end is not None and first.recorded_at >= end
    if not (held.doubtful or held.written_late or is_paper or is_after):
        return
    time = near(home, first.recorded_at, first.at.instant)
    if held.doubtful:
        yield say(_DOUBTFUL).format(
            at=near(home, held.entry.at.instant, held.known), time=near(home, held.known, held.known)
        )
    if held.written_late:
        yield say(_LATE).format(time=time)
    if is_paper:
        yield say(_FROM_PAPER).format(time=time)
    if is_after and not held.written_late:
        yield say(_AFTER).format(time=time)


def _changes(held: Held, home: Home, has_slips: bool) -> Iterator[str]:
    kind = named_or_unknown(held.entry.kind)
    for before, after in pairwise(way(held)):
        time = near(home, after.recorded_at, held.entry.at.instant)
        if is_completion(before, after):
            if after.by != held.first.by and _says_more(before, after):
                yield say(_ADDED_BY).format(time=time, by=who(after.by))
            elif after.recorded_at - before.recorded_at > LATE_AFTER:
                yield say(_ADDED).format(time=time)
            continue
        words = "; ".join(differences(kind, before, after, home))
        if not words or (not has_slips and is_slip(before, after) and is_the_programs(after.reason)):
            continue
        text = say(_AMENDED_WHY if after.reason else _AMENDED)
        yield text.format(time=time, by=who(after.by), changes=words, reason=after.reason)


def _says_more(before: Entry, after: Entry) -> bool:
    """Whether a change is about what happened, and not only about who wrote it."""
    return (before.details, before.note, before.at) != (after.details, after.note, after.at)


def way(held: Held) -> list[Entry]:
    """The entries from the first to the one in force, each the change of the one before."""
    by_id = {entry.id: entry for entry in held.chain}
    path = [held.entry]
    while path[-1].id != held.first.id:
        target = by_id.get(path[-1].amends or "")
        if target is None:
            return [held.first, held.entry]
        path.append(target)
    return [entry for entry in path[::-1] if not entry.withdrawn]


def differences(kind: Kind, before: Entry, after: Entry, home: Home) -> Iterator[str]:
    """What an amendment changed, as what stood there before."""
    names = [n for n, v in before.details.items() if n not in after.details or after.details[n] != v]
    if names:
        yield say(_WAS).format(words=kind.line(_with_units(kind, before.details, names)))
    added = [n for n in after.details if n not in before.details]
    if added:
        yield say(_NOT_SAID).format(words=kind.line(_with_units(kind, after.details, added)))
    if before.at != after.at:
        yield say(_WAS).format(words=near(home, before.at.instant, after.at.instant))
    if before.note != after.note:
        yield say(_WAS).format(words=f"“{before.note}”" if before.note else say(mark("without a note")))


def _with_units(kind: Kind, details: Details, names: list[str]) -> Details:
    """Some details, with the unit beside each number that has one, and the number beside each unit."""
    wanted = set(names)
    for each in kind.fields:
        if (
            isinstance(each.type, Number)
            and each.type.unit_field
            and wanted & {each.name, each.type.unit_field}
        ):
            wanted |= {each.name, each.type.unit_field}
    return {name: value for name, value in details.items() if name in wanted}


def _rivals(held: Held) -> Iterator[str]:
    for each in held.rivals[1:]:
        kind = named_or_unknown(each.kind)
        words = each.reason if each.withdrawn else _other(kind, held.entry, each)
        if each.withdrawn:
            words = say(mark("struck out")) + (f" ({words})" if words else "")
        yield say(_RIVALS).format(by=who(each.by), words=words or "–")


def _other(kind: Kind, counts: Entry, other: Entry) -> str:
    """What the other version says that this one doesn't."""
    names = [n for n, v in other.details.items() if n not in counts.details or counts.details[n] != v]
    parts = [kind.line(_with_units(kind, other.details, names))] if names else []
    if other.note != counts.note and other.note:
        parts.append(f"“{other.note}”")
    return "; ".join(parts) or kind.line(other.details)


def withdrawn_marks(struck: Withdrawn, home: Home, signed: Signed = NOT_SIGNED) -> list[str]:
    """The mark of an entry that was struck out."""
    change = struck.withdrawal
    return [
        *_since_signed(struck, home, signed),
        say(_WITHDRAWN).format(
            time=near(home, change.recorded_at, struck.entry.at.instant),
            by=who(change.by),
            reason=change.reason,
        ),
    ]


def stray_marks() -> list[str]:
    """The mark of a change that has no effect, since its target isn't here or doesn't fit."""
    return [say(_STRAY)]


def strays(reading: Reading, entries: Iterable[Entry]) -> list[Entry]:
    """Changes that belong to no chain of the reading."""
    changes = [entry for entry in entries if entry.amends]
    if not changes:
        return []
    inside = {e.id for held in reading.held if len(held.chain) > 1 for e in held.chain}
    inside |= {e.id for struck in reading.withdrawn for e in struck.chain}
    return [entry for entry in changes if entry.id not in inside]


__all__ = ["clock", "differences", "row_marks", "stray_marks", "strays", "way", "who", "withdrawn_marks"]
