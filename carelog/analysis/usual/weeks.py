"""The last weeks beside the usual band, as plain values and as a picture."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import sqrt
from statistics import median

from carelog.analysis import pictures
from carelog.analysis.drawing import Drawing, Label, Part
from carelog.analysis.pictures import Columns, LimitBand, ReadingPoint
from carelog.analysis.times import month_day
from carelog.analysis.usual.channel import SCALES_OF
from carelog.analysis.usual.day import Day
from carelog.analysis.usual.likelihood import design_effect
from carelog.analysis.usual.measure import MEASURE_OF, SPO2, UsualReading
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.scale import STAINED_FROM
from carelog.analysis.usual.told import words_from
from carelog.analysis.usual.usual import CuffUsual, Usual
from carelog.domain.units import plain
from carelog.text import mark, say

SHOWN_DAYS = 28
LEAST_RECORDED = 0.5
DATED_DAYS = 7  # from one date beneath the picture to the next
_SUCTIONS = mark("suctions")
_LOSS = mark("cmH2O lost an hour, the middle one of a day's readings")
_FOUND = mark("cmH2O found, the middle one of a day's readings")
_SPO2 = mark("SpO2 in %, the middle one of a day's readings")
_PULSE = mark("pulse a minute, the middle one of a day's readings")
_CAPTION = mark("Each day: {words}. Dotted: usual, {low} to {high}.")
_CAPTION_OF_ONE = mark("Each day: {words}. Usual: {low}.")
_DAYS = mark("{first} to {last}.")
_IN_PART = mark("Hatched: recorded in part only.")
_IN_PART_ON = mark("Recorded in part only: {days}.")
Count = Callable[[Day, bool], int | None]
"""Of a day, and whether enough of it is recorded."""


@dataclass(frozen=True, slots=True)
class Weeks:
    """Days side by side: a number each (None: not recorded), and the usual range of a full day.

    `words` say what is counted; a number is a count, or where `is_measured` a measured value. Of the days in
    `partial`, by their places, only a part is recorded yet: their counts may be too low.
    """

    first: date
    counts: tuple[Fraction | None, ...]
    usual: tuple[Fraction, Fraction]
    words: str
    is_measured: bool = False
    partial: frozenset[int] = frozenset()

    def newest(self, days: int) -> "Weeks":
        """The last of these days."""
        left_out = max(0, len(self.counts) - max(days, 1))
        first = self.first + timedelta(days=left_out)
        partial = frozenset(place - left_out for place in self.partial if place >= left_out)
        return replace(self, first=first, counts=self.counts[left_out:], partial=partial)

    def caption(self) -> str:
        """What is shown, and the usual range."""
        low, high = map(plain, self.usual)
        words = _CAPTION if low != high else _CAPTION_OF_ONE
        told = say(words).format(words=self.words, low=low, high=high)
        return f"{told} {say(_IN_PART)}" if self.partial else told

    def days(self) -> str:
        """The first and the last day."""
        last = self.first + timedelta(days=len(self.counts) - 1)
        told = say(_DAYS).format(first=month_day(self.first), last=month_day(last))
        days = ", ".join(month_day(self.first + timedelta(days=each)) for each in sorted(self.partial))
        return f"{told} {say(_IN_PART_ON).format(days=days)}" if days else told


def weeks(noticing: Noticing, rule: str, days: int = SHOWN_DAYS) -> Weeks | None:
    """The days up to the newest judged one, for a rule; None while nothing is judged."""
    today = noticing.today
    if not noticing.course.is_judged(today):
        return None
    usual = noticing.course.usual(today, noticing.head)
    if rule == "cuff_leak":
        return _cuff(noticing, days, usual.cuff) if usual.cuff else None
    if rule in ("suction_more", "suction_less"):
        return _weeks(noticing, days, _suctions, usual.rate.band(), say(_SUCTIONS))
    if rule in MEASURE_OF:
        reading = usual.readings.get(MEASURE_OF[rule].name)
        return _read(noticing, days, reading) if reading else None
    scale, cut = _told_of(noticing, rule)
    words, rated = words_from(scale, cut), _rated_range(usual, scale, cut)
    return _weeks(noticing, days, lambda day, _enough: _rated(day, scale, cut), rated, words)


def _told_of(noticing: Noticing, rule: str) -> tuple[str, int]:
    """The scale and the place on it that the flag in force tells of; without one, the rule's first."""
    episode = noticing.lives.open.get(rule)
    told = episode.reason.told if episode is not None else None
    if told is not None and told.scale:
        return told.scale, told.cut
    scale = SCALES_OF[rule][0]
    return scale, STAINED_FROM if scale == "colour" else 1


def drawn(found: Weeks, columns: Columns) -> Drawing:
    """The picture of as many days as there are columns, dated beneath; counts from zero, values in a band."""
    shown = found.newest(columns.count)
    above = _measured(shown, columns) if shown.is_measured else _counted(shown, columns)
    base = above.height + columns.line
    dates: list[Part] = [
        Label(day * columns.width, base, month_day(shown.first + timedelta(days=day)), columns.size)
        for day in range(0, len(shown.counts) - 2, DATED_DAYS)
    ]
    words = f"{shown.caption()} {shown.days()} {above.words}"
    return Drawing(above.width, base + 0.3 * columns.line, (*above.parts, *dates), words)


def _counted(shown: Weeks, columns: Columns) -> Drawing:
    counts = [None if value is None else int(value) for value in shown.counts]
    usual = int(shown.usual[0]), int(shown.usual[1])
    return pictures.counts(columns, counts, usual, shown.partial, is_hatched=True)


def _measured(shown: Weeks, columns: Columns) -> Drawing:
    low, high = shown.usual
    values = [
        ReadingPoint(day, 0.5, value, plain(value), not low <= value <= high)
        for day, value in enumerate(shown.counts)
        if value is not None
    ]
    return pictures.readings(columns, values, LimitBand(low, high))


def _weeks(noticing: Noticing, days: int, count: Count, usual: tuple[int, int], words: str) -> Weeks:
    """Counts by day; `count` gives None where nothing that could count was recorded, of a day in part too."""
    diary, today = noticing.diary, noticing.today
    found: list[Fraction | None] = []
    partial = set[int]()
    for place, ordinal in enumerate(range(today - days + 1, today + 1)):
        day = diary.days.get(ordinal)
        held = diary.covered(day, noticing.head) if day is not None else [0.0]
        is_enough = sum(held) / len(held) >= LEAST_RECORDED
        counted = None if day is None else count(day, is_enough)
        found.append(None if counted is None else Fraction(counted))
        if counted is not None and (ordinal == today or not is_enough):
            partial.add(place)
    low, high = usual
    return Weeks(
        date.fromordinal(today - days + 1),
        tuple(found),
        (Fraction(low), Fraction(high)),
        words,
        partial=frozenset(partial),
    )


def _read(noticing: Noticing, days: int, usual: UsualReading) -> Weeks:
    diary, today = noticing.diary, noticing.today
    found: list[Fraction | None] = []
    for ordinal in range(today - days + 1, today + 1):
        read = diary.days[ordinal].readings(usual.measure.name) if ordinal in diary.days else []
        found.append(_tenths(median(value for _, value in read)) if read else None)
    low, high = map(Fraction, usual.band())
    words = say(_SPO2 if usual.measure is SPO2 else _PULSE)
    return Weeks(date.fromordinal(today - days + 1), tuple(found), (low, high), words, is_measured=True)


def _cuff(noticing: Noticing, days: int, usual: CuffUsual) -> Weeks:
    diary, today = noticing.diary, noticing.today
    found: list[Fraction | None] = []
    for ordinal in range(today - days + 1, today + 1):
        losses = diary.losses(diary.days[ordinal]) if ordinal in diary.days else []
        values = [loss.found if usual.is_by_level else loss.rate for loss in losses]
        found.append(_tenths(median(values)) if values else None)
    band = _tenths(usual.median - usual.sd), _tenths(usual.median + usual.sd)
    words = say(_FOUND if usual.is_by_level else _LOSS)
    return Weeks(date.fromordinal(today - days + 1), tuple(found), band, words, is_measured=True)


def _tenths(value: float) -> Fraction:
    return Fraction(round(10 * value), 10)


def _suctions(day: Day, is_enough: bool) -> int | None:
    """How many suctions; of a day of which little is recorded, none isn't known."""
    return sum(day.suctions) or (0 if is_enough else None)


def _rated(day: Day, scale: str, cut: int) -> int | None:
    """How many were rated so; None: none was rated at all."""
    if not day.ratings(scale):
        return None
    return sum(count for (_, place), count in day.ratings(scale).items() if place >= cut)


def _rated_range(usual: Usual, scale: str, cut: int) -> tuple[int, int]:
    """The usual range of such ratings a day, from how many are rated a day and the share that is usual."""
    habit = usual.habits[scale]
    daily = habit.rated / max(usual.rate.days, 1.0)
    share = sum(habit.pooled[cut:])
    wanted = daily * share
    within = wanted * (1 - share) * design_effect(daily, habit.alike)
    off = sqrt(within + usual.rate.spread * wanted**2)
    return max(0, round(wanted - off)), round(wanted + off)
