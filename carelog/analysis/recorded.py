"""Which days count as recorded: those of the home zone on which care was written down."""

from collections.abc import Iterable
from datetime import date

from carelog.analysis.in_force import Held
from carelog.domain.moment import Home
from carelog.kinds import ALL

CARE = frozenset(kind.name for kind in ALL if kind.is_care)
"""A day on which only a card was shown, or a plan was written, isn't a day without suction."""


def is_care(kind: str) -> bool:
    """Whether an entry of this kind makes its day a recorded one."""
    return kind in CARE


def recorded_days(home: Home, held: Iterable[Held]) -> set[date]:
    """The recorded days among these entries in force."""
    found, start, end = set[date](), 0, 0
    for each in held:
        if is_care(each.entry.kind) and not start <= each.time < end:
            day = home.day(each.time)
            found.add(day)
            start, end = home.start_of(day), home.end_of(day)
    return found
