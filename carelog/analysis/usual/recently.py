"""Whether the last 48 h, judged by themselves, lie in the usual range again."""

from collections.abc import Sequence
from math import sqrt
from statistics import median

from carelog.analysis.usual.channel import SCALES_OF
from carelog.analysis.usual.day import BLOCKS, Day
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.habit import Habit
from carelog.analysis.usual.likelihood import design_effect
from carelog.analysis.usual.measure import MEASURE_OF, UsualReading
from carelog.analysis.usual.scale import SOURCE
from carelog.analysis.usual.usual import CuffUsual, Rate, Usual
from carelog.domain.moment import HOUR, Instant

SPAN = 48 * HOUR
RANGE = 1.0  # standard deviations either side: about two thirds of all usual spans
LEAST_RECORDED = 0.5
LEAST_COMPLETE = 0.75
LEAST_RATED = {"found": 2}
ENOUGH_RATED = 4


def is_usual_again(rule: str, diary: Diary, usual: Usual, reference: Rate | None, now: Instant) -> bool:
    """Whether a rule's flag clears; with too little recorded to say, it doesn't.

    `reference` stands in for the usual count where a slow drift raised the flag.
    """
    days = [diary.day(diary.ordinal(now) - back) for back in (2, 1, 0)]
    if any(map(diary.is_away, days)):
        return False
    if rule in ("suction_more", "suction_less"):
        return _count(rule, diary, days, reference or usual.rate, now)
    if rule == "cuff_leak":
        return _cuff(diary, days, usual.cuff, now)
    if rule in MEASURE_OF:
        return _read(days, usual.readings.get(MEASURE_OF[rule].name), now)
    return all(_rated(days, usual.habits[scale], now) for scale in SCALES_OF[rule])


def is_complete(diary: Diary, rate: Rate, now: Instant) -> bool:
    """Whether what is done by the clock was written down in the last 48 h about as it usually is."""
    today = diary.ordinal(now)
    number = expected = 0.0
    for day in (diary.day(today - back) for back in (2, 1, 0)):
        held = diary.covered(day, now)
        for block in range(BLOCKS):
            if now - SPAN <= day.edges[block] < now:
                number += day.clockwork[block]
                expected += rate.clockwork[block] * held[block]
    return number >= LEAST_COMPLETE * expected > 0


def _count(rule: str, diary: Diary, days: Sequence[Day], rate: Rate, now: Instant) -> bool:
    number, expected, usual_whole, squares = 0, 0.0, 0.0, 0.0
    for day in days:
        held, counts, today = diary.covered(day, now), day.suctions, 0.0
        for block in range(BLOCKS):
            if now - SPAN <= day.edges[block] < now:
                number += counts[block]
                today += rate.mean * rate.shares[block] * held[block]
                usual_whole += rate.mean * rate.shares[block]
        expected += today
        squares += today * today
    if expected < LEAST_RECORDED * usual_whole:
        return False
    off = RANGE * sqrt(expected + rate.spread * squares)
    return number <= expected + off if rule == "suction_more" else number >= expected - off


def _rated(days: Sequence[Day], habit: Habit, now: Instant) -> bool:
    name = habit.scale.name
    source = SOURCE.get(name, name)
    total = variance = 0.0
    count = 0
    for day in days:
        for fact in day.facts:
            rank = fact.ranks.get(source)
            if rank is not None and now - SPAN <= fact.time < now:
                judged = habit.judged[fact.by]
                total += judged.ratios[rank] - judged.mean
                variance += judged.variance
                count += 1
    if count < LEAST_RATED.get(name, ENOUGH_RATED):
        return False
    return total <= RANGE * sqrt(variance * design_effect(count / 2, habit.alike))


def _cuff(diary: Diary, days: Sequence[Day], cuff: CuffUsual | None, now: Instant) -> bool:
    losses = [loss for day in days for loss in diary.losses(day) if now - SPAN <= loss.time < now]
    if cuff is None or len(losses) < 2:
        return False
    return median(cuff.deviation(loss) for loss in losses) <= RANGE


def _read(days: Sequence[Day], usual: UsualReading | None, now: Instant) -> bool:
    if usual is None:
        return False
    read = [each for day in days for each in day.readings(usual.measure.name)]
    values = [value for time, value in read if now - SPAN <= time < now]
    return len(values) >= 2 and median(map(usual.deviation, values)) <= RANGE
