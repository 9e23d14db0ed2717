"""Made-up households of every kind that a flag reads, with changes, late entries and wrong clocks."""

import uuid
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from hashlib import blake2b
from random import Random
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant, Moment

FIRST_DAY = date(2026, 10, 20)
FIRST = Moment.read("2026-10-20T00:00:00Z").instant
"""Five days before the clocks go back in London."""
STEP = 15 * MINUTE

Details = dict[str, Any]

# Of each kind: the fields, how often each is given, and its values.
FIELDS: dict[str, dict[str, tuple[float, Sequence[Any]]]] = {
    "suction": {
        "blood": (0.3, ["none", "streaks", "streaks", "fresh"]),
        "colour": (0.2, ["white", "pink", "red", "yellow"]),
        "frothy": (0.2, [True, False]),
        "catheter_passed": (0.3, ["freely", "tight", "no"]),
        "route": (0.2, ["oral", "tracheal", "subglottic"]),
        "breathing_after": (0.2, ["harder", "easier"]),
        "smell": (0.2, ["new", "usual"]),
        "food_seen": (0.1, [True]),
        "catheter_fr": (0.3, [12]),
        "passes": (0.2, [1, 3]),
    },
    "inner_tube": {
        "outcome": (1, ["clear", "cleaned", "replaced", "stuck"]),
        "fitted": (0.4, ["plain", "fenestrated"]),
        "found": (0.3, ["clear", "blocked"]),
    },
    "cuff_pressure": {
        "value": (1, [0, 3, 5, 15, 25, 25, 34, 52]),
        "unit": (1, ["cmH2O", "cmH2O", "mmHg"]),
        "value_after": (0.4, [0, 3, 18, 25, 34]),
    },
    "cuff_state": {"state": (1, ["up", "down"]), "voice_heard": (0.3, [True])},
    "valve": {
        "action": (1, ["on", "on", "off"]),
        "cuff_down": (0.4, [True, False]),
        "what": (0.3, ["valve", "cap"]),
    },
    "stoma": {
        "skin": (0.3, ["whole", "red", "broken", "overgrown"]),
        "fluid": (0.3, ["none", "clear", "coloured", "blood"]),
        "fluid_from": (0.3, ["tube", "skin_edge"]),
        "crust": (0.3, ["none", "wipes_off", "stuck"]),
        "swelling": (0.3, [True, False]),
        "heat": (0.3, [True, False]),
        "smell": (0.3, [True, False]),
        "redness_fades": (0.3, [True, False]),
        "pain": (0.3, [0, 2, 5, 8]),
        "crackling": (0.05, [True]),
        "dressing": (0.2, ["changed"]),
    },
    "observations": {
        "temperature_c": (0.6, [36.9, 37.9, 38, 39.1]),
        "temperature_f": (0.2, [98, 100.4]),
        "spo2_percent": (0.3, [88, 92, 97]),
        "pulse_per_min": (0.3, [40, 80, 124]),
    },
    "tube_change": {
        "id_mm": (1, [7, 8]),
        "cuff": (1, ["air", "air", "none", "foam", "water"]),
        "inner_tube": (1, ["none", "reusable"]),
        "ease": (0.3, ["failed", "easy"]),
        "bleeding": (0.2, ["fresh", "streaks"]),
        "next_due": (0.6, [str(FIRST_DAY + timedelta(days=n)) for n in range(16)]),
    },
    "incident": {"what": (1, ["tube_out", "power_cut", "other", "breathing"])},
    "seen": {
        "rule": (
            1,
            [
                "blood",
                "froth",
                "breathing",
                "catheter_not_passed",
                "incident",
                "valve_cuff_up",
                "tube_change_failed",
                "crackling",
                "cuff_high",
                "smell",
            ],
        ),
        "told": (0.7, ["Nell", "the ward"]),
    },
    "box_check": {
        "present": (1, [["inner_tubes", "syringe", "ties", "dressing", "mask", "gel", "gloves"], []]),
        "missing": (0.2, [["gloves"], ["spare_same"]]),
        "opened": (0.2, [["scissors", "catheters", "tube_details"]]),
        "spare_same": (0.8, [{"id_mm": 8, "cuff": "air"}]),
        "spare_smaller": (0.8, [{"id_mm": 7, "cuff": "air", "expiry": "2026-10-24"}, {"id_mm": 7}]),
        "expiries": (0.5, [{"gel": "2026-10-25"}, {"gel": "2026-11-22"}, {"gel": "2027-01"}]),
    },
    "equipment_check": {
        "device": (1, ["suction_machine", "suction_backup", "nebuliser"]),
        "works": (1, [True, True, False]),
        "canister": (0.3, ["full", "emptied"]),
        "next_service": (0.2, ["2026-10-24", "2026-11-30"]),
        "given_back": (0.1, [True]),
    },
    "order": {
        "item": (1, ["suction catheter 12 Fr", "dressing"]),
        "count": (1, [50]),
        "expected": (0.6, ["2026-10-24", "2026-10-29"]),
    },
    "stay": {"action": (1, ["start", "end"])},
    "person": {
        "name": (1, ["Odette Farrow"]),
        "home_zone": (0.5, ["Europe/London", "Europe/London", "America/New_York"]),
        "born": (0.5, ["1960-01-01", "2012-01-01"]),
        "upper_airway": (0.3, ["none", "open"]),
    },
    "mouth_care": {},
    "humidity": {"device": (1, ["hme"]), "action": (1, ["changed"])},
}
MORE: dict[str, dict[str, tuple[float, Sequence[Any]]]] = {
    "suction": {"consistency": (0.2, ["thin", "crusts", "plug"]), "amount": (0.3, ["small", "large"])},
    "ties": {"action": (1, ["checked", "changed"]), "fit": (0.6, ["one_finger", "loose", "tight"])},
    "outing": {
        "action": (1, ["leaving", "leaving", "back"]),
        "missing": (0.5, [["gloves"], ["spare_same"], ["catheters", "mask"], ["portable_suction"]]),
    },
    "registration": {
        "what": (1, ["electricity_priority", "ambulance", "supplier"]),
        "renew_by": (0.8, ["2026-10-24", "2026-10-27", "2026-11-25", "2027-05-01"]),
    },
    "person": {"helped_by": (0.9, ["nothing", "ventilator_at_night", "ventilator_always"])},
    "cuff_state": {"state": (1, ["up", "down", "down"])},
    "incident": {"called": (0.4, ["nobody", "team", "emergency"])},
    "tube_change": {
        "ease": (0.6, ["failed", "easy", "hard"]),
        "reason": (0.4, ["planned", "first_entry"]),
        "expiry": (0.3, ["2026-10-25", "2026-11", "2027-01"]),
    },
    "observations": {
        "temperature_c": (0.6, [34.9, 36.9, 38, 39.9]),
        "spo2_percent": (0.4, [84, 90, 97]),
        "oxygen_l_min": (0.4, [1, 3, 6]),
    },
    "equipment_check": {"name": (0.3, ["old", "new"]), "charged": (0.3, [True, False])},
    "recorder": {"initials": (1, ["AB"]), "role": (1, ["nurse", "relative"])},
    "decannulation": {},
    "seen": {
        "rule": (
            1,
            [
                "spo2",
                "oxygen",
                "temperature",
                "valve_at_night",
                "cuff_at_night",
                "swelling_after_change",
                "tube_change_hard",
                "blood",
                "incident",
                "ties_fit",
            ],
        ),
    },
}
"""More of each kind, and more kinds, for who wants every rule."""
MORE_LIMITS: Details = {
    "spo2_percent": {"low": 92, "urgent_low": 88},
    "temperature_c": {"high": 38.5, "urgent_high": 39.5},
    "oxygen_l_min": {"high": 2, "urgent_high": 5},
}
TASKS: Sequence[Details] = (
    {"kind": "inner_tube", "every_h": 4},
    {"kind": "inner_tube", "every_h": 8},
    {"kind": "cuff_pressure", "every_h": 12},
    {"kind": "equipment_check", "times": ["09:00", "21:00"], "where": {"device": "suction_machine"}},
    {"kind": "stoma", "times": ["01:30", "13:00"]},
    {"kind": "mouth_care", "every_h": 6, "grace_min": 0},
)
LIMITS: Details = {
    "cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"},
    "spo2_percent": {"low": 92},
    "pulse_per_min": {"low": 50, "high": 110},
    "vacuum": {"high": 15, "unit": "kPa"},
}
OFTEN = ("suction",) * 6 + ("inner_tube", "cuff_pressure", "stoma", "seen") * 3
KINDS = (*OFTEN, *FIELDS, "valve", "observations", "stock", "stock", "plan", "plan")


ALLOWED = ("valve_at_night", "cuff_down_at_night")
LARGEST_SEED = 2**32 - 1


class Draws:
    """The draws of one entry, each by its name from the entry's own number.

    So an entry is whole in its number: entries taken out of a household leave the others as they are, and
    one more kind, field or draw changes no other draw.
    """

    def __init__(self, seed: int) -> None:
        self._seed = seed

    def chance(self, name: str) -> float:
        """From 0 up to 1."""
        return self.number(name) / 2**64

    def number(self, name: str) -> int:
        """A number of 64 bits."""
        return int.from_bytes(blake2b(f"{self._seed} {name}".encode(), digest_size=8).digest())

    def choice(self, name: str, values: Sequence[Any]) -> Any:
        """One of some values."""
        return values[self.below(name, len(values))]

    def below(self, name: str, count: int) -> int:
        """A whole number from 0 on."""
        return int(self.chance(name) * count)

    def one_of(self, name: str, weights: Mapping[str, int]) -> str:
        """One of some names by their weights; one more name only takes what it wins."""
        return max(weights, key=lambda each: self.chance(f"{name} {each}") ** (1 / weights[each]))


class Household:
    """One household as it grows."""

    def __init__(self, days: int, is_fuller: bool = False, kinds: Sequence[str] = ()) -> None:
        """`is_fuller`: with more of each kind, and more kinds; `kinds`: of these alone."""
        self.days = days
        self.more = MORE if is_fuller else {}
        self.weights = Counter(kinds or (*KINDS, *self.more))
        self.entries: list[Entry] = []

    def write(self, seeds: Iterable[int], changes: float = 0.25) -> list[Entry]:
        """An entry for each number; so many of them are changes."""
        for seed in seeds:
            draws = Draws(seed)
            if self.entries and draws.chance("is a change") < changes:
                self._change(draws, draws.choice("changed", self.entries[-15:]))
            else:
                self._write(draws, draws.one_of("kind", self.weights))
        return self.entries

    def _write(self, draws: Draws, kind: str) -> None:
        at = FIRST + draws.below("at", self.days * DAY_24_H // STEP) * STEP
        zone = draws.choice("zone", ["", "Europe/London"])
        recorded = self._recorded(draws, at)
        entry = Entry(self._id(draws), kind, Moment(at), recorded, zone, "AB", self._details(draws, kind))
        self.entries.append(entry)

    def _change(self, draws: Draws, target: Entry) -> None:
        withdrawn = draws.chance("withdrawn") < 0.4
        keeps = draws.chance("keeps") < 0.4 and not target.withdrawn
        details = dict(target.details) if keeps else self._details(draws, target.kind)
        at = target.at
        if not withdrawn and draws.chance("moves") < 0.4:
            at = Moment(at.instant + (draws.below("moved", 120) - 60) * MINUTE)
        change = Entry(
            self._id(draws),
            target.kind,
            at,
            target.recorded_at + (draws.below("later", 610) - 10) * MINUTE,
            by="AB",
            details={} if withdrawn else details,
            amends=target.id,
            reason="a slip",
            withdrawn=withdrawn,
        )
        self.entries.append(change)

    def _id(self, draws: Draws) -> str:
        return str(uuid.UUID(int=draws.number("id") << 64 | len(self.entries)))

    def _recorded(self, draws: Draws, at: Instant) -> Instant:
        """When it was written down: mostly at once, often late, sometimes by a clock behind."""
        chance = draws.chance("recorded")
        if chance < 0.6:
            return at + draws.below("minutes", 5) * MINUTE
        if chance < 0.85:
            return at + draws.below("hours", 48) * HOUR
        return at - draws.below("behind", 40) * MINUTE if chance < 0.95 else at

    def _details(self, draws: Draws, kind: str) -> Details:
        if kind == "plan":
            return self._plan(draws)
        if kind == "stock":
            return self._stock(draws)
        given: Details = {}
        for name, (chance, values) in {**FIELDS.get(kind, {}), **self.more.get(kind, {})}.items():
            if draws.chance(f"{name} given") < chance:
                given[name] = draws.choice(name, values)
        if kind == "suction" and draws.chance("vacuum given") < 0.2:
            unit = draws.choice("vacuum_unit", ["kPa", "mmHg"])
            given |= {"vacuum": draws.choice("vacuum", [15, 21, 160]), "vacuum_unit": unit}
        incidents = [entry for entry in self.entries if entry.kind == "incident"]
        if kind == "incident" and incidents and draws.chance("ends given") < 0.4:
            given["ends"] = draws.choice("ends", incidents).id
        if kind == "seen" and given["rule"] == "incident":
            given["subject"] = draws.choice("subject", ["tube_out", "power_cut", "other"])
        return given

    def _stock(self, draws: Draws) -> Details:
        given: Details = {"item": draws.choice("item", ["suction catheter 12 Fr", "dressing"])}
        if draws.chance("counted") < 0.7:
            given["count"] = draws.choice("count", [0, 5, 20, 40])
        else:
            given["delta"] = draws.choice("delta", [30, -5])
        if draws.chance("expiry given") < 0.3:
            given["expiry"] = draws.choice("expiry", ["2026-10-28", "2026-11-20"])
        return given

    def _plan(self, draws: Draws) -> Details:
        tasks: dict[str, Details] = {}
        for number, task in enumerate(TASKS):
            if draws.chance(f"task {number}") < 0.6:
                tasks[task["kind"]] = task
        limits = {name: limit for name, limit in LIMITS.items() if draws.chance(f"limit {name}") < 0.6}
        given: Details = {"set_by": "a nurse", "tasks": list(tasks.values()), "limits": limits}
        if draws.chance("quiet") < 0.6:
            given["quiet"] = ["23:00", "06:00"]
        if self.more:
            limits |= {name: x for name, x in MORE_LIMITS.items() if draws.chance(f"more {name}") < 0.5}
            given |= {name: True for name in ALLOWED if draws.chance(name) < 0.15}
        if draws.chance("from given") < 0.2:
            begin = FIRST + draws.below("from", self.days * 24) * HOUR
            given["from"] = Moment(begin).text()
        return given


def seeds_of(random: Random, count: int) -> list[int]:
    """So many numbers of entries."""
    return [random.getrandbits(32) for _ in range(count)]


def household(random: Random, count: int, days: int, is_fuller: bool = False) -> list[Entry]:
    """The entries of a made-up household over some days."""
    return Household(days, is_fuller).write(seeds_of(random, count))
