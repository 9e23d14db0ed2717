"""A made-up household's entries, written line by line; times are `day hour:minute` of November 2026, UTC."""

from dataclasses import dataclass, field
from datetime import time
from typing import Any

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant, Moment
from carelog.domain.number import settle
from carelog.domain.plan import Span, clock

TUBE: dict[str, Any] = {"id_mm": 8, "cuff": "air", "inner_tube": "none"}


def at(text: str) -> Instant:
    """The instant of a time such as `3 08:10`."""
    day, hours = text.split()
    return Moment.read(f"2026-11-{int(day):02}T{hours}:00Z").instant


def span(start: str, end: str) -> Span:
    """Quiet hours."""
    return clock(start), clock(end)


def local(home: Home, text: str) -> Instant:
    """The instant of a local time such as `2026-10-25 01:30`."""
    day, hours = text.split()
    moment = Moment.read(f"{day}T12:00:00Z").instant
    return home.at(home.day(moment), time.fromisoformat(hours))


@dataclass
class Notebook:
    """Entries as they are written; each is known when it happened, unless `known` says otherwise."""

    entries: list[Entry] = field(default_factory=list)

    def write(self, when: str, kind: str, known: str | None = None, by: str = "AB", **details: Any) -> Entry:
        """Add an entry."""
        return self._add(
            kind=kind,
            at=Moment(at(when)),
            recorded_at=at(known or when),
            by=by,
            details={name: settle(v) if isinstance(v, float) else v for name, v in details.items()},
        )

    def plan(self, when: str, *tasks: dict[str, Any], **more: Any) -> Entry:
        """Add a plan with these tasks."""
        return self.write(when, "plan", set_by="a nurse", tasks=list(tasks), **more)

    def amend(self, target: Entry, known: str, when: str | None = None, **details: Any) -> Entry:
        """Amend an entry."""
        moment = Moment(at(when)) if when else target.at
        return self._add(
            kind=target.kind,
            at=moment,
            recorded_at=at(known),
            by=target.by,
            details=details,
            amends=target.id,
            reason="a slip",
        )

    def withdraw(self, target: Entry, known: str) -> Entry:
        """Strike an entry out."""
        return self._add(
            kind=target.kind,
            at=target.at,
            recorded_at=at(known),
            amends=target.id,
            reason="a slip",
            withdrawn=True,
        )

    def _add(self, **fields: Any) -> Entry:
        entry = Entry(id=f"00000000-0000-4000-8000-{len(self.entries):012}", **fields)
        self.entries.append(entry)
        return entry

    def read(self, known_by: str | None = None, live_now: str | None = None) -> Reading:
        """The reading of all, or of what was known by a moment, or a live one."""
        return Reading(
            self.entries,
            None if known_by is None else at(known_by),
            None if live_now is None else at(live_now),
        )
