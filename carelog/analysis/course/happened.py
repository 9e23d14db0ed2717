"""What happened on the way: tubes, plans, visits, incidents, flags; how long illness and stays lasted."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import Finding, Happening, Signs
from carelog.analysis.in_force import Held
from carelog.analysis.revision import revision_of
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant
from carelog.domain.units import with_unit
from carelog.kinds.decannulation import DECANNULATION
from carelog.kinds.ill import ILL
from carelog.kinds.incident import INCIDENT
from carelog.kinds.plan import PLAN
from carelog.kinds.stay import STAY
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.visit import VISIT
from carelog.text import mark, say

_TUBE = mark("tube changed")
_TUBE_WORDS = mark("{words}, {size}")
_FAILED = mark("tube change failed")
_TUBE_OUT = mark("tube taken out for good")
_PLAN = mark("plan")
_VISIT = mark("nurse")
_ILL = mark("ill")
_AWAY = mark("away")
_UNWRITTEN = mark("not written down")
_NEW_PLAN = mark("plan of {who}: {changes}")
_SEEN = mark("visit of {who}")


def marks(found: Gathered) -> tuple[Happening, ...]:
    """All marks of a period, in the order of time."""
    told = [*_single(found), *_lasting(found, ILL.name, _ILL), *_absent(found)]
    return tuple(sorted(told, key=lambda each: (each.place, each.short, each.words)))


def _single(found: Gathered) -> Iterator[Happening]:
    for kind, (short, words) in _TOLD.items():
        for held in (each for day in found.days_of(kind) for each in day):
            if kind == INCIDENT.name and "ends" in held.entry.details:
                continue
            place = found.axis.part(held.time)
            yield Happening(found.axis.place(held.time), place, words(found, held), short(held))


def _tube(held: Held) -> str:
    failed = held.entry.details.get("ease") == "failed"
    return say(_FAILED if failed else _TUBE)


def _tube_words(_found: Gathered, held: Held) -> str:
    details = held.entry.details
    return say(_TUBE_WORDS).format(words=_tube(held), size=with_unit(details["id_mm"], "mm"))


def _incident(held: Held) -> str:
    field = INCIDENT.field("what")
    return field.type.words(held.entry.details["what"]) if field else say(INCIDENT.title)


def _incident_words(_found: Gathered, held: Held) -> str:
    return f"{say(INCIDENT.title).lower()}: {_incident(held)}"


def _plan_words(found: Gathered, held: Held) -> str:
    changes = revision_of(found.review.plans, held.entry.id) or ""
    return say(_NEW_PLAN).format(who=held.entry.details["set_by"], changes=changes)


def _visit_words(_found: Gathered, held: Held) -> str:
    return say(_SEEN).format(who=held.entry.details["nurse"])


_Short = Callable[[Held], str]
_Words = Callable[[Gathered, Held], str]
_TOLD: dict[str, tuple[_Short, _Words]] = {
    TUBE_CHANGE.name: (_tube, _tube_words),
    DECANNULATION.name: (lambda _: say(_TUBE_OUT), lambda _found, _held: say(_TUBE_OUT)),
    INCIDENT.name: (_incident, _incident_words),
    PLAN.name: (lambda _: say(_PLAN), _plan_words),
    VISIT.name: (lambda _: say(_VISIT), _visit_words),
}


def _lasting(found: Gathered, kind: str, words: str) -> Iterator[Happening]:
    """What lasts from an entry that says `start` to the next that says `end`."""
    span, begun = found.review.period, None
    for held in found.review.reading.of(kind):
        is_start = held.entry.details["action"] == "start"
        if is_start and begun is None:
            begun = held.time
        elif not is_start and begun is not None:
            yield from _stretch(found, begun, held.time, say(words))
            begun = None
    if begun is not None:
        yield from _stretch(found, begun, span.judged, say(words))


def _absent(found: Gathered) -> Iterator[Happening]:
    where = STAY.field("where")
    for each in found.review.absences:
        words = say(_AWAY if each.is_stay else _UNWRITTEN)
        if each.is_stay and each.where and where is not None:
            words = f"{words}: {where.type.words(each.where)}"
        yield from _stretch(found, each.start, each.until, words)


def _stretch(found: Gathered, start: Instant, end: Instant, words: str) -> Iterator[Happening]:
    span = found.review.period
    end = min(end, span.judged, span.end)
    if start < end and start < span.end and end > span.start:
        place = found.axis.part(start)
        yield Happening(found.axis.place(max(start, span.start)), place, words, words, found.axis.part(end))


def flagged(found: Gathered, flags: Iterable[Flag] | None, name: str) -> Signs:
    """What was flagged, in the column in which it was raised, the most serious first."""
    axis, span = found.axis, found.review.period
    if flags is None:
        return Signs(name, say(mark("Flagged")), (None,) * axis.count, is_read=False)
    raised: list[list[Flag]] = [[] for _ in axis.columns]
    for flag in flags:
        if span.holds(flag.raised_at):
            raised[axis.place(flag.raised_at)].append(flag)
    return Signs(name, say(mark("Flagged")), tuple(_sign(each) for each in raised))


def _sign(flags: Sequence[Flag]) -> Finding | None:
    if not flags:
        return None
    ordered = sorted(flags, key=lambda flag: flag.place)
    words = " ".join(flag.headline for flag in ordered)
    return Finding(words, len(ordered), ordered[0].level)
