"""The rules of care written once more, naively: at each moment everything is read and judged anew.

Nothing here is quick, and nothing is shared with the program but entries in force, plans and dues.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
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
}
LASTS_A_DAY = {"blood", "catheter_not_passed", "smell", "food_seen", "inner_tube_blocking", "incident"}
FALLS = {"tube_age", "expiry"}

Key = tuple[str, str | None]


@dataclass
class Shown:
    """One thing that shows a flag now."""

    what: str
    level: int
    known: Instant
    time: Instant
    ids: tuple[str, ...]


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


def _place(reading: Reading, shown: Shown) -> tuple[Instant, Instant, str]:
    held = reading.get(shown.what)
    assert held is not None
    return order(held)


def single(reading: Reading, kind: str, shows: Callable[[Entry], int]) -> list[Shown]:
    """Entries that show something each by itself."""
    found = []
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

    return single(reading, "suction", shows)


def breathing(reading: Reading) -> list[Shown]:
    return single(reading, "suction", lambda e: URGENT if e.details.get("breathing_after") == "harder" else 0)


def crackling(reading: Reading) -> list[Shown]:
    return single(reading, "stoma", lambda e: URGENT if e.details.get("crackling") else 0)


def food_seen(reading: Reading) -> list[Shown]:
    return single(reading, "suction", lambda e: CALL if e.details.get("food_seen") else 0)


def blocking(reading: Reading) -> list[Shown]:
    return single(reading, "inner_tube", lambda e: CALL if e.details.get("found") == "blocked" else 0)


def catheter(reading: Reading) -> list[Shown]:
    levels = {"no": URGENT, "tight": CALL}
    found = single(reading, "suction", lambda e: levels.get(str(e.details.get("catheter_passed")), 0))
    free = [
        order(held)
        for held in reading.of("suction")
        if held.entry.details.get("catheter_passed") == "freely"
        and held.entry.details.get("route") not in ("oral", "subglottic")
    ]
    return [each for each in found if not any(place > _place(reading, each) for place in free)]


def failed(reading: Reading) -> list[Shown]:
    found = single(reading, "tube_change", lambda e: URGENT if e.details.get("ease") == "failed" else 0)
    placed = [order(held) for held in reading.of("tube_change") if held.entry.details.get("ease") != "failed"]
    return [each for each in found if not any(place > _place(reading, each) for place in placed)]


def incidents(reading: Reading, what: str) -> list[Shown]:
    levels = {"power_cut": CALL, "equipment": CALL, "other": NOTE}

    def shows(entry: Entry) -> int:
        d = entry.details
        return levels.get(what, URGENT) if d.get("what") == what and "ends" not in d else 0

    ended = {
        reading.get(held.entry.details["ends"])
        for held in reading.of("incident")
        if "ends" in held.entry.details
    }
    return [each for each in single(reading, "incident", shows) if reading.get(each.what) not in ended]


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


def limited(reading: Reading, name: str) -> list[Shown]:
    def outside(held: Held) -> int:
        plan = plan_at(reading, held.time)
        limits = plan.limits(name) if plan else {}
        value = held.entry.details[name]
        return CALL if value < limits.get("low", value) or value > limits.get("high", value) else 0

    return run([held for held in reading.of("observations") if name in held.entry.details], outside)


def temperature(reading: Reading) -> list[Shown]:
    def outside(held: Held) -> int:
        d = held.entry.details
        fahrenheit = d.get("temperature_f")
        rounded = None if fahrenheit is None else round((fahrenheit - 32) / 1.8 + 1e-9, 1)
        return CALL if max(d.get("temperature_c", 0), rounded or 0) >= 38 else 0

    names = ("temperature_c", "temperature_f")
    return run(
        [held for held in reading.of("observations") if any(n in held.entry.details for n in names)], outside
    )


def cuff(reading: Reading, side: int) -> list[Shown]:
    """Readings over (1) or under (−1) the plan's limits, replayed from the first entry on."""
    found: list[Shown] = []
    tube, up, before = None, True, 0
    kinds = ("tube_change", "cuff_state", "valve", "cuff_pressure")
    for held in sorted((h for kind in kinds for h in reading.of(kind)), key=order):
        d, was_up = held.entry.details, up
        if held.entry.kind == "tube_change":
            if d.get("ease") != "failed":
                tube, up, found = held, True, []
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


def blood(reading: Reading) -> list[Shown]:
    def fresh(entry: Entry) -> int:
        d = entry.details
        return URGENT if "fresh" in (d.get("blood"), d.get("bleeding")) or d.get("colour") == "red" else 0

    found = single(reading, "suction", fresh) + single(reading, "tube_change", fresh)
    found += single(reading, "stoma", lambda e: URGENT if e.details.get("fluid") == "blood" else 0)

    def stained(entry: Entry) -> bool:
        d = entry.details
        return not fresh(entry) and (d.get("blood") == "streaks" or d.get("colour") == "pink")

    def stained_within(start: Instant, end: Instant) -> Callable[[Entry], bool]:
        return lambda entry: stained(entry) and start <= entry.at.instant <= end

    suctions = [held for held in reading.of("suction") if stained(held.entry)]
    pairs = [(a, b) for a, b in pairwise(suctions) if b.time - a.time <= DAY]
    days = sorted({reading.home.day(held.time) for held in reading.held})
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
    kinds = ("tube_change", "cuff_state", "valve", "cuff_pressure")
    for held in sorted((h for kind in kinds for h in reading.of(kind)), key=order):
        d, says = held.entry.details, None
        if held.entry.kind == "tube_change":
            if d.get("ease") != "failed":
                on, up, tube = {}, None, held
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
    cuff = tube.entry.details["cuff"] if tube else "air"
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
    tubes = [held for held in reading.of("tube_change") if held.entry.details.get("ease") != "failed"]
    if not tubes or "next_due" not in tubes[-1].entry.details:
        return []
    today = reading.home.day(now)
    due = date.fromisoformat(tubes[-1].entry.details["next_due"])
    if today < due - timedelta(days=3):
        return []
    level = CALL if today >= due else NOTE
    return [Shown("tube", level, now, now, (tubes[-1].entry.id,))]


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
        ("inner_tube_blocking", None): blocking(reading),
        ("catheter_not_passed", None): catheter(reading),
        ("tube_change_failed", None): failed(reading),
        ("stuck_inner_tube", None): stuck(reading),
        ("spo2", None): limited(reading, "spo2_percent"),
        ("pulse", None): limited(reading, "pulse_per_min"),
        ("temperature", None): temperature(reading),
        ("cuff_high", None): cuff(reading, 1),
        ("cuff_low", None): cuff(reading, -1),
        ("tube_age", None): tube_age(reading, now),
        ("blood", None): blood(reading),
        ("smell", None): smell(reading),
        ("valve_cuff_up", None): valve(reading),
        ("stoma_worse", None): stoma(reading, now),
    }
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


class Oracle:
    """All lives of all rules, moment by moment."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self.entries = entries
        self.open: dict[Key, Life] = {}
        self.ended: list[Life] = []

    def look(self, now: Instant, by_entry: bool, by_change: bool) -> None:
        """Read everything that is known now, and let each flag live on, end or begin."""
        reading = Reading(self.entries, known_by=now)
        for key, signs in rules(reading, now).items():
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
            cause = by_entry if key[0] in FALLS else by_change
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
    times |= {entry.at.instant + 7 * DAY for entry in entries if entry.kind == "stoma"} | set(
        midnights(known.home, start, end)
    )
    for moment in sorted({*moments, *(t for t in times if t > start)}):
        if moment < end:
            oracle.look(moment, moment in moments, moments.get(moment, False))
    return [*oracle.ended, *oracle.open.values()]
