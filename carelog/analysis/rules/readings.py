"""Rules about readings held against their limits: temperature, SpO2, breaths, pulse, oxygen, vacuum."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import takewhile

from carelog.analysis import limits
from carelog.analysis.cuff import cuff_says
from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.limits import CUFF, READ, VACUUM, Against, Cuff, Outside, limit_words, outside
from carelog.analysis.people import Person
from carelog.analysis.rules.evidence import at, evidence
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, URGENT_LEVEL, Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Run, Verdict
from carelog.analysis.tube import has_air_cuff
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.moment import Instant
from carelog.domain.units import with_unit
from carelog.kinds import named_or_unknown
from carelog.text import mark, say


def _of_readings(name: str, title: str, raised: str, *fields: str, after: str = EMERGENCY) -> Rule:
    """A rule about readings of these fields against the plan's limits, the urgent ones as well."""
    said = tuple(Said("observations", field) for field in fields)
    return Rule(
        name=name,
        title=title,
        raised=raised,
        level=mark("call; urgent beyond the plan's urgent limits"),
        clears=mark("The next one inside all limits. Of an urgent one also: somebody was told."),
        told_urgent=True,
        by_rivals=URGENT_LEVEL,
        sources=(PRACTICE,),
        after=after,
        stands=said,
        reads=said,
    )


TEMPERATURE = _of_readings(
    "temperature",
    mark("Temperature"),
    mark(
        "A temperature at or over the plan's limit, else 38.0 °C. Or under the plan's limit, else 35.0 °C. "
        "At every age."
    ),
    "temperature_c",
    "temperature_f",
    after="",
)
SPO2 = _of_readings(
    "spo2",
    mark("SpO2"),
    mark("SpO2 below the plan's limit. With no limit in the plan there is no flag."),
    "spo2_percent",
)
BREATHS = _of_readings(
    "breaths",
    mark("Breathing rate"),
    mark("Breaths a minute outside the plan's limits. With no limits in the plan there is no flag."),
    "breaths_per_min",
)
PULSE = _of_readings(
    "pulse",
    mark("Pulse"),
    mark("A pulse outside the plan's limits. With no limits in the plan there is no flag."),
    "pulse_per_min",
)
OXYGEN = _of_readings(
    "oxygen",
    mark("Oxygen"),
    mark("More oxygen a minute than the plan's limit. With no limit in the plan there is no flag."),
    "oxygen_l_min",
)
VACUUM_HIGH = Rule(
    name="vacuum_high",
    title=mark("Vacuum high"),
    raised=mark(
        "A suction's vacuum over the plan's limit. With no limit in the plan: over 20 kPa or 150 mmHg, "
        "for adults only. Under 18, or with no birth date, only the plan's limit counts."
    ),
    level=mark("note"),
    clears=mark("The next vacuum inside."),
    sources=limits.VACUUM_SOURCES,
    stands=(Said("suction", "vacuum"),),
    reads=(Said("suction", "vacuum"),),
)
_FOUND = mark("{name} {value} at {time}.")
_NEXT = mark("next reading {value}")


def is_adult(ledger: Ledger, day: date) -> bool:
    """Whether the person is known to be 18 or older on a day."""
    born = ledger.person("born")
    return born is not None and Person({"born": born}).is_adult(day) is True


def against(ledger: Ledger, held: Held) -> Against:
    """What a reading is held against: the plan of its moment, the person's age, the cuff."""
    plan = ledger.plan_at(held.time)
    given: Details = plan.details.get("limits", {}) if plan is not None else {}
    if held.entry.kind != CUFF:
        return Against(given, is_adult(ledger, ledger.day(held.time)))
    key = order_of(held)
    is_air = has_air_cuff(ledger.tube(key)) and not ledger.is_out(key)
    was_up, says = ledger.cuff_before(key) is not False, cuff_says(held.entry)
    return Against(given, False, Cuff(is_air, was_up, was_up if says is None else says))


class ReadingRun(Run):
    """Readings of one thing against its limit, in a row: some fields of a kind, in one unit or another."""

    def __init__(self, name: str, label: str, rule: Rule, ledger: Ledger) -> None:
        """`name`: the plan's name of the limit."""
        kind, self._fields = next(
            (kind, [field for field, limit in fields.items() if limit == name])
            for kind, fields in READ.items()
            if name in fields.values()
        )
        super().__init__(rule, ledger, (kind, "plan", "person"))
        self.label = label
        self._settled = ""
        self._losers: dict[str, list[Held]] = {}

    def reads(self, held: Held) -> bool:
        return any(field in held.entry.details for field in self._fields)

    def take(self, shift: Shift, now: Instant) -> bool:
        are_others = self._take_losers(shift)
        changed = shift.before is not shift.after and super().take(shift, now)
        return self._read_back() if are_others or (changed and self._losers) else changed

    def _take_losers(self, shift: Shift) -> bool:
        """Keep the readings on losing sides of a conflict; whether they are others than before."""
        if not self.rule.by_rivals or shift.kind != self.kinds[0]:
            return False
        before = self._losers.pop(shift.root, [])
        found = [held for held in self.ledger.losers(shift.root) if self.reads(held)]
        if found:
            self._losers[shift.root] = found
        return found != before

    def others(self) -> Sequence[Sign]:
        found = []
        for held in (held for helds in self._losers.values() for held in helds):
            verdict = self.verdict(held)
            if isinstance(verdict, Sign) and verdict.level is Level.URGENT and not self._is_over(held):
                found.append(replace(verdict, known=held.known))
        return sorted(found, key=lambda sign: sign.time)

    def _is_over(self, lost: Held) -> bool:
        """Whether a later reading lies inside; the other side of the conflict is none, nobody has chosen."""
        after = takewhile(
            lambda held: order_of(held) > order_of(lost), self.ledger.shelf(self.kinds[0]).backward()
        )
        return any(
            held.first.id != lost.first.id and self.reads(held) and self.verdict(held) is True
            for held in after
        )

    def matters(self, shift: Shift) -> bool:
        return shift.kind == "person" or self.ledger.reaches_back(shift, self._last)

    def verdict(self, held: Held) -> Verdict:
        found = self._worst(held)
        if found is None:
            return True
        headline = say(_FOUND).format(
            name=say(self.label), value=_value(held, found.field), time=at(self.ledger, held)
        )
        sign = evidence(self.rule, self.ledger, held, self.level(found), headline, why=limit_words(found))
        known = self.ledger.first_known(held, partial(self._shows, sign.level))
        return replace(sign, known=known)

    def _worst(self, held: Held) -> Outside | None:
        """The most serious that lies outside of a reading's numbers."""
        found = outside(self.kinds[0], held.entry.details, against(self.ledger, held))
        return max((each for each in found if each.field in self._fields), key=_level, default=None)

    def _shows(self, level: Level, version: Held) -> bool:
        """Whether a version of a reading showed the same."""
        found = self._worst(version)
        return found is not None and self.level(found) is level

    def level(self, found: Outside) -> Level:
        """How serious it is to lie outside so."""
        return found.level

    def look_again(self) -> None:
        self._read_back()

    def untold(self, run: Sequence[Sign]) -> Sequence[Sign]:
        """A telling settles an urgent flag, with every reading known then; a call it doesn't."""
        self._settled = ""
        for told in self.tolds() if self.rule.told_urgent else ():
            if any(sign.level is Level.URGENT and told.covers(sign) for sign in run):
                run = [sign for sign in run if not told.covers(sign)]
                self._settled = told.words
        return run

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        return super().ending(subject, members) or self._settled

    def ended_words(self, held: Held) -> str:
        field = next(each for each in self._fields if each in held.entry.details)
        return say(_NEXT).format(value=_value(held, field))


class VacuumRun(ReadingRun):
    """The vacuum of suctions against the plan's limit; without one, for an adult, against the default."""

    def level(self, found: Outside) -> Level:
        return Level.NOTE


def _level(found: Outside) -> Level:
    return found.level


def _value(held: Held, field: str) -> str:
    """A reading with its unit."""
    details, declared = held.entry.details, named_or_unknown(held.entry.kind).field(field)
    if field == VACUUM:
        return with_unit(details[field], details["vacuum_unit"])
    return declared.type.words(details[field]) if declared is not None else str(details[field])


ROWS: tuple[Row, ...] = (
    (TEMPERATURE, partial(ReadingRun, limits.TEMPERATURE, mark("Temperature"))),
    (SPO2, partial(ReadingRun, "spo2_percent", mark("SpO2"))),
    (BREATHS, partial(ReadingRun, "breaths_per_min", mark("Breathing rate"))),
    (PULSE, partial(ReadingRun, "pulse_per_min", mark("Pulse"))),
    (OXYGEN, partial(ReadingRun, "oxygen_l_min", mark("Oxygen"))),
    (VACUUM_HIGH, partial(VacuumRun, VACUUM, mark("Vacuum"))),
)
