"""A dozen made-up weeks, each with four weeks before it: what a nurse may be handed.

All names, numbers and readings are invented. The week that is looked at ends with Sunday 29 November 2026.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from random import Random
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE, SECOND, Home, Instant

UNTIL = date(2026, 11, 29)
FIRST = UNTIL - timedelta(days=34)  # four weeks, then the seven days
HOME = Home("Europe/London")
DAY = 28  # the number of the first of the seven days

Said = tuple[Instant, str, str, dict[str, Any], str]
PERSON: dict[str, Any] = {
    "name": "Harriet Quillon",
    "born": "1961-05-09",
    "home_zone": HOME.name,
    "upper_airway": "partly",
    "helped_by": "nothing",
    "allergies": "zinc oxide tape (rash)",
    "swallow": "soft food, thickened drinks, sits upright",
    "communication": "speaking valve by day, writes at night, squeezes a hand for yes",
    "reason": "narrowed upper airway after surgery",
    "emergency_plan": "Call the emergency number first. The box is on the shelf by the bed. Then the ward.",
}
TUBE: dict[str, Any] = {
    "id_mm": 7.5,
    "od_mm": 10.5,
    "length_mm": 76,
    "cuff": "air",
    "fenestrated": False,
    "inner_tube": "reusable",
    "inner_id_mm": 6,
    "lot": "Q4417",
    "reason": "planned",
    "ease": "easy",
    "bleeding": "none",
    "next_due": "2026-12-20",
}
TASKS: list[dict[str, Any]] = [
    {"kind": "inner_tube", "every_h": 8, "grace_min": 60},
    {"kind": "cuff_pressure", "every_h": 12, "grace_min": 60},
    {"kind": "stoma", "every_h": 24, "grace_min": 120},
    {"kind": "ties", "every_h": 24, "grace_min": 120},
    {"kind": "humidity", "where": {"device": "hme"}, "every_h": 24, "grace_min": 120},
    {"kind": "humidity", "where": {"device": "nebuliser"}, "times": ["08:00", "15:00"], "grace_min": 60},
    {"kind": "mouth_care", "times": ["08:00", "13:00", "21:00"], "grace_min": 90},
    {"kind": "box_check", "every_h": 24, "grace_min": 180},
    {"kind": "equipment_check", "where": {"device": "suction_machine"}, "every_h": 24, "grace_min": 180},
]
PLAN: dict[str, Any] = {
    "set_by": "Nell Tarrowby, visiting nurse",
    "quiet": ["23:00", "06:00"],
    "tasks": TASKS,
    "limits": {
        "cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"},
        "vacuum": {"high": 20, "unit": "kPa"},
        "temperature_c": {"high": 38},
        "spo2_percent": {"low": 92},
    },
    "catheter_fr": 8,
    "lead_days": 7,
    "reserve_days": 7,
    "instructions": "Clean the inner tube sooner if breathing is noisy. Sit up for suction.",
}
CONTACTS = (
    {"role": "emergency", "name": "Emergency number", "phone": "01632 960 999", "for": "emergency"},
    {"role": "ward", "name": "Ward line", "phone": "01632 960 118", "when": "any time", "for": "night"},
    {"role": "visiting nurse", "name": "Nell Tarrowby", "phone": "01632 960 224", "for": "team"},
    {"role": "supplies", "name": "Order line", "phone": "01632 960 331", "for": "supplies"},
    {"role": "sister", "name": "Ada Brindle", "phone": "01632 960 457", "for": "family"},
)
RECORDERS = (
    ("MQ", "Milo Quillon", "relative"),
    ("HQ", "Harriet Quillon", "self"),
    ("PA", "Petra Amberley", "carer"),
    ("NT", "Nell Tarrowby", "nurse"),
)
BOX = {
    "present": ["inner_tubes", "syringe", "ties", "dressing", "mask", "gel", "gloves", "scissors"],
    "spare_same": {"id_mm": 7.5, "cuff": "air", "expiry": "2029-01-31"},
    "spare_smaller": {"id_mm": 6.5, "cuff": "air", "expiry": "2028-09-30"},
}


@dataclass
class House:
    """One household: what its days hold, and what is said of it beside that."""

    person: dict[str, Any] = field(default_factory=lambda: dict(PERSON))
    tube: dict[str, Any] = field(default_factory=lambda: dict(TUBE))
    plan: dict[str, Any] = field(default_factory=lambda: dict(PLAN))
    recorders: tuple[tuple[str, str, str], ...] = RECORDERS
    contacts: tuple[dict[str, Any], ...] = CONTACTS
    suctions: float = 9.5
    readings: tuple[int, ...] = (8,)
    has_cuff: bool = True
    has_inner: bool = True
    ill: dict[int, float] = field(default_factory=dict)
    """How ill the person is on a day, from 0 to 1."""
    silent: tuple[tuple[Instant, Instant], ...] = ()
    """Stretches of which nothing was written down."""
    extra: Callable[["House", Random], Iterator[Said]] | None = None
    described: Callable[[int], dict[str, Any]] | None = None
    """What was found of the stoma on a day."""

    def entries(self) -> list[Entry]:
        """All that was written, in the order of its writing."""
        random = Random(f"{self.person['name']} {self.suctions}")
        said = [*self._first(), *(one for number in range(35) for one in _day(self, number, random))]
        said += self.extra(self, random) if self.extra else ()
        kept = [one for one in said if not any(start <= one[0] < end for start, end in self.silent)]
        return [_entry(number, *one) for number, one in enumerate(sorted(kept, key=lambda one: one[0]))]

    def _first(self) -> Iterator[Said]:
        start = at(0, "00:05")
        firsts = [("person", self.person)]
        firsts += [
            ("recorder", {"initials": i, "name": name, "role": role}) for i, name, role in self.recorders
        ]
        firsts += [("contact", dict(each)) for each in self.contacts]
        firsts += [("tube_change", self.tube), ("plan", self.plan)]
        for number, (kind, details) in enumerate(firsts):
            yield start + number * MINUTE, kind, self.recorders[0][0], details, ""


def at(number: int, clock: str) -> Instant:
    """A time of the numbered day, from 0."""
    return HOME.at(FIRST + timedelta(days=number), time.fromisoformat(clock))


def _entry(number: int, at: Instant, kind: str, by: str, details: dict[str, Any], note: str) -> Entry:
    return Entry(
        id=str(details.get("id") or f"00000000-0000-4000-8000-{number:012}"),
        kind=kind,
        at=HOME.moment(at),
        zone=HOME.name,
        recorded_at=at + 40 * SECOND,
        by=by,
        details={name: value for name, value in details.items() if name != "id"},
        note=note,
    )


def _day(house: House, number: int, random: Random) -> Iterator[Said]:
    first, second = house.recorders[0][0], house.recorders[1][0]

    def who(hour: int) -> str:
        return random.choice((first, first, second)) if 8 <= hour < 20 else first

    def said(hour: int, minute: int, kind: str, details: dict[str, Any], note: str = "") -> Said:
        shift = random.randint(-9, 9) * MINUTE
        return at(number, f"{hour:02}:{minute:02}") + shift, kind, who(hour), details, note

    ill = house.ill.get(number, 0.0)
    if house.has_inner:
        for hour, minute in ((6, 25), (14, 10), (21, 40)):
            found = "crusted" if ill > 0.5 and hour < 12 else random.choice(("clear", "coated", "coated"))
            yield said(hour, minute, "inner_tube", {"outcome": "cleaned", "found": found})
    if house.has_cuff:
        for hour in (8, 20):
            yield said(hour, 5, "cuff_pressure", {"value": random.randint(23, 28), "unit": "cmH2O"})
    stoma = {"crust": "none", "skin": "whole", "fluid": "none", "cleaned": True}
    stoma |= {"dressing": "changed"} if number % 2 == 0 else {}
    yield said(9, 10, "stoma", stoma | (house.described(number) if house.described else {}))
    yield said(9, 25, "ties", {"action": "changed" if number % 3 == 0 else "checked", "fit": "one_finger"})
    yield said(9, 40, "humidity", {"device": "hme", "action": "changed"})
    for hour in (8, 15):
        yield said(hour, 12, "humidity", {"device": "nebuliser", "action": "given"})
    for hour, minute in ((7, 40), (13, 5), (21, 5)):
        yield said(hour, minute, "mouth_care", {})
    yield said(8, 30, "box_check", BOX)
    works = {"device": "suction_machine", "works": True, "canister": "emptied", "charged": True}
    yield said(8, 40, "equipment_check", works)
    for hour in house.readings:
        temperature = round(36.5 + random.random() * 0.5 + 1.6 * ill, 1)
        spo2 = 97 - random.randint(0, 2) - round(3 * ill)
        yield said(hour, 2, "observations", {"temperature_c": temperature, "spo2_percent": spo2})
    for _ in range(round(random.gauss(house.suctions, 1.1) * (1 + 1.4 * ill))):
        hour = random.choice((1, 3, 5, *range(6, 24)))
        yield said(hour, random.randint(10, 49), "suction", _secretions(random, ill))
    if house.has_cuff and house.has_inner and number % 3 == 1:
        yield from _talking(number, first)


def _secretions(random: Random, ill: float) -> dict[str, Any]:
    pick = random.choices
    details: dict[str, Any] = {"route": "tracheal", "blood": "none", "passes": 1, "catheter_fr": 8}
    if random.random() < 0.8 * ill:
        bad = {"colour": pick(("yellow", "green"), (3, 1))[0], "consistency": pick(("thick", "sticky"))[0]}
        return details | bad | {"amount": pick(("moderate", "large"))[0], "passes": 2}
    details["colour"] = pick(("clear", "white", "cream"), (3, 6, 1))[0]
    details["consistency"] = pick(("thin", "thick"), (8, 2))[0]
    return details | {"amount": pick(("small", "moderate"), (7, 3))[0]}


def _talking(number: int, by: str) -> Iterator[Said]:
    begin = at(number, "11:30")
    for minutes, kind, details in (
        (0, "cuff_state", {"state": "down"}),
        (2, "valve", {"what": "valve", "action": "on", "cuff_down": True}),
        (95, "valve", {"what": "valve", "action": "off"}),
        (98, "cuff_state", {"state": "up"}),
    ):
        yield begin + minutes * MINUTE, kind, by, details, ""


def _talk(*lines: tuple[int, str, str, str]) -> Callable[[House, Random], Iterator[Said]]:
    """Notes and questions: day, time, kind, words."""

    def extra(house: House, _random: Random) -> Iterator[Said]:
        for number, clock, kind, note in lines:
            yield at(number, clock), kind, house.recorders[0][0], {}, note

    return extra


def usual() -> House:
    """Nothing out of the ordinary; a question and a note."""
    return House(
        extra=_talk(
            (29, "12:10", "question", "Can the ties be a size shorter?"),
            (31, "18:30", "note", "Dry air today, bowl of water by the heater."),
        )
    )


def ill() -> House:
    """From Thursday on a chest infection: more, thicker, yellow, and a temperature."""

    def extra(_house: House, _random: Random) -> Iterator[Said]:
        yield at(32, "09:30"), "ill", "MQ", {"action": "start"}, ""
        yield at(32, "11:00"), "note", "MQ", {}, "Rang the ward; they will send the chest nurse on Saturday."
        yield at(33, "14:00"), "observations", "MQ", {"temperature_c": 38.6, "spo2_percent": 91}, ""
        yield at(34, "10:00"), "incident", "MQ", {"what": "breathing", "called": "team"}, "Better sitting up."
        yield at(33, "19:00"), "question", "HQ", {}, "Should the nebuliser be given more often?"

    return House(ill={31: 0.5, 32: 0.9, 33: 1.0, 34: 1.0}, readings=(8, 20), extra=extra)


def child() -> House:
    """Three years old, a small tube without cuff or inner tube, many suctions, two parents."""
    person = {**PERSON, "name": "Odile Marchbanks", "born": "2023-02-17", "helped_by": "ventilator_at_night"}
    tube = {k: v for k, v in TUBE.items() if k not in ("inner_id_mm", "od_mm")}
    plan = {**PLAN, "tasks": [t for t in TASKS if t["kind"] not in ("inner_tube", "cuff_pressure")]}
    recorders = (("JM", "June Marchbanks", "relative"), ("BM", "Basil Marchbanks", "relative"))
    return House(
        person={**person, "upper_airway": "open"},
        tube={**tube, "id_mm": 4, "cuff": "none", "inner_tube": "none", "length_mm": 41},
        plan={**plan, "limits": {"spo2_percent": {"low": 92}, "temperature_c": {"high": 38}}},
        recorders=recorders,
        suctions=21,
        readings=(8, 20),
        has_cuff=False,
        has_inner=False,
        extra=_talk(
            (30, "16:00", "note", "Pulled at the ties in the bath."),
            (33, "20:10", "question", "May she go swimming with the others in spring?"),
        ),
    )


def stopped_writing() -> House:
    """Nobody wrote anything down from Wednesday noon on."""
    return House(silent=((at(30, "12:20"), at(35, "00:00")),), extra=_talk((29, "18:00", "note", "Tired.")))


def hospital_stay() -> House:
    """In hospital from Tuesday to Friday, for the tube's change under sight."""

    def extra(_house: House, _random: Random) -> Iterator[Said]:
        yield at(29, "10:00"), "stay", "MQ", {"action": "start", "where": "hospital"}, "Planned."
        yield at(32, "15:30"), "stay", "MQ", {"action": "end"}, ""
        tube = {**TUBE, "lot": "Q4502", "next_due": "2026-12-24", "done_by": "ward"}
        yield at(31, "11:00"), "tube_change", "MQ", tube, ""
        yield at(33, "09:50"), "note", "MQ", {}, "The ward says: cuff a little lower if it rubs."

    return House(silent=((at(29, "10:01"), at(31, "10:59")), (at(31, "11:01"), at(32, "15:29"))), extra=extra)


def very_full() -> House:
    """Forty suctions a day, four readings a day, a note each day, two carers in turns."""

    def extra(_house: House, random: Random) -> Iterator[Said]:
        for number in range(28, 35):
            yield at(number, "07:05"), "shift", "PA", {"action": "end"}, ""
            yield at(number, "21:55"), "shift", "PA", {"action": "start"}, ""
            yield at(number, "19:15"), "note", "MQ", {}, random.choice(("Restless.", "Slept in the chair."))
            yield at(number, "12:05"), "question", "HQ", {}, f"Question {number - 27}: is this usual?"

    return House(suctions=40, readings=(2, 8, 14, 20), extra=extra)


def tube_changed() -> House:
    """The tube was changed on Thursday, hard, with a little blood; the smaller one went in."""

    def extra(_house: House, _random: Random) -> Iterator[Said]:
        tube = {**TUBE, "id_mm": 7, "ease": "hard", "bleeding": "streaks", "done_by": "Nell Tarrowby"}
        yield (
            at(31, "10:20"),
            "tube_change",
            "NT",
            tube | {"next_due": "2026-12-22"},
            "Second try, 7 went in.",
        )
        blood = {"route": "tracheal", "colour": "pink", "consistency": "thin", "blood": "streaks"}
        yield at(31, "10:45"), "suction", "NT", blood, ""
        yield at(31, "12:15"), "suction", "MQ", blood, ""
        told = {"rule": "blood", "told": "Nell Tarrowby"}
        yield at(31, "12:30"), "seen", "MQ", told, "She had expected it."

    return House(extra=extra)


def plan_changed_twice() -> House:
    """The plan was changed on Tuesday and on Friday."""

    def extra(house: House, _random: Random) -> Iterator[Said]:
        cuff = {"low": 22, "high": 28, "unit": "cmH2O"}
        first = {**house.plan, "limits": {**house.plan["limits"], "cuff_pressure": cuff}}
        tasks = [{**each, "every_h": 6} if each["kind"] == "inner_tube" else each for each in TASKS]
        yield at(29, "15:00"), "plan", "NT", first, ""
        second = {**first, "set_by": "Dr Orla Fenwick", "tasks": tasks, "instructions": "Sit up for suction."}
        yield at(32, "16:10"), "plan", "NT", second, ""
        yield at(32, "16:20"), "visit", "NT", {"nurse": "Nell Tarrowby", "until": "2026-11-29"}, ""

    return House(extra=extra)


def no_cuff() -> House:
    """A tube without cuff, a speaking valve for most of each day."""

    def extra(house: House, _random: Random) -> Iterator[Said]:
        for number in range(35):
            valve = {"what": "valve"}
            yield at(number, "08:45"), "valve", "HQ", {**valve, "action": "on"}, ""
            if number != 32:
                yield at(number, "20:15"), "valve", "HQ", {**valve, "action": "off"}, ""
            else:
                yield at(number, "22:40"), "valve", "HQ", {**valve, "action": "off"}, "Forgot it on."

    tasks = [each for each in TASKS if each["kind"] != "cuff_pressure"]
    return House(
        tube={**TUBE, "cuff": "none"}, plan={**PLAN, "tasks": tasks}, has_cuff=False, extra=extra, suctions=6
    )


def wounds() -> House:
    """The skin around the stoma got worse from Tuesday on."""

    def described(number: int) -> dict[str, Any]:
        if number < 29:
            return {}
        worse = {"skin": "red" if number < 31 else "broken", "fluid": "coloured", "fluid_from": "skin_edge"}
        return worse | {"pain": min(number - 27, 6), "barrier_cream": True, "crust": "stuck"}

    return House(
        person={**PERSON, "upper_airway": "none"},
        described=described,
        extra=_talk(
            (30, "09:20", "note", "Foam dressing rubs at the lower edge, cut it smaller."),
            (32, "09:30", "question", "Is the cream still right? It doesn't get better."),
        ),
    )


def long_names() -> House:
    """Two recorders with very long names, long notes, a long list of contacts."""
    long = "Philippa-Wilhelmina Featherstonehaugh-Cholmondeley-Worthington"
    recorders = (
        ("PWFCW", long, "relative"),
        ("AMvdVZ", "Alexander-Maximilian van der Vlugt-Zwanenburg the Younger", "carer"),
    )
    contacts = tuple(
        {**each, "name": f"{each['name']} of the Long-Term Home Support Office"} for each in CONTACTS
    )
    note = "The night was long and she was awake from two on; we turned the heater down and opened a window. "
    return House(
        person={**PERSON, "name": long},
        recorders=recorders,
        contacts=contacts,
        extra=_talk((29, "07:00", "note", note * 4), (32, "07:30", "note", note * 2)),
    )


def arabic() -> House:
    """Names and notes in Arabic letters."""
    recorders = (("سم", "سلمى المنصوري", "relative"), ("كد", "كريم الدوسري", "carer"))
    return House(
        person={**PERSON, "name": "ليلى المنصوري", "allergies": "شريط أكسيد الزنك"},
        recorders=recorders,
        extra=_talk(
            (30, "18:00", "note", "نامت جيدا. الضمادة جافة."),
            (33, "10:00", "question", "هل يمكن تقصير الأربطة؟"),
        ),
    )


WEEKS: dict[str, Callable[[], House]] = {
    each.__name__: each
    for each in (
        usual,
        ill,
        child,
        stopped_writing,
        hospital_stay,
        very_full,
        tube_changed,
        plan_changed_twice,
        no_cuff,
        wounds,
        long_names,
        arabic,
    )
}
