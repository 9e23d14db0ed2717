"""Rules about readings held against the plan's limits: temperature, SpO2, breaths, pulse, vacuum.

Compared as `units` says: as typed in the limit's own unit, else converted and rounded to the gauge's step.
"""

from datetime import date
from functools import partial

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import at, evidence
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, Rule, Source, Status
from carelog.analysis.rules.tracker import Row, Run, Verdict
from carelog.domain.entry import Details
from carelog.domain.flag import Level
from carelog.domain.plan import Plan
from carelog.domain.units import celsius, comparable, exact, with_unit
from carelog.text import mark, say

ADULT_AGE = 18
TEMPERATURE_C = 38
"""Common practice: a rule for every age, not a limit; the plan's number wins."""
VACUUM_HIGH = {"kPa": 20, "mmHg": 150}
"""20 kPa = 150 mmHg: AARC 2010 (SECOND-HAND); AARC 2022 says below 200 mmHg (FOUND): the stricter is used."""

TEMPERATURE = Rule(
    name="temperature",
    title=mark("Temperature"),
    raised=mark("A temperature at or over the plan's limit, else 38.0 °C, at every age."),
    level=mark("call"),
    clears=mark("The next temperature below."),
    sources=(PRACTICE,),
)
SPO2 = Rule(
    name="spo2",
    title=mark("SpO2"),
    raised=mark("SpO2 below the plan's limit. With no limit in the plan there is no flag."),
    level=mark("call"),
    clears=mark("The next SpO2 inside."),
    sources=(PRACTICE,),
    after=EMERGENCY,
)
BREATHS = Rule(
    name="breaths",
    title=mark("Breaths"),
    raised=mark("Breaths a minute outside the plan's limits. With no limits in the plan there is no flag."),
    level=mark("call"),
    clears=mark("The next count inside."),
    sources=(PRACTICE,),
    after=EMERGENCY,
)
PULSE = Rule(
    name="pulse",
    title=mark("Pulse"),
    raised=mark("A pulse outside the plan's limits. With no limits in the plan there is no flag."),
    level=mark("call"),
    clears=mark("The next pulse inside."),
    sources=(PRACTICE,),
    after=EMERGENCY,
)
VACUUM = Rule(
    name="vacuum_high",
    title=mark("Vacuum high"),
    raised=mark(
        "A suction's vacuum over the plan's limit. With no limit in the plan: over 20 kPa or 150 mmHg, "
        "for adults only. Under 18, or with no birth date, only the plan's limit counts."
    ),
    level=mark("note"),
    clears=mark("The next vacuum inside."),
    sources=(
        Source(mark("AARC 2010 (Respir Care 55:758–764), 20 kPa = 150 mmHg"), Status.SECOND_HAND),
        Source(mark("AARC 2022 (67:258–271), below 200 mmHg: the stricter is used"), Status.FOUND),
    ),
)
_FOUND = mark("{name} {value} at {time}.")
_NEXT = mark("next reading {value}")
_FROM = mark("The plan says {low} or more.")
_TO = mark("The plan says {high} at most.")
_FROM_TO = mark("The plan says {low} to {high}.")
_BELOW = mark("The plan says below {high}.")
_BELOW_ANY = mark("No limit in the plan: 38.0 °C counts.")
_VACUUM_ANY = mark("No limit in the plan: for an adult {high} at most.")


def is_hot(details: Details, limit: int | float) -> bool:
    """Whether a temperature is at or over a limit (°C; °F converted and rounded to 0.1 °C)."""
    typed, fahrenheit = details.get("temperature_c"), details.get("temperature_f")
    hot = typed is not None and exact(typed) >= exact(limit)
    return hot or (fahrenheit is not None and celsius(fahrenheit) >= exact(limit))


def is_outside(value: int | float, limits: Details) -> bool:
    """Whether a reading lies below `low` or above `high`; at the limit is inside, no limit is inside."""
    low, high = limits.get("low"), limits.get("high")
    return (low is not None and exact(value) < exact(low)) or (
        high is not None and exact(value) > exact(high)
    )


def is_adult(born: str | None, day: date) -> bool:
    """Whether somebody is known to be 18 or older on a day."""
    if born is None:
        return False
    birth = date.fromisoformat(born)
    return (day.year - birth.year, day.month, day.day) >= (ADULT_AGE, birth.month, birth.day)


def limit_words(limits: Details, unit: str) -> str:
    """The plan's limits in words."""
    low, high = limits.get("low"), limits.get("high")
    words = _FROM_TO if low is not None and high is not None else _FROM if high is None else _TO
    return say(words).format(
        low=None if low is None else with_unit(low, unit),
        high=None if high is None else with_unit(high, unit),
    )


class ReadingRun(Run):
    """Readings of one field of the observations against the plan's limits."""

    def __init__(self, name: str, unit: str, label: str, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("observations", "plan"))
        self.name, self.unit, self.label = name, unit, label

    def reads(self, held: Held) -> bool:
        return self.name in held.entry.details

    def matters(self, shift: Shift) -> bool:
        return self.ledger.reaches_back(shift, self._last)

    def value(self, held: Held) -> str:
        """The reading with its unit."""
        return with_unit(held.entry.details[self.name], self.unit)

    def limits(self, plan: Plan | None) -> Details:
        """The plan's limits for this reading."""
        return plan.limits(self.name) if plan is not None else {}

    def is_outside(self, held: Held, limits: Details) -> bool:
        """Whether the reading is outside."""
        return is_outside(held.entry.details[self.name], limits)

    def why(self, limits: Details) -> str:
        """The limit in words."""
        return limit_words(limits, self.unit)

    def verdict(self, held: Held) -> Verdict:
        limits = self.limits(self.ledger.plan_at(held.time))
        if not self.is_outside(held, limits):
            return True
        headline = say(_FOUND).format(
            name=say(self.label), value=self.value(held), time=at(self.ledger, held)
        )
        return evidence(self.rule, self.ledger, held, Level.CALL, headline, why=self.why(limits))

    def ended_words(self, held: Held) -> str:
        return say(_NEXT).format(value=self.value(held))


class TemperatureRun(ReadingRun):
    """Temperatures, in either unit, against the plan's limit or 38.0 °C."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__("temperature_c", mark("°C"), mark("Temperature"), rule, ledger)

    def reads(self, held: Held) -> bool:
        return "temperature_c" in held.entry.details or "temperature_f" in held.entry.details

    def value(self, held: Held) -> str:
        details = held.entry.details
        if "temperature_c" in details:
            return with_unit(details["temperature_c"], say(mark("°C")))
        return with_unit(details["temperature_f"], say(mark("°F")))

    def is_outside(self, held: Held, limits: Details) -> bool:
        return is_hot(held.entry.details, limits.get("high", TEMPERATURE_C))

    def why(self, limits: Details) -> str:
        if "high" not in limits:
            return say(_BELOW_ANY)
        return say(_BELOW).format(high=with_unit(limits["high"], self.unit))


class VacuumRun(Run):
    """The vacuum of suctions against the plan's limit; without one, for an adult, against the default."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("suction", "plan", "person"))

    def reads(self, held: Held) -> bool:
        return "vacuum" in held.entry.details

    def matters(self, shift: Shift) -> bool:
        return shift.kind == "person" or self.ledger.reaches_back(shift, self._last)

    def limit(self, held: Held) -> tuple[int | float, str, bool] | None:
        """The highest vacuum, its unit, and whether the plan says it; None where there is no limit."""
        plan = self.ledger.plan_at(held.time)
        limits = plan.limits("vacuum") if plan is not None else {}
        if "high" in limits:
            return limits["high"], limits["unit"], True
        if not is_adult(self.ledger.person("born"), self.ledger.day(held.time)):
            return None
        unit = held.entry.details["vacuum_unit"]
        return VACUUM_HIGH[unit], unit, False

    def verdict(self, held: Held) -> Verdict:
        limit = self.limit(held)
        if limit is None:
            return True
        high, unit, is_planned = limit
        details = held.entry.details
        if comparable(details["vacuum"], details["vacuum_unit"], unit) <= exact(high):
            return True
        words = self.value(held)
        why = say(_TO if is_planned else _VACUUM_ANY).format(high=with_unit(high, unit))
        headline = say(_FOUND).format(name=say(mark("Vacuum")), value=words, time=at(self.ledger, held))
        return evidence(self.rule, self.ledger, held, Level.NOTE, headline, why=why)

    def value(self, held: Held) -> str:
        """The vacuum with its unit."""
        return with_unit(held.entry.details["vacuum"], held.entry.details["vacuum_unit"])

    def ended_words(self, held: Held) -> str:
        return say(_NEXT).format(value=self.value(held))


ROWS: tuple[Row, ...] = (
    (TEMPERATURE, TemperatureRun),
    (SPO2, partial(ReadingRun, "spo2_percent", "%", mark("SpO2"))),
    (BREATHS, partial(ReadingRun, "breaths_per_min", mark("/min"), mark("Breaths"))),
    (PULSE, partial(ReadingRun, "pulse_per_min", mark("/min"), mark("Pulse"))),
    (VACUUM, VacuumRun),
)
