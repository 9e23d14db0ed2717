"""More rules written once more, naively: the kit, the tube's changes, the night, outings, registrations."""

from datetime import date, timedelta
from functools import partial

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.plans import plan_at
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import Instant
from tests.flags import oracle
from tests.flags.oracle import CALL, DAY, NOTE, URGENT, Key, Shown, order, single, while_tube


def plug(reading: Reading) -> list[Shown]:
    return single(reading, "suction", lambda e: CALL if e.details.get("consistency") == "plug" else 0)


def ties(reading: Reading) -> list[Shown]:
    found = single(reading, "ties", lambda e: NOTE if e.details.get("fit") in ("loose", "tight") else 0)
    fits = [order(held) for held in reading.of("ties") if held.entry.details.get("fit") == "one_finger"]
    left = [each for each in found if not any(place > oracle.place_of(reading, each) for place in fits)]
    return while_tube(reading, left)


NEEDED = {"spare_same", "spare_smaller", "portable_suction", "catheters"}


def _lacks(entry: Entry) -> bool:
    """Leaving without what is needed at once."""
    return entry.details.get("action") == "leaving" and bool(NEEDED & set(entry.details.get("missing", [])))


def left_without(reading: Reading) -> list[Shown]:
    found = []
    for held in reading.of("outing"):
        later = [other for other in reading.of("outing") if order(other) > order(held)]
        if _lacks(held.entry) and all(_lacks(other.entry) for other in later):
            known = oracle.since_first(reading, held, _lacks)
            found.append(Shown(held.first.id, CALL, known, held.time, (held.entry.id,)))
    return while_tube(reading, found)


def hard(reading: Reading, now: Instant) -> list[Shown]:
    found = single(reading, "tube_change", lambda e: NOTE if e.details.get("ease") == "hard" else 0)
    easy = [order(held) for held in reading.of("tube_change") if held.entry.details.get("ease") == "easy"]
    left = [
        each
        for each in found
        if now < each.time + 7 * DAY and not any(place > oracle.place_of(reading, each) for place in easy)
    ]
    return while_tube(reading, left)


def swelling(reading: Reading) -> list[Shown]:
    found = []
    for held in reading.of("stoma"):
        changes = [
            change
            for change in reading.of("tube_change")
            if order(change) < order(held) and _is_before(change.entry, held.time)
        ]
        if held.entry.details.get("swelling") is True and changes:
            change = changes[-1]
            own = oracle.since_first(reading, held, partial(_is_swollen, reading))
            other = oracle.since_first(reading, change, partial(_was_before, held.time))
            ids = (held.entry.id, change.entry.id)
            found.append(Shown(held.first.id, CALL, max(own, other), held.time, ids))
    return found


def _is_before(change: Entry, at: Instant) -> bool:
    """Whether a tube was changed in the day before a moment, or somebody tried."""
    return 0 <= at - change.at.instant <= DAY and change.details.get("reason") != "first_entry"


def _was_before(at: Instant, change: Entry) -> bool:
    return _is_before(change, at)


def _is_swollen(reading: Reading, look: Entry) -> bool:
    """Whether a version of a look shows a swelling in the day after some change."""
    changes = reading.of("tube_change")
    return look.details.get("swelling") is True and any(
        _is_before(change.entry, look.at.instant) for change in changes
    )


def registration(reading: Reading, now: Instant, what: str) -> list[Shown]:
    of = [held for held in reading.of("registration") if held.entry.details["what"] == what]
    if not of or "renew_by" not in of[-1].entry.details:
        return []
    day, today = date.fromisoformat(of[-1].entry.details["renew_by"]), reading.home.day(now)
    if today < day - timedelta(days=30):
        return []
    people = [h.entry.details["helped_by"] for h in reading.of("person") if "helped_by" in h.entry.details]
    is_vital = what != "supplier" and bool(people) and people[-1].startswith("ventilator")
    level = CALL if today > day and is_vital else NOTE
    return [Shown(of[-1].first.id, level, of[-1].known, of[-1].time, (of[-1].entry.id,))]


def machines(reading: Reading, now: Instant) -> dict[str, list[Shown]]:
    """What each machine's checks say, folded one by one; and whether any suction works."""
    state: dict[str, dict[str, Held]] = {}
    for held in reading.of("equipment_check"):
        d = held.entry.details
        machine = d["device"] + (":" + d["name"] if "name" in d else "")
        if d.get("given_back"):
            state[machine] = {}
            continue
        said = state.setdefault(machine, {})
        said["works"] = held
        said |= {name: held for name in ("canister", "next_service", "charged") if name in d}
    found: dict[str, list[Shown]] = {}
    today = reading.home.day(now)
    suction = []
    for machine, said in state.items():
        shown = []
        works = "works" in said and said["works"].entry.details["works"]
        if "works" in said and not works:
            shown.append((said["works"], CALL))
        is_full = "canister" in said and said["canister"].entry.details["canister"] == "full"
        if is_full:
            shown.append((said["canister"], CALL))
        if "next_service" in said:
            day = date.fromisoformat(said["next_service"].entry.details["next_service"])
            shown += [(said["next_service"], NOTE)] if today > day else []
        if "charged" in said and not said["charged"].entry.details["charged"]:
            shown.append((said["charged"], NOTE))
        found[machine] = [_shown(held, level) for held, level in shown]
        if machine.startswith("suction_") and said:
            suction.append((works and not is_full, said["canister" if is_full else "works"]))
    if suction and not any(works for works, _ in suction):
        found["suction"] = [_shown(held, URGENT) for _, held in suction]
    return found


def _shown(held: Held, level: int) -> Shown:
    return Shown(held.first.id, level, held.known, held.time, (held.entry.id,))


def tube_expiry(reading: Reading, now: Instant) -> list[Shown]:
    tube = oracle.placed(reading)
    if tube is None or "expiry" not in tube.entry.details:
        return []
    text, today = tube.entry.details["expiry"], reading.home.day(now)
    if len(text) == 7:
        year, month = int(text[:4]), int(text[5:])
        last = date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
    else:
        last = date.fromisoformat(text)
    if today < last - timedelta(days=30):
        return []
    return [Shown("tube", CALL if today > last else NOTE, now, now, (tube.entry.id,))]


def rules(reading: Reading, now: Instant) -> dict[Key, list[Shown]]:
    """What shows each of these rules now."""
    found: dict[Key, list[Shown]] = {
        ("plug", None): plug(reading),
        ("ties_fit", None): ties(reading),
        ("left_without", None): left_without(reading),
        ("tube_change_hard", None): hard(reading, now),
        ("swelling_after_change", None): swelling(reading),
        ("expiry", "tube"): tube_expiry(reading, now),
    }
    for what in ("electricity_priority", "ambulance", "supplier"):
        found["registration", what] = registration(reading, now, what)
    for device in ("suction_machine", "suction_backup", "nebuliser"):
        for name in ("", ":old", ":new"):
            found["equipment", device + name] = []
    found["equipment", "suction"] = []
    return found | {("equipment", machine): shown for machine, shown in machines(reading, now).items()}


class Nights:
    """The starts of the night that were flagged, as known then, and what still shows them."""

    def __init__(self) -> None:
        self.nights: dict[str, set[Instant]] = {"valve": set(), "cap": set(), "cuff": set()}

    def look(self, reading: Reading, now: Instant) -> dict[Key, list[Shown]]:
        """Take down a night that begins now, and show the newest that still counts."""
        found: dict[Key, list[Shown]] = {("valve_at_night", None): [], ("cuff_at_night", None): []}
        for what, nights in self.nights.items():
            since = _so_since(reading, what)
            rule = "cuff_at_night" if what == "cuff" else "valve_at_night"
            if since is not None and since.time <= now and _counts(reading, now, rule):
                nights.add(now)
            for night in sorted(nights):
                if since is not None and since.time <= night and _counts(reading, night, rule):
                    found[rule, None].append(Shown(f"{what} {night}", CALL, night, night, (since.entry.id,)))
        return found


def _so_since(reading: Reading, what: str) -> Held | None:
    """The entry since which a valve or cap has been on, or an air cuff down, without a break."""
    since: Held | None = None
    tube: Held | None = None
    is_out = False
    kinds = ("valve", "cuff_state", "cuff_pressure", "tube_change", "decannulation")
    for held in sorted((h for kind in kinds for h in reading.of(kind)), key=order):
        d, kind = held.entry.details, held.entry.kind
        if kind == "decannulation":
            since, is_out = None, True
        elif kind == "tube_change":
            if d.get("ease") != "failed":
                since, tube, is_out = None, held, False
        elif what == "cuff":
            says = _up(d, kind)
            if says is not None:
                since = None if says else since or held
        elif kind == "valve" and d.get("what", "valve") == what:
            since = (since or held) if d["action"] == "on" else None
    if is_out or (what == "cuff" and (tube is None or tube.entry.details["cuff"] != "air")):
        return None
    return since


def _up(d: Details, kind: str) -> bool | None:
    """What an entry says of the cuff."""
    if kind == "cuff_state":
        return bool(d["state"] == "up")
    if kind == "valve":
        return not d["cuff_down"] if "cuff_down" in d else None
    left = d.get("value_after", d["value"])
    factor = {"cmH2O": 1.0, "mmHg": 1.35951, "kPa": 10.19716}[str(d["unit"])]
    if round(float(left) * factor) >= 5:
        return True
    return False if d.get("value_after") == 0 else None


def _counts(reading: Reading, moment: Instant, rule: str) -> bool:
    """Whether a moment is the start of a night in which it matters."""
    plan = plan_at(reading, moment)
    if plan is None or plan.quiet is None:
        return False
    if reading.home.at(reading.home.day(moment), plan.quiet[0]) != moment:
        return False
    stays = [held for held in reading.of("stay") if held.time <= moment]
    if stays and stays[-1].entry.details["action"] == "start":
        return False
    if rule == "valve_at_night":
        return plan.details.get("valve_at_night") is not True
    is_allowed = plan.details.get("cuff_down_at_night") is True
    return not is_allowed and str(oracle.helped(reading, moment)).startswith("ventilator")
