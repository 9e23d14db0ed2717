"""The row about the stoma: where a look was worse than the one before."""

from bisect import bisect_left
from collections.abc import Sequence

from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import Finding, Signs
from carelog.analysis.in_force import Held
from carelog.analysis.rules.stoma import WITH_NONE_BEFORE, WITHIN, field_words, ranks, worsened
from carelog.kinds.stoma import STOMA
from carelog.text import mark, say


def stoma(found: Gathered, name: str) -> Signs:
    """Each look held against those of the seven days before it, as the flag does; in words what is worse."""
    looks = found.review.reading.of(STOMA.name)
    worse = {held.entry.id: fields for held, fields in _compared(looks, found.review.period.start)}
    cells: list[Finding | None] = []
    for column in found.axis.columns:
        entries = found.of(STOMA.name, column)
        told = {words: None for held in entries for words in worse.get(held.entry.id, ())}
        times = sum(bool(worse.get(held.entry.id)) for held in entries)
        cells.append(Finding(", ".join(told), max(times, 1)) if entries else None)
    return Signs(name, say(mark("Stoma worse than before")), tuple(cells), say(mark("nothing worse")))


def _compared(looks: Sequence[Held], since: int) -> list[tuple[Held, tuple[str, ...]]]:
    found = []
    times = [held.time for held in looks]
    ranked = [ranks(held.entry.details) for held in looks]
    for number in range(bisect_left(times, since), len(looks)):
        held = looks[number]
        earlier: dict[str, int] = dict(WITH_NONE_BEFORE)
        for given in ranked[bisect_left(times, held.time - WITHIN) : number]:
            earlier |= given
        fields = worsened(ranked[number], earlier)
        found.append((held, tuple(field_words(each, held.entry.details) for each in fields)))
    return found
