"""Made-up households of every kind that a flag reads, with changes, late entries and wrong clocks."""

import uuid
from collections.abc import Sequence
from datetime import date, timedelta
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


class Household:
    """One household as it grows."""

    def __init__(self, random: Random, days: int, is_fuller: bool = False) -> None:
        """`is_fuller`: with more of each kind, and more kinds."""
        self.random = random
        self.days = days
        self.more = MORE if is_fuller else {}
        self.entries: list[Entry] = []

    def write(self, count: int) -> list[Entry]:
        """So many entries, a quarter of them changes."""
        for _ in range(count):
            if self.entries and self.random.random() < 0.25:
                self._change(self.random.choice(self.entries[-15:]))
            else:
                self._write(self.random.choice((*KINDS, *self.more)))
        return self.entries

    def _write(self, kind: str) -> None:
        at = FIRST + self.random.randrange(self.days * DAY_24_H // STEP) * STEP
        zone = self.random.choice(["", "Europe/London"])
        entry = Entry(self._id(), kind, Moment(at), self._recorded(at), zone, "AB", self._details(kind))
        self.entries.append(entry)

    def _change(self, target: Entry) -> None:
        random, withdrawn = self.random, self.random.random() < 0.4
        keeps = random.random() < 0.4 and not target.withdrawn
        details = dict(target.details) if keeps else self._details(target.kind)
        at = target.at
        if not withdrawn and random.random() < 0.4:
            at = Moment(at.instant + random.randrange(-60, 60) * MINUTE)
        change = Entry(
            self._id(),
            target.kind,
            at,
            target.recorded_at + random.randrange(-10, 600) * MINUTE,
            by="AB",
            details={} if withdrawn else details,
            amends=target.id,
            reason="a slip",
            withdrawn=withdrawn,
        )
        self.entries.append(change)

    def _id(self) -> str:
        return str(uuid.UUID(int=self.random.getrandbits(64) << 64 | len(self.entries)))

    def _recorded(self, at: Instant) -> Instant:
        """When it was written down: mostly at once, often late, sometimes by a clock behind."""
        chance = self.random.random()
        if chance < 0.6:
            return at + self.random.randrange(5) * MINUTE
        if chance < 0.85:
            return at + self.random.randrange(48) * HOUR
        return at - self.random.randrange(40) * MINUTE if chance < 0.95 else at

    def _details(self, kind: str) -> Details:
        if kind == "plan":
            return self._plan()
        if kind == "stock":
            return self._stock()
        given: Details = {}
        for name, (chance, values) in {**FIELDS.get(kind, {}), **self.more.get(kind, {})}.items():
            if self.random.random() < chance:
                given[name] = self.random.choice(values)
        if kind == "suction" and self.random.random() < 0.2:
            unit = self.random.choice(["kPa", "mmHg"])
            given |= {"vacuum": self.random.choice([15, 21, 160]), "vacuum_unit": unit}
        incidents = [entry for entry in self.entries if entry.kind == "incident"]
        if kind == "incident" and incidents and self.random.random() < 0.4:
            given["ends"] = self.random.choice(incidents).id
        if kind == "seen" and given["rule"] == "incident":
            given["subject"] = self.random.choice(["tube_out", "power_cut", "other"])
        return given

    def _stock(self) -> Details:
        given: Details = {"item": self.random.choice(["suction catheter 12 Fr", "dressing"])}
        if self.random.random() < 0.7:
            given["count"] = self.random.choice([0, 5, 20, 40])
        else:
            given["delta"] = self.random.choice([30, -5])
        if self.random.random() < 0.3:
            given["expiry"] = self.random.choice(["2026-10-28", "2026-11-20"])
        return given

    def _plan(self) -> Details:
        tasks: dict[str, Details] = {}
        for task in TASKS:
            if self.random.random() < 0.6:
                tasks[task["kind"]] = task
        limits = {name: limit for name, limit in LIMITS.items() if self.random.random() < 0.6}
        given: Details = {"set_by": "a nurse", "tasks": list(tasks.values()), "limits": limits}
        if self.random.random() < 0.6:
            given["quiet"] = ["23:00", "06:00"]
        if self.more:
            limits |= {name: each for name, each in MORE_LIMITS.items() if self.random.random() < 0.5}
            given |= {name: True for name in ALLOWED if self.random.random() < 0.15}
        if self.random.random() < 0.2:
            begin = FIRST + self.random.randrange(self.days * 24) * HOUR
            given["from"] = Moment(begin).text()
        return given


def household(random: Random, count: int, days: int, is_fuller: bool = False) -> list[Entry]:
    """The entries of a made-up household over some days."""
    return Household(random, days, is_fuller).write(count)
