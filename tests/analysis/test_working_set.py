"""The entries that `due` says it needs give the same dues as the whole record."""

from collections.abc import Iterable
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.cuff import cuff_events, cuff_says, put_up
from carelog.analysis.due import dues, last_doing
from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.plans import plan_at
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Instant, Moment
from carelog.domain.plan import Task

BEGIN = Moment.read("2026-10-20T00:00:00Z").instant
STANDING = ("plan", "stay", "gap", "tube_change", "decannulation", "person")
TASKS: list[dict[str, Any]] = [
    {"kind": "cuff_pressure", "every_h": 12},
    {"kind": "cuff_pressure", "times": ["08:00", "20:00"]},
    {"kind": "humidity", "where": {"device": "hme"}, "every_h": 24},
    {"kind": "humidity", "where": {"device": "nebuliser"}, "times": ["07:00", "01:30"], "early_min": 120},
    {"kind": "inner_tube", "every_h": 8, "quiet": ["23:00", "06:00"]},
    {"kind": "inner_tube", "every_h": 6},
]
tasks = st.sampled_from(TASKS)
tubes = {"id_mm": 8, "inner_tube": "none"}
happenings = st.one_of(
    st.tuples(
        st.just("plan"),
        st.fixed_dictionaries(
            {"set_by": st.just("x"), "tasks": st.lists(tasks, max_size=3, unique_by=lambda t: t["kind"])}
        ),
    ),
    st.tuples(st.just("stay"), st.fixed_dictionaries({"action": st.sampled_from(["start", "end", "end"])})),
    st.tuples(st.just("gap"), st.just({"since": "2026-10-01T00:00:00Z"})),
    st.tuples(st.just("decannulation"), st.just({})),
    st.tuples(
        st.just("tube_change"),
        st.sampled_from(
            [{**tubes, "cuff": "air"}, {**tubes, "cuff": "none"}, {**tubes, "cuff": "air", "ease": "failed"}]
        ),
    ),
    st.tuples(st.just("cuff_state"), st.fixed_dictionaries({"state": st.sampled_from(["up", "down"])})),
    st.tuples(st.just("valve"), st.sampled_from([{"action": "on"}, {"action": "on", "cuff_down": True}])),
    st.tuples(
        st.just("cuff_pressure"),
        st.sampled_from([{"value": 25, "unit": "cmH2O"}, {"value": 3, "unit": "cmH2O", "value_after": 0}]),
    ),
    st.tuples(
        st.just("humidity"),
        st.fixed_dictionaries(
            {
                "device": st.sampled_from(["hme", "nebuliser"]),
                "action": st.sampled_from(["changed", "stopped"]),
            }
        ),
    ),
    st.tuples(st.just("inner_tube"), st.fixed_dictionaries({"outcome": st.sampled_from(["clear", "stuck"])})),
)


@st.composite
def records(draw: st.DrawFn) -> list[Entry]:
    """A fortnight's record over the autumn clock change, some of it changed or struck out."""
    found: list[Entry] = []
    for number, (kind, details) in enumerate(draw(st.lists(happenings, min_size=4, max_size=30))):
        when = BEGIN + draw(st.integers(0, 14 * 24 * 4)) * 15 * MINUTE
        identity = f"00000000-0000-4000-8000-{number:012}"
        found.append(Entry(identity, kind, Moment(when), when, zone="Europe/London", details=details))
    for number, target in enumerate(draw(st.lists(st.sampled_from(found), max_size=4)), 100):
        found.append(_change(number, target, draw(st.booleans()), draw(st.integers(-30, 30)) * HOUR))
    return found


def _change(number: int, target: Entry, withdrawn: bool, moved: Instant) -> Entry:
    at = target.at if withdrawn else Moment(target.at.instant + moved)
    details: dict[str, Any] = {} if withdrawn else dict(target.details)
    known = max(target.recorded_at, at.instant)
    identity = f"00000000-0000-4000-8000-{number:012}"
    return Entry(
        identity, target.kind, at, known, "", "", details, "", "live", target.id, "a slip", withdrawn
    )


def working_set(entries: Iterable[Entry], now: Instant) -> set[str]:
    """The ids of the entries that the docstring of `due` names."""
    reading = Reading(entries)
    kept = [held for kind in STANDING for held in reading.of(kind)]
    zoned = [held for held in reading.held if held.entry.zone]
    kept += zoned[:1]
    plan = plan_at(reading, now)
    for task in plan.tasks if plan else ():
        kept += _doings(reading, task, now)
    return {entry.id for held in [*kept, *_cuff(reading)] for entry in held.chain}


def _doings(reading: Reading, task: Task, now: Instant) -> list[Held]:
    last = last_doing(reading, task)
    far = now - 72 * HOUR - task.early
    recent = [held for held in reading.of(task.kind) if task.times and held.time >= far]
    return [*recent, *([last] if last else [])]


def _cuff(reading: Reading) -> list[Held]:
    put = put_up(reading)
    said = [each.held for each in cuff_events(reading) if each.says is not None]
    if put is None:
        return said
    since = [held for held in said if held.time >= put]
    downs = [held for held in said if held.time < put and cuff_says(held.entry) is False]
    return [*since, *sorted(downs, key=order_of)[-1:]]


@given(record=records(), quarter=st.integers(0, 16 * 24 * 4))
def test_the_working_set_gives_the_same_dues_as_the_whole_record(record: list[Entry], quarter: int) -> None:
    now = BEGIN + quarter * 15 * MINUTE
    known = [entry for entry in record if entry.recorded_at <= now]
    kept = working_set(known, now)
    assert dues(Reading([e for e in known if e.id in kept]), now) == dues(Reading(known), now)


@given(record=records(), quarter=st.integers(0, 16 * 24 * 4), data=st.data())
def test_more_than_the_working_set_never_harms(
    record: list[Entry], quarter: int, data: st.DataObject
) -> None:
    now = BEGIN + quarter * 15 * MINUTE
    known = [entry for entry in record if entry.recorded_at <= now]
    reading = Reading(known)
    more = data.draw(st.lists(st.sampled_from(reading.held), max_size=5)) if reading.held else []
    kept = working_set(known, now) | {entry.id for held in more for entry in held.chain}
    assert dues(Reading([e for e in known if e.id in kept]), now) == dues(reading, now)


def test_a_set_without_the_last_doing_is_seen_to_be_too_small() -> None:
    done = Entry(
        "00000000-0000-4000-8000-000000000001",
        "inner_tube",
        Moment(BEGIN),
        BEGIN,
        details={"outcome": "clear"},
    )
    plan = {"set_by": "x", "tasks": [{"kind": "inner_tube", "every_h": 8}]}
    record = [
        done,
        Entry("00000000-0000-4000-8000-000000000002", "plan", Moment(BEGIN - HOUR), BEGIN, details=plan),
    ]
    assert dues(Reading(record), BEGIN + HOUR) != dues(Reading(record[1:]), BEGIN + HOUR)
