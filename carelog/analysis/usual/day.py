"""One home-zone day as the noticing of change sees it: what was recorded when, by whom, and what wasn't."""

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from functools import lru_cache
from itertools import pairwise

from carelog.analysis import recorded
from carelog.analysis.usual.scale import (
    AMOUNT_RANK,
    BLOOD_COLOURS,
    COLOUR_CLASS,
    FOUND_RANK,
    SOURCE,
    THICKNESS_RANK,
)
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
Chosen = tuple[tuple[int, int], ...]  # place and how often
Ratings = Sequence[tuple[str, Chosen]]  # by recorder
Rated = Sequence[tuple[int, str, int]]  # time of day, recorder, place


@dataclass(frozen=True, slots=True, order=True)
class Fact:
    """What one entry in force says here; `chain` is the id of the first of its chain."""

    time: Instant
    chain: str
    id: str
    by: str
    kind: str
    ranks: Mapping[str, int] = field(compare=False)
    readings: Mapping[str, float] = field(compare=False, default_factory=dict)

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
    """The facts of one local day; `edges` are 00, 06, 12, 18 and 24 o'clock."""

    ordinal: int
    edges: tuple[Instant, ...]
    facts: list[Fact] = field(default_factory=list)
    care: int = 0  # how many of the facts are of care
    _ratings: dict[str, Ratings] | None = None
    _rated: dict[str, list[tuple[int, str, int]]] | None = None
    _read: dict[str, list[tuple[Instant, float]]] | None = None
    _counts: tuple[list[int], list[int]] | None = None

    def put(self, fact: Fact) -> None:
        """Add a fact, in the order of time."""
        insort(self.facts, fact)
        self._forget()

    def take(self, fact: Fact) -> None:
        """Remove a fact that no longer stands."""
        self.facts.pop(bisect_left(self.facts, fact))
        self._forget()

    def _forget(self) -> None:
        self._counts = self._ratings = self._rated = self._read = None

    def block(self, moment: Instant) -> int:
        """Which of the four times of day a moment of this day lies in."""
        edges = self.edges
        return (moment >= edges[1]) + (moment >= edges[2]) + (moment >= edges[3])

    def counts(self) -> tuple[list[int], list[int]]:
        """Suctions, and entries driven by the clock, in each of the four times of day."""
        if self._counts is None:
            suctions, clockwork = [0] * BLOCKS, [0] * BLOCKS
            for fact in self.facts:
                if fact.kind == "suction":
                    suctions[self.block(fact.time)] += 1
                elif fact.kind in CLOCKWORK:
                    clockwork[self.block(fact.time)] += 1
            self._counts = suctions, clockwork
        return self._counts

    def ratings(self, scale: str) -> Ratings:
        """How often each recorder chose each place of one scale, without those that nobody chose."""
        if self._ratings is None:
            found: dict[str, dict[str, Counter[int]]] = {}
            for fact in self.facts:
                for name, place in fact.ranks.items():
                    found.setdefault(name, {}).setdefault(fact.by, Counter())[place] += 1
            self._ratings = {
                name: tuple((by, _shared(tuple(sorted(chosen.items())))) for by, chosen in each.items())
                for name, each in found.items()
            }
        return self._ratings.get(SOURCE.get(scale, scale), ())

    def rated(self, scale: str) -> Rated:
        """Each rating on one scale, in the order of time."""
        if self._rated is None:
            self._rated = {}
            for fact in self.facts:
                for name, place in fact.ranks.items():
                    self._rated.setdefault(name, []).append((self.block(fact.time), fact.by, place))
        return self._rated.get(SOURCE.get(scale, scale), ())

    def readings(self, name: str) -> list[tuple[Instant, float]]:
        """The readings of one measure with their times."""
        if self._read is None:
            self._read = {}
            for fact in self.facts:
                for each, value in fact.readings.items():
                    self._read.setdefault(each, []).append((fact.time, value))
        return self._read.get(name, [])

    def raters(self) -> set[str]:
        """Who rated anything on this day."""
        self.ratings("")
        return {recorder for each in (self._ratings or {}).values() for recorder, _ in each}


@lru_cache(1024)
def _shared(chosen: Chosen) -> Chosen:
    """The same for all that are alike: most days' are."""
    return chosen


@dataclass(frozen=True, slots=True)
class Loss:
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
