"""The care plan from now on, whole."""

from collections.abc import Mapping

from carelog.domain.either import OrNone
from carelog.domain.entry import Details, Json, details_text
from carelog.domain.field import (
    CLOCK,
    Field,
    Group,
    ListOf,
    Number,
    Problem,
    Text,
    When,
    YesNo,
    choice,
)
from carelog.domain.kind import Draw, Export, Kind
from carelog.kinds.words import PRESSURE_UNIT, VACUUM_UNIT
from carelog.text import mark, say

SPAN = ListOf(CLOCK, least=2, most=2)


def _one_rhythm(task: Mapping[str, Json]) -> str | None:
    if ("every_h" in task) != ("times" in task):
        return None
    return say("must have every_h or times, one of the two")


TASK = Group(
    (
        Field("kind", "", Text(), required=True, asked=mark("What")),
        Field("where", mark("with"), Group(())),
        Field("every_h", mark("every"), Number(unit="h", above=0)),
        Field("times", mark("at"), ListOf(CLOCK, least=1)),
        Field("quiet", mark("quiet"), OrNone(SPAN)),
        Field("grace_min", mark("grace"), Number(unit="min", low=0)),
        Field("early_min", mark("early"), Number(unit="min", low=0)),
    ),
    check=_one_rhythm,
)


_EDGES = {
    "low": mark("at least"),
    "high": mark("at most"),
    "urgent_low": mark("urgent below"),
    "urgent_high": mark("urgent above"),
}
_BOTH = tuple(_EDGES)


def _limit(unit: str, edges: tuple[str, ...] = _BOTH) -> Group:
    return Group(tuple(Field(edge, _EDGES[edge], Number(unit=unit)) for edge in edges))


def _temperature() -> Group:
    """A temperature at the high number is outside already."""
    words = {**_EDGES, "high": mark("below")}
    return Group(
        tuple(Field(edge, words[edge], Number(unit="°C", is_outside=edge == "high")) for edge in _BOTH)
    )


LIMITS = Group(
    (
        Field(
            "cuff_pressure",
            mark("cuff pressure"),
            Group(
                (
                    Field("low", _EDGES["low"], Number(unit_field="unit")),
                    Field("high", _EDGES["high"], Number(unit_field="unit")),
                    Field("unit", mark("unit"), PRESSURE_UNIT, required=True, asked=mark("Unit")),
                )
            ),
        ),
        Field(
            "vacuum",
            mark("vacuum"),
            Group(
                (
                    Field("high", _EDGES["high"], Number(unit_field="unit")),
                    Field("unit", mark("unit"), VACUUM_UNIT, required=True, asked=mark("Unit")),
                )
            ),
        ),
        Field("temperature_c", mark("temperature"), _temperature(), asked=mark("Temperature in °C")),
        Field("spo2_percent", mark("SpO2"), _limit("%", ("low", "urgent_low"))),
        Field("breaths_per_min", mark("breathing rate"), _limit("/min")),
        Field("pulse_per_min", mark("pulse"), _limit("/min")),
        Field("oxygen_l_min", mark("oxygen"), _limit("L/min", ("high", "urgent_high"))),
    )
)


def _no_task_twice(details: Details) -> Problem | None:
    names = [details_text([task["kind"], task.get("where", {})]) for task in details.get("tasks", [])]
    if len(names) == len(set(names)):
        return None
    return Problem("tasks", say("must not ask twice for the same kind with the same details"))


PLAN = Kind(
    name="plan",
    title=mark("Care plan"),
    has_page=True,
    is_lasting=True,
    fields=(
        Field("from", mark("from"), When()),
        Field("set_by", mark("set by"), Text(), required=True),
        Field("tasks", mark("asks for"), ListOf(TASK)),
        Field("quiet", mark("quiet hours"), SPAN),
        Field("limits", mark("limits"), LIMITS),
        Field(
            "restarts",
            mark("usual learnt anew for"),
            ListOf(
                choice(
                    ("suction", mark("suctions")),
                    ("secretions", mark("secretions")),
                    ("cuff", mark("cuff")),
                    ("inner_tube", mark("inner tube")),
                    ("readings", mark("readings")),
                )
            ),
        ),
        Field(
            "false_flags_a_year", mark("flags a year without a change"), choice((1, "1"), (2, "2"), (4, "4"))
        ),
        Field("catheter_fr", mark("catheter"), Number(unit="Fr", ask_below=4, ask_above=20)),
        Field("spare_step_mm", mark("smaller spare by"), Number(unit="mm", low=0)),
        Field(
            "cuffed_spare",
            mark("One spare with a cuff"),
            YesNo(mark("one spare with a cuff"), mark("no cuffed spare")),
        ),
        Field(
            "valve_at_night",
            mark("Valve or cap on at night"),
            YesNo(mark("valve or cap on at night"), mark("no valve or cap at night")),
        ),
        Field(
            "cuff_down_at_night",
            mark("Cuff down at night"),
            YesNo(mark("cuff down at night"), mark("cuff not down at night")),
        ),
        Field("lead_days", mark("order lead time"), Number(unit="days", low=0)),
        Field("reserve_days", mark("reserve"), Number(unit="days", low=0)),
        Field("instructions", mark("instructions"), Text(long=True)),
    ),
    check=_no_task_twice,
    draw=Draw.SETTING,
    export=Export("CarePlan"),
)
