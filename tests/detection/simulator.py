"""Made-up home records for measuring the noticing of change: nobody in them has ever lived.

Everything is drawn from one seed. A person has a usual of their own (how often, when, how thick, what colour,
how fast the cuff loses air); every day has an effect that its suctions share; carers rate differently; some
of what happens is never written down, whole shifts and days are missing. A change begins at a known hour.

The spread of counts is chosen so that somebody who knew each person's rate and spread would find a doubling
of counts alone after about 40 h and a tripling after about 18 h at two false flags a year (`oracle`).
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.random import Generator

from carelog.domain.entry import Details, Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, SECOND, Instant, Moment

START: Instant = 20_454 * DAY_24_H  # 2026-01-01T00:00+00:00
CONSISTENCY = ("thin", "thick", "sticky", "crusts", "plug")
COLOURS = ("clear", "white", "cream", "yellow", "green", "brown")
STAINED = np.array([0, 0, 0, 0.7, 0.22, 0.08])
AMOUNTS = ("small", "moderate", "large")
FOUND = ("clear", "coated", "crusted", "blocked")
BLOCK_SHARES = np.array([0.14, 0.30, 0.30, 0.26])


@dataclass(frozen=True)
class World:
    """What a population is like beside its people: the tuning's own values, or others."""

    spread: float = 1.0  # times the day-to-day spread of counts (a variance)
    persistence: float = 0.0  # how far a day's effect goes on into the next
    weekend: float = 1.0  # counts on Saturday and Sunday, times
    thickness_day: float = 0.35  # SD of a day's shift in thickness, log-odds
    missing_shifts: float = 0.02
    missing_days: float = 0.01
    logging: tuple[float, float] = (0.9, 0.99)
    mean: float | None = None  # suctions a day, for tables; drawn if absent
    size: float | None = None  # negative-binomial size of a day's total; drawn if absent
    readings: int | None = None  # of SpO2 and pulse a day; for half the people none, else 1 or 2, if absent


@dataclass(frozen=True)
class Change:
    """What changes, from which hour on, and over how many hours it comes."""

    name: str = "none"
    count: float = 1.0
    thickness: float = 0.0
    stained: float = 0.0
    amount: float = 0.0
    crusting: float = 0.0
    leak: tuple[float, float] | None = None
    blood: float = 0.0
    spo2: float = 0.0  # points
    pulse: float = 0.0  # a minute
    ramp_h: tuple[float, float] = (0.0, 0.0)
    harsher: float = 0.0  # a new carer takes 60 % of the shifts and rates thicker by this log-odds
    unlogged: float = 0.0  # this share of all entries is no longer written down
    plan: bool = False  # a plan that says so restarts everything; the count changes with it


CHANGES = {
    change.name: change
    for change in (
        Change(),
        Change("infection x2", 2.0, 1.5, 0.5, 1.0, 0.5, ramp_h=(24, 48)),
        Change("infection x3", 3.0, 2.0, 0.6, 1.4, 0.7, ramp_h=(24, 48)),
        Change("infection x1.5", 1.5, 1.2, 0.4, 0.7, 0.3, ramp_h=(24, 48)),
        Change("drying", 0.7, 2.2, crusting=2.0, ramp_h=(12, 24)),
        Change("count x2", 2.0),
        Change("count x3", 3.0),
        Change("count x1.5", 1.5),
        Change("cuff leak", leak=(2.5, 4.0)),
        Change("bleeding", blood=0.33),
        Change("slow drift", 1.8, ramp_h=(720, 720)),
        Change("SpO2 falling", spo2=-4, ramp_h=(120, 120)),
        Change("pulse rising", pulse=20, ramp_h=(72, 72)),
        Change("harsher rater", harsher=1.2),
        Change("half unlogged", unlogged=0.5),
        Change("plan change", 1.6, 0.8, plan=True),
    )
}


@dataclass(frozen=True)
class Person:
    """What is usual for one made-up person."""

    mean: float
    size: float
    shares: np.ndarray
    cuts: np.ndarray
    stained: float
    stained_day: float
    clean_colours: np.ndarray
    amount_cuts: np.ndarray
    found_cuts: np.ndarray
    blood: float
    given: tuple[float, float, float]
    carers: tuple[str, ...]
    carer_shares: np.ndarray
    carer_shift: np.ndarray
    cuff_loss: float
    cuff_noise: float
    cuff_times: tuple[float, ...]
    cuff_left: bool
    clean_times: tuple[float, ...]
    logging: float


def _logit(share: Any) -> Any:
    return np.log(share / (1 - share))


def _cuts(shares: Any) -> np.ndarray:
    """Cut points so that P(rank >= k) = 1 / (1 + exp(-(shift - cut_k)))."""
    upper = 1 - np.cumsum(shares)[:-1]
    cuts: np.ndarray = -_logit(np.clip(upper, 1e-4, 1 - 1e-4))
    return cuts


def person(random: Generator, world: World) -> Person:
    """One person drawn from a population."""
    carers = int(random.integers(2, 5))
    cleans = int(random.integers(3, 5))
    mean = world.mean or float(np.clip(random.lognormal(np.log(12), 0.40), 3.5, 32))
    size = world.size or float(np.clip(random.lognormal(np.log(18), 0.4), 4, 60))
    return Person(
        mean=mean,
        size=size / world.spread,
        shares=random.dirichlet(BLOCK_SHARES * 60),
        cuts=_cuts(random.dirichlet(np.array([0.62, 0.26, 0.09, 0.025, 0.005]) * 25 + 0.05)),
        stained=float(np.clip(random.beta(1.2, 16), 0.005, 0.4)),
        stained_day=0.4,
        clean_colours=random.dirichlet([3, 5, 1.2]),
        amount_cuts=_cuts(random.dirichlet(np.array([0.55, 0.36, 0.09]) * 20)),
        found_cuts=_cuts(random.dirichlet(np.array([0.3, 0.58, 0.1, 0.004]) * 25 + 0.02)),
        blood=float(random.beta(1.0, 50)),
        given=(random.uniform(0.7, 1), random.uniform(0.7, 1), random.uniform(0.5, 1)),
        carers=("AB", "CD", "EF", "GH")[:carers],
        carer_shares=random.dirichlet([3.0] * carers),
        carer_shift=random.normal(0, 0.45, carers),
        cuff_loss=float(random.uniform(0.15, 0.5)),
        cuff_noise=float(random.uniform(0.6, 1.1)),
        cuff_times=((8.0, 20.0), (7.5, 14.5, 21.5))[int(random.integers(0, 2))],
        cuff_left=bool(random.random() < 0.8),
        clean_times=((6.5, 14.0, 21.8), (6.2, 11.0, 16.5, 22.0))[cleans - 3],
        logging=float(random.uniform(*world.logging)),
    )


def _rank(random: Generator, cuts: np.ndarray, shift: np.ndarray) -> np.ndarray:
    """A rank for each shift, by the cumulative log-odds model."""
    upper = 1 / (1 + np.exp(-(shift[:, None] - cuts[None, :])))
    ranks: np.ndarray = (random.random(len(shift))[:, None] < upper).sum(axis=1)
    return ranks


@dataclass
class Household:
    """One made-up household's record, drawn from a seed."""

    seed: int
    days: int
    world: World = field(default_factory=World)
    change: Change = field(default_factory=Change)
    onset_h: float = 1e9
    setting: int = 2

    def __post_init__(self) -> None:
        self.random = np.random.default_rng([self.seed, 20_260_101])
        self.person = person(self.random, self.world)
        if self.change.plan:
            sign = 1 if self.random.random() < 0.5 else -1
            count = self.change.count**sign
            self.change = replace(self.change, count=count, thickness=sign * self.change.thickness)
        self.ramp = self.random.uniform(*self.change.ramp_h) if self.change.ramp_h[1] else 0.0
        self.leak = self.random.uniform(*self.change.leak) if self.change.leak else 1.0
        self.tiers = self._day_effects()
        self.thick_day = self.random.normal(0, self.world.thickness_day, self.days)
        self.stain_day = self.random.normal(0, self.person.stained_day, self.days)
        self.shift_carer = self.random.choice(
            len(self.person.carers), (self.days, 3), p=self.person.carer_shares
        )
        self.lost_shift = self.random.random((self.days, 3)) < self.world.missing_shifts
        self.lost_shift |= (self.random.random(self.days) < self.world.missing_days)[:, None]
        self.new_carer = self.random.random((self.days, 3)) < 0.6
        self._numbered = 0

    def _day_effects(self) -> np.ndarray:
        size, keep = self.person.size, self.world.persistence
        if not keep:
            return self.random.gamma(size, 1 / size, self.days)
        sd = np.sqrt(np.log(1 + 1 / size))
        level = np.empty(self.days)
        level[0] = self.random.normal(0, sd)
        for day in range(1, self.days):
            level[day] = keep * level[day - 1] + np.sqrt(1 - keep**2) * self.random.normal(0, sd)
        factors: np.ndarray = np.exp(level - sd**2 / 2)
        return factors

    @property
    def onset(self) -> Instant:
        """The first changed instant."""
        return START + int(self.onset_h * HOUR)

    def _part(self, hours: np.ndarray) -> np.ndarray:
        """How far the change has come at these hours: 0 to 1."""
        since = np.asarray(hours, float) - self.onset_h
        return np.where(since < 0, 0.0, 1.0 if not self.ramp else np.clip(since / max(self.ramp, 1e-9), 0, 1))

    def entries(self) -> list[Entry]:
        """The record's entries in the order in which they were written."""
        found = [*self._first(), *self._suctions(), *self._cleans(), *self._cuff(), *self._clockwork()]
        found += self._observations()
        if self.change.plan:
            found.append(self._entry(self.onset_h, "plan", "NN", self._plan(restarts=True), 0.01))
        return sorted(found, key=lambda each: (each.recorded_at, each.id))

    def _plan(self, restarts: bool) -> Details:
        every = ["suction", "secretions", "cuff", "inner_tube"]
        plan: dict[str, Any] = {"set_by": "NN", "tasks": [], "false_flags_a_year": self.setting}
        return {**plan, "restarts": every} if restarts else plan

    def _entry(self, hour: float, kind: str, by: str, details: Details, delay_h: float) -> Entry:
        at = START + round(hour * 60) * MINUTE
        self._numbered += 1
        return Entry(
            id=f"{self.seed:08x}-0000-7000-8000-{self._numbered:012x}",
            kind=kind,
            at=Moment(at),
            recorded_at=at + max(int(delay_h * HOUR), 20 * SECOND),
            zone="UTC",
            by=by,
            details=details,
        )

    def _first(self) -> Iterator[Entry]:
        tube = {"id_mm": 8, "cuff": "air", "inner_tube": "reusable", "inner_id_mm": 6.5, "ease": "easy"}
        yield self._entry(0.1, "person", "NN", {"name": "Invented", "home_zone": "UTC", "invented": True}, 0)
        yield self._entry(0.2, "tube_change", "NN", {**tube, "reason": "first_entry"}, 0)
        yield self._entry(0.3, "plan", "NN", self._plan(restarts=False), 0)

    def _carers(self, hours: np.ndarray) -> np.ndarray:
        """Who is there: an index, -1 for the new carer, -2 where nothing was written."""
        day, shift = (hours // 24).astype(int), ((hours % 24) // 8).astype(int)
        carer: np.ndarray = self.shift_carer[day, shift].copy()
        if self.change.harsher:
            carer[(hours >= self.onset_h) & self.new_carer[day, shift]] = -1
        carer[self.lost_shift[day, shift]] = -2
        logging = np.where(hours >= self.onset_h, 1 - self.change.unlogged, 1.0) * self.person.logging
        carer[self.random.random(len(hours)) > logging] = -2
        return carer

    def _names(self, carer: np.ndarray) -> list[str]:
        return [self.person.carers[index] if index >= 0 else "ZZ" for index in carer]

    def _rating_shift(self, carer: np.ndarray) -> np.ndarray:
        return np.where(carer >= 0, self.person.carer_shift[np.maximum(carer, 0)], self.change.harsher)

    def _delays(self, count: int) -> np.ndarray:
        """Hours until written: mostly minutes, 5 % some hours late."""
        soon = self.random.uniform(0.01, 0.2, count)
        return np.where(self.random.random(count) < 0.05, self.random.uniform(0.5, 6, count), soon)

    def _suction_hours(self) -> np.ndarray:
        hour = np.arange(self.days * 24)
        day, block = hour // 24, (hour % 24) // 6
        weekend = np.where((day + 3) % 7 >= 5, self.world.weekend, 1.0)
        rate = self.person.mean * self.person.shares[block] / 6 * self.tiers[day] * weekend
        rate = rate * (1 + (self.change.count - 1) * self._part(hour + 0.5))
        counts = self.random.poisson(rate)
        return np.sort(np.repeat(hour, counts) + self.random.random(counts.sum()))

    def _suctions(self) -> Iterator[Entry]:
        hours = self._suction_hours()
        carer = self._carers(hours)
        hours, carer = hours[carer > -2], carer[carer > -2]
        part, day, random, who = self._part(hours), (hours // 24).astype(int), self.random, self.person
        count = len(hours)
        rated = self._rating_shift(carer)
        thick = _rank(random, who.cuts, self.thick_day[day] + rated + self.change.thickness * part)
        amount = _rank(
            random, who.amount_cuts, 0.4 * self.thick_day[day] + 0.6 * rated + self.change.amount * part
        )
        share = 1 / (1 + np.exp(-(_logit(who.stained) + self.stain_day[day])))
        stained = random.random(count) < share + (1 - share) * self.change.stained * part
        clean = random.choice(3, count, p=who.clean_colours)
        colour = np.where(stained, random.choice(6, count, p=STAINED), clean)
        blood = random.random(count) < who.blood + self.change.blood * part
        given = random.random((count, 3)) < np.array(who.given)
        names, delays = self._names(carer), self._delays(count)
        for n in range(count):
            details: dict[str, Any] = {}
            if given[n, 0]:
                details["consistency"] = CONSISTENCY[thick[n]]
            if given[n, 1]:
                details["colour"] = "pink" if blood[n] and n % 2 else COLOURS[colour[n]]
            if given[n, 2]:
                details["amount"] = AMOUNTS[amount[n]]
            if blood[n] and "pink" not in details.values():
                details["blood"] = "streaks"
            yield self._entry(hours[n], "suction", names[n], details, delays[n])

    def _routine_hours(self, times: tuple[float, ...]) -> tuple[np.ndarray, np.ndarray]:
        hours = (np.arange(self.days)[:, None] * 24 + np.array(times)[None, :]).ravel()
        hours = hours + self.random.normal(0, 0.25, len(hours))
        return hours, self._carers(np.clip(hours, 0, self.days * 24 - 0.01))

    def _cleans(self) -> Iterator[Entry]:
        hours, carer = self._routine_hours(self.person.clean_times)
        day = np.clip((hours // 24).astype(int), 0, self.days - 1)
        shift = 0.5 * self.thick_day[day] + (self.change.crusting) * self._part(hours)
        found = _rank(self.random, self.person.found_cuts, shift)
        names, delays = self._names(carer), self._delays(len(hours))
        for n in np.flatnonzero(carer > -2):
            yield self._entry(
                hours[n], "inner_tube", names[n], {"outcome": "cleaned", "found": FOUND[found[n]]}, delays[n]
            )

    def _cuff(self) -> Iterator[Entry]:
        hours, carer = self._routine_hours(self.person.cuff_times)
        names, delays = self._names(carer), self._delays(len(hours))
        left, last = 26.0, hours[0] - 8
        for n, hour in enumerate(hours):
            leak = self.leak if hour >= self.onset_h else 1.0
            true = left - max(
                0.0, self.person.cuff_loss * leak * (hour - last) * self.random.uniform(0.7, 1.3)
            )
            found = max(0, round(true + self.random.normal(0, self.person.cuff_noise)))
            details: dict[str, Any] = {"value": found, "unit": "cmH2O"}
            adjusted = found < 23 or self.random.random() < 0.3
            left = 26 + self.random.normal(0, 0.8) if adjusted else true
            if adjusted and self.person.cuff_left:
                details["value_after"] = round(left)
            last = hour
            if carer[n] > -2:
                yield self._entry(hour, "cuff_pressure", names[n], details, delays[n])

    def _clockwork(self) -> Iterator[Entry]:
        """What is done by the clock: skin, ties, filter, mouth."""
        routine: tuple[tuple[str, tuple[float, ...], dict[str, Any]], ...] = (
            ("stoma", (9.2,), {"skin": "whole", "fluid": "none"}),
            ("ties", (9.4,), {"action": "checked"}),
            ("humidity", (9.6,), {"device": "hme", "action": "changed"}),
            ("mouth_care", (7.7, 13.1, 21.1), {}),
        )
        for kind, times, details in routine:
            hours, carer = self._routine_hours(times)
            names, delays = self._names(carer), self._delays(len(hours))
            for n in np.flatnonzero(carer > -2):
                yield self._entry(hours[n], kind, names[n], details, delays[n])

    def _observations(self) -> Iterator[Entry]:
        """SpO2 and pulse: whole numbers, day to day SD 1 and 6, half of the variance shared by a day.

        From a seed of their own, so that nothing else in the record depends on them.
        """
        random = self.random = np.random.default_rng([self.seed, 20_260_102])
        often, usual = random.choice([0, 0, 1, 2]), (random.uniform(92, 98), random.uniform(62, 95))
        often = often if self.world.readings is None else self.world.readings
        if not often:
            return
        hours, carer = self._routine_hours(((9.0,), (9.0, 20.5))[often - 1])
        day, part = np.clip((hours // 24).astype(int), 0, self.days - 1), self._part(hours)
        found = []
        for middle, sd, change in zip(usual, (1.0, 6.0), (self.change.spo2, self.change.pulse), strict=True):
            shared = random.normal(0, sd / np.sqrt(2), self.days)
            own = random.normal(0, sd / np.sqrt(2), len(hours))
            found.append(np.round(middle + change * part + shared[day] + own))
        names, delays = self._names(carer), self._delays(len(hours))
        for n in np.flatnonzero(carer > -2):
            details = {"spo2_percent": int(min(100, found[0][n])), "pulse_per_min": int(found[1][n])}
            yield self._entry(hours[n], "observations", names[n], details, delays[n])
