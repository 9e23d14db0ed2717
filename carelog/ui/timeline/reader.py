"""Reads the timeline piece by piece backwards, so that years cost no more than a week."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from carelog.analysis import cuff
from carelog.analysis.in_force import Reading
from carelog.analysis.outside import BEARING, Judging
from carelog.analysis.seeking import sought
from carelog.analysis.standout import DayGlance, glances
from carelog.app.visit.signed import signed_in
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.plan import Span
from carelog.ui.timeline.facts import EntryFacts, beside
from carelog.ui.timeline.referred import referred
from carelog.ui.timeline.rows import TimelineRow, Wanted, rows_of

if TYPE_CHECKING:
    from carelog.app.ports import Record

FIRST_SPAN = 7 * DAY_24_H
CUFF_BEFORE = 5  # entries a kind: a pressure may say nothing of the cuff's being up
AT_ONCE = 400  # entries that are looked at in one go for words
ENOUGH = 60  # rows a piece at least, if there are so many
_BEGINNING = -62_135_596_800_000_000  # the year 1
_END = 253_402_300_799_000_000  # the year 9999


@dataclass
class Place:
    """How far back the timeline was read."""

    before: Instant = _END
    span: Instant = FIRST_SPAN
    seen: set[str] = field(default_factory=set)
    found: list[str] | None = None
    """Of what is looked for the ids that are left, newest first; None: not looked for yet."""

    @property
    def is_done(self) -> bool:
        """Whether everything was read."""
        return self.found == [] or self.before <= _BEGINNING


def read_piece(
    record: "Record", place: Place, now: Instant, wanted: Wanted, home: Home, quiet: Span | None
) -> list[TimelineRow]:
    """The next rows, newest first; moves the place on. Pieces without enough rows grow."""
    rows: list[TimelineRow] = []
    while wanted != Wanted() and not place.is_done and len(rows) < ENOUGH:
        rows += read_found(record, place, wanted, home, quiet)
    while wanted == Wanted() and not place.is_done and len(rows) < ENOUGH:
        end = place.before
        start = max(min(end, now) - place.span, _BEGINNING)
        found = _within(record, place, start, end, home, quiet)
        place.before = start
        if len(found) < ENOUGH:
            place.span = min(place.span * 4, _END)
        elif len(found) > 8 * ENOUGH:
            place.span = max(place.span // 4, DAY_24_H)
        rows += found
    return rows


def read_found(
    record: "Record", place: Place, wanted: Wanted, home: Home, quiet: Span | None
) -> list[TimelineRow]:
    """The next rows, newest first, of what the filters let through; moves the place on."""
    if place.found is None:
        place.found = record.holding(sought(wanted.words), sorted(wanted.kinds))
    ids, place.found = place.found[:AT_ONCE], place.found[AT_ONCE:]
    entries = record.chain(ids)
    start = min((entry.at.instant for entry in entries), default=0)
    end = max((entry.at.instant for entry in entries), default=0)
    kinds = cuff.SAYS if any(entry.kind in cuff.SAYS for entry in entries) else ()
    near = [entry for kind in kinds for entry in record.saying(kind, "", since=start, before=end)]
    known = {entry.id: entry for entry in (*entries, *near)}
    judging, found = _judging(record, list(known.values()), start), []
    for row in rows_of(
        Reading(entries), home, quiet, judging, signed_in(record, home), referred(record, entries, home)
    ):
        if row.root not in place.seen and row.time < place.before and wanted.takes(row):
            found.append(row)
        place.seen.add(row.root)
    return sorted(found, key=TimelineRow.key)


def _within(
    record: "Record", place: Place, start: Instant, end: Instant, home: Home, quiet: Span | None
) -> list[TimelineRow]:
    entries = record.period(start, end)
    reading = Reading(entries)
    judging = _judging(record, entries, start)
    doubtful = {held.first.id for held in reading.held if held.doubtful}
    found = []
    for row in rows_of(
        reading, home, quiet, judging, signed_in(record, home), referred(record, entries, home)
    ):
        is_here = start <= row.time < end or row.root in doubtful
        if is_here and row.root not in place.seen:
            place.seen.add(row.root)
            found.append(row)
    return sorted(found, key=TimelineRow.key)


def rows_again(record: "Record", ids: Sequence[str], home: Home, quiet: Span | None) -> list[TimelineRow]:
    """The rows, as they stand now, of the chains that some entries belong to."""
    entries = record.chain(ids)
    start = min((entry.at.instant for entry in entries), default=0)
    judging = _judging(record, entries, start)
    return list(
        rows_of(
            Reading(entries), home, quiet, judging, signed_in(record, home), referred(record, entries, home)
        )
    )


def one_entry(record: "Record", entry_id: str, home: Home) -> EntryFacts:
    """The whole chain of changes that an entry belongs to, and what its page tells beside it."""
    chain = record.chain([entry_id])
    start = min((entry.at.instant for entry in chain), default=0)
    judging, held = _judging(record, chain, start), Reading(chain).get(root_of(chain, entry_id))
    found = EntryFacts(chain, judging, signed_in(record, home), spoken_of=referred(record, chain, home))
    if held is None:
        return found
    names, due, kin = beside(record, held, home)
    return replace(found, names=names, due=due, kin=kin)


def root_of(chain: Sequence[Entry], entry_id: str) -> str:
    """The first entry of the chain that an id belongs to."""
    by_id, root, seen = {entry.id: entry for entry in chain}, entry_id, set[str]()
    while root in by_id and by_id[root].amends in by_id and root not in seen:
        seen.add(root)
        root = str(by_id[root].amends)
    return root


def one_week(record: "Record", days: Sequence[date], home: Home, flags: Sequence[Flag]) -> list[DayGlance]:
    """The days of a week at a glance."""
    start, end = home.start_of(days[0]), home.end_of(days[-1])
    entries = record.period(start, end)
    return glances(Reading(entries), _judging(record, entries, start), flags, home, days)


def _judging(record: "Record", entries: Sequence[Entry], start: Instant) -> Judging:
    """The limits of the entries from a moment on: the plans, and how the cuff stood before."""
    before = [entry for kind in cuff.SAYS for entry in record.newest(kind, CUFF_BEFORE, start)]
    return Judging(Reading([*entries, *record.of_kinds(BEARING), *before]))
