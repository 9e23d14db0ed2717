"""What happened since somebody wrote last: a dozen lines for whoever takes over, told and never judged.

What nobody wrote down isn't here; that nothing stands under a heading says nothing about the person.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from carelog.analysis.absence import absence_words, absences
from carelog.analysis.between import between
from carelog.analysis.course.rows import Counts
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.marks import who
from carelog.analysis.plans import plans
from carelog.analysis.revision import revision_of
from carelog.analysis.times import near
from carelog.analysis.visit.questions import asked_questions, open_questions
from carelog.domain.due import Due, DueState
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, Home, Instant
from carelog.domain.units import plain
from carelog.kinds import named_or_unknown, task_title
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.contact import CONTACT
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.decannulation import DECANNULATION
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.ill import ILL
from carelog.kinds.incident import INCIDENT
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.note import NOTE
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.kinds.seen import SEEN
from carelog.kinds.stoma import STOMA
from carelog.kinds.suction import SUCTION
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.visit import VISIT
from carelog.text import mark, say, say_n

LONG_ENOUGH = 8 * HOUR
"""After so long without an entry of one's own it is offered (our own choice: a night)."""
MOST_LINES = 3  # under one heading; of more the newest, or the worst, and how many more there are
LONGEST = 160  # characters of one line
CHANGES = (PLAN, TUBE_CHANGE, DECANNULATION, PERSON, RECORDER, CONTACT, BOX_CHECK, EQUIPMENT_CHECK)
HAPPENED = (INCIDENT, VISIT, ILL)
LAST = (SUCTION, INNER_TUBE, CUFF_PRESSURE, STOMA)

_DIFFERENT = mark("Different")
_CHANGED = mark("Changed")
_HAPPENED = mark("Happened")
_OPEN = mark("Open now")
_LAST = mark("Last of each")
_NOTES = mark("Written for you")
_TOLD = mark("{words} Told: {who}, {time}.")
_COUNTS = mark("Suctions a day: {counts}; usually {range}")
_COUNTS_ALONE = mark("Suctions a day: {counts}")
_SO_FAR = mark("{count} so far")
_LATE = mark("{task}: overdue since {time}")
_DUE = mark("{task}: due {time}")
_ASKED = mark("Not answered: {text}")
_ENTRY = mark("{time} {who}, {title}: {words}")
_BARE = mark("{time} {who}, {title}")
_OF_KIND = mark("{title} {time} {who}: {words}")
_NOTE = mark("“{text}” {who}, {time}")
_FLAGGED = {
    Level.URGENT: mark("Emergency plan now: {words}"),
    Level.CALL: mark("Speak to the team today: {words}"),
    Level.NOTE: mark("Look at this: {words}"),
}
_ENDED = mark("{words} Ended {time}.")


@dataclass(frozen=True, slots=True)
class SincePart:
    """A heading and its lines; `more` says how many others there are."""

    name: str
    title: str
    lines: tuple[str, ...]
    more: int = 0

    @property
    def more_words(self) -> str:
        """How many lines aren't told; empty: none."""
        return (
            say_n("and one more", "and {count} more", self.more).format(count=self.more) if self.more else ""
        )


@dataclass(frozen=True, slots=True)
class Since:
    """All that is told to somebody, from a moment on; `last`: their last entry (None: they have none)."""

    by: str
    home: Home
    last: Instant | None
    start: Instant
    now: Instant
    count: int
    writers: tuple[str, ...]
    parts: tuple[SincePart, ...]


@dataclass(frozen=True, slots=True)
class Stands:
    """What stands now, as others worked it out: the flags (None: not read yet), the dues, what was last."""

    flags: Sequence[Flag] | None
    dues: Sequence[Due]
    latest: dict[str, Held]


def since(
    reading: Reading,
    by: str,
    last: Instant | None,
    start: Instant,
    now: Instant,
    stands: Stands,
    suctions: Counts | None,
) -> Since:
    """What is told to `by` from `start` on; `reading` holds at least what was written from then on.

    `suctions` are the days since, against the usual; None where none were read.
    """
    written = [held for held in reading.held if start < held.first.recorded_at and held.first.by != by]
    writers = dict.fromkeys(who(held.first.by) for held in reversed(written))
    found = (
        _part("notes", _NOTES, list(_notes(reading, written, now))),
        _part("different", _DIFFERENT, [*_counts(suctions), *_flags(reading, stands.flags, start, now)]),
        _part("changed", _CHANGED, list(_changed(reading, written, now))),
        _part("happened", _HAPPENED, list(_happened(reading, written, start, now))),
        _part("open", _OPEN, list(_open(reading, stands.dues, now))),
        _part("last", _LAST, list(_lasts(reading, stands.latest, now)), len(LAST)),
    )
    return Since(
        by,
        reading.home,
        last,
        start,
        now,
        len(written),
        tuple(writers),
        tuple(each for each in found if each.lines),
    )


def _part(name: str, title: str, lines: Sequence[str], most: int = MOST_LINES) -> SincePart:
    return SincePart(name, say(title), tuple(map(_short, lines[:most])), max(len(lines) - most, 0))


def _short(words: str) -> str:
    return words if len(words) <= LONGEST else f"{words[: LONGEST - 1].rsplit(' ', 1)[0]} …"


def _counts(suctions: Counts | None) -> Iterator[str]:
    cells = [cell for cell in suctions.cells if cell is not None] if suctions else []
    if suctions is None or not cells:
        return
    numbers = ((plain(cell.middle), cell.is_over) for cell in cells)
    counts = ", ".join(
        number if is_over else say(_SO_FAR).format(count=number) for number, is_over in numbers
    )
    usual = next((each for each in reversed(suctions.usual) if each), None)
    words = say(_COUNTS if usual else _COUNTS_ALONE)
    yield words.format(counts=counts, range=between(*usual)) if usual else words.format(counts=counts)


def _flags(reading: Reading, flags: Sequence[Flag] | None, start: Instant, now: Instant) -> Iterator[str]:
    """What is flagged now, the worst first, of a level what is new, then what has ended since."""

    def place(flag: Flag) -> tuple[bool, int, bool, tuple[int, int, bool]]:
        return flag.cleared_at is not None, -flag.level, flag.raised_at <= start, flag.place

    told = {held.entry.id: held for held in reading.of(SEEN.name) if held.entry.details.get("told")}
    for flag in sorted(flags or (), key=place):
        words = say(_FLAGGED[flag.level]).format(words=flag.headline)
        if flag.cleared_at is not None:
            if flag.cleared_at <= start:
                continue
            words = say(_ENDED).format(words=words, time=near(reading.home, flag.cleared_at, now))
        newest = next((told[each] for each in reversed(flag.seen) if each in told), None)
        if newest is not None:
            time = near(reading.home, newest.time, now)
            words = say(_TOLD).format(words=words, who=newest.entry.details["told"], time=time)
        yield words


def _changed(reading: Reading, written: Sequence[Held], now: Instant) -> Iterator[str]:
    """Plan, tube, people, box: the newest first; of a plan what it changed, of a check what it found."""
    ordered, names = plans(reading), {kind.name for kind in CHANGES}
    newest_checks: set[str] = set()
    for held in reversed(written):
        kind = held.entry.kind
        if kind not in names:
            continue
        if kind in (BOX_CHECK.name, EQUIPMENT_CHECK.name):
            subject = f"{kind} {held.entry.details.get('device', '')} {held.entry.details.get('name', '')}"
            if subject in newest_checks or not _found_something(held):
                continue
            newest_checks.add(subject)
        words = revision_of(ordered, held.entry.id) if kind == PLAN.name else None
        yield _line(reading.home, held, now, words)


def _found_something(held: Held) -> bool:
    """Whether a check says more than that all was there and works."""
    details = held.entry.details
    return bool(details.get("missing") or details.get("opened") or details.get("works") is False)


def _happened(reading: Reading, written: Sequence[Held], start: Instant, now: Instant) -> Iterator[str]:
    names = {kind.name for kind in HAPPENED}
    for held in reversed(written):
        if held.entry.kind in names:
            yield _line(reading.home, held, now)
    for each in absences(reading):
        if each.touches(start, now):
            yield absence_words(reading.home, each)


def _open(reading: Reading, dues: Collection[Due], now: Instant) -> Iterator[str]:
    """What is late, due or next, and questions without an answer."""
    home, near_dues = reading.home, [due for due in dues if due.state is not DueState.LATER]
    rank = {DueState.LATE: 0, DueState.DUE: 1, DueState.SOON: 2}
    for due in sorted(near_dues, key=lambda due: (rank[due.state], due.due_at)):
        is_late = due.state is DueState.LATE
        time = near(home, due.late_at if is_late else due.due_at, now)
        yield say(_LATE if is_late else _DUE).format(task=task_title(due.kind, due.where), time=time)
    for asked in reversed(open_questions(asked_questions(reading))):
        yield say(_ASKED).format(text=asked.text)


def _lasts(reading: Reading, latest: dict[str, Held], now: Instant) -> Iterator[str]:
    for kind in LAST:
        held = latest.get(kind.name)
        if held is not None:
            words = kind.line(held.entry.details)
            yield (
                say(_OF_KIND).format(
                    title=say(kind.title),
                    words=words,
                    time=near(reading.home, held.time, now),
                    who=who(held.first.by),
                )
            )


def _notes(reading: Reading, written: Sequence[Held], now: Instant) -> Iterator[str]:
    """What was left for the next, the newest first."""
    for held in reversed(written):
        if held.entry.kind == NOTE.name and held.entry.details.get("for_next") and held.entry.note.strip():
            time = near(reading.home, held.time, now)
            yield say(_NOTE).format(text=held.entry.note.strip(), who=who(held.first.by), time=time)


def _line(home: Home, held: Held, now: Instant, words: str | None = None) -> str:
    kind = named_or_unknown(held.entry.kind)
    line = kind.line(held.entry.details) if words is None else words
    note = held.entry.note.strip()
    whole = "; ".join(each for each in (line, note) if each)
    given = {"time": near(home, held.time, now), "who": who(held.first.by), "title": say(kind.title)}
    return say(_ENTRY).format(words=whole, **given) if whole else say(_BARE).format(**given)
