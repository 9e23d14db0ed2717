"""What a change of plan begins with."""

from carelog.domain.entry import Json
from carelog.domain.plan import Plan

AROUND = ("from", "set_by", "restarts")
"""Who set a plan, since when, and what it began to learn anew: things of its own moment."""


def begun(plan: Plan | None) -> dict[str, Json]:
    """The details of the plan in force, without what was of its own moment; none without a plan."""
    return {name: each for name, each in plan.details.items() if name not in AROUND} if plan else {}
