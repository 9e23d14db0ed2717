"""What one day says for and against a change, by the time of day at which the change may have begun."""

from collections.abc import Callable, Sequence

from carelog.analysis.usual.channel import (
    COUNT_RATIO,
    CUFF_SHIFT,
    GROUP_OF,
    LARGEST_DEVIATION,
    NOTHING,
    SMALLEST_DEVIATION,
    Channel,
    Sum,
)
from carelog.analysis.usual.day import BLOCKS, Day, Loss
from carelog.analysis.usual.likelihood import count_ratios, cusum, design_effect, normal_ratio
from carelog.analysis.usual.measure import UsualReading, speaks
from carelog.analysis.usual.scale import SCALES
from carelog.analysis.usual.usual import CuffUsual, Rate, Usual
from carelog.domain.moment import HOUR, Instant

SETTLED_ERROR = 0.05
RATED_WEIGHT = 12.0
LEAST_CLOCKWORK = 3.0  # entries a day
NONE = [0.0] * BLOCKS
CLOCKWORK_SIZE = 100.0  # what is done by the clock hardly varies from day to day
IsNew = Callable[[str], bool]


class Evidence:
    """The log-likelihood ratios of one day's parts for a change at the start of each time of day."""

    def __init__(
        self,
        day: Day,
        usual: Usual,
        covered: Sequence[float],
        is_new: IsNew,
        blind: frozenset[str],
        blocks: int = BLOCKS,
    ) -> None:
        """`blocks`: how many of the day's times have begun; a change is looked for at these."""
        self.day, self.usual, self.blind = day, usual, blind
        self.edges = day.edges
        self.blocks = blocks
        self.parts: dict[str, list[float]] = {}
        self._counts(usual.rate, covered, "suction" in blind)
        self._ratings(usual, is_new, blind)

    def _counts(self, rate: Rate, covered: Sequence[float], is_blind: bool) -> None:
        suctions, clockwork = self.day.counts()
        expected = [rate.mean * share * held for share, held in zip(rate.shares, covered, strict=True)]
        clock = [usual * held for usual, held in zip(rate.clockwork, covered, strict=True)]
        begun = self.blocks
        counted = (_from_each_on(suctions)[:begun], _from_each_on(expected)[:begun], 1 / rate.spread)
        by_clock = (_from_each_on(clockwork)[:begun], _from_each_on(clock)[:begun], CLOCKWORK_SIZE)
        margin = max(0.0, rate.error - SETTLED_ERROR)
        shows_complete = sum(rate.clockwork) >= LEAST_CLOCKWORK
        for name, ratio in COUNT_RATIO.items():
            if is_blind or (ratio < 1 and not shows_complete):
                self.parts[name] = NONE
            elif ratio > 1:
                self.parts[name] = _less(count_ratios(*counted, 1 + margin, ratio), rate.carried)
            else:
                unwritten = count_ratios(*by_clock, 1.0, ratio)
                found = count_ratios(*counted, 1 - margin / 2, ratio)
                both = [a - max(0.0, b) for a, b in zip(found, unwritten, strict=True)]
                self.parts[name] = _less(both, rate.carried)

    def _ratings(self, usual: Usual, is_new: IsNew, blind: frozenset[str]) -> None:
        new = {by for by in {by for scale in SCALES for _, by, _ in self.day.rated(scale.name)} if is_new(by)}
        for scale in SCALES:
            if GROUP_OF[scale.name] in blind:
                self.parts[scale.name] = NONE
                continue
            habit = usual.habits[scale.name]
            sums, counts = [0.0] * BLOCKS, [0.0] * BLOCKS
            for block, by, rank in self.day.rated(scale.name):
                weight = scale.new_rater if by in new else 1.0
                sums[block] += weight * habit.judged(by).ratios[rank]
                counts[block] += weight
            caution = habit.rated / (habit.rated + RATED_WEIGHT)
            self.parts[scale.name] = _from_each(sums, counts, habit.alike, caution)


def _from_each_on(values: Sequence[float]) -> list[float]:
    """From each time of day on, how many."""
    found, later = [0.0] * BLOCKS, 0.0
    for block in reversed(range(BLOCKS)):
        later += values[block]
        found[block] = later
    return found


def _less(values: Sequence[float], times: float) -> list[float]:
    return [value / times for value in values]


def _from_each(sums: Sequence[float], counts: Sequence[float], alike: float, caution: float) -> list[float]:
    total, count, found = 0.0, 0.0, [0.0] * BLOCKS
    for block in reversed(range(BLOCKS)):
        total += sums[block]
        count += counts[block]
        found[block] = caution * total / design_effect(count, alike)
    return found


def grown(channel: Channel, before: Sum, evidence: Evidence, cut: Instant, blocks: int) -> Sum:
    """The channel's sum after a day's evidence: the change began earlier, or at a time of this day."""
    parts = [(evidence.parts[name], weight) for name, weight in channel.parts]
    totals: Sequence[float] = parts[0][0]  # where a part is alone it has the weight 1
    if len(parts) > 1:
        totals = [sum([weight * part[block] for part, weight in parts]) for block in range(blocks)]
    edges, best, start = evidence.edges, 0.0, -1
    for block in range(blocks):
        if totals[block] > best and edges[block] >= cut:
            best, start = totals[block], block
    if before.value > 0 and before.value + totals[0] >= best:
        value = before.value + totals[0]
        if value > 0:
            return Sum(value, before.since, _parts(channel, evidence, 0, before.parts))
    return Sum(best, edges[start], _parts(channel, evidence, start)) if start >= 0 else NOTHING


def _parts(channel: Channel, evidence: Evidence, block: int, old: Sequence[float] = ()) -> tuple[float, ...]:
    new = [weight * evidence.parts[name][block] for name, weight in channel.parts]
    return tuple(a + b for a, b in zip(old, new, strict=True)) if old else tuple(new)


def moved(before: Sum, read: Sequence[tuple[Instant, float]], usual: UsualReading | None) -> Sum:
    """A reading channel's sum after a day's readings so far."""
    if usual is None:
        return NOTHING
    if not read:
        return before
    value = cusum(before.value, speaks(usual, [value for _, value in read]))
    since = before.since if before.value > 0 else read[0][0]
    return Sum(value, since, (value,)) if value > 0 else NOTHING


def leaked(before: Sum, losses: Sequence[Loss], cuff: CuffUsual | None) -> Sum:
    """The cuff channel's sum after some losses, each held to the deviation that one reading may count for."""
    found = before
    if cuff is None:
        return found
    for loss in losses:
        deviation = min(max(cuff.deviation(loss), SMALLEST_DEVIATION), LARGEST_DEVIATION)
        value = cusum(found.value, normal_ratio(deviation, CUFF_SHIFT))
        since = found.since if found.value > 0 else loss.time - round(loss.hours * HOUR)
        found = Sum(value, since, (value,)) if value > 0 else NOTHING
    return found
