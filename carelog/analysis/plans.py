"""The plans in the order of their `from`, and which is in force at a moment."""

from collections.abc import Sequence
from functools import lru_cache

from carelog.analysis.in_force import Held, Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import Instant, Moment
from carelog.domain.plan import Plan


def since_of(held: Held) -> Instant:
    """From when a plan entry is in force: its own `from`, else when it happened."""
    details = held.entry.details
    return Moment.read(details["from"]).instant if "from" in details else held.time


@lru_cache(maxsize=512)
def _plan(entry: Entry, since: Instant) -> Plan:
    """Plans are read anew with each entry that is written; taking one apart once is enough."""
    return Plan.of(entry.id, since, entry.details)


def plans(reading: Reading) -> list[Plan]:
    """All plans in force, in the order of their `from`, then of becoming known."""
    found = sorted(reading.of("plan"), key=lambda held: (since_of(held), held.known, held.entry.id))
    return [_plan(held.entry, since_of(held)) for held in found]


def plan_at(reading: Reading, instant: Instant) -> Plan | None:
    """The plan in force at an instant, or None."""
    return next((plan for plan in reversed(plans(reading)) if plan.since <= instant), None)


def in_place(recorded: Sequence[Plan], plan: Plan, moment: Instant) -> list[Plan]:
    """The recorded plans with another in place of those in force from a moment on.

    Until that plan's `from` the one in force at the moment stays.
    """
    return [*(each for each in recorded if each.since <= moment and each.since < plan.since), plan]
