"""A plan from a file in place of those in force from a moment on: what would it have meant?"""

import json
from pathlib import Path

from carelog.analysis.in_force import Reading
from carelog.analysis.plans import stand_in
from carelog.domain.entry import Details
from carelog.domain.field import each_name_once
from carelog.domain.moment import Instant
from carelog.domain.plan import Plan
from carelog.domain.trouble import Refused, Trouble, WrongUse
from carelog.kinds.plan import PLAN
from carelog.text import say


def read_plan(name: str | None, reading: Reading, since: Instant) -> Plan | None:
    """The plan in a file, or None without a file; `Trouble` with a plain sentence when it isn't one.

    Its `from`, if absent, is that of the plan it takes the place of, else `since`.
    """
    return None if name is None else stand_in(reading, plan_details(name), since)


def plan_details(name: str) -> Details:
    """The details of the plan in a file; `Trouble` with a plain sentence when it isn't one."""
    details = _details(Path(name))
    found = PLAN.problems(details)
    if found:
        raise Refused(
            say("“{file}” isn't a plan: {field} {words}.").format(
                file=name, field=found[0].field, words=found[0].words
            )
        )
    return details


def _details(path: Path) -> Details:
    from carelog.app.logbook import settled

    try:
        found = json.loads(path.read_text(encoding="utf-8-sig"), object_pairs_hook=each_name_once)
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be read: {cause}.").format(file=path, cause=error.strerror)
        ) from error
    except (ValueError, RecursionError):
        raise Refused(say("“{file}” isn't JSON text.").format(file=path)) from None
    if not isinstance(found, dict):
        raise WrongUse(say("“{file}” must hold the details of a plan as one JSON object.").format(file=path))
    details: Details = settled(found)
    return details
