"""One limit: a reading that raises a limit's flag is marked on its row, and the other way round."""

from collections.abc import Sequence
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Reading
from carelog.analysis.limits import (
    READ,
    TEMPERATURE,
    UNITS,
    Against,
    Limit,
    Outside,
    limit_of,
    limit_words,
    limits_of_plan,
    on_gauge,
    outside,
    range_words,
)
from carelog.analysis.outside import Judging, mark_words
from carelog.domain.entry import Details, Entry
from carelog.domain.field import Field, Group, Number
from carelog.domain.flag import Level
from carelog.domain.kind import Kind
from carelog.domain.units import exact
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import LIMITS
from tests.flags.households import Household, seeds_of
from tests.flags.story import LONG_AGO, Story

RULE_OF = {
    TEMPERATURE: "temperature",
    "spo2_percent": "spo2",
    "breaths_per_min": "breaths",
    "pulse_per_min": "pulse",
    "oxygen_l_min": "oxygen",
    "vacuum": "vacuum_high",
}
ADULT = "1 00:00 person name=Odette born=1960-01-01"


def marked(entries: Sequence[Entry]) -> set[tuple[str, str]]:
    """Each entry with a mark, and the rule that the mark is about."""
    reading = Reading(entries)
    judging = Judging(reading)
    found = set()
    for held in reading.held:
        for each in judging.outside(held):
            side = "cuff_high" if each.is_high else "cuff_low"
            found.add((RULE_OF.get(each.limit.name, side), held.entry.id))
    return found


def flagged(entries: Sequence[Entry]) -> set[tuple[str, str]]:
    """Each entry that showed a limit's flag, and its rule."""
    end = max(entry.recorded_at for entry in entries) + 1
    rules = {*RULE_OF.values(), "cuff_high", "cuff_low"}
    return {(f.rule, each) for f in flags(entries, LONG_AGO, end) if f.rule in rules for each in f.entries}


def in_order(random: Random, count: int) -> list[Entry]:
    """A household that writes at once, one entry at a moment, and first who the person is."""
    kinds = ("observations", "cuff_pressure", "suction", "cuff_state", "valve", "tube_change", "plan")
    household = Household(10, kinds=kinds)
    household.write(seeds_of(random, count), changes=0)
    entries = list(
        {
            each.at.instant: Entry(each.id, each.kind, each.at, each.at.instant, details=each.details)
            for each in household.entries
            if "from" not in each.details
        }.values()
    )
    born = random.choice(["1960-01-01", "2012-01-01", None])
    about = {"name": "Odette"} | ({"born": born} if born else {})
    first = min(entries, key=lambda each: each.recorded_at, default=None)
    if first is None:
        return []
    person = Entry("person", "person", first.at, first.recorded_at - 1, details=about)
    return [person, *entries]


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(st.randoms(use_true_random=False), st.integers(1, 60))
def test_a_flag_and_a_mark_agree_in_any_household_that_writes_at_once(random: Random, count: int) -> None:
    entries = in_order(random, count)
    if entries:
        assert marked(entries) == flagged(entries)


def test_the_households_hold_readings_of_every_rule() -> None:
    found = {rule for seed in range(40) for rule, _ in flagged(in_order(Random(seed), 60))}
    assert found >= {"temperature", "spo2", "pulse", "vacuum_high", "cuff_high", "cuff_low"}


def test_an_adults_vacuum_of_25_kPa_without_a_plan_is_flagged_and_marked() -> None:
    entries = Story().tell(ADULT, "2 08:00 suction vacuum=25 vacuum_unit=kPa").entries
    assert marked(entries) == flagged(entries) == {("vacuum_high", entries[1].id)}


def marks(line: str, *before: str) -> list[str]:
    """The marks of the last entry, in words."""
    story = Story().tell(*before, line)
    reading = Reading(story.entries)
    held = reading.get(story.entries[-1].id)
    assert held is not None
    kind = named_or_unknown(held.entry.kind)
    words = mark_words(kind, held.entry.details, Judging(reading).outside(held))
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in words]


CUFF = '1 00:00 plan set_by=nurse limits={"cuff_pressure":{"low":20,"high":30,"unit":"cmH2O"}}'
AIR = "1 06:00 tube_change id_mm=8 cuff=air inner_tube=none"


@pytest.mark.parametrize(
    ("line", "before", "expected"),
    [
        ("2 08:00 cuff_pressure value=38 unit=cmH2O", [CUFF], ["above 30 cmH2O"]),
        ("2 08:00 cuff_pressure value=25 unit=mmHg", [CUFF], ["above 30 cmH2O"]),
        ("2 08:00 cuff_pressure value=25 unit=cmH2O value_after=34", [CUFF], ["left above 30 cmH2O"]),
        ("2 08:00 cuff_pressure value=38 unit=cmH2O", [], []),
        ("2 08:00 cuff_pressure value=3 unit=cmH2O", [CUFF, AIR, "2 07:00 cuff_state state=down"], []),
        ("2 08:00 cuff_pressure value=38 unit=cmH2O", [CUFF, AIR.replace("air", "foam")], []),
        ("2 08:00 observations temperature_c=38", [], ["temperature 38 38 °C or more"]),
        ("2 08:00 observations temperature_c=34.9", [], ["temperature 34.9 below 35 °C"]),
        ("2 08:00 observations temperature_c=35", [], []),
        ("2 08:00 suction vacuum=160 vacuum_unit=mmHg", [ADULT], ["vacuum 160 mmHg above 150 mmHg"]),
        ("2 08:00 suction vacuum=160 vacuum_unit=mmHg", [], []),
    ],
)
def test_what_is_outside_is_marked_with_its_limit(line: str, before: list[str], expected: list[str]) -> None:
    assert marks(line, *before) == expected


def test_a_number_whose_field_has_no_label_is_marked_without_one() -> None:
    bare = Kind("hygrometer", "Hygrometer", (Field("percent", "", Number(unit="%")),))
    found = Outside("percent", Limit("percent", "%", {"low": 40}), "low")
    words = mark_words(bare, {"percent": 38}, (found,))
    assert [each.replace("\N{NO-BREAK SPACE}", " ") for each in words] == ["38 below 40 %"]


@pytest.mark.parametrize(
    ("name", "given", "expected"),
    [
        ("cuff_pressure", {"low": 20, "high": 30, "unit": "cmH2O"}, "20 to 30 cmH2O"),
        ("spo2_percent", {"low": 92}, "at least 92 %"),
        ("spo2_percent", {"low": 92, "urgent_low": 88}, "at least 92 %, urgent below 88 %"),
        ("pulse_per_min", {"urgent_high": 140}, "urgent above 140 /min"),
        ("vacuum", {"high": 20, "unit": "kPa"}, "at most 20 kPa"),
        (TEMPERATURE, {"high": 38}, "below 38 °C"),
        (TEMPERATURE, {"low": 35.5, "high": 38}, "at least 35.5 °C and below 38 °C"),
        ("oxygen_l_min", {"high": 4}, "at most 4 L/min"),
    ],
)
def test_a_limits_words_say_what_is_inside(name: str, given: Details, expected: str) -> None:
    limit = limit_of(name, given)
    assert limit is not None
    assert range_words(limit).replace("\N{NO-BREAK SPACE}", " ") == expected


def test_without_a_limit_the_page_says_so_and_what_counts_all_the_same() -> None:
    lines, none = limits_of_plan({"spo2_percent": {"low": 92}}, is_adult=True)
    told = {name: words.replace("\N{NO-BREAK SPACE}", " ") for name, words in lines}
    assert told["vacuum"] == "at most 20 kPa (not in the plan)"
    assert told["temperature"] == "at least 35 °C and below 38 °C (not in the plan)"
    assert told["SpO2"] == "at least 92 %"
    assert none.startswith("no limit set for cuff pressure")
    _, child = limits_of_plan({}, is_adult=False)
    assert "vacuum" in child


def test_on_another_gauge_the_limit_is_the_last_reading_inside() -> None:
    limit = limit_of("cuff_pressure", {"low": 20, "high": 30, "unit": "cmH2O"})
    assert limit is not None
    assert range_words(on_gauge(limit, "mmHg")).replace("\N{NO-BREAK SPACE}", " ") == "15 to 22 mmHg"


@pytest.mark.parametrize(
    ("value", "end", "level"),
    [
        (87, "urgent_low", Level.URGENT),
        (88, "low", Level.CALL),
        (91, "low", Level.CALL),
        (92, "", None),
    ],
)
def test_an_urgent_end_goes_before_the_other_and_is_inclusive(
    value: int, end: str, level: Level | None
) -> None:
    against = Against({"spo2_percent": {"low": 92, "urgent_low": 88}}, is_adult=False)
    limit = against.limit("spo2_percent")
    assert limit is not None
    assert limit.beyond(exact(value)) == end
    found = outside("observations", {"spo2_percent": value}, against)
    assert [each.level for each in found] == ([level] if level is not None else [])


def test_every_limit_that_a_field_names_is_the_plans_and_each_of_the_plans_is_named() -> None:
    named = {limit for fields in READ.values() for limit in fields.values()}
    assert named == {field.name for field in LIMITS.fields}


def test_a_limit_without_a_unit_field_has_a_unit() -> None:
    chosen = {field.name for field in LIMITS.fields if "unit" in {each.name for each in ends_of(field)}}
    assert UNITS.keys() == {field.name for field in LIMITS.fields} - chosen
    assert all(UNITS.values())


def ends_of(field: Field) -> tuple[Field, ...]:
    """The ends of a limit, and its unit where one chooses it."""
    assert isinstance(field.type, Group)
    return field.type.fields


@pytest.mark.parametrize(
    ("name", "ends", "value", "end"),
    [
        ("pulse_per_min", {"high": 110, "urgent_high": 150}, 151, "urgent_high"),
        ("pulse_per_min", {"high": 110, "urgent_high": 150}, 150, "high"),
        ("spo2_percent", {"low": 92, "urgent_low": 85}, 84, "urgent_low"),
        ("spo2_percent", {"low": 92, "urgent_low": 85}, 85, "low"),
        ("spo2_percent", {"low": 92, "urgent_low": 85}, 92, ""),
    ],
)
def test_a_reading_is_beyond_the_worst_end_that_it_passes(
    name: str, ends: Details, value: int, end: str
) -> None:
    limit = Against({name: ends}, is_adult=True).limit(name)
    assert limit is not None
    assert limit.beyond(exact(value)) == end


def test_a_limit_that_counts_without_a_plan_says_whom_it_is_for() -> None:
    against = Against({}, is_adult=True)
    said = {}
    for name, unit, value in (("vacuum", "kPa", 40), (TEMPERATURE, "°C", 40)):
        limit = against.limit(name, unit)
        assert limit is not None
        said[name] = limit_words(Outside("", limit, limit.beyond(exact(value))))
    assert said["vacuum"].startswith("No limit in the plan: for an adult")
    assert said[TEMPERATURE].startswith("No limit in the plan: at least 35")
