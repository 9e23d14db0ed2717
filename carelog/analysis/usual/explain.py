"""Why a flag by statistics was raised, in words with the numbers it was raised by."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

from carelog.analysis.rules.rule import EMERGENCY
from carelog.analysis.times import clock, month_day, span
from carelog.analysis.usual.channel import RULE_OF, SCALES_OF
from carelog.analysis.usual.day import BLOCKS, Day, Fact
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.drift import Recent
from carelog.analysis.usual.habit import Habit
from carelog.analysis.usual.measure import MEASURE_OF, SPO2, Measure
from carelog.analysis.usual.scale import AMOUNT_RANK, FOUND_RANK, SOURCE, STAINED_FROM, THICKNESS_RANK
from carelog.analysis.usual.usual import CuffUsual, Rate, Usual
from carelog.domain.moment import HOUR, Instant
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say

HEADLINES = {
    "suction_more": mark("More suctions than usual."),
    "suction_less": mark("Fewer suctions than usual."),
    "secretions_thicker": mark("Secretions thicker than usual."),
    "secretions_colour": mark("Secretions: not the usual colour."),
    "secretions_amount": mark("Larger amounts than usual."),
    "cuff_leak": mark("The cuff loses more air than usual."),
    "inner_tube_blocking": mark("More found in the inner tube than usual."),
    "spo2_falling": mark("SpO2 lower than usual."),
    "pulse_rising": mark("Pulse faster than usual."),
}
NOT_A_DIAGNOSIS = mark("A comparison with your own record, not a diagnosis.")
_OFTEN = {
    1: mark("It speaks up about once a year without a change, and can't tell which this is."),
    2: mark("It speaks up about twice a year without a change, and can't tell which this is."),
    4: mark("It speaks up about four times a year without a change, and can't tell which this is."),
}
_COUNT = mark("Since {since}: {count} suctions in {span}, usually {low} to {high}.")
_FEWER = mark(
    "Since {since}: {count} suctions recorded in {span}, usually {low} to {high}. Other care was written "
    "down as much as before. Was every suction written down?"
)
_SHARE = mark("Since {since}: {count} of {all} {words}, usually {usual} of {all}.")
_LOSS = mark(
    "Since {since}: the cuff lost {rate} cmH2O an hour, usually {low} to {high}. That is the middle one "
    "of {count} readings."
)
_LEVEL = mark(
    "Since {since}: found at {level} cmH2O, usually {low} to {high}. That is the middle one of {count} "
    "readings."
)
_SPO2 = mark(
    "Since {since}: SpO2 {value} %, usually {low} to {high} %. That is the middle one of {count} readings."
)
_PULSE = mark(
    "Since {since}: pulse {value} /min, usually {low} to {high} /min. That is the middle one of {count} "
    "readings."
)
_DRIFT = mark(
    "In the last 14 days {mean} suctions a day; in the first settled {days} days of the record {usual} a day."
)
_LEARNT = mark("Compared with {days} recorded days.")
_RATED = mark("Rated by {names}.")
_NEW = mark("Ratings by {names}, who is new, count little.")
_UNKNOWN = mark("Not recorded: {span} of this time.")
_NO_NAME = mark("no name")
_OR_THICKER = mark("{word} or thicker")
_OR_LARGER = mark("{word} or larger in amount")
_OR_WORSE = mark("inner tubes {word} or worse")
_STAINED = mark("yellow, green or brown")
_BLOOD = mark("pink or with blood")
WORDS_OF = {"colour": (STAINED_FROM, _STAINED), "blood": (1, _BLOOD)}
RARE = 0.35


@dataclass(frozen=True, slots=True)
class Case:
    """What a flag is explained from; `since` is when its evidence begins."""

    rule: str
    parts: Sequence[str]
    since: Instant
    now: Instant
    diary: Diary
    usual: Usual
    new: frozenset[str]


def closing(allowed: float) -> str:
    """The last words: how often it speaks up without a change (`allowed` a year), and no diagnosis."""
    return f"{say(_OFTEN.get(round(allowed), _OFTEN[2]))} {say(NOT_A_DIAGNOSIS)}"


def headline(rule: str) -> str:
    """The flag's headline."""
    return say(HEADLINES[rule])


def why(case: Case) -> str:
    """The reasons, each a sentence."""
    return " ".join(each for each in [_reason(case), *_beside(case)] if each)


def drift_why(found: Recent, reference: Rate) -> str:
    """The reason for the slow drift."""
    days = round(reference.days)
    return say(_DRIFT).format(mean=_one(found.mean), usual=_one(reference.mean), days=days)


def _reason(case: Case) -> str:
    if case.rule in ("suction_more", "suction_less"):
        return _count(case)
    if case.rule == "cuff_leak":
        return _cuff(case)
    if case.rule in MEASURE_OF:
        return _reading(case, MEASURE_OF[case.rule])
    shares = [_share(case, scale) for scale in SCALES_OF[case.rule] if scale in _scales(case)]
    return " ".join(shares)


def _scales(case: Case) -> set[str]:
    named = {SOURCE.get(part, part) for part in case.parts if RULE_OF.get(part) == case.rule}
    return named & set(SCALES_OF[case.rule])


def days_between(diary: Diary, since: Instant, now: Instant) -> list[Day]:
    """The days that hold some of the time from one moment to another."""
    return [diary.day(each) for each in range(diary.ordinal(since), diary.ordinal(now) + 1)]


def usual_range(diary: Diary, rate: Rate, since: Instant, now: Instant) -> tuple[int, int]:
    """The range in which about two of three counts of such a recorded time lie."""
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
    off = sqrt(whole + rate.spread * squares)
    return max(0, round(whole - off)), round(whole + off)


def _facts(case: Case, scale: str) -> list[Fact]:
    days = days_between(case.diary, case.since, case.now)
    return [f for day in days for f in day.facts if f.time >= case.since and (not scale or scale in f.ranks)]


def _since(case: Case) -> str:
    """Always with its day: the reason is read for as long as the flag stands."""
    home = case.diary.home
    return f"{month_day(home.day(case.since))} {clock(home, case.since)}"


def _count(case: Case) -> str:
    count = sum(fact.is_suction for fact in _facts(case, ""))
    low, high = usual_range(case.diary, case.usual.rate, case.since, case.now)
    words = say(_COUNT if case.rule == "suction_more" else _FEWER)
    length = span(case.now - case.since)
    return words.format(since=_since(case), count=count, span=length, low=low, high=high)


def _share(case: Case, scale: str) -> str:
    facts = _facts(case, scale)
    if not facts:
        return ""
    habit = case.usual.habits[scale]
    cut, words = _cut(scale, habit, facts)
    count = sum(fact.ranks[scale] >= cut for fact in facts)
    usual = round(sum(habit.pooled[cut:]) * len(facts))
    return say(_SHARE).format(since=_since(case), count=count, all=len(facts), words=words, usual=usual)


def _cut(scale: str, habit: Habit, facts: Sequence[Fact]) -> tuple[int, str]:
    """From which place on the difference is largest, and its words."""
    if scale in WORDS_OF:
        return usual_cut(scale, habit)
    places = range(1, len(habit.pooled))
    share = {n: sum(f.ranks[scale] >= n for f in facts) / len(facts) - sum(habit.pooled[n:]) for n in places}
    cut = max(places, key=lambda place: share[place])
    return cut, _from(scale, cut)


def usual_cut(scale: str, habit: Habit) -> tuple[int, str]:
    """From which place on a rating is out of the ordinary for this person, and its words."""
    if scale in WORDS_OF:
        cut, words = WORDS_OF[scale]
        return cut, say(words)
    places = range(1, len(habit.pooled))
    cut = next((n for n in places if sum(habit.pooled[n:]) <= RARE), places[-1])
    return cut, _from(scale, cut)


def _from(scale: str, cut: int) -> str:
    field, ranks, words = {
        "thickness": (SUCTION.field("consistency"), THICKNESS_RANK, _OR_THICKER),
        "amount": (SUCTION.field("amount"), AMOUNT_RANK, _OR_LARGER),
        "found": (INNER_TUBE.field("found"), FOUND_RANK, _OR_WORSE),
    }[scale]
    value = next(value for value, rank in ranks.items() if rank == cut)
    return say(words).format(word=field.type.words(value) if field else value)


def _cuff(case: Case) -> str:
    days = days_between(case.diary, case.since, case.now)
    losses = [loss for day in days for loss in case.diary.losses(day) if loss.time >= case.since]
    cuff: CuffUsual | None = case.usual.cuff
    if cuff is None or not losses:
        return ""
    low, high = _one(cuff.median - cuff.sd), _one(cuff.median + cuff.sd)
    words = {"since": _since(case), "count": len(losses), "low": low, "high": high}
    if cuff.is_by_level:
        return say(_LEVEL).format(level=_one(median(loss.found for loss in losses)), **words)
    return say(_LOSS).format(rate=_one(median(loss.rate for loss in losses)), **words)


def _reading(case: Case, measure: Measure) -> str:
    days = days_between(case.diary, case.since, case.now)
    read = [value for day in days for time, value in day.readings(measure.name) if time >= case.since]
    usual = case.usual.readings.get(measure.name)
    if usual is None or not read:
        return ""
    low, high = usual.band()
    words = say(_SPO2 if measure is SPO2 else _PULSE)
    found = words.format(since=_since(case), value=_short(median(read)), low=low, high=high, count=len(read))
    return f"{found} {say(EMERGENCY)}"


def _beside(case: Case) -> list[str]:
    """How many days it is compared with, who rated, what wasn't recorded."""
    words = [say(_LEARNT).format(days=round(case.usual.rate.days))]
    if case.rule in SCALES_OF:
        names = {fact.by for scale in SCALES_OF[case.rule] for fact in _facts(case, scale)}
        words.append(say(_RATED).format(names=_names(names)) if names else "")
        new = names & case.new if case.rule != "secretions_colour" else set()
        words.append(say(_NEW).format(names=_names(new)) if new else "")
    missing = unrecorded_since(case.diary, case.since, case.now)
    words.append(say(_UNKNOWN).format(span=span(missing)) if missing >= HOUR else "")
    return words


def unrecorded_since(diary: Diary, since: Instant, now: Instant) -> Instant:
    """How much of the time isn't recorded (12 h or more without an entry of any kind)."""
    missing = 0.0
    for day in days_between(diary, since, now):
        for block, held in enumerate(diary.covered(day, now)):
            start, end = max(day.edges[block], since), min(day.edges[block + 1], now)
            whole = min(day.edges[block + 1], now) - day.edges[block]
            if start < end and whole > 0:
                share = 1 - held * (day.edges[block + 1] - day.edges[block]) / whole
                missing += max(0.0, share) * (end - start)
    return round(missing)


def _names(initials: set[str]) -> str:
    return ", ".join(each or say(_NO_NAME) for each in sorted(initials))


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _one(value: float) -> str:
    return f"{value:.1f}"
