"""The person, the contacts and who records, as the record says them."""

from calendar import isleap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time

from carelog.analysis.in_force import Held, Reading
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Plan, Span
from carelog.text import mark, say

ADULT = 18
NIGHT: Span = (time(22), time(7))
"""The night for the contact shown, where the plan has no quiet hours (our own choice)."""
_NO_NUMBER = mark("your country's emergency number")
_NO_CONTACT = mark("no contact recorded")


@dataclass(frozen=True, slots=True)
class Person:
    """The person, field by field the newest entry in force that gives it; None is not recorded."""

    details: Details

    def __getitem__(self, name: str) -> str | None:
        found: str | None = self.details.get(name)
        return found

    @property
    def name(self) -> str | None:
        """The name."""
        return self["name"]

    @property
    def invented(self) -> bool:
        """Whether the household is a made-up one."""
        return self.details.get("invented") is True

    @property
    def born(self) -> date | None:
        """The day of birth."""
        return date.fromisoformat(self.details["born"]) if "born" in self.details else None

    def is_adult(self, day: date) -> bool | None:
        """Whether the person is 18 or older on a day; None without a birth date."""
        return None if self.born is None else day >= comes_of_age(self.born)


def comes_of_age(born: date) -> date:
    """The day from which somebody is 18; who was born on a 29 February from 1 March on."""
    year = born.year + ADULT
    is_leap_day = (born.month, born.day) == (2, 29)
    return date(year, 3, 1) if is_leap_day and not isleap(year) else born.replace(year=year)


def person(reading: Reading) -> Person:
    """The person as far as recorded."""
    details: dict[str, object] = {}
    for held in reading.of("person"):
        details |= held.entry.details
    return Person(details)


def contacts(reading: Reading) -> Sequence[Held]:
    """All contacts in force."""
    return reading.of("contact")


def recorders(reading: Reading) -> list[Held]:
    """The newest of each set of initials; where two names share initials, the newest of each name."""
    found: dict[tuple[str, str], Held] = {}
    for held in reading.of("recorder"):
        details = held.entry.details
        found[details["initials"], details.get("name", "")] = held
    return list(found.values())


def is_nurse(found: Iterable[Held], initials: str) -> bool:
    """Whether the recorder of these initials is a nurse."""
    return any(
        held.entry.details["initials"] == initials and held.entry.details.get("role") == "nurse"
        for held in found
    )


def is_within(span: Span, clock: time) -> bool:
    """Whether a local time lies in a span: start ≤ time < end, over midnight if the start is the later."""
    start, end = span
    return start <= clock < end if start <= end else clock >= start or clock < end


def is_night(home: Home, now: Instant, plan: Plan | None) -> bool:
    """Whether it is night at home: the plan's quiet hours, else 22:00 to 07:00."""
    span = plan.quiet if plan is not None and plan.quiet is not None else NIGHT
    return is_within(span, home.local(now).time())


def contact_for(level: Level, reading: Reading, plan: Plan | None, now: Instant) -> Held | None:
    """The contact shown beside a flag of this level at a moment; None when none is recorded."""
    newest = {held.entry.details.get("for"): held for held in contacts(reading)}
    if level is Level.URGENT:
        return newest.get("emergency")
    if is_night(reading.home, now, plan) and "night" in newest:
        return newest["night"]
    return newest.get("team")


def contact_words(level: Level, found: Held | None) -> str:
    """Whom to call, and when they are there, in words; without a contact the country's emergency number.

    Of a lower level than urgent, that no contact is recorded.
    """
    if found is None:
        return say(_NO_NUMBER) if level is Level.URGENT else say(_NO_CONTACT)
    details = found.entry.details
    name = details.get("name") or details["role"]
    hours = f" ({details['when']})" if details.get("when") and level is not Level.URGENT else ""
    return f"{name}, {details['phone'].replace(' ', chr(0xA0))}{hours}"
