"""One home-zone day as the noticing of change sees it: what was recorded when, by whom, and what wasn't."""

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from carelog.analysis import recorded
from carelog.analysis.usual.scale import (
    AMOUNT_RANK,
    BLOOD_COLOURS,
    COLOUR_CLASS,
    FOUND_RANK,
    SOURCE,
    THICKNESS_RANK,
)
from carelog.analysis.usual.tally import Given, Rating, Ratings
from carelog.domain.entry import Details
from carelog.domain.moment import HOUR, Home, Instant
from carelog.kinds import ALL

BLOCKS = 4
CLOCKS = (time(0), time(6), time(12), time(18))
NOT_RECORDED = 12 * HOUR
CLOCKWORK = frozenset(kind.name for kind in ALL if kind.is_clockwork)
ELSEWHERE = "suction elsewhere"
CARE = recorded.CARE | {ELSEWHERE}
"""The kinds that make a day a recorded one."""
Span = tuple[Instant, Instant]


class Fact(NamedTuple):
    """What one entry in force says here; `chain` is the id of the first of its chain, which no other has."""

    time: Instant
    chain: str
    id: str
    by: str
    kind: str
    ranks: Mapping[str, int]
    readings: Mapping[str, float]

    @property
    def is_suction(self) -> bool:
        """Whether it is a suction through the tube."""
        return self.kind == "suction"


def ranks(kind: str, details: Details) -> Mapping[str, int]:
    """The place on each scale of what was said; what nobody said is absent."""
    if kind == "inner_tube":
        return _given(found=FOUND_RANK.get(details.get("found", "")))
    if kind != "suction":
        return _given()
    colour, blood = details.get("colour", ""), details.get("blood", "")
    seen = bool(colour or blood)
    return _given(
        thickness=THICKNESS_RANK.get(details.get("consistency", "")),
        amount=AMOUNT_RANK.get(details.get("amount", "")),
        colour=COLOUR_CLASS.get(colour),
        blood=int(colour in BLOOD_COLOURS or blood in ("streaks", "fresh")) if seen else None,
    )


@lru_cache(1024)
def _given(**places: int | None) -> Mapping[str, int]:
    """The places that are given; the same ones are one object, since nobody changes it."""
    return {name: place for name, place in places.items() if place is not None}


def counted_kind(kind: str, details: Details) -> str:
    """The kind; a suction that isn't through the tube has a name of its own."""
    return ELSEWHERE if kind == "suction" and details.get("route", "tracheal") != "tracheal" else kind


@dataclass(slots=True)
class Day:
    """The facts of one local day; `edges` are 00, 06, 12, 18 and 24 o'clock.

    `suctions` and `clockwork` are the suctions, and the entries driven by the clock, in each time of day;
    `turns` is how often a fact was removed, or added elsewhere than at the end.
    """

    ordinal: int
    edges: tuple[Instant, ...]
    facts: list[Fact] = field(default_factory=list)
    turns: int = 0
    care: int = 0  # how many of the facts are of care
    suctions: list[int] = field(default_factory=lambda: [0] * BLOCKS)
    clockwork: list[int] = field(default_factory=lambda: [0] * BLOCKS)
    _given: Given | None = None
    _raters: frozenset[str] | None = None
    _read: dict[str, list[tuple[Instant, float]]] | None = None

    def put(self, fact: Fact) -> None:
        """Add a fact, in the order of time."""
        if self.facts and fact < self.facts[-1]:
            insort(self.facts, fact)
            self.turns += 1
        else:
            self.facts.append(fact)
        self._count(fact, 1)

    def take(self, fact: Fact) -> None:
        """Remove a fact that no longer stands."""
        self.facts.pop(bisect_left(self.facts, fact))
        self.turns += 1
        self._count(fact, -1)

    def _count(self, fact: Fact, change: int) -> None:
        """Count a fact, and forget what it makes different."""
        if fact.kind == "suction":
            self.suctions[self.block(fact.time)] += change
        elif fact.kind in CLOCKWORK:
            self.clockwork[self.block(fact.time)] += change
        if fact.ranks:
            self._given = self._raters = None
        if fact.readings:
            self._read = None

    def block(self, moment: Instant) -> int:
        """Which of the four times of day a moment of this day lies in."""
        edges = self.edges
        return (moment >= edges[1]) + (moment >= edges[2]) + (moment >= edges[3])

    def given(self) -> Given:
        """How often each recorder chose each place, by scale, without those that nobody chose."""
        if self._given is None:
            found: dict[str, list[Rating]] = {}
            for fact in self.facts:
                for name, place in fact.ranks.items():
                    found.setdefault(name, []).append((fact.by, place))
            self._given = {name: dict(sorted(Counter(each).items())) for name, each in found.items()}
        return self._given

    def ratings(self, scale: str) -> Ratings:
        """The same of one scale."""
        return self.given().get(SOURCE.get(scale, scale), {})

    def readings(self, name: str) -> list[tuple[Instant, float]]:
        """The readings of one measure with their times."""
        if self._read is None:
            self._read = {}
            for fact in self.facts:
                for each, value in fact.readings.items():
                    self._read.setdefault(each, []).append((fact.time, value))
        return self._read.get(name, [])

    def raters(self) -> frozenset[str]:
        """Who rated anything on this day."""
        if self._raters is None:
            self._raters = frozenset(fact.by for fact in self.facts if fact.ranks)
        return self._raters


class Loss(NamedTuple):
    """What the cuff lost between two readings: cmH2O an hour, over so many hours, ended by a reading.

    `found` is that reading in cmH2O; `is_after_adjusting` whether the one before says what was left.
    """

    time: Instant
    rate: float
    hours: float
    id: str
    found: float
    is_after_adjusting: bool


def edges_of(home: Home, here: date) -> tuple[Instant, ...]:
    """When a day's times of day begin, and its end."""
    return (*(home.at(here, clock) for clock in CLOCKS), home.end_of(here))


def unrecorded(
    times: Sequence[Instant], before: Instant | None, after: Instant | None, now: Instant
) -> list[Span]:
    """The spans of 12 h or more without an entry of any kind, as known now.

    `times` are those of one day in order; `before` and `after` the nearest entries on either side, if any.
    """
    points = [*times] if before is None else [before, *times]
    points.append(now if after is None else after)
    gaps = [(early, late) for early, late in pairwise(points) if late - early >= NOT_RECORDED]
    return gaps if before is not None else [(-(2**62), points[0]), *gaps]


def covered(edges: Sequence[Instant], gaps: Sequence[Span], now: Instant) -> list[float]:
    """The recorded share of each time of day up to now."""
    shares = []
    for start, end in pairwise(edges):
        until = min(end, now)
        held = max(0, until - start)
        for early, late in gaps:
            held -= max(0, min(late, until) - max(early, start))
        shares.append(max(0, held) / (end - start))
    return shares
