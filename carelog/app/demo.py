"""The made-up household: twelve full weeks of care and the days since, the same lines for the same moment.

All names, numbers and readings are invented; telephone numbers come from a range kept free for fiction. In
the last full week something changes: more and thicker secretions from Thursday on, a cuff found high, a
reading corrected, an entry struck out, one written late, one typed in from paper.
"""

import json
from collections.abc import Iterator
from datetime import date, time, timedelta
from random import Random
from typing import Any

from carelog.app.logbook import settled
from carelog.app.ports import PersonHeading
from carelog.domain.entry import PAPER, Details, Entry, new_id
from carelog.domain.moment import MINUTE, SECOND, Home, Instant, Week
from carelog.resources import find

FULL_WEEKS = 12
PAUSE = 20 * MINUTE
LATEST_WEEK = FULL_WEEKS - 1
Planned = tuple[Instant, str, str, Details, str]


def demo_person() -> PersonHeading:
    """Whom the made-up record is about."""
    household = _household()
    return PersonHeading(household["person_id"], household["first_hours"][0][2]["name"])


def demo_home() -> Home:
    """The made-up household's clock."""
    return Home(_household()["home_zone"])


def demo_entries(until: Instant) -> list[Entry]:
    """The household's entries up to 20 minutes before a moment, in the order in which they were written."""
    household = _household()
    home = Home(household["home_zone"])
    start = Week.of(home.day(until)).monday() - timedelta(weeks=FULL_WEEKS)
    days = (home.day(until) - start).days + 1
    written = [*_first_hours(household, home, start)]
    for number in range(days):
        written += _Day(household, home, start, number).entries()
    last = (until - PAUSE) // MINUTE * MINUTE
    return sorted((e for e in written if e.recorded_at <= last), key=lambda e: (e.recorded_at, e.id))


def _household() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(find("demo/household.json").read_text("utf-8"))
    return found


def _first_hours(household: dict[str, Any], home: Home, start: date) -> Iterator[Entry]:
    random = Random("first hours")
    moment = home.at(start, time(0, 30))
    for kind, by, details in household["first_hours"]:
        moment += 2 * MINUTE
        if kind == "tube_change":
            details = {**details, "next_due": str(start + timedelta(days=29))}
        yield _entry(random, home, moment, kind, by, details, moment + 40 * SECOND)


def _entry(
    random: Random,
    home: Home,
    at: Instant,
    kind: str,
    by: str,
    details: Details,
    written: Instant,
    **more: Any,
) -> Entry:
    return Entry(
        id=new_id(written, random.randbytes(10)),
        kind=kind,
        at=home.moment(at),
        zone=home.name,
        recorded_at=written,
        by=by,
        details=settled(details),
        **more,
    )


class _Day:
    """One day of the household."""

    def __init__(self, household: dict[str, Any], home: Home, start: date, number: int) -> None:
        self.household = household
        self.home = home
        self.day = start + timedelta(days=number)
        self.number = number
        self.week, self.weekday = divmod(number, 7)
        self.random = Random(f"day {number}")
        self.spell = self._spell()

    def _spell(self) -> float:
        """How far the change of the last full week has come: 0 none, 1 all of it."""
        if self.week == LATEST_WEEK:
            return (0.0, 0.0, 0.0, 0.4, 0.9, 1.0, 1.0)[self.weekday]
        return (0.5, 0.2, 0.1)[self.weekday] if self.week > LATEST_WEEK and self.weekday < 3 else 0.0

    def entries(self) -> list[Entry]:
        """All entries about the day, changes included."""
        planned = [*self._routine(), *self._machines(), *self._suctions(), *self._now_and_then()]
        written = []
        for at, kind, by, details, note in sorted(planned, key=lambda each: each[0]):
            delay = self.random.randint(20, 150) * SECOND
            written.append(_entry(self.random, self.home, at, kind, by, details, at + delay, note=note))
        return [*written, *self._mistakes(written), *self._written_later()]

    def _at(self, hour: int, minute: int, spread: int = 10) -> Instant:
        shift = self.random.randint(-spread, spread)
        return self.home.at(self.day, time(hour, minute)) + shift * MINUTE

    def _who(self, hour: int) -> str:
        if self.weekday in (2, 5) and (hour >= 22 or hour < 7):
            return "PA"
        return self.random.choice(("MQ", "MQ", "HQ")) if 8 <= hour < 20 else "MQ"

    def _plan(self, hour: int, minute: int, kind: str, details: Details, note: str = "") -> Planned:
        return self._at(hour, minute), kind, self._who(hour), details, note

    def _routine(self) -> Iterator[Planned]:
        pick = self.random.choice
        for hour, minute in ((6, 25), (14, 10), (21, 50)):
            found = pick(("clear", "coated", "coated", "crusted" if self.spell > 0.5 else "coated"))
            yield self._plan(hour, minute, "inner_tube", {"outcome": "cleaned", "found": found})
        for hour in (8, 20):
            yield self._plan(hour, 5, "cuff_pressure", self._cuff(hour))
        yield self._plan(9, 10, "stoma", self._stoma())
        fit = {"fit": "one_finger"}
        yield self._plan(9, 25, "ties", {"action": "changed" if self.weekday % 3 == 0 else "checked", **fit})
        yield self._plan(9, 32, "humidity", {"device": "hme", "action": "changed"})
        for hour in (8, 15):
            yield self._plan(hour, 12, "humidity", {"device": "nebuliser", "action": "given"})
        for hour, minute in ((7, 40), (13, 5), (21, 5)):
            if not (hour == 13 and self.random.random() < 0.12):
                yield self._plan(hour, minute, "mouth_care", {})

    def _cuff(self, hour: int) -> Details:
        if (self.week, self.weekday, hour) == (LATEST_WEEK, 2, 20):
            return {"value": 34, "unit": "cmH2O", "value_after": 26}
        if (self.week, self.weekday, hour) == (LATEST_WEEK, 4, 8):
            return {"value": 2.4, "unit": "kPa"}
        return {"value": self.random.randint(23, 28), "unit": "cmH2O"}

    def _stoma(self) -> Details:
        details: dict[str, Any] = {"skin": "whole", "fluid": "none", "crust": "none", "cleaned": True}
        if self.week == LATEST_WEEK and self.weekday in (4, 5):
            details |= {"crust": "wipes_off", "fluid": "clear", "fluid_from": "tube"}
        if self.weekday % 2 == 0:
            details["dressing"] = "changed"
        return details

    def _machines(self) -> Iterator[Planned]:
        box = {
            "present": self.household["box"],
            "expiries": self.household["box_expiries"],
            "spare_same": self.household["spare_same"],
            "spare_smaller": self.household["spare_smaller"],
        }
        yield self._plan(8, 30, "box_check", box)
        machine = {"device": "suction_machine", "works": True, "canister": "emptied", "charged": True}
        if self.weekday == 5:
            machine |= {"on_battery_min": 72 - self.week // 2}
        yield self._plan(8, 40, "equipment_check", machine)
        if self.weekday == 0:
            for item, count in self.household["stock"].items():
                yield self._plan(10, 15, "stock", {"item": item, "count": count, "reason": "count"})
        if self.weekday in (1, 3, 6):
            yield from self._talking()
        temperature = round(36.5 + self.random.random() * 0.6 + 0.5 * self.spell, 1)
        spo2 = 97 - self.random.randint(0, 2) - round(self.spell)
        yield self._plan(8, 2, "observations", {"temperature_c": temperature, "spo2_percent": spo2})

    def _talking(self) -> Iterator[Planned]:
        begin = self._at(11, 30)
        for minutes, kind, details in (
            (0, "cuff_state", {"state": "down"}),
            (2, "valve", {"what": "valve", "action": "on", "cuff_down": True}),
            (75, "valve", {"what": "valve", "action": "off"}),
            (78, "cuff_state", {"state": "up"}),
            (80, "cuff_pressure", {"value": self.random.randint(24, 27), "unit": "cmH2O"}),
        ):
            yield begin + minutes * MINUTE, kind, "MQ", details, ""

    def _suctions(self) -> Iterator[Planned]:
        usual = self.random.gauss(9.5, 1.2)
        for _ in range(round(usual * (1 + 1.3 * self.spell))):
            hour = self.random.choice(
                (1, 3, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23)
            )
            at = self.home.at(self.day, time(hour, self.random.randint(0, 59)))
            yield at, "suction", self._who(hour), self._secretions(), ""

    def _secretions(self) -> Details:
        changed = self.random.random() < 0.75 * self.spell
        pick = self.random.choices
        colour = pick(("clear", "white", "cream"), (3, 6, 1))[0]
        consistency = pick(("thin", "thick"), (8, 2))[0]
        amount = pick(("small", "moderate"), (7, 3))[0]
        if changed:
            colour, consistency = pick(("yellow", "cream"), (3, 2))[0], pick(("thick", "sticky"), (3, 2))[0]
            amount = pick(("moderate", "large"), (3, 2))[0]
        details: dict[str, Any] = {"route": "tracheal", "colour": colour, "consistency": consistency}
        details |= {
            "amount": amount,
            "blood": "none",
            "passes": 1 + (self.random.random() < 0.2 + 0.3 * self.spell),
        }
        return {**details, "catheter_fr": 8}

    def _now_and_then(self) -> Iterator[Planned]:
        if self.weekday in (2, 5):
            yield self._at(22, 0, 3), "shift", "PA", {"action": "start"}, ""
        if self.weekday in (3, 6) and self.number > 6:
            yield self._at(6, 50, 3), "shift", "PA", {"action": "end"}, ""
        if self.random.random() < 0.3:
            yield self._plan(18, 30, "note", {}, self.random.choice(self.household["notes"]))
        if self.weekday == 3:
            yield from self._visit()
        if self.number in (29, 58):
            yield self._at(10, 0), "tube_change", "NT", self._tube(), ""
            yield self._plan(10, 45, "box_check", {**self._spares(), "present": self.household["box"]})
        if (self.week, self.weekday) == (LATEST_WEEK, 2):
            yield self._plan(
                20, 20, "note", {}, "Cuff was tight after the nap on her side. Told Nell by phone."
            )

    def _visit(self) -> Iterator[Planned]:
        week = Week.of(self.day - timedelta(days=7)).text()
        yield self._at(11, 0), "visit", "NT", {"nurse": "Nell Tarrowby", "week": week, "signed": True}, ""

    def _tube(self) -> Details:
        first = next(details for kind, _, details in self.household["first_hours"] if kind == "tube_change")
        return {
            **first,
            "done_by": "Nell Tarrowby",
            "next_due": str(self.day + timedelta(days=29)),
            "lot": "Q4502",
        }

    def _spares(self) -> dict[str, Any]:
        return {name: self.household[name] for name in ("spare_same", "spare_smaller")} | {
            "expiries": self.household["box_expiries"]
        }

    def _change(
        self, target: Entry, minutes: int, details: Details, reason: str, withdrawn: bool = False
    ) -> Entry:
        written = target.recorded_at + minutes * MINUTE
        return Entry(
            id=new_id(written, self.random.randbytes(10)),
            kind=target.kind,
            at=target.at,
            zone=target.zone,
            recorded_at=written,
            by=target.by,
            details=settled(details),
            amends=target.id,
            reason=reason,
            withdrawn=withdrawn,
        )

    def _mistakes(self, written: list[Entry]) -> Iterator[Entry]:
        if self.week != LATEST_WEEK:
            return
        of_kind = {
            kind: [e for e in written if e.kind == kind] for kind in ("cuff_pressure", "suction", "ties")
        }
        if self.weekday == 0:
            first = of_kind["cuff_pressure"][1]
            yield self._change(first, 5, {**first.details, "value": 24}, "read the wrong way round")
        if self.weekday == 1:
            yield self._change(of_kind["suction"][2], 3, {}, "pressed twice", withdrawn=True)

    def _written_later(self) -> Iterator[Entry]:
        if self.week != LATEST_WEEK:
            return
        night, morning = self.home.at(self.day, time(3, 40)), self.home.at(self.day, time(9, 45))
        if self.weekday == 4:
            yield _entry(self.random, self.home, night, "suction", "MQ", self._secretions(), morning)
        if self.weekday == 3:
            paper = {"outcome": "cleaned", "found": "coated"}
            yield _entry(self.random, self.home, night, "inner_tube", "PA", paper, morning, source=PAPER)
        if self.weekday == 5:
            yield from self._question_and_answer()

    def _question_and_answer(self) -> Iterator[Entry]:
        for hour, number in ((12, 0), (16, 1)):
            asked = self.home.at(self.day, time(hour, 10))
            note = self.household["questions"][number]
            yield _entry(self.random, self.home, asked, "question", "HQ", {}, asked + MINUTE, note=note)
        first = self.home.at(self.day - timedelta(days=2), time(18, 5))
        question = _entry(
            self.random,
            self.home,
            first,
            "question",
            "MQ",
            {},
            first + MINUTE,
            note=self.household["questions"][2],
        )
        yield question
        answered = self.home.at(self.day, time(17, 30))
        note = self.household["answers"][2]
        details = {"question": question.id}
        yield _entry(self.random, self.home, answered, "answer", "NT", details, answered + MINUTE, note=note)
