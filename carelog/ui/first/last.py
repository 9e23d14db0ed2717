"""What the last answer saved, wherever it was given: several pages offer to take it back."""

from collections.abc import Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import same_value
from carelog.analysis.revision import revision
from carelog.domain.entry import Details
from carelog.domain.plan import Plan
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.text import say
from carelog.ui.slip import Slip


@dataclass
class LastAnswer:
    """The presses of this window that its entries count as, and the answer in words."""

    slips: Sequence[Slip] = ()
    words: str = ""
    is_passed: bool = False
    """Whether a question was passed over since: what was saved before it isn't the answer to that."""


def answer_words(title: str, kind: str, before: Details, after: Details) -> str:
    """What an answer says that wasn't recorded before; of a plan what it changes. No title: the kind's."""
    title = title or named_or_unknown(kind).title
    if kind == PLAN.name:
        told = revision(_plan(before), _plan(after))
    else:
        new = {
            name: value
            for name, value in after.items()
            if name not in BY_ITSELF and not (name in before and same_value(before[name], value))
        }
        told = named_or_unknown(kind).line(new)
    return f"{say(title)} ({told})" if told else say(title)


BY_ITSELF = frozenset({"home_zone", "reason", "for", "role"})
"""What the program filled in by itself."""


def _plan(details: Details) -> Plan:
    return Plan.of(entry="", since=0, details=details)
