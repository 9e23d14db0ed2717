"""A span of which nothing was written down, as somebody says afterwards."""

from carelog.domain.entry import Details
from carelog.domain.field import Field, Problem, When
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.domain.moment import Instant, Moment
from carelog.text import mark, say


def _begins_before(details: Details, at: Instant) -> Problem | None:
    if Moment.read(details["since"]).instant < at:
        return None
    return Problem("since", say("must lie before the entry's own time"))


GAP = Kind(
    name="gap",
    title=mark("Nothing was written down"),
    is_lasting=True,
    fields=(Field("since", mark("since"), When(), required=True),),
    tiles=(Tile(mark("Nothing was written down")),),
    check_time=_begins_before,
    draw=Draw.WORDS,
    export=Export("Observation"),
)
