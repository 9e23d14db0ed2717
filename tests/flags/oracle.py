"""The rules of care written once more, naively: at each moment everything is read and judged anew.

Nothing here is quick, and nothing is shared with the program but entries in force, plans and dues.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from datetime import time as clock_time
from functools import partial
from itertools import pairwise
from typing import Any

from carelog.analysis.due import dues
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.plans import plan_at
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant
from carelog.domain.units import comparable, exact

HOUR = 3_600_000_000
DAY = 24 * HOUR
NOTE, CALL, URGENT = 1, 2, 3
TOLD = {
    "valve_cuff_up",
    "blood",
    "froth",
    "breathing",
    "catheter_not_passed",
    "crackling",
    "tube_change_failed",
    "incident",
    "swelling_after_change",
    "tube_change_hard",
    "valve_at_night",
    "cuff_at_night",
}
LASTS_A_DAY = {
    "blood",
    "catheter_not_passed",
    "smell",
    "food_seen",
    "inner_tube_blocking",
    "incident",
    "plug",
    "swelling_after_change",
}
FALLS = {"tube_age", "expiry", "incident", "registration", "equipment"}

Key = tuple[str, str | None]


@dataclass
class Shown:
    """One thing that shows a flag now."""

    what: str
    level: int
    known: Instant
    time: Instant
    ids: tuple[str, ...]
    lost: str = ""
    """The entry of the losing side that shows it."""


@dataclass
class Life:
    """A flag as it was told."""

    rule: str
    subject: str | None
    level: int
    raised: Instant
    ended: Instant | None = None
    by: str | None = None
    ids: set[str] = field(default_factory=set)
    held: set[str] = field(default_factory=set)
    at_level: bool = True


def order(held: Held) -> tuple[Instant, Instant, str]:
    """The reading order."""
    return held.time, held.known, held.entry.id


def since_first(reading: Reading, held: Held, shows: Callable[[Entry], bool]) -> Instant:
    """When the versions of an entry first showed it without a break."""
    by_id = {entry.id: entry for entry in held.chain}
    entry, known = held.entry, held.known
    while entry.amends in by_id and shows(by_id[entry.amends]):
        entry = by_id[entry.amends]
        known = min(known, reading.known_from(entry.id))
    return known


def _shows_like(shows: Callable[[Entry], int], level: int) -> Callable[[Entry], bool]:
    return lambda old: shows(old) == level


def place_of(reading: Reading, shown: Shown) -> tuple[Instant, Instant, str]:
    """Where in the reading order the entry stands that shows it."""
    if shown.lost:
        return shown.time, shown.known, shown.lost
    held = reading.get(shown.what)
    assert held is not None
    return order(held)


def losing(reading: Reading, kind: str) -> Iterable[tuple[str, Entry]]:
    """The losing sides of conflicts nobody has settled, each with the first entry of its chain."""
    for held in reading.held:
        if held.entry.kind == kind:
            yield from ((held.first.id, each) for each in held.rivals[1:] if not each.withdrawn)
    for struck in reading.withdrawn:
        if struck.entry.kind == kind:
            yield from ((struck.first.id, each) for each in struck.rivals[1:] if not each.withdrawn)


def single(
    reading: Reading, kind: str, shows: Callable[[Entry], int], least: int | None = None
) -> list[Shown]:
    """Entries that show something each by itself; losing sides do from a level on, if one is given."""
    found = []
    for root, entry in losing(reading, kind):
        if least is not None and shows(entry) >= least:
            known = reading.known_from(entry.id)
            is_doubtful = entry.at.instant > known + HOUR // 4
            time = known if is_doubtful else entry.at.instant
            found.append(Shown(root, shows(entry), known, time, (entry.id,), entry.id))
    for held in reading.of(kind):
        level = shows(held.entry)
        if level:
            known = since_first(reading, held, _shows_like(shows, level))
            found.append(Shown(held.first.id, level, known, held.time, (held.entry.id,)))
    return found


def froth(reading: Reading) -> list[Shown]:
    def shows(entry: Entry) -> int:
        d = entry.details
        red = d.get("colour") in ("pink", "red") or d.get("blood") in ("streaks", "fresh")
        return URGENT if d.get("frothy") and red else 0

    return single(reading, "suction", shows, URGENT)


def breathing(reading: Reading) -> list[Shown]:
    def shows(entry: Entry) -> int:
        return URGENT if entry.details.get("breathing_after") == "harder" else 0

    return single(reading, "suction", shows, URGENT)


def crackling(reading: Reading) -> list[Shown]:
    return single(reading, "stoma", lambda e: URGENT if e.details.get("crackling") else 0, URGENT)


def food_seen(reading: Reading) -> list[Shown]:
    return single(reading, "suction", lambda e: CALL if e.details.get("food_seen") else 0)


def blocking(reading: Reading) -> list[Shown]:
    return single(reading, "inner_tube", lambda e: CALL if e.details.get("found") == "blocked" else 0)


def catheter(reading: Reading) -> list[Shown]:
    levels = {"no": URGENT, "tight": CALL}
    found = single(reading, "suction", lambda e: levels.get(str(e.details.get("catheter_passed")), 0), URGENT)
    free = [
        (held.first.id, order(held))
        for held in reading.of("suction")
        if held.entry.details.get("catheter_passed") == "freely"
        and held.entry.details.get("route") not in ("oral", "subglottic")
    ]
    return [each for each in found if not _ended(reading, each, free)]


def _ended(reading: Reading, shown: Shown, by: Sequence[tuple[str, tuple[Instant, Instant, str]]]) -> bool:
    """Whether a later entry ended it, the other side of its own conflict apart."""
    return any(root != shown.what and place > place_of(reading, shown) for root, place in by)


def failed(reading: Reading) -> list[Shown]:
    found = single(
        reading, "tube_change", lambda e: URGENT if e.details.get("ease") == "failed" else 0, URGENT
    )
    placed = [
        (held.first.id, order(held))
        for held in reading.of("tube_change")
        if held.entry.details.get("ease") != "failed"
    ]
    return [each for each in found if not _ended(reading, each, placed)]


def incidents(reading: Reading, what: str) -> list[Shown]:
    def shows(entry: Entry) -> int:
        d = entry.details
        if d.get("what") != what or "ends" in d:
            return 0
        level = {"power_cut": CALL, "equipment": CALL, "other": NOTE}.get(what, URGENT)
        if what == "power_cut" and helped(reading, entry.at.instant) == "ventilator_always":
            level = URGENT
        if level == URGENT:
            return CALL if d.get("called") == "emergency" else URGENT
        return NOTE if level == CALL and d.get("called") in ("team", "emergency") else level

    targets = [held.entry.details["ends"] for held in reading.of("incident") if "ends" in held.entry.details]
    ended = {reading._root.get(target, target) for target in targets}
    return [each for each in single(reading, "incident", shows, NOTE) if each.what not in ended]


def helped(reading: Reading, moment: Instant) -> str | None:
    """What helped the person to breathe at a moment."""
    said = [h for h in reading.of("person") if h.time <= moment and "helped_by" in h.entry.details]
    return said[-1].entry.details["helped_by"] if said else None


def out_at(reading: Reading) -> Held | None:
    """The newest entry of the tube's being taken out for good."""
    return reading.of("decannulation")[-1] if reading.of("decannulation") else None


def while_tube(reading: Reading, found: list[Shown]) -> list[Shown]:
    """What was shown since the tube was last taken out for good."""
    out = out_at(reading)
    return [each for each in found if out is None or place_of(reading, each) > order(out)]


def placed(reading: Reading) -> Held | None:
    """The tube in place."""
    tubes = [held for held in reading.of("tube_change") if held.entry.details.get("ease") != "failed"]
    out = out_at(reading)
    if not tubes or (out is not None and order(out) > order(tubes[-1])):
        return None
    return tubes[-1]


def stuck(reading: Reading) -> list[Shown]:
    found = []
    for held in reading.of("inner_tube"):
        if held.entry.details["outcome"] != "stuck":
            continue
        freed = [
            other
            for other in [*reading.of("inner_tube"), *reading.of("tube_change")]
            if order(other) > order(held)
            and other.entry.details.get("outcome") != "stuck"
            and other.entry.details.get("ease") != "failed"
        ]
        hard = [
            suction.entry.id
            for suction in reading.of("suction")
            if abs(suction.time - held.time) <= 2 * HOUR
            and (
                suction.entry.details.get("breathing_after") == "harder"
                or suction.entry.details.get("catheter_passed", "freely") != "freely"
            )
        ]
        if not freed:
            ids = (held.entry.id, *hard)
            found.append(Shown(held.first.id, URGENT if hard else CALL, held.known, held.time, ids))
    return found


def run(held: Iterable[Held], outside: Callable[[Held], int]) -> list[Shown]:
    """The newest readings in a row that are outside (their level; 0: inside; −1: says nothing)."""
    found: list[Shown] = []
    for each in held:
        level = outside(each)
        if level > 0:
            found.append(Shown(each.first.id, level, each.known, each.time, (each.entry.id,)))
        elif level == 0:
            found = []
    return found


def limited(reading: Reading, rule: str, names: Sequence[str], defaults: dict[str, float]) -> list[Shown]:
    """Readings beyond the plan's limits or the defaults, but for those settled by a telling."""

    def level(entry: Entry, time: Instant) -> int:
        plan = plan_at(reading, time)
        given = plan.details.get("limits", {}).get(names[0], {}) if plan else {}
        limits, worst = {**defaults, **given}, 0
        for name in names:
            if name not in entry.details:
                continue
            value = exact(entry.details[name])
            if name == "temperature_f":
                tenths = (value - 32) / exact(1.8) * 10 + exact(0.5)
                value = exact(0.1) * (tenths.numerator // tenths.denominator)
            high, low = limits.get("high"), limits.get("low")
            beyond = high is not None and (value > exact(high) or (defaults and value == exact(high)))
            if beyond or (low is not None and value < exact(low)):
                worst = max(worst, CALL)
            if "urgent_high" in limits and value > exact(limits["urgent_high"]):
                worst = URGENT
            if "urgent_low" in limits and value < exact(limits["urgent_low"]):
                worst = URGENT
        return worst

    def shows(wanted: int, entry: Entry) -> bool:
        return level(entry, entry.at.instant) == wanted

    found: list[Shown] = []
    inside: list[Held] = []
    for held in reading.of("observations"):
        if not any(name in held.entry.details for name in names):
            continue
        now = level(held.entry, held.time)
        if not now:
            found = []
            inside.append(held)
            continue
        known = since_first(reading, held, partial(shows, now))
        found.append(Shown(held.first.id, now, known, held.time, (held.entry.id,)))
    for root, entry in losing(reading, "observations"):
        known = reading.known_from(entry.id)
        time = known if entry.at.instant > known + HOUR // 4 else entry.at.instant
        is_over = any(order(each) > (time, known, entry.id) for each in inside if each.first.id != root)
        if level(entry, time) == URGENT and not is_over:
            found.append(Shown(root, URGENT, known, time, (entry.id,), entry.id))
    for recorded, time in sorted(tellings(reading, (rule, None))):
        covered = [each for each in found if each.known <= recorded and each.time <= time]
        if any(each.level == URGENT for each in covered):
            found = [each for each in found if each not in covered]
    return found


def cuff(reading: Reading, side: int) -> list[Shown]:
    """Readings over (1) or under (−1) the plan's limits, replayed from the first entry on."""
    found: list[Shown] = []
    tube, up, before = None, True, 0
    is_out = False
    kinds = ("tube_change", "cuff_state", "valve", "cuff_pressure", "decannulation")
    for held in sorted((h for kind in kinds for h in reading.of(kind)), key=order):
        d, was_up = held.entry.details, up
        if held.entry.kind == "decannulation":
            is_out, up, found = True, True, []
            continue
        if held.entry.kind == "tube_change":
            if d.get("ease") != "failed":
                tube, up, found, is_out = held, True, [], False
            continue
        if held.entry.kind == "cuff_state":
            up = d["state"] == "up"
        elif held.entry.kind == "valve":
            up = not d["cuff_down"] if "cuff_down" in d else up
        else:
            left = d.get("value_after", d["value"])
            if comparable(left, d["unit"], "cmH2O") >= 5:
                up = True
            elif d.get("value_after") == 0:
                up = False
            if is_out:
                before = 0
                continue
            level, before = _cuff_reading(reading, held, tube, was_up, up, side, before)
            if d.get("value_after") == 0:
                found = []
            if level > 0:
                found.append(Shown(held.first.id, level, held.known, held.time, (held.entry.id,)))
            elif level == 0:
                found = []
            continue
        says_down = d.get("state") == "down" or d.get("cuff_down") is True
        if says_down:
            found = []
    return found


def _cuff_reading(
    reading: Reading, held: Held, tube: Held | None, was_up: bool, is_up: bool, side: int, before: int
) -> tuple[int, int]:
    """A reading's level (0 inside, −1 says nothing) and whether it counts in a row."""
    d = held.entry.details
    plan = plan_at(reading, held.time)
    limits = plan.limits("cuff_pressure") if plan else {}
    if tube is not None and tube.entry.details["cuff"] != "air":
        return -1, 0

    def where(value: float) -> int:
        if not limits:
            return 0
        number = comparable(value, d["unit"], limits["unit"])
        if "high" in limits and number > exact(limits["high"]):
            return 1
        return -1 if "low" in limits and number < exact(limits["low"]) else 0

    judged = was_up or comparable(d["value"], d["unit"], "cmH2O") >= 5
    found = where(d["value"]) if judged else None
    left = where(d["value_after"]) if "value_after" in d and is_up else None
    if side not in (found, left):
        return (0 if found == 0 and left in (None, 0) else -1), 0
    mended = found not in (None, 0) and left == 0
    extreme = any(comparable(d[n], d["unit"], "cmH2O") > 50 for n in ("value", "value_after") if n in d)
    calls = not mended or before or (side > 0 and extreme)
    return (CALL if calls else NOTE), 1


CARE = {
    *("inner_tube", "suction", "cuff_pressure", "cuff_state", "stoma", "ties", "humidity", "valve"),
    *("observations", "mouth_care", "tube_change", "incident", "box_check", "equipment_check"),
}


def by_nurse(reading: Reading, entry: Entry) -> bool:
    """Whether a nurse recorded an entry, by what was known when it became known."""
    then = Reading(reading._entries.values(), known_by=reading.known_from(entry.id))
    roles = [h.entry.details["role"] for h in then.of("recorder") if h.entry.details["initials"] == entry.by]
    return bool(roles) and roles[-1] == "nurse"


def blood(reading: Reading) -> list[Shown]:
    def fresh(entry: Entry) -> int:
        d = entry.details
        if d.get("bleeding") == "fresh" and d.get("reason") == "planned" and by_nurse(reading, entry):
            return CALL
        return URGENT if "fresh" in (d.get("blood"), d.get("bleeding")) or d.get("colour") == "red" else 0

    def at_stoma(entry: Entry) -> int:
        if entry.details.get("fluid") != "blood":
            return 0
        return CALL if entry.details.get("fluid_from") == "skin_edge" else URGENT

    def stained(entry: Entry) -> bool:
        d = entry.details
        return not fresh(entry) and (d.get("blood") == "streaks" or d.get("colour") == "pink")

    def stained_within(start: Instant, end: Instant) -> Callable[[Entry], bool]:
        return lambda entry: stained(entry) and start <= entry.at.instant <= end

    found = single(reading, "suction", fresh, URGENT) + single(reading, "tube_change", fresh, URGENT)
    found += single(reading, "stoma", at_stoma, URGENT)
    found += single(
        reading, "suction", lambda e: CALL if stained(e) and e.details.get("amount") == "large" else 0
    )

    suctions = [held for held in reading.of("suction") if stained(held.entry)]
    pairs = [(a, b) for a, b in pairwise(suctions) if b.time - a.time <= DAY]
    days = sorted({reading.home.day(held.time) for held in reading.held if held.entry.kind in CARE})
    happened = {reading.home.day(second.time) for _, second in pairs}
    for first, second in pairs:
        back = [day for day in days if day <= reading.home.day(second.time)][:-3][-42:]
        if len(happened & set(back)) >= 3:
            continue
        known = max(
            since_first(reading, first, stained_within(second.time - DAY, second.time)),
            since_first(reading, second, stained_within(first.time, first.time + DAY)),
        )
        ids = (first.entry.id, second.entry.id)
        found.append(Shown(second.first.id, CALL, known, second.time, ids))
    return found


def smell(reading: Reading) -> list[Shown]:
    found = single(reading, "suction", lambda e: CALL if e.details.get("smell") == "new" else 0)
    looks = [held for held in reading.of("stoma") if "smell" in held.entry.details]
    for number, held in enumerate(looks):
        had = number > 0 and looks[number - 1].entry.details["smell"]
        if held.entry.details["smell"] and not had:
            known = since_first(reading, held, lambda e: e.details.get("smell") is True)
            found.append(Shown(held.first.id, CALL, known, held.time, (held.entry.id,)))
    return found


def valve(reading: Reading) -> list[Shown]:
    """What is on, replayed from the first entry, each with the entry since which the cuff isn't down."""
    on: dict[str, tuple[Held, Held | None]] = {}
    up: bool | None = None
    tube: Held | None = None
    is_out = False
    kinds = ("tube_change", "cuff_state", "valve", "cuff_pressure", "decannulation")
    for held in sorted((h for kind in kinds for h in reading.of(kind)), key=order):
        d, says = held.entry.details, None
        if held.entry.kind == "decannulation":
            on, up, tube, is_out = {}, None, None, True
            continue
        if held.entry.kind == "tube_change":
            if d.get("ease") != "failed":
                on, up, tube, is_out = {}, None, held, False
            continue
        if held.entry.kind == "cuff_state":
            says = d["state"] == "up"
        elif held.entry.kind == "valve":
            says = not d["cuff_down"] if "cuff_down" in d else None
        elif comparable(d.get("value_after", d["value"]), d["unit"], "cmH2O") >= 5:
            says = True
        elif d.get("value_after") == 0:
            says = False
        up = up if says is None else says
        for what, (valve_on, since) in list(on.items()):
            if says is not None:
                on[what] = (valve_on, (since or held) if says else None)
        if held.entry.kind == "valve":
            what = d.get("what", "valve")
            on.pop(what, None)
            if d["action"] == "on":
                on[what] = (held, held if up is not False else None)
    cuff = tube.entry.details["cuff"] if tube else "none" if is_out else "air"
    found = []
    for held, since in on.values():
        because = tube if cuff == "foam" else since if cuff != "none" else None
        if because is not None:
            time = max(held.time, because.time) if cuff != "foam" else held.time
            known = max(said_since(reading, each) for each in (held, because))
            ids = (held.entry.id,) if cuff == "foam" else (held.entry.id, because.entry.id)
            found.append(Shown(f"{held.first.id} {because.first.id}", URGENT, known, time, ids))
    return found


def said_since(reading: Reading, held: Held) -> Instant:
    """Since when the versions of an entry have said the same of valve and cuff."""
    names = ("what", "action", "cuff_down", "state", "value", "value_after", "unit", "cuff", "upper_airway")
    said = [held.entry.details.get(name) for name in names]
    return since_first(reading, held, lambda e: [e.details.get(name) for name in names] == said)


STOMA = {
    "skin": ["whole", "red", "broken/overgrown"],
    "fluid": ["none", "clear", "coloured"],
    "crust": ["none", "wipes_off", "stuck"],
}


def stoma(reading: Reading, now: Instant) -> list[Shown]:
    """The looks folded one by one: what got worse since when, and whether it is back."""

    def badness(name: str, d: Mapping[str, Any]) -> int | None:
        if name not in d or (name == "fluid" and (d.get("fluid_from") == "tube" or d["fluid"] == "blood")):
            return None
        if name in STOMA:
            return next(n for n, words in enumerate(STOMA[name]) if str(d[name]) in words.split("/"))
        return int(d[name] is False) if name == "redness_fades" else int(d[name])

    fields = (*STOMA, "swelling", "heat", "redness_fades", "pain")
    before: dict[str, int] = {}
    latest: dict[str, int] = {}
    last, level = 0, 0
    shown: list[str] = []
    looks = list(reading.of("stoma"))
    for number, held in enumerate(looks):
        d = held.entry.details
        given = {name: bad for name in fields if (bad := badness(name, d)) is not None}
        if before and held.time >= last + 7 * DAY:
            before = {}
        if before and all(name in given and given[name] <= was for name, was in before.items()):
            before = {}
        worse = {}
        for name, bad in given.items():
            was = 1 if name == "crust" else 0
            for earlier in looks[:number]:
                old = badness(name, earlier.entry.details)
                if old is not None and earlier.time >= held.time - 7 * DAY:
                    was = old
            if bad >= was + (3 if name == "pain" else 1):
                worse[name] = was
        if not before:
            latest, level, shown = {}, 0, []
        if worse:
            before = {**worse, **before}
        latest |= {name: bad for name, bad in given.items() if name in before}
        if not worse:
            continue
        last, away = held.time, [name for name in before if latest.get(name, 0) > before[name]]
        edge = d.get("fluid") == "coloured" and d.get("fluid_from") == "skin_edge"
        calls = d.get("skin") == "broken" or edge or d.get("redness_fades") is False or len(away) > 1
        level = max(level, CALL if calls else NOTE)
        shown.append(held.entry.id)
    if not before or now >= last + 7 * DAY:
        return []
    return [Shown("worse", level, now, last, tuple(shown))]


def tube_age(reading: Reading, now: Instant) -> list[Shown]:
    tube = placed(reading)
    if tube is None:
        return []
    if "next_due" not in tube.entry.details:
        is_old = now >= tube.time + 30 * DAY
        return [Shown("tube", NOTE, now, now, (tube.entry.id,))] if is_old else []
    today = reading.home.day(now)
    due = date.fromisoformat(tube.entry.details["next_due"])
    if today < due - timedelta(days=3):
        return []
    return [Shown("tube", CALL if today >= due else NOTE, now, now, (tube.entry.id,))]


def overdue(reading: Reading, now: Instant, kind: str, step: Instant) -> list[Shown]:
    """Whether a task is, or since its last doing or the newest gap was, late: asked at each step before."""
    moment, late_since, last = now, None, None
    while True:
        due = next((each for each in dues(reading, moment) if each.kind == kind), None)
        if due is None or moment < now - 3 * DAY:
            break
        last = due.last_at
        if last is not None and moment < last:
            break
        if due.late_at <= moment:
            late_since = moment
        moment -= step
    return [Shown(kind, NOTE, now, now, ())] if late_since is not None else []


def rules(reading: Reading, now: Instant) -> dict[Key, list[Shown]]:
    """What shows each rule now."""
    found: dict[Key, list[Shown]] = {
        ("froth", None): froth(reading),
        ("breathing", None): breathing(reading),
        ("crackling", None): crackling(reading),
        ("food_seen", None): food_seen(reading),
        ("inner_tube_blocking", None): while_tube(reading, blocking(reading)),
        ("catheter_not_passed", None): catheter(reading),
        ("tube_change_failed", None): failed(reading),
        ("stuck_inner_tube", None): while_tube(reading, stuck(reading)),
        ("spo2", None): limited(reading, "spo2", ["spo2_percent"], {}),
        ("pulse", None): limited(reading, "pulse", ["pulse_per_min"], {}),
        ("oxygen", None): limited(reading, "oxygen", ["oxygen_l_min"], {}),
        ("temperature", None): limited(
            reading, "temperature", ["temperature_c", "temperature_f"], {"low": 35, "high": 38}
        ),
        ("cuff_high", None): cuff(reading, 1),
        ("cuff_low", None): cuff(reading, -1),
        ("tube_age", None): tube_age(reading, now),
        ("blood", None): blood(reading),
        ("smell", None): smell(reading),
        ("valve_cuff_up", None): valve(reading),
        ("stoma_worse", None): stoma(reading, now),
    }
    from tests.flags import oracle_rest

    found |= oracle_rest.rules(reading, now)
    for what in ("tube_out", "power_cut", "other", "breathing"):
        found["incident", what] = incidents(reading, what)
    return found


def tellings(reading: Reading, key: Key) -> list[tuple[Instant, Instant]]:
    """When somebody was told of a rule: recorded, and the time that it speaks of."""
    found = []
    for held in reading.of("seen"):
        d = held.entry.details
        if (d["rule"], d.get("subject")) == key and d.get("told", "").strip():
            said = [
                reading.known_from(old.id)
                for old in held.chain
                if not old.withdrawn
                and (old.details.get("rule"), old.details.get("subject")) == key
                and old.details.get("told", "").strip()
            ]
            found.append((min(said), held.time))
    return found


def _time(entry: Entry, known: Instant) -> Instant:
    """When an entry happened; one of doubtful time when it became known."""
    return known if entry.at.instant > known + HOUR // 4 else entry.at.instant


class Oracle:
    """All lives of all rules, moment by moment."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self.entries = entries
        self.open: dict[Key, Life] = {}
        self.ended: list[Life] = []
        from tests.flags.oracle_rest import Nights

        self.nights = Nights()
        self.oldest: Instant = 0
        known = Reading(entries)
        self.times = {e.id: _time(e, known.known_from(e.id)) for e in entries}

    def look(self, now: Instant, by_entry: bool, by_change: bool) -> None:
        """Read everything that is known now, and let each flag live on, end or begin."""
        reading = Reading(self.entries, known_by=now)
        self.oldest = self._oldest(reading, now)
        shown = rules(reading, now) | self.nights.look(reading, now)
        for key in self.open.keys() - shown.keys():
            shown[key] = []
        for key, signs in shown.items():
            told = tellings(reading, key) if key[0] in TOLD else []
            untold = [s for s in signs if not any(r >= s.known and t >= s.time for r, t in told)]
            self._judge(key, signs, untold, now, by_entry, by_change)

    def _judge(
        self, key: Key, signs: list[Shown], untold: list[Shown], now: Instant, by_entry: bool, by_change: bool
    ) -> None:
        fresh = [s for s in untold if key[0] not in LASTS_A_DAY or s.level == URGENT or s.known + DAY > now]
        life = self.open.get(key)
        if life is not None:
            top = any(sign.level >= life.level for sign in signs)
            late = self.oldest < max((self.times[each] for each in life.ids), default=now)
            cause = by_entry if key[0] in FALLS else by_change or (by_entry and late)
            fell = cause and life.at_level and bool(signs) and not top
            stays = [s for s in untold if life.level == URGENT and s.what in life.held]
            holding = [] if fell else [*fresh, *(s for s in stays if s not in fresh)]
            if not holding:
                life.ended, life.by = now, "entry" if by_entry else "time"
                self.ended.append(self.open.pop(key))
                life = None
            else:
                self._hold(life, holding)
                life.at_level = any(sign.level >= life.level for sign in signs)
        if life is None and fresh:
            self.open[key] = Life(key[0], key[1], max(s.level for s in fresh), now)
            self._hold(self.open[key], fresh)

    def _oldest(self, reading: Reading, now: Instant) -> Instant:
        """When the oldest of the entries that became known now had happened, if it stands."""
        new = [e for e in self.entries if e.recorded_at == now and e.amends is None]
        found = [held.time for held in map(reading.get, (e.id for e in new)) if held is not None]
        return min(found, default=now)

    @staticmethod
    def _hold(life: Life, signs: list[Shown]) -> None:
        life.level = max(life.level, *(sign.level for sign in signs))
        life.held = {sign.what for sign in signs}
        life.ids |= {entry for sign in signs for entry in sign.ids}


def midnights(home: Home, start: Instant, end: Instant) -> list[Instant]:
    """The local midnights of a period."""
    days = [
        datetime.fromtimestamp(start / 1e6).date() + timedelta(days=n)
        for n in range((end - start) // DAY + 3)
    ]
    return [home.start_of(day) for day in days]


def lives(entries: Sequence[Entry], end: Instant) -> list[Life]:
    """Every life before a moment: looked at whenever anything became known, a day later, at each midnight."""
    known = Reading(entries)
    moments = {known.known_from(entry.id): False for entry in entries}
    for entry in entries:
        if entry.amends:
            moments[known.known_from(entry.id)] = True
    oracle = Oracle(entries)
    start = min(moments)
    times = {moment + DAY for moment in moments} | {held.time + 7 * DAY for held in known.of("stoma")}
    weekly = ("stoma", "tube_change")
    times |= {entry.at.instant + 7 * DAY for entry in entries if entry.kind in weekly}
    times |= {entry.recorded_at + 7 * DAY for entry in entries if entry.kind in weekly}
    times |= {held.time + 30 * DAY for held in known.of("tube_change")}
    for home in (known.home, Home("UTC"), Home("Europe/London")):  # it may move while the record goes on
        days = midnights(home, start, end)
        times |= {*days, *(home.at(home.day(day), clock_time(23)) for day in days)}
    for moment in sorted({*moments, *(t for t in times if t > start)}):
        if moment < end:
            oracle.look(moment, moment in moments, moments.get(moment, False))
    return [*oracle.ended, *oracle.open.values()]
