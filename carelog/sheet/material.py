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
from carelog.analysis.week import Review
from carelog.domain.entry import Details, Entry, content_hash, paper_mark
from carelog.domain.paper import SheetRequest
from carelog.domain.plan import Plan
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
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
    days: Sequence[date],
) -> Material:
    """All for a sheet of these days; `name` is the record's own name for the person."""
    span = span_of(request, reading, entries, days)
    review = Review(reading, entries, span, plans(reading))
    about = person(reading).details
    tube = tube_in_place(reading, span.judged)
    heading = [*reading.of(PERSON.name), *reading.of(CONTACT.name)]
    heading += [held for held in reading.of(PLAN.name) if _is_used(review, held)]
    heading += [tube] if tube else []
    return Material(
        request,
        review,
        str(about.get("name") or name or say(_NO_NAME)),
        about,
        flagged,
        tube,
        tuple(heading),
        tuple(sorted(recorders(reading), key=lambda held: str(held.entry.details["initials"]))),
        tuple(contacts(reading)),
    )


def span_of(
    request: SheetRequest, reading: Reading, entries: Sequence[Entry], days: Sequence[date]
) -> Period:
    """The days of a sheet: what is past of them by the moment asked for, else by the clock."""
    past = request.now if request.at is None else request.at
    return period(reading, days, known_by(entries, request.at), past)


def _is_used(review: Review, held: Held) -> bool:
    used = {plan.entry for plan in in_period(review)}
    return held.entry.id in used


def in_period(review: Review) -> list[Plan]:
    """The plans that were in force at some moment of the period, oldest first."""
    span = review.period
    found = [plan for plan in review.plans if span.start < plan.since < span.judged]
    first = review.plan_at(span.start)
    return [*([first] if first else []), *found]


def print_mark(found: Material, entries: Sequence[Entry]) -> str:
    """The mark of a sheet: over the period's entries with their whole chains, and those the heading shows."""
    span, at = found.period, found.request.at
    since = known_from({entry.id: entry for entry in entries})
    by_id = {entry.id: entry for entry in entries if at is None or since[entry.id] <= at}
    wanted = {entry.id for entry in by_id.values() if span.start <= entry.at.instant < span.end}
    wanted |= {each.id for held in found.heading for each in held.chain}
    wanted = _with_chains(wanted, by_id)
    return paper_mark(content_hash(by_id[each]) for each in wanted if each in by_id)


def _with_chains(wanted: set[str], by_id: dict[str, Entry]) -> set[str]:
    children: dict[str, list[str]] = {}
    for entry in by_id.values():
        if entry.amends:
            children.setdefault(entry.amends, []).append(entry.id)
    todo, found = list(wanted), set(wanted)
    while todo:
        each = todo.pop()
        target = by_id[each].amends if each in by_id else None
        for other in (*children.get(each, ()), *([target] if target else ())):
            if other in by_id and other not in found:
                found.add(other)
                todo.append(other)
    return found


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
