"""What stands beside the flags by statistics: what can't be compared now, and the last weeks of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt

from carelog.analysis.times import month_day
from carelog.analysis.usual.evidence import LEAST_CLOCKWORK, RATED_WEIGHT
from carelog.analysis.usual.learning import BLIND_DAYS, FIRST_JUDGED, RELEARN_DAYS
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.standing import GROUPS, TUBE_MAKES
from carelog.analysis.usual.usual import PRIOR_SPREAD, Learnt, Usual, rate
from carelog.analysis.usual.weeks import Weeks, weeks
from carelog.text import mark, say

EARLY_DAYS = 2 * FIRST_JUDGED
ONE_IN_A_HUNDRED = 2.3263  # of a normal value, in standard deviations
_TOO_NEW = mark(
    "What is usual is still being learnt: {count} of {wanted} days with entries. Until then only what was "
    "written raises a flag."
)
_BLIND = mark("Still learning since {since}: {names}. Nothing is compared before {until}.")
_RELEARNT = mark("Still learning since {since}: {names}. Until {wanted} days have entries, less is noticed.")
_UNSTEADY = mark("The first days differed much from each other. Until more are written down, less is sure.")
_SELDOM = mark("Too seldom written down to compare: {names}.")
_FEW_READINGS = mark("There are too few readings to compare what the cuff loses.")
_NO_CLOCKWORK = mark("Too little other care is written down to tell when there are fewer suctions.")
_GROUP_NAMES = {
    "suction": mark("suctions"),
    "secretions": mark("secretions"),
    "cuff": mark("the cuff"),
    "inner_tube": mark("the inner tube"),
    "readings": mark("readings"),
}
_MEASURE_NAMES = {"spo2": mark("SpO2"), "pulse": mark("pulse")}
_SCALE_NAMES = {
    "thickness": mark("thickness"),
    "colour": mark("colour"),
    "amount": mark("amount"),
    "found": mark("what the inner tube held"),
}


@dataclass(frozen=True, slots=True)
class Comparison:
    """`unjudged`: sentences on what can't be compared now; `weeks`: the last weeks by rule in force.

    `suctions`: how many a day are usual; None before the 14th recorded day.
    """

    unjudged: tuple[str, ...]
    weeks: Mapping[str, Weeks]
    suctions: tuple[int, int] | None = None


def comparison(noticing: Noticing) -> Comparison:
    """How things stand at the moment that was judged last."""
    found = {rule: weeks(noticing, rule) for rule in noticing.lives.open}
    today, is_judged = noticing.today, bool(noticing.diary.presence)
    is_judged = is_judged and noticing.course.is_judged(today)
    return Comparison(
        tuple(_unjudged(noticing)),
        {rule: shown for rule, shown in found.items() if shown is not None},
        noticing.course.usual(today, noticing.head).rate.band() if is_judged else None,
    )


def _unjudged(noticing: Noticing) -> list[str]:
    today, course = noticing.today, noticing.course
    if not noticing.diary.presence or not course.is_judged(today):
        count = noticing.diary.recorded_days(today)
        return [say(_TOO_NEW).format(count=count, wanted=FIRST_JUDGED)]
    usual = course.usual(today, noticing.head)
    relearnt = _relearnt(noticing)
    return [*relearnt, *_first_days(noticing), *_seldom(noticing, usual)]


def _relearnt(noticing: Noticing) -> list[str]:
    """Groups that were restarted and haven't enough new days yet, those of one day together."""
    lessons, today = noticing.course.lessons, noticing.today
    by_day: dict[int, list[str]] = {}
    has_readings = any(day.readings(name) for day in noticing.diary.days.values() for name in _MEASURE_NAMES)
    for group in GROUPS if has_readings else TUBE_MAKES:
        since = lessons.restarted(today, group, noticing.head)
        if since is None:
            continue
        new = noticing.diary.recorded_between(since + 1, today)
        if len(lessons.days(new)) < RELEARN_DAYS:
            by_day.setdefault(since, []).append(group)
    found = []
    for since, groups in sorted(by_day.items()):
        words = {"since": _day(since), "names": _names(groups, _GROUP_NAMES)}
        if today < since + BLIND_DAYS:
            found.append(say(_BLIND).format(until=_day(since + BLIND_DAYS), **words))
        else:
            found.append(say(_RELEARNT).format(wanted=RELEARN_DAYS, **words))
    return found


def _first_days(noticing: Noticing) -> list[str]:
    """A warning while the usual comes from first days that differ more than one person's in a hundred."""
    diary, today = noticing.diary, noticing.today
    if diary.recorded_days(today) > EARLY_DAYS:
        return []
    early = diary.recorded_between(today - EARLY_DAYS, today)
    days = noticing.course.lessons.days(early)[:FIRST_JUDGED]
    return [say(_UNSTEADY)] if is_unsteady(days) else []


def is_unsteady(days: Sequence[Learnt]) -> bool:
    """Whether the counts of some days differ more than days of one person do in one of a hundred cases.

    The sum of squared deviations over their variance with the spread that is believed at first, against the
    chi-squared distribution (Wilson & Hilferty, PNAS 1931;17:684-688).
    """
    if len(days) < 2:
        return False
    usual, found = rate(days), 0.0
    for each in days:
        held = sum(share * part for share, part in zip(usual.shares, each.covered, strict=True))
        expected = usual.mean * held
        if expected > 0:
            off = sum(each.day.suctions) - expected
            found += off * off / (expected + PRIOR_SPREAD * expected * expected)
    return found > chi_squared_edge(len(days) - 1)


def chi_squared_edge(freedom: int) -> float:
    """The value that one chi-squared variate in a hundred lies above, by the approximation of a cube root."""
    part = 2 / (9 * freedom)
    return float(freedom * (1 - part + ONE_IN_A_HUNDRED * sqrt(part)) ** 3)


def _seldom(noticing: Noticing, usual: Usual) -> list[str]:
    """What is written down too seldom to compare."""
    found = []
    names = [name for name in _SCALE_NAMES if usual.habits[name].rated < RATED_WEIGHT]
    days = [noticing.diary.days[each] for each in noticing.course.lessons.before(noticing.today)]
    names += [
        name
        for name in _MEASURE_NAMES
        if name not in usual.readings and any(day.readings(name) for day in days)
    ]
    if names:
        found.append(say(_SELDOM).format(names=_names(names, {**_SCALE_NAMES, **_MEASURE_NAMES})))
    if usual.cuff is None and noticing.diary.points:
        found.append(say(_FEW_READINGS))
    if sum(usual.rate.clockwork) < LEAST_CLOCKWORK:
        found.append(say(_NO_CLOCKWORK))
    return found


def _names(names: Sequence[str], words: Mapping[str, str]) -> str:
    return ", ".join(say(words[name]) for name in names)


def _day(ordinal: int) -> str:
    return month_day(date.fromordinal(ordinal))
