"""All that the sheets of a period are made from, read once."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.in_force import Held, Reading, known_from
from carelog.analysis.marks import who
from carelog.analysis.people import contacts, person, recorders
from carelog.analysis.period import Period, known_by, period
from carelog.analysis.plans import plans
from carelog.analysis.tube import tube_in_place
from carelog.analysis.visit.code import code_over, heading_of, plans_of
from carelog.analysis.week import Review
from carelog.domain.entry import Details, Entry
from carelog.domain.paper import SheetRequest, Usual
from carelog.domain.plan import Plan
from carelog.kinds.recorder import RECORDER
from carelog.sheet.shown import Flagged
from carelog.text import mark, say

_NO_NAME = mark("no name recorded")


@dataclass(frozen=True, slots=True)
class Material:
    """The review of a period, the person, and the entries that the heading shows."""

    request: SheetRequest
    review: Review
    name: str
    person: Details
    flagged: Flagged
    tube: Held | None
    heading: tuple[Held, ...]
    recorders: tuple[Held, ...]
    contacts: tuple[Held, ...]

    @property
    def period(self) -> Period:
        """The days looked at."""
        return self.review.period

    @property
    def reading(self) -> Reading:
        """The entries in force."""
        return self.review.reading

    @property
    def is_invented(self) -> bool:
        """Whether the household is a made-up one, which every page says."""
        return self.person.get("invented") is True


def material(
    request: SheetRequest,
    reading: Reading,
    entries: Sequence[Entry],
    name: str,
    flagged: Flagged,
    span: Period,
    usual: Usual | None = None,
) -> Material:
    """All for a sheet of these days; `name` is the record's own name for the person."""
    review = Review(reading, entries, span, plans(reading), usual)
    about = person(reading).details
    tube = tube_in_place(reading, span.judged)
    heading = heading_of(reading, review.plans, span)
    return Material(
        request,
        review,
        str(about.get("name") or name or say(_NO_NAME)),
        about,
        flagged,
        tube,
        heading,
        tuple(sorted(recorders(reading), key=lambda held: str(held.entry.details["initials"]))),
        tuple(contacts(reading)),
    )


def span_of(
    request: SheetRequest, reading: Reading, entries: Sequence[Entry], days: Sequence[date]
) -> Period:
    """The days of a sheet: what is past of them by the moment asked for, else by the clock."""
    past = request.now if request.at is None else request.at
    return period(reading, days, known_by(entries, request.at), past)


def in_period(review: Review) -> list[Plan]:
    """The plans that were in force at some moment of the period, oldest first."""
    return plans_of(review.plans, review.period)


def print_mark(found: Material, entries: Sequence[Entry]) -> str:
    """The mark of a sheet: over the period's entries with their whole chains, and those the heading shows."""
    at, by_id = found.request.at, {entry.id: entry for entry in entries}
    if at is not None:
        since = known_from(by_id)
        by_id = {id_: entry for id_, entry in by_id.items() if since[id_] <= at}
    return code_over(found.period, found.heading, by_id)


def initials(found: Material) -> str:
    """The initials with their names and roles, for the sheet's end."""
    names = []
    for held in found.recorders:
        details = held.entry.details
        role = _role(details)
        names.append(f"{details['initials']} {details.get('name', '')}{f' ({role})' if role else ''}".strip())
    known = {held.entry.details["initials"] for held in found.recorders}
    others = {row.first.by for row in found.review.rows if row.first.by} - known
    names += [
        say(mark("{initials} (not recorded who)")).format(initials=who(each)) for each in sorted(others)
    ]
    return ", ".join(names)


def _role(details: Details) -> str:
    field = RECORDER.field("role")
    return field.type.words(details["role"]) if field and "role" in details else ""
