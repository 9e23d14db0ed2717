"""The rows of the timeline, made from a reading: entries, and the heading of each day and night."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from carelog.analysis.in_force import Held, Reading, Withdrawn
from carelog.analysis.marks import row_marks, withdrawn_marks
from carelog.analysis.outside import Judging, mark_words
from carelog.analysis.times import there
from carelog.analysis.visit.signed import Signed
from carelog.domain.entry import Details
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Span
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui import times
from carelog.ui.naming import line_words
from carelog.ui.timeline.referred import with_words

_WORD = re.compile(r"\w+")


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """One row; a heading has no root."""

    time: Instant
    root: str = ""
    kind: str = ""
    clock: str = ""
    title: str = ""
    line: str = ""
    who: str = ""
    marks: str = ""
    group: tuple[date, bool] = (date.min, False)
    is_struck: bool = False

    @property
    def is_heading(self) -> bool:
        """Whether it is the heading of a day or a night."""
        return not self.root

    def key(self) -> tuple[Instant, str]:
        """Its place, newest first."""
        return -self.time, self.root


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the filters let through; empty: everything."""

    kinds: frozenset[str] = frozenset()
    words: str = ""
    initials: frozenset[str] = frozenset()
    """Those of the words that stand for somebody who records, and not for letters within other words."""

    def takes(self, row: TimelineRow) -> bool:
        """Whether the filters let a row through."""
        if self.kinds and row.kind not in self.kinds:
            return False
        text, people = f"{row.title} {row.line} {row.who} {row.marks}".casefold(), _WORD.findall(row.who)
        return all(
            word in people if word in self.initials else word.casefold() in text
            for word in self.words.split()
        )


def rows_of(
    reading: Reading,
    home: Home,
    quiet: Span | None,
    judging: Judging,
    signed: Signed,
    spoken_of: Mapping[str, str],
) -> Iterable[TimelineRow]:
    """A row for each chain of changes, in force or struck out.

    `judging` knows the limits of each moment; `spoken_of` are the words of entries that others name by id.
    """
    for held in reading.held:
        yield held_row(held, home, quiet, judging, signed, spoken_of)
    for withdrawn in reading.withdrawn:
        yield withdrawn_row(withdrawn, home, quiet, signed, spoken_of)


def held_row(
    held: Held,
    home: Home,
    quiet: Span | None,
    judging: Judging,
    signed: Signed,
    spoken_of: Mapping[str, str],
) -> TimelineRow:
    """The row of an entry in force: the first entry's name, the changer's beside the mark."""
    entry, kind = held.entry, named_or_unknown(held.entry.kind)
    outside = mark_words(kind, entry.details, judging.outside(held))
    marks = row_marks(held, home, signed=signed)
    first = int(signed.after(held.chain) is not None)  # that mark is never cut
    return TimelineRow(
        time=held.time,
        root=held.first.id,
        kind=entry.kind,
        clock=there(home, entry),
        title=say(kind.title),
        line=_line(
            entry.kind, with_words(entry.kind, entry.details, spoken_of), entry.note, judging.revision(held)
        ),
        who=held.first.by or say("no name"),
        marks="; ".join([*marks[:first], *outside, *marks[first:]]),
        group=group(home, held.time, quiet),
    )


def withdrawn_row(
    withdrawn: Withdrawn, home: Home, quiet: Span | None, signed: Signed, spoken_of: Mapping[str, str]
) -> TimelineRow:
    """The row of an entry that is struck out; it stays readable."""
    entry = withdrawn.entry
    return TimelineRow(
        time=withdrawn.time,
        root=withdrawn.first.id,
        kind=entry.kind,
        clock=there(home, entry),
        title=say(named_or_unknown(entry.kind).title),
        line=_line(entry.kind, with_words(entry.kind, entry.details, spoken_of), entry.note),
        who=withdrawn.first.by or say("no name"),
        marks="; ".join(withdrawn_marks(withdrawn, home, signed)),
        group=group(home, withdrawn.time, quiet),
        is_struck=True,
    )


def _line(kind: str, details: Details, note: str, told: str | None = None) -> str:
    line = told or line_words(kind, details)
    return " · ".join(part for part in (line, note.strip()) if part)


def group(home: Home, instant: Instant, quiet: Span | None) -> tuple[date, bool]:
    """The day, or the night by the date of its morning, that an instant belongs to."""
    local = home.local(instant)
    day, clock = local.date(), local.time().replace(tzinfo=None)
    if quiet is None or quiet[0] == quiet[1]:
        return day, False
    start, end = quiet
    if start > end and clock >= start:
        return day + timedelta(days=1), True
    return day, clock < end and (start > end or clock >= start)


def heading(of: tuple[date, bool], time: Instant) -> TimelineRow:
    """The heading above the rows of one day or night."""
    day, is_night = of
    words = say("Night to {day}").format(day=times.full_day(day)) if is_night else times.full_day(day)
    return TimelineRow(time=time, title=words, group=of)
