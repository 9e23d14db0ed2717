"""What of a counted entry is unlike the usual, in words: what is said of one suction among many."""

from collections import Counter
from collections.abc import Callable, Sequence, Set

from carelog.analysis.compare import LEAST_BEFORE, WeeksBefore
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Entry, Json
from carelog.domain.field import Choice, Field, YesNo
from carelog.domain.kind import Draw, Kind
from carelog.kinds import ALL
from carelog.text import say

USUAL_SHARE = 0.1
"""A value found less often than this isn't usual (our own choice)."""


def unlike_usual(review: Review, past: WeeksBefore) -> Callable[[Shown], str]:
    """Says of an entry of a counted kind what was rarely found in the three weeks before.

    Where those say too little about a field, the days themselves are what is compared with.
    """
    usual = {kind.name: _usual(review, past, kind) for kind in ALL if kind.draw is Draw.COUNT}

    def words(shown: Shown) -> str:
        details = shown.entry.details
        return ", ".join(
            f"{say(field.label) if isinstance(field.type, Choice) else ''} "
            f"{field.type.words(details[field.name])}".strip()
            for field, values in usual.get(shown.entry.kind, ())
            if details.get(field.name, False) not in values
        )

    return words


def _usual(review: Review, past: WeeksBefore, kind: Kind) -> list[tuple[Field, Set[Json]]]:
    """Of each field with choices the values that nothing is said of: the usual ones, and no."""
    then = [held.entry for held in past.of(kind.name)]
    now = [row.entry for row in review.of(kind.name)]
    fields = [field for field in kind.fields if isinstance(field.type, Choice | YesNo)]
    return [(field, {*_common(_of_field(field, then, now)), False}) for field in fields]


def _of_field(field: Field, then: Sequence[Entry], now: Sequence[Entry]) -> Counter[Json]:
    given = [each.details[field.name] for each in then if field.name in each.details]
    if len(given) < LEAST_BEFORE:
        given = [each.details[field.name] for each in now if field.name in each.details]
    return Counter(value for value in given if isinstance(value, str | bool))


def _common(counts: Counter[Json]) -> list[Json]:
    least = USUAL_SHARE * counts.total()
    return [value for value, count in counts.items() if count >= least]
