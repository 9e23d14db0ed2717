"""Where the pages about the kinds of entries come from; those about flags have their rule's own sources."""

from carelog.analysis.rules.rule import PRACTICE, Source, Status
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.incident import INCIDENT
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.stoma import STOMA
from carelog.kinds.suction import SUCTION
from carelog.kinds.ties import TIES
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.valve import VALVE
from carelog.text import mark, say

_ROCHESTER = Source(mark("University of Rochester children's programme"), Status.FOUND)
_SICKKIDS = Source(mark("SickKids family pages"), Status.FOUND)
_MARSDEN = Source(mark("Royal Marsden Manual"), Status.FOUND)
_SUCTION = Source(mark("AARC 2010 (Respir Care 55:758–764) and 2022 (67:258–271)"), Status.FOUND)
_REVIEW = Source(mark("critical-care nursing review"), Status.FOUND)

SOURCES: dict[str, tuple[Source, ...]] = {
    INNER_TUBE.name: (
        Source(mark("All Wales critical-care education (inner cannula page)"), Status.FOUND),
        Source(mark("South Tees Hospitals patient leaflet"), Status.FOUND),
    ),
    SUCTION.name: (_SUCTION, _ROCHESTER),
    CUFF_PRESSURE.name: (_REVIEW,),
    STOMA.name: (Source(mark("Johns Hopkins Medicine patient pages"), Status.FOUND), PRACTICE),
    TIES.name: (Source(mark("University of Iowa"), Status.FOUND), PRACTICE),
    HUMIDITY.name: (
        Source(mark("St George's University Hospitals tracheostomy guidelines"), Status.FOUND),
        PRACTICE,
    ),
    VALVE.name: (_MARSDEN,),
    TUBE_CHANGE.name: (
        Source(mark("ISO 5366:2016, for the sizes"), Status.FOUND),
        PRACTICE,
    ),
    INCIDENT.name: (_ROCHESTER, PRACTICE),
    BOX_CHECK.name: (
        _SICKKIDS,
        Source(mark("St George's emergency equipment"), Status.FOUND),
    ),
    EQUIPMENT_CHECK.name: (_SICKKIDS, PRACTICE),
}
"""By the name of the kind; the others are common practice."""


def sources_of(kind: str) -> tuple[Source, ...]:
    """What the page about a kind stands on."""
    return SOURCES.get(kind, (PRACTICE,))


def source_words(source: Source) -> str:
    """A source and how well it is known."""
    if source == PRACTICE:
        return say(source.status.value)
    return f"{say(source.name)} ({say(source.status.value)})"
