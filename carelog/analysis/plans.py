"""The plans in the order of their `from`, and which is in force at a moment."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from carelog.analysis.in_force import Held, Reading
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import Instant, Moment
from carelog.domain.plan import Plan

NO_ENTRY = ""  # the id of a plan that no entry holds


def since_of(held: Held) -> Instant:
    """From when a plan entry is in force: its own `from`, else when it happened."""
    details = held.entry.details
    return Moment.read(details["from"]).instant if "from" in details else held.time


@lru_cache(maxsize=512)
def _plan(entry: Entry, since: Instant) -> Plan:
    """Plans are read anew with each entry that is written; taking one apart once is enough."""
    return Plan.of(entry.id, since, entry.details)


def in_order(entries: Iterable[Held]) -> list[Plan]:
    """The plans of plan entries in force, in the order of their `from`, then of becoming known."""
    found = sorted(entries, key=lambda held: (since_of(held), held.known, held.entry.id))
    return [_plan(held.entry, since_of(held)) for held in found]


def in_force(ordered: Sequence[Plan], instant: Instant) -> Plan | None:
    """Of plans in order the one in force at an instant, or None."""
    place = bisect_right(ordered, instant, key=lambda plan: plan.since)
    return ordered[place - 1] if place else None


def plans(reading: Reading) -> list[Plan]:
    """All plans of a reading, in order."""
    return in_order(reading.of("plan"))


def plan_at(reading: Reading, instant: Instant) -> Plan | None:
    """The plan in force at an instant, or None."""
    return in_force(plans(reading), instant)


def in_place(recorded: Sequence[Plan], plan: Plan, moment: Instant) -> list[Plan]:
    """The recorded plans with another in place of those in force from a moment on.

    Until that plan's `from` the one in force at the moment stays.
    """
    return [*(each for each in recorded if each.since <= moment and each.since < plan.since), plan]


def stand_in(reading: Reading, details: Details, moment: Instant) -> Plan:
    """The plan of valid details that no entry holds, as if it had been written at a moment.

    Its `from`, if absent, is that of the plan it takes the place of, else the moment.
    """
    if "from" in details:
        return Plan.of(NO_ENTRY, Moment.read(details["from"]).instant, details)
    replaced = plan_at(reading, moment)
    plan = Plan.of(NO_ENTRY, moment, details)
    return replace(plan, since=replaced.since) if replaced else plan
