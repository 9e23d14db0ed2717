"""How many suctions a day are usual for the person, once that is learnt: the band of each picture of days.

It is the usual that the flags by statistics hold the same day against, learnt by the same module from the
same days: so a day has one usual, whatever page or sheet shows it, and however many days stand beside it.
Whoever read the past for flags hands it on (`Review.usual`); otherwise it is learnt from the entries.
"""

from collections.abc import Sequence

from carelog.analysis.flags.ledger import Shift
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.settling import LEARNT_DAYS
from carelog.analysis.usual.usuals import Usuals
from carelog.analysis.week import Review
from carelog.domain.paper import Band

COUNTED = "suction"
LEARNT_RECORDED = LEARNT_DAYS + 2
"""So many recorded days before a period settle its usual: the days learnt from, and those that these are held
against, with a day at the edge."""
LEARNT_FROM = 120
"""So many days before a period are read at first; where fewer are recorded, as many more as needed."""


def learnt_band(review: Review) -> Band | None:
    """The range in which about two of three fully recorded days lie; None before the 14th recorded day.

    As it stands on the last day of the period that is past or has begun: a comparison of the person with
    themselves, no norm.
    """
    return learnt_bands(review, [len(review.period.days) - 1])[0]


def learnt_bands(review: Review, numbers: Sequence[int]) -> list[Band | None]:
    """The same as it stood on some days of the period, by their numbers; of days to come as it stands now."""
    span = review.period
    if span.judged <= span.start:
        return [None for _ in numbers]
    newest, now = span.place(min(span.judged, span.end) - 1), span.judged - 1
    asked = sorted({min(number, newest) for number in numbers})
    if asked == [newest] and span.judged in review.usual:
        return [review.usual[span.judged] for _ in numbers]
    usuals = Usuals(_diary(review))
    found: dict[int, Band | None] = {}
    for number in asked:
        ordinal = span.days[number].toordinal()
        found[number] = usuals.of(ordinal, now).rate.band() if usuals.is_judged(ordinal) else None
    return [found[min(number, newest)] for number in numbers]


def _diary(review: Review) -> Diary:
    """What is known up to the end of what is past of a period."""
    reading, diary = review.reading, Diary()
    past = (held for held in reading.held if held.time < review.period.judged)
    shifts = (Shift(held.first.id, held.entry.kind, None, held) for held in past)
    diary.take(shifts, reading.home, review.plans)
    return diary
