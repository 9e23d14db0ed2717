"""An even household for tests: each day the same but for small, seeded differences."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from random import Random
from typing import Any

from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.threshold import thresholds
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, MINUTE, Instant, Moment
from tests.detection.people import notice

FIRST: Instant = 20_454 * DAY_24_H  # 2026-01-01T00:00+00:00
NIGHT = (6.2, 23.7)
PERSON: dict[str, Any] = {"name": "Invented", "home_zone": "UTC", "invented": True}
TUBE: dict[str, Any] = {
    "id_mm": 8,
    "cuff": "air",
    "inner_tube": "reusable",
    "ease": "easy",
    "reason": "first_entry",
}
CALM = {"consistency": "thin", "colour": "white", "amount": "small"}


def moment(day: float) -> Instant:
    """The instant so many days after the first, to the minute."""
    return FIRST + round(day * 24 * 60) * MINUTE


@dataclass
class Steady:
    """Writes an even household's entries, each known two minutes after it happened unless said otherwise."""

    suctions: int = 10
    seed: int = 1
    zone: str = "UTC"
    entries: list[Entry] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.random = Random(self.seed)
        self.write(0.001, "person", **(PERSON | {"home_zone": self.zone}))
        self.write(0.002, "tube_change", **TUBE)

    def write(
        self, day: float, kind: str, by: str = "AB", known: float | None = None, **details: Any
    ) -> Entry:
        """Add an entry that happened so many days after the first."""
        at = moment(day)
        entry = Entry(
            id=f"{len(self.entries):08x}-0000-7000-8000-000000000000",
            kind=kind,
            at=Moment(at),
            recorded_at=at + 2 * MINUTE if known is None else moment(known),
            zone=self.zone,
            by=by,
            details=details,
        )
        self.entries.append(entry)
        return entry

    def change(self, target: Entry, known: float, withdrawn: bool = False, **details: Any) -> Entry:
        """Amend an entry, or strike it out."""
        entry = Entry(
            id=f"{len(self.entries):08x}-0000-7000-8000-000000000001",
            kind=target.kind,
            at=target.at,
            recorded_at=moment(known),
            zone=target.zone,
            by=target.by,
            details={} if withdrawn else details,
            amends=target.id,
            reason="written by mistake",
            withdrawn=withdrawn,
        )
        self.entries.append(entry)
        return entry

    def days(
        self, first: int, last: int, suctions: int | None = None, by: str = "AB", **ratings: Any
    ) -> None:
        """Whole days from the first up to (not with) the last."""
        for day in range(first, last):
            wanted = (self.suctions if suctions is None else suctions) + self.random.choice((-1, 0, 0, 1))
            self.suctioned(day, wanted, by, **ratings)
            self.care(day, by)

    def suctioned(self, day: int, count: int, by: str = "AB", **ratings: Any) -> None:
        """A day's suctions, evenly over the waking hours."""
        for number in range(count):
            hour = NIGHT[0] + (NIGHT[1] - NIGHT[0]) * (number + self.random.uniform(0.2, 0.8)) / count
            self.write(day + hour / 24, "suction", by, **{**CALM, **ratings})

    def care(self, day: int, by: str = "AB", found: str = "coated", loss: float = 0.3) -> None:
        """What is done by the clock."""
        for hour in (6.5, 14.0, 22.0):
            self.write(day + hour / 24, "inner_tube", by, outcome="cleaned", found=found)
        for hour in (8.0, 20.0):
            value = round(26 - 12 * loss + self.random.choice((-1, 0, 0, 1)))
            self.write(day + hour / 24, "cuff_pressure", by, value=value, unit="cmH2O", value_after=26)
        for hour in (7.7, 13.1, 21.1):
            self.write(day + hour / 24, "mouth_care", by)
        self.write(day + 9.2 / 24, "stoma", by, skin="whole")

    def in_order(self) -> list[Entry]:
        """The entries in the order in which they became known."""
        return sorted(self.entries, key=lambda entry: (entry.recorded_at, entry.id))

    def noticing(self, until: float | None = None) -> Noticing:
        """The program's own judging of all that was known before a day, or of everything."""
        end = None if until is None else moment(until)
        found = notice([e for e in self.in_order() if end is None or e.recorded_at < end], thresholds())
        if end is not None:
            found.pass_time(end)
        return found

    def flags(self, until: float | None = None) -> dict[str, list[Flag]]:
        """The flags raised by then, by rule."""
        return by_rule(self.noticing(until).flags())


def by_rule(flags: Iterable[Flag]) -> dict[str, list[Flag]]:
    """Flags by their rule."""
    found: dict[str, list[Flag]] = {}
    for flag in flags:
        found.setdefault(flag.rule, []).append(flag)
    return found


def day_of(instant: Instant) -> float:
    """How many days after the first an instant lies."""
    return (instant - FIRST) / DAY_24_H
