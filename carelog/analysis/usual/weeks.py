"""The last weeks beside the usual band, as plain values for whoever draws them."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from math import sqrt

from carelog.analysis.usual.day import Day
from carelog.analysis.usual.explain import SHARE_OF, usual_cut
from carelog.analysis.usual.likelihood import design_effect
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.usual import Rate, Usual
from carelog.text import mark, say

SHOWN_DAYS = 28
LEAST_RECORDED = 0.5
_SUCTIONS = mark("suctions")


@dataclass(frozen=True, slots=True)
class Weeks:
    """Days side by side: a number each (None: not recorded), and the usual range of a full day.

    `words` say what is counted.
    """

    first: date
    counts: tuple[int | None, ...]
    usual: tuple[int, int]
    words: str


def weeks(noticing: Noticing, rule: str, days: int = SHOWN_DAYS) -> Weeks | None:
    """The days up to the newest judged one, for a rule; None for the cuff, or while nothing is judged."""
    today = noticing.today
    if not noticing.course.is_judged(today) or rule == "cuff_leak":
        return None
    usual = noticing.course.usual(today, noticing.head)
    if rule in ("suction_more", "suction_less"):
        counted = _range(usual.rate)
        return _weeks(noticing, days, lambda day: sum(day.counts()[0]), counted, say(_SUCTIONS))
    scale = SHARE_OF[rule][0]
    cut, words = usual_cut(scale, usual.habits[scale])
    rated = _rated_range(usual, scale, cut)
    return _weeks(noticing, days, lambda day: _rated(day, scale, cut), rated, words)


def _weeks(
    noticing: Noticing, days: int, count: Callable[[Day], int], usual: tuple[int, int], words: str
) -> Weeks:
    diary, today = noticing.diary, noticing.today
    found: list[int | None] = []
    for ordinal in range(today - days + 1, today + 1):
        day = diary.days.get(ordinal)
        held = diary.covered(day, noticing.head) if day is not None else [0.0]
        enough = day is not None and (sum(held) / len(held) >= LEAST_RECORDED or ordinal == today)
        found.append(count(day) if day is not None and enough else None)
    return Weeks(date.fromordinal(today - days + 1), tuple(found), usual, words)


def _range(rate: Rate) -> tuple[int, int]:
    off = sqrt(rate.mean + rate.spread * rate.mean**2)
    return max(0, round(rate.mean - off)), round(rate.mean + off)


def _rated(day: Day, scale: str, cut: int) -> int:
    return sum(sum(counts[cut:]) for counts in day.tally(scale).values())


def _rated_range(usual: Usual, scale: str, cut: int) -> tuple[int, int]:
    """The usual range of such ratings a day, from how many are rated a day and the share that is usual."""
    habit = usual.habits[scale]
    daily = habit.rated / max(usual.rate.days, 1.0)
    share = sum(habit.pooled[cut:])
    wanted = daily * share
    within = wanted * (1 - share) * design_effect(daily, habit.alike)
    off = sqrt(within + usual.rate.spread * wanted**2)
    return max(0, round(wanted - off)), round(wanted + off)
