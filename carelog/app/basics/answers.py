"""How an answer about the basics becomes an entry: the first one is recorded, a later one amends it.

Each function makes a job for the writer's thread and reads there what stands now, so that two answers in a
row never become rivals. The reason of a change is the program's: nobody is asked for one here.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from carelog.analysis.in_force import Held, Reading, same_value
from carelog.analysis.plans import plans
from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.domain.entry import Details, Entry, Json, details_text
from carelog.domain.moment import DAY_24_H, Moment
from carelog.domain.trouble import Refused
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.text import mark, say

Answer = Callable[[Logbook, Record, str], Sequence[Entry]]
"""Saves an answer, by whoever records, and gives what it saved."""
ANSWERED = mark("answered anew")
STRUCK = mark("taken out of the list")
_PROPOSED = mark("Taken as proposed here: {question} {answer}")
URGENT = ("urgent_low", "urgent_high")
SAME_PLAN = DAY_24_H
"""So long answers go into one plan; from then on a change is a plan of its own (our own choice)."""


def say_person(given: Mapping[str, Json]) -> Answer:
    """Some facts about the person; None: no longer recorded. The rest stays as it is."""

    def job(logbook: Logbook, record: Record, by: str) -> Sequence[Entry]:
        held = Reading(record.of_kinds([PERSON.name])).of(PERSON.name)
        if not held:
            return [logbook.record(PERSON.name, _without_none(given), by)]
        gone = {name for name, value in given.items() if value is None}
        older = [each for each in held[:-1] if gone & each.entry.details.keys()]
        name = next((each.entry.details["name"] for each in reversed(held)), "")
        changed = [_changed(logbook, each, {"name": name} | _left(each, gone), by) for each in older]
        newest = held[-1]
        return [*changed, _changed(logbook, newest, _without_none({**newest.entry.details, **given}), by)]

    return job


def say_new(kind: str, details: Details, at: Moment | None = None, note: str = "") -> Answer:
    """An entry of its own, such as one more contact or the tube in place."""
    return lambda logbook, _record, by: [logbook.record(kind, details, by, at, note)]


def say_again(
    entry_id: str, given: Mapping[str, Json], at: Moment | None = None, note: str | None = None
) -> Answer:
    """Other details of an entry; None takes one out, the rest stays."""

    def job(logbook: Logbook, record: Record, by: str) -> Sequence[Entry]:
        held = _held(record, entry_id)
        details = _without_none({**held.entry.details, **given})
        return [_changed(logbook, held, details, by, at, note)]

    return job


def strike(entry_id: str) -> Answer:
    """Take out somebody who no longer writes, or a number that no longer holds.

    A change that is struck out gives back what it changed, so all of a chain is struck, the newest first.
    """

    def job(logbook: Logbook, record: Record, by: str) -> Sequence[Entry]:
        held: Held | None = _held(record, entry_id)
        struck = []
        while held is not None:
            struck.append(logbook.withdraw(held, say(STRUCK), by))
            held = Reading(record.chain([entry_id])).get(entry_id)
        return struck

    return job


def taken_line(asks: str, offered: str) -> str:
    """A line of a plan's note: this is the program's own offer, not what whoever set the plan said."""
    return say(_PROPOSED).format(question=asks, answer=offered)


def say_plan(
    set_by: str, change: Callable[[Details], Details], line: str = "", gone: Collection[str] = ()
) -> Answer:
    """One more sentence of the plan: all answers that one person gives within a day make one plan, amended.

    A plan that another wrote, or that is older, isn't changed backwards: the change is a plan of now on.
    `line`: what the plan's note says of it, in place of the lines that are `gone`: those that were written of
    the same question before, whole, in whatever language it was.
    """

    def job(logbook: Logbook, record: Record, by: str) -> Sequence[Entry]:
        reading = Reading(record.of_kinds([PLAN.name]))
        last = plans(reading)[-1:]
        held = reading.get(last[0].entry) if last else None
        if held is None:
            details = {**change({}), "set_by": set_by}
            return [logbook.record(PLAN.name, details, by, note=line)]
        details = {**change(held.entry.details), "set_by": set_by}
        is_recent = 0 <= logbook.now - held.first.recorded_at < SAME_PLAN
        note = _noted(held.entry.note, line, gone)
        if same_value(details, held.entry.details) and note == held.entry.note:
            return []
        if is_recent and held.first.by == by:
            return [_changed(logbook, held, details, by, note=note)]
        return [logbook.record(PLAN.name, {n: v for n, v in details.items() if n != "from"}, by, note=note)]

    return job


def _noted(note: str, line: str, gone: Collection[str]) -> str:
    """A plan's note with what it says of one question, and without what it said before."""
    lines = note.splitlines()
    if not line and not set(lines) & set(gone):
        return note
    return "\n".join([*(each for each in lines if each not in gone), *([line] if line else [])])


def with_task(task: Mapping[str, Any]) -> Callable[[Details], Details]:
    """A plan that asks for this, in place of the same task in another rhythm."""

    def change(plan: Details) -> Details:
        tasks = plan.get("tasks", [])
        same = [number for number, each in enumerate(tasks) if _names(each) == _names(task)]
        if not same:
            return {**plan, "tasks": [*tasks, dict(task)]}
        kept = {name: value for name, value in tasks[same[0]].items() if name not in ("every_h", "times")}
        return {**plan, "tasks": [*tasks[: same[0]], {**kept, **task}, *tasks[same[0] + 1 :]]}

    return change


def with_limit(name: str, given: Mapping[str, Json]) -> Callable[[Details], Details]:
    """A plan with this limit, and the urgent numbers that stood beside it where the unit is the same."""

    def change(plan: Details) -> Details:
        limits = plan.get("limits", {})
        before = limits.get(name, {})
        is_same_unit = before.get("unit") == given.get("unit")
        urgent = {end: before[end] for end in URGENT if end in before and is_same_unit}
        return {**plan, "limits": {**limits, name: {**urgent, **given}}}

    return change


def without(name: str) -> Callable[[Details], Details]:
    """A plan without one of its own fields."""
    return lambda plan: {each: value for each, value in plan.items() if each != name}


def with_value(name: str, value: Json) -> Callable[[Details], Details]:
    """A plan with another value of one of its own fields."""
    return lambda plan: {**plan, name: value}


def _held(record: Record, entry_id: str) -> Held:
    held = Reading(record.chain([entry_id])).get(entry_id)
    if held is None:
        raise Refused(say("This entry isn't in force any more. Look on the page Days."))
    return held


def _changed(
    logbook: Logbook,
    held: Held,
    details: Details,
    by: str,
    at: Moment | None = None,
    note: str | None = None,
) -> Entry:
    return logbook.amend(held, details, at=at, note=note, reason=say(ANSWERED), by=by)


def _left(held: Held, gone: set[str]) -> dict[str, Json]:
    return {name: value for name, value in held.entry.details.items() if name not in gone}


def _without_none(given: Mapping[str, Json]) -> dict[str, Json]:
    return {name: value for name, value in given.items() if value is not None}


def _names(task: Mapping[str, Any]) -> tuple[str, str]:
    return task["kind"], details_text(task.get("where", {}))
