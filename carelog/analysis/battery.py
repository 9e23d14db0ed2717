"""How long a machine runs on its battery, by the runs that were written down, and what that means in use.

A run is how long it was seen to run unplugged. So it says “ran”, never “will run”; what a battery does in the
cold, or after another year, nobody recorded.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import pairwise

from carelog.analysis.drawing import Anchor, Dot, Drawing, Fill, Label, Part, Straight
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.recorded import recorded_days
from carelog.analysis.supplies import FIRST_DAY, WINDOW_DAYS
from carelog.analysis.times import month_day
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.units import exact, plain
from carelog.text import mark, say, say_n

RECENT = 90 * DAY_24_H
"""An older run says little: batteries wear (common practice, no source)."""
NEWEST = 8
"""So many of the newest runs are reckoned with (our own choice)."""
MOST = 7 * 24 * 60
"""Minutes; a run of more than a week is a slip of the pen and isn't reckoned with."""
DRAWN = 24
A_DAY = 24 * 60  # min


@dataclass(frozen=True, slots=True)
class BatteryRun:
    """One run: when it was written down, and how many minutes it lasted."""

    at: Instant
    minutes: Fraction


@dataclass(frozen=True, slots=True)
class Lasting:
    """How many minutes a machine ran on its battery, by its newest runs.

    `about` is their middle, of two middle ones the shorter. `cautious` is their lower quartile: a quarter of
    the runs at most was shorter; of up to four runs it is the shortest. `is_old`: none is younger than 90
    days.
    """

    about: Fraction
    cautious: Fraction
    count: int
    newest: Instant
    is_old: bool


def runs(checks: Iterable[Held]) -> tuple[BatteryRun, ...]:
    """The runs that these checks of one machine tell of, oldest first."""
    found = (BatteryRun(held.time, exact(held.entry.details["on_battery_min"])) for held in checks)
    return tuple(run for run in found if 0 <= run.minutes <= MOST)


def lasting(of: Sequence[BatteryRun], now: Instant) -> Lasting | None:
    """How long it ran, by the newest runs of the last 90 days; where there are none, by older ones."""
    if not of:
        return None
    recent = [run for run in of if now - run.at <= RECENT]
    taken = (recent or list(of))[-NEWEST:]
    minutes = sorted(run.minutes for run in taken)
    middle, quarter = (len(minutes) - 1) // 2, (len(minutes) - 1) // 4
    return Lasting(minutes[middle], minutes[quarter], len(taken), taken[-1].at, not recent)


def pace(reading: Reading, now: Instant) -> Fraction | None:
    """Suctions a recorded day among the last 14 full days; None where none of them is recorded."""
    home, today = reading.home, reading.home.day(now)
    first = date.fromordinal(max(today.toordinal() - WINDOW_DAYS, FIRST_DAY))
    start, end = home.start_of(first), home.start_of(today)
    days = recorded_days(home, (held for held in reading.held if start <= held.time < end))
    count = sum(start <= held.time < end for held in reading.of("suction"))
    return Fraction(count, len(days)) if days else None


_ABOUT = mark("ran about {minutes}\N{NO-BREAK SPACE}min on battery")
_OLD = mark("more than 90 days ago")


def minute_words(found: Lasting, home: Home) -> str:
    """Ran about 65 min on battery, by 3 runs, the newest of Fri 20 Nov."""
    words = say_n("by one run of {day}", "by {count} runs, the newest of {day}", found.count)
    by = words.format(count=found.count, day=month_day(home.day(found.newest)))
    words = f"{say(_ABOUT).format(minutes=whole(found.about))}, {by}"
    return f"{words}, {say(_OLD)}" if found.is_old else words


def pace_words(a_day: Fraction | None) -> str:
    """How many suctions a day were recorded lately, which says nothing of any day to come; empty: none."""
    if not a_day:
        return ""
    words = mark("In the last 14 days {pace} suctions a day were recorded.")
    return say(words).format(pace=plain(round(a_day, 1)))


def whole(minutes: Fraction) -> int:
    """Minutes as they are told: never more than they were."""
    return minutes.__floor__()


def picture(of: Sequence[BatteryRun], home: Home, width: float, letters: float) -> Drawing:
    """The minutes of each run over time, from zero up; the first and the last say their number."""
    shown = of[-DRAWN:]
    top, room = 1.4 * letters, 3 * letters
    base, left, right = top + room, letters, width - letters
    most = max([run.minutes for run in shown] + [Fraction(1)])
    first, span = shown[0].at, max(shown[-1].at - shown[0].at, 1)
    spots = [
        (left + (right - left) * (run.at - first) / span, base - room * float(run.minutes / most))
        for run in shown
    ]
    parts: list[Part] = [Straight(0, base, width, base, soft=True)]
    parts += [Straight(*one, *other, weight=1) for one, other in pairwise(spots)]
    parts += [Dot(x, y, letters / 5, Fill.INK) for x, y in spots]
    for (_x, y), run, anchor in ((spots[0], shown[0], Anchor.START), (spots[-1], shown[-1], Anchor.END)):
        edge = 0.0 if anchor is Anchor.START else width
        parts.append(Label(edge, y - letters / 2, str(whole(run.minutes)), letters, anchor))
        parts.append(
            Label(edge, base + 1.2 * letters, month_day(home.day(run.at)), letters, anchor, soft=True)
        )
    told = ", ".join(f"{month_day(home.day(run.at))} {whole(run.minutes)}" for run in shown)
    words = say(mark("Minutes on battery: {runs}.")).format(runs=told)
    return Drawing(width, base + 1.6 * letters, tuple(parts), words)
