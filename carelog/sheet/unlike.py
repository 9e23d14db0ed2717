"""What of a counted entry is unlike the usual, in words: what is said of one suction among many."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from carelog.analysis.compare import LEAST_BEFORE, WeeksBefore
from carelog.analysis.week import Review, Shown
from carelog.domain.entry import Entry, Json
from carelog.domain.field import Choice, Field, YesNo
from carelog.domain.kind import Draw, Kind
from carelog.kinds import ALL, named_or_unknown
from carelog.text import say

USUAL_SHARE = 0.1
"""A value found less often than this isn't usual (our own choice)."""
Counts = Mapping[str, Counter[Json]]


def unlike_usual(review: Review, past: WeeksBefore) -> Callable[[Shown], str]:
    """Says of an entry of a counted kind what was rarely found in the three weeks before.

    Where those say too little about a field, the days themselves are what is compared with.
    """
    usual = {kind.name: _counts(review, past, kind) for kind in ALL if kind.draw is Draw.COUNT}

    def words(shown: Shown) -> str:
        kind = named_or_unknown(shown.entry.kind)
        counts = usual.get(kind.name)
        if counts is None:
            return ""
        found = [field for field in kind.fields if _is_rare(field, shown.entry, counts)]
        return ", ".join(
            f"{say(field.label) if isinstance(field.type, Choice) else ''} "
            f"{field.type.words(shown.entry.details[field.name])}".strip()
            for field in found
        )

    return words


def _counts(review: Review, past: WeeksBefore, kind: Kind) -> Counts:
    then = [held.entry for held in past.of(kind.name)]
    now = [row.entry for row in review.of(kind.name)]
    return {field.name: _of_field(field, then, now) for field in kind.fields}


def _of_field(field: Field, then: Sequence[Entry], now: Sequence[Entry]) -> Counter[Json]:
    given = [each.details[field.name] for each in then if field.name in each.details]
    if len(given) < LEAST_BEFORE:
        given = [each.details[field.name] for each in now if field.name in each.details]
    return Counter(value for value in given if isinstance(value, str | bool))


def _is_rare(field: Field, entry: Entry, counts: Counts) -> bool:
    value = entry.details.get(field.name)
    if not isinstance(field.type, Choice | YesNo) or value is None or value is False:
        return False
    of_field = counts[field.name]
    return of_field[value] < USUAL_SHARE * max(sum(of_field.values()), 1)
