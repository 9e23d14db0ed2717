"""A small made-up household for the window's tests: a record in memory, a clock that stands still."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from carelog.app.ports import FAR, PersonHeading
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Home, Instant, Moment
from carelog.domain.record import Saying, Sought
from carelog.domain.trouble import Trouble

NOW = Moment.read("2026-11-26T03:12:00+00:00").instant
ZONE = "Europe/London"


@dataclass
class StandingClock:
    """A clock that a test moves."""

    instant: Instant = NOW
    name: str = ZONE

    def now(self) -> Instant:
        return self.instant

    def zone(self) -> str:
        return self.name


class Numbered:
    """Ids in the order of asking."""

    def __init__(self) -> None:
        self._numbers = count(1)

    def __call__(self, _now: Instant) -> str:
        return f"00000000-0000-7000-8000-{next(self._numbers):012x}"


@dataclass
class Memory:
    """A record in memory that keeps the order and the rules that the window relies on."""

    path: Path = Path("memory.carelog")
    entries: list[Entry] = field(default_factory=list)
    trouble: str = ""
    is_closed: bool = False

    def person(self) -> PersonHeading:
        return PersonHeading("10000000-0000-7000-8000-000000000000", "Made-up Person")

    def everything(self, _step: Callable[[], None] = lambda: None) -> list[Entry]:
        return sorted(self.entries, key=lambda e: (e.recorded_at, e.id))

    def period(self, start: Instant, end: Instant) -> list[Entry]:
        return self.chain([e.id for e in self.entries if start <= e.at.instant < end])

    def newest(self, kind: str, count: int, before: Instant = FAR) -> list[Entry]:
        found = [e for e in self.entries if e.kind == kind and e.at.instant < before]
        return self.chain([e.id for e in sorted(found, key=lambda e: -e.at.instant)[:count]])

    def saying(
        self,
        kind: str,
        field: str,
        values: Sequence[Any] | None = None,
        count: int = FAR,
        since: Instant = -FAR,
        before: Instant = FAR,
        each: Sequence[str] = (),
    ) -> list[Entry]:
        of_kind = [e for e in self.entries if e.kind == kind and e.at.instant < before]
        late = [e for e in of_kind if e.at.instant >= since or e.recorded_at >= since]
        said = [e for e in late if not field or field in e.details]
        found = [e for e in said if values is None or e.details[field] in values]
        things: dict[str, list[str]] = {}
        for entry in sorted(found, key=lambda e: -e.at.instant):
            things.setdefault(str([entry.details.get(name) for name in each]), []).append(entry.id)
        return self.chain([each for ids in things.values() for each in ids[:count]])

    def sayings(self, sought: Sequence[Saying]) -> list[list[Entry]]:
        return [self.saying(e.kind, e.field, e.values, e.count, before=e.before, each=e.each) for e in sought]

    def holding(self, words: Sequence[Sought], kinds: Sequence[str] = ()) -> list[str]:
        found = [e for e in self.entries if not kinds or e.kind in kinds]
        return [e.id for e in sorted(found, key=lambda e: -e.at.instant)]

    def written(self, start: Instant, end: Instant, before: Instant = FAR) -> list[Entry]:
        late = [e for e in self.entries if e.at.instant < before]
        return self.chain([e.id for e in late if start <= e.recorded_at < end])

    def ahead(self, of: Instant) -> list[Entry]:
        return self.chain([e.id for e in self.entries if e.recorded_at < of <= e.at.instant])

    def zoned(self, count: int) -> list[Entry]:
        found = sorted((e for e in self.entries if e.zone), key=lambda e: e.at.instant)
        return self.chain([e.id for e in found[:count]])

    def last_written(self, before: Instant = FAR, by: str | None = None) -> Entry | None:
        found = [e for e in self.entries if e.recorded_at < before and by in (None, e.by)]
        return max(found, key=lambda e: (e.recorded_at, e.id), default=None)

    def begins(self) -> Instant:
        return min((min(e.at.instant, e.recorded_at) for e in self.entries), default=FAR)

    def of_kinds(self, kinds: Sequence[str]) -> list[Entry]:
        return self.chain([e.id for e in self.entries if e.kind in kinds])

    def forked(self) -> list[Entry]:
        wanted = Counter(e.amends for e in self.entries if e.amends)
        return self.chain([each for each, count in wanted.items() if count > 1])

    def chain(self, ids: Sequence[str]) -> list[Entry]:
        wanted, size = set(ids), -1
        while size != len(wanted):
            size = len(wanted)
            for entry in self.entries:
                if entry.amends and (entry.id in wanted or entry.amends in wanted):
                    wanted |= {entry.id, entry.amends}
        return [entry for entry in self.everything() if entry.id in wanted]

    def arrived(self, after: int) -> list[tuple[int, Entry]]:
        return list(enumerate(self.entries, start=1))[after:]

    def last_arrival(self) -> int:
        return len(self.entries)

    def count(self) -> int:
        return len(self.entries)

    def content_hashes(self, ids: Iterable[str]) -> list[str]:
        return list(ids)

    def append(self, entries: Sequence[Entry]) -> None:
        if self.trouble:
            raise Trouble(self.trouble)
        self.entries += [entry for entry in entries if entry not in self.entries]

    def get_ready(self) -> None:
        """Nothing to wait for."""

    def changed(self) -> bool:
        return False

    def quick_check(self) -> list[Any]:
        return []

    def check(self) -> list[Any]:
        return []

    def close(self) -> None:
        self.is_closed = True


def household(now: Instant = NOW) -> Memory:
    """A plan, two recorders, contacts and a day of care, all invented."""
    ids = (f"20000000-0000-7000-8000-{number:012x}" for number in count(1))
    home = Home(ZONE)
    record = Memory()

    def add(kind: str, back: Instant, by: str, details: dict[str, Any], note: str = "") -> None:
        at = now - back
        record.entries.append(Entry(next(ids), kind, home.moment(at), at, ZONE, by, details, note))

    for put in (standing, day_of_care):
        put(add)
    return record


Add = Callable[..., None]


def standing(add: Add) -> None:
    """What stands: person, plan, tube, contacts, recorders."""
    back = 20 * 24 * HOUR
    add(
        "person",
        back,
        "LR",
        {
            "name": "Nima Albers",
            "born": "1961-02-03",
            "home_zone": ZONE,
            "invented": True,
            "upper_airway": "partly",
            "allergies": "latex",
            "emergency_plan": "Sit up. Suction. Call 555-0100.",
        },
    )
    for initials, name, role in (
        ("LR", "Lucia", "relative"),
        ("MO", "Marek", "carer"),
        ("NB", "Nour", "nurse"),
    ):
        add("recorder", back - MINUTE, "LR", {"initials": initials, "name": name, "role": role})
    add(
        "contact",
        back - MINUTE,
        "LR",
        {"role": "ward team", "name": "Imke Dorsett", "phone": "555-0142", "for": "team"},
    )
    add("contact", back - MINUTE, "LR", {"role": "emergency", "phone": "555-0100", "for": "emergency"})
    add(
        "tube_change",
        back - HOUR,
        "NB",
        {
            "id_mm": 8,
            "od_mm": 11,
            "cuff": "air",
            "inner_tube": "reusable",
            "inner_id_mm": 7,
            "next_due": "2026-12-10",
        },
    )
    add(
        "plan",
        back - 2 * HOUR,
        "NB",
        {
            "set_by": "Nour Bakker",
            "quiet": ["23:00", "06:00"],
            "tasks": [
                {"kind": "inner_tube", "every_h": 8},
                {"kind": "cuff_pressure", "every_h": 12},
                {"kind": "mouth_care", "times": ["02:00", "08:00", "20:00"]},
                {"kind": "humidity", "where": {"device": "nebuliser"}, "times": ["03:00", "15:00"]},
            ],
            "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
        },
    )


def day_of_care(add: Add) -> None:
    """The last day and a half."""
    add("stoma", 18 * HOUR, "LR", {"skin": "whole", "cleaned": True})
    add("humidity", 17 * HOUR, "LR", {"device": "hme", "action": "changed"})
    add("ties", 17 * HOUR, "LR", {"action": "checked"})
    add("mouth_care", 6 * HOUR, "MO", {})
    add("cuff_pressure", 7 * HOUR, "MO", {"value": 34, "unit": "cmH2O"})
    add("inner_tube", 5 * HOUR, "MO", {"outcome": "cleaned"})
    add("suction", 212 * MINUTE, "LR", {"amount": "small", "colour": "white"})
