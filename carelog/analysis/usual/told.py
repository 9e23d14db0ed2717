"""What is told of a difference: the numbers of one quantity, and whether they look different by themselves.

A reader sees the sentence alone. So a difference is clear only where its own numbers, as printed, would
come about by chance in one of twenty cases at most: for shares by the exact binomial, for counts and readings
by how many standard deviations they lie off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

from carelog.analysis.between import between
from carelog.analysis.spread import beta_share
from carelog.analysis.times import span
from carelog.analysis.usual.channel import SCALES_OF
from carelog.analysis.usual.day import BLOCKS, Day, Fact
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.habit import Habit
from carelog.analysis.usual.measure import ALIKE, MEASURE_OF, SPO2, Measure
from carelog.analysis.usual.scale import AMOUNT_RANK, FOUND_RANK, SOURCE, STAINED_FROM, THICKNESS_RANK
from carelog.analysis.usual.usual import CuffUsual, Rate, Usual
from carelog.domain.moment import Instant
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say

CLEAR = 0.05  # by chance, one-sided
CLEAR_OFF = 1.645  # standard deviations: the same
MEDIAN_LOSS = 1.2533  # a median's standard deviation over a mean's

_COUNT = mark("{count} suctions in {span}, usually {range}")
_FEWER = mark("{count} suctions written down in {span}, usually {range}")
_SHARE = mark("{count} of {all} {words}, usually {usual} of {all}")
_LOSS = mark("the cuff lost {value} cmH2O an hour, usually {range}. The middle one of {count} readings")
_LEVEL = mark("found at {value} cmH2O, usually {range}. The middle one of {count} readings")
_SPO2 = mark("SpO2 {value} %, usually {range} %. The middle one of {count} readings")
_PULSE = mark("pulse {value} /min, usually {range} /min. The middle one of {count} readings")
_TO = mark("{low} to {high}")
_OR_THICKER = mark("{word} or thicker")
_OR_LARGER = mark("{word} or larger in amount")
_OR_WORSE = mark("inner tubes {word} or worse")
_STAINED = mark("yellow, green or brown")
_BLOOD = mark("pink or with blood")
WORDS_OF = {"colour": (STAINED_FROM, _STAINED), "blood": (1, _BLOOD)}


@dataclass(frozen=True, slots=True)
class Difference:
    """One quantity's difference: its words, how strong it is, whether it is clear by itself.

    `scale` and `cut`: of ratings, from which place on they are counted.
    """

    words: str
    strength: float
    is_clear: bool
    scale: str = ""
    cut: int = 0


@dataclass(frozen=True, slots=True)
class Case:
    """What is told from: the time since which the evidence runs, and what is usual."""

    since: Instant
    now: Instant
    diary: Diary
    usual: Usual

    def days(self) -> list[Day]:
        """The days that hold some of the time."""
        return days_between(self.diary, self.since, self.now)

    def facts(self) -> list[Fact]:
        """What was recorded in the time."""
        return [fact for day in self.days() for fact in day.facts if fact.time >= self.since]


def days_between(diary: Diary, since: Instant, now: Instant) -> list[Day]:
    """The days that hold some of the time from one moment to another."""
    return [diary.day(each) for each in range(diary.ordinal(since), diary.ordinal(now) + 1)]


def of_part(case: Case, part: str, is_fewer: bool = False) -> Difference | None:
    """What a channel's part has to tell; None where nothing of it was recorded."""
    scale = SOURCE.get(part, part)
    if scale in {each for scales in SCALES_OF.values() for each in scales}:
        return of_share(case, scale)
    if scale == "cuff":
        return of_cuff(case)
    measure = next((each for each in MEASURE_OF.values() if each.name == scale), None)
    return of_reading(case, measure) if measure else of_count(case, is_fewer)


def of_count(case: Case, is_fewer: bool = False) -> Difference:
    """How many suctions there were, and how many are usual in such a time."""
    count = sum(fact.is_suction for fact in case.facts())
    expected, off = usual_count(case.diary, case.usual.rate, case.since, case.now)
    low, high = max(0, round(expected - off)), round(expected + off)
    strength = (expected - count if is_fewer else count - expected) / max(off, 1e-9)
    words = say(_FEWER if is_fewer else _COUNT).format(
        count=count, span=span(case.now - case.since), range=between(low, high)
    )
    is_outside = count < low if is_fewer else count > high
    return Difference(words, strength, is_outside and strength >= CLEAR_OFF)


def usual_count(diary: Diary, rate: Rate, since: Instant, now: Instant) -> tuple[float, float]:
    """How many suctions are usual in such a recorded time, and their standard deviation."""
    whole = squares = 0.0
    for day in days_between(diary, since, now):
        held = diary.covered(day, now)
        expected = 0.0
        for block in range(BLOCKS):
            start, end = day.edges[block], day.edges[block + 1]
            inside = max(0, min(end, now) - max(start, since)) / max(1, min(end, now) - start)
            expected += rate.mean * rate.shares[block] * held[block] * min(1.0, inside)
        whole += expected
        squares += expected * expected
    return whole, sqrt(whole + rate.spread * squares)


def of_share(case: Case, scale: str) -> Difference | None:
    """How many ratings lie from some place on, and how many would usually, as these recorders rate."""
    facts = [fact for fact in case.facts() if scale in fact.ranks]
    if not facts:
        return None
    habit = case.usual.habits[scale]
    cuts = [WORDS_OF[scale][0]] if scale in WORDS_OF else range(1, len(habit.pooled))
    found = [_of_cut(scale, cut, facts, habit) for cut in cuts]
    return max(found, key=lambda told: (told.strength, told.cut))


def _of_cut(scale: str, cut: int, facts: Sequence[Fact], habit: Habit) -> Difference:
    count = sum(fact.ranks[scale] >= cut for fact in facts)
    usual = round(sum(sum(habit.judged[fact.by].shares[cut:]) for fact in facts))
    chance = upper_tail(count, len(facts), max(usual, 0.5) / len(facts))
    words = say(_SHARE).format(count=count, all=len(facts), words=words_from(scale, cut), usual=usual)
    return Difference(words, 1 - chance, chance <= CLEAR, scale, cut)


def upper_tail(count: int, whole: int, share: float) -> float:
    """How often at least so many of all would come about by chance, each with a share > 0: the binomial.

    By the incomplete beta function (source in `analysis.spread`), which stays small however many there are.
    """
    if count <= 0 or share >= 1:
        return 1.0
    return beta_share(count, whole - count + 1, share)


def words_from(scale: str, cut: int) -> str:
    """The words of the ratings from a place on."""
    if scale in WORDS_OF:
        return say(WORDS_OF[scale][1])
    field, ranks, words = {
        "thickness": (SUCTION.field("consistency"), THICKNESS_RANK, _OR_THICKER),
        "amount": (SUCTION.field("amount"), AMOUNT_RANK, _OR_LARGER),
        "found": (INNER_TUBE.field("found"), FOUND_RANK, _OR_WORSE),
    }[scale]
    value = next(value for value, rank in ranks.items() if rank == cut)
    return say(words).format(word=field.type.words(value) if field else value)


def of_cuff(case: Case) -> Difference | None:
    """The middle one of what the cuff lost, and what it usually loses."""
    losses = [loss for day in case.days() for loss in case.diary.losses(day) if loss.time >= case.since]
    cuff: CuffUsual | None = case.usual.cuff
    if cuff is None or not losses:
        return None
    off = median(cuff.deviation(loss) for loss in losses)
    values = [loss.found if cuff.is_by_level else loss.rate for loss in losses]
    words = say(_LEVEL if cuff.is_by_level else _LOSS).format(
        value=_one(median(values)), range=_range(cuff.median, cuff.sd), count=len(losses)
    )
    strength = off * sqrt(len(losses)) / MEDIAN_LOSS
    return Difference(words, strength, off >= 1 and strength >= CLEAR_OFF)


def of_reading(case: Case, measure: Measure) -> Difference | None:
    """The middle one of some readings, and the usual ones."""
    read = [each for day in case.days() for each in day.readings(measure.name) if each[0] >= case.since]
    usual = case.usual.readings.get(measure.name)
    if usual is None or not read:
        return None
    values = [value for _, value in read]
    off, number = usual.deviation(median(values)), len(values) / (1 + (len(values) - 1) * ALIKE)
    words = say(_SPO2 if measure is SPO2 else _PULSE).format(
        value=_one(median(values)).removesuffix(".0"), range=between(*usual.band()), count=len(values)
    )
    strength = off * sqrt(number) / MEDIAN_LOSS
    return Difference(words, strength, off >= 1 and strength >= CLEAR_OFF)


def _range(middle: float, off: float) -> str:
    low, high = _one(middle - off), _one(middle + off)
    return low if low == high else say(_TO).format(low=low, high=high)


def _one(value: float) -> str:
    return f"{value:.1f}"
