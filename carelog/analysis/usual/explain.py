"""Why a flag by statistics was raised, in words with the numbers it was raised by."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from carelog.analysis.rules.rule import EMERGENCY
from carelog.analysis.times import clock, month_day, span
from carelog.analysis.usual.channel import RULE_OF, SCALES_OF
from carelog.analysis.usual.diary import Diary
from carelog.analysis.usual.drift import Recent
from carelog.analysis.usual.measure import MEASURE_OF
from carelog.analysis.usual.scale import SOURCE
from carelog.analysis.usual.told import Case, Difference, days_between, of_part
from carelog.analysis.usual.usual import Rate
from carelog.domain.moment import HOUR, Instant
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
_JUDGED = mark("{since} to {until}: {words}.")
_COMPLETE = mark("Other care was written down as much as before. Was every suction written down?")
SEVERAL = mark("Several changes together.")
SMALL = mark("Several small changes together.")
_DRIFT = mark(
    "In the 14 days to {until} {mean} suctions a day; in the first settled {days} days of the record "
    "{usual} a day."
)
_LEARNT = mark("Compared with {days} recorded days.")
_RATED = mark("Rated by {names}.")
_NEW = mark("Ratings by {names}, who is new, count little.")
_UNKNOWN = mark("Not recorded: {span} of this time.")
_NO_NAME = mark("no name")


@dataclass(frozen=True, slots=True)
class Reason:
    """What a flag is explained by; `told` is the rule's own strongest difference, None for a slow drift."""

    headline: str
    why: str
    told: Difference | None
    is_several: bool = False


def closing(allowed: float) -> str:
    """The last words: how often it speaks up without a change (`allowed` a year), and no diagnosis."""
    return f"{say(_OFTEN.get(round(allowed), _OFTEN[2]))} {say(NOT_A_DIAGNOSIS)}"


def headline(rule: str) -> str:
    """The flag's headline."""
    return say(HEADLINES[rule])


def reason(case: Case, rule: str, parts: Sequence[str], new: Collection[str]) -> Reason:
    """The reason of a rule's flag from the parts of the channel that raised it.

    The rule's own strongest difference where its numbers alone look different; else all that took part.
    """
    is_fewer = rule == "suction_less"
    found = {part: of_part(case, part, is_fewer) for part in parts}
    own = {SOURCE.get(part, part): told for part, told in found.items() if told and RULE_OF.get(part) == rule}
    strongest = max(own.values(), key=lambda told: told.strength, default=None)
    others = {told.words: told for told in found.values() if told is not None and told.strength > 0}
    is_several = strongest is None or (len(others) > 1 and not strongest.is_clear)
    if strongest is None or is_several:
        words = ". ".join(others)
        title = say(SEVERAL if any(told.is_clear for told in others.values()) else SMALL)
    else:
        words, title = strongest.words, headline(rule)
    first = [say(_JUDGED).format(since=_dated(case, case.since), until=_until(case), words=words)]
    if is_fewer:
        first.append(say(_COMPLETE))
    if rule in MEASURE_OF:
        first.append(say(EMERGENCY))
    why = " ".join(each for each in [*first, *_beside(case, rule, new)] if each)
    return Reason(title, why, strongest, is_several)


def drift_why(found: Recent, reference: Rate, until: date) -> str:
    """The reason for the slow drift, with the day it was found on: the flag stands for weeks."""
    days = round(reference.days)
    return say(_DRIFT).format(
        until=month_day(until), mean=_one(found.mean), usual=_one(reference.mean), days=days
    )


def _dated(case: Case, instant: Instant) -> str:
    """Always with its day: the reason is read for as long as the flag stands."""
    home = case.diary.home
    return f"{month_day(home.day(instant))} {clock(home, instant)}"


def _until(case: Case) -> str:
    """The moment that was judged: a flag that stands for a week isn't raised by the numbers of a week."""
    home = case.diary.home
    is_same = home.day(case.since) == home.day(case.now)
    return clock(home, case.now) if is_same else _dated(case, case.now)


def _beside(case: Case, rule: str, new: Collection[str]) -> list[str]:
    """How many days it is compared with, who rated, what wasn't recorded."""
    words = [say(_LEARNT).format(days=round(case.usual.rate.days))]
    if rule in SCALES_OF:
        scales = {*SCALES_OF[rule]}
        names = {fact.by for fact in case.facts() if scales & fact.ranks.keys()}
        words.append(say(_RATED).format(names=_names(names)) if names else "")
        newly = names & {*new} if rule != "secretions_colour" else set()
        words.append(say(_NEW).format(names=_names(newly)) if newly else "")
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


def _names(initials: Collection[str]) -> str:
    return ", ".join(each or say(_NO_NAME) for each in sorted(initials))


def _one(value: float) -> str:
    return f"{value:.1f}"
