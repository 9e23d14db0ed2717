"""What was recorded last of a kind, and what was found how often, before a moment."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import Held, Reading
from carelog.domain.entry import Details
from carelog.domain.field import Choice, YesNo
from carelog.domain.kind import Kind
from carelog.domain.moment import Instant

Says = Callable[[Details], bool]


def _anything(_details: Details) -> bool:
    return True


def newest(
    reading: Reading, kind: str, before: Instant, says: Says = _anything, since: Instant | None = None
) -> Held | None:
    """The last entry of a kind before a moment whose details say something; None: there is none."""
    for held in reversed(reading.of(kind)):
        if held.time < before and says(held.entry.details):
            return held if since is None or held.time >= since else None
    return None


def between(reading: Reading, kind: str, start: Instant, end: Instant, says: Says = _anything) -> list[Held]:
    """The entries of a kind from a moment on and before another, oldest first."""
    return [h for h in reading.of(kind) if start <= h.time < end and says(h.entry.details)]


@dataclass(frozen=True, slots=True)
class Tally:
    """What some entries of one kind say: how many there are, each field's words with their counts, by whom.

    `unsaid`: of each field how many entries give it no value.
    """

    count: int
    found: Mapping[str, Counter[str]]
    unsaid: Mapping[str, int]
    by: Counter[str]


def tally(kind: Kind, held: Sequence[Held], names: Sequence[str]) -> Tally:
    """The choices and the answers of these fields, counted; `by` counts who gave any of them."""
    found: dict[str, Counter[str]] = {}
    unsaid: dict[str, int] = {}
    by: Counter[str] = Counter()
    for name in names:
        field = kind.field(name)
        if field is None or not isinstance(field.type, Choice | YesNo):
            raise LookupError(name)
        values = [each.entry.details[name] for each in held if name in each.entry.details]
        found[name] = Counter(field.type.words(value) for value in values)
        unsaid[name] = len(held) - len(values)
    for each in held:
        if any(name in each.entry.details for name in names):
            by[each.first.by] += 1
    return Tally(len(held), found, unsaid, by)
