"""All that the page of a visit shows: two periods of equal length, read as the course and the sheet do."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from carelog.analysis.compare import Unlike, differences, not_compared, too_few
from carelog.analysis.in_force import Reading
from carelog.analysis.period import period
from carelog.analysis.plans import plans
from carelog.analysis.times import near
from carelog.analysis.visit import care, doings
from carelog.analysis.visit.door import DoorLine, at_the_door
from carelog.analysis.visit.figure import FigureRow, Half
from carelog.analysis.visit.flagged import done_words, flags_of
from carelog.analysis.visit.questions import AskedQuestion, asked_questions
from carelog.analysis.visit.signed import Signature, changed_since
from carelog.analysis.week import Review
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Home, Instant
from carelog.text import mark, say

SIGNED_DAYS = 7


@dataclass(frozen=True, slots=True)
class VisitDays:
    """The days that are looked at, and as many others beside them, each in a row."""

    last: date
    count: int
    last_beside: date

    @classmethod
    def to(cls, last: date, count: int = SIGNED_DAYS) -> "VisitDays":
        """So many days that end with one, beside as many before them."""
        return cls(last, count, last - timedelta(days=count))

    @property
    def here(self) -> tuple[date, ...]:
        """The days looked at."""
        return _days_to(self.last, self.count)

    @property
    def beside(self) -> tuple[date, ...]:
        """The days beside them."""
        return _days_to(self.last_beside, self.count)

    @property
    def whole(self) -> tuple[date, ...]:
        """From the first of all to the last of all."""
        first, last = min(self.here[0], self.beside[0]), max(self.last, self.last_beside)
        return _days_to(last, (last - first).days + 1)

    @property
    def signed(self) -> tuple[date, ...]:
        """The days that are signed: the last seven of those looked at."""
        return _days_to(self.last, SIGNED_DAYS)


def _days_to(last: date, count: int) -> tuple[date, ...]:
    return tuple(last - timedelta(days=number) for number in range(count - 1, -1, -1))


@dataclass(frozen=True, slots=True)
class FlagTold:
    """A flag of the days, and what was done about it, a line each."""

    flag: Flag
    done: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """What is shown of two periods at a moment."""

    home: Home
    now: Instant
    days: VisitDays
    door: tuple[DoorLine, ...]
    rows: tuple[FigureRow, ...]
    unlike: tuple[Unlike, ...]
    not_compared: str
    questions: tuple[AskedQuestion, ...]
    """Those without an answer, however old, and those that were asked or answered in the days."""
    flags: tuple[FlagTold, ...] | None
    """What is still there, then what has ended, each in the order of the levels; None: not read yet."""
    last_entry: Instant | None
    """When the newest entry of the days happened."""
    has_all_flags: bool
    """False: those of both periods are still being read."""
    signature: Signature | None
    """Of the days that would be signed."""
    since_signed: tuple[str, ...]
    """The entries that changed after it."""
    last_signature: Signature | None
    """The newest of any days."""


def visit(
    reading: Reading,
    entries: Sequence[Entry],
    days: VisitDays,
    now: Instant,
    flags: Sequence[Flag] | None = None,
    lately: Sequence[Flag] | None = None,
) -> Visit:
    """The page at a moment; `entries` are those of the reading, `flags` those of both periods.

    Until these are read (None), `lately`, in force now or ended in the last seven days, stand for those days.
    """
    ordered = plans(reading)
    here, before = (
        Half(Review(reading, entries, period(reading, wanted, now, now), ordered), flags)
        for wanted in (days.here, days.beside)
    )
    asked, signed, today = asked_questions(reading), here.review.signed, reading.home.day(now)
    signature = signed.of(days.signed)
    newest = max(signed.all, key=lambda each: each.signed_at, default=None)
    return Visit(
        home=reading.home,
        now=now,
        days=days,
        door=at_the_door(here, asked, now),
        rows=tuple(_rows(here, before)),
        unlike=tuple(sorted(differences(here.review, here.past), key=lambda each: -each.size)),
        not_compared=" ".join(each for each in (too_few(here.past), not_compared(here.review)) if each),
        questions=tuple(each for each in asked if each.is_open or _is_of(here.review, each)),
        flags=_told(here.review, lately if flags is None and days == VisitDays.to(today) else flags),
        last_entry=max((row.time for row in here.review.held), default=None),
        has_all_flags=flags is not None,
        signature=signature,
        since_signed=_changed(reading, signature, here.review),
        last_signature=newest,
    )


def _rows(here: Half, before: Half) -> Iterator[FigureRow]:
    groups: tuple[tuple[str, Iterable[FigureRow]], ...] = (
        (
            say(mark("Suction and secretions")),
            (care.suctions(here, before), *(care.part(each, here, before) for each in care.PARTS)),
        ),
        (
            say(mark("Cuff, stoma, readings")),
            (
                care.cuff(here, before),
                care.cuff_hours(here, before),
                care.stoma(here, before),
                *care.readings(here, before),
            ),
        ),
        (say(mark("Asked for")), doings.tasks(here, before)),
        (say(mark("What happened")), doings.happened(here, before)),
    )
    for group, rows in groups:
        yield from (replace(each, group=group) for each in rows)


def _is_of(review: Review, asked: AskedQuestion) -> bool:
    return any(review.period.holds(each.time) for each in (asked.held, *asked.answers))


def _told(review: Review, flags: Sequence[Flag] | None) -> tuple[FlagTold, ...] | None:
    """Those of the days, each with what was done about it."""
    if flags is None:
        return None
    span = review.period

    def when(time: Instant) -> str:
        return near(span.home, time, span.judged)

    return tuple(
        FlagTold(flag, tuple(done_words(flag, review.reading.get, when))) for flag in flags_of(review, flags)
    )


def _changed(reading: Reading, signature: Signature | None, review: Review) -> tuple[str, ...]:
    """The entries of the signed days that were written or changed since."""
    if signature is None:
        return ()
    shown = changed_since(review.signed, reading.shown)
    return tuple(name for name, after in shown.items() if after.signature == signature)
