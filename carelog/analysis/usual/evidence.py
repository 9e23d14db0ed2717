"""What one day says for and against a change, by the time of day at which the change may have begun."""

from collections.abc import Callable, Mapping, Sequence

from carelog.analysis.usual.channel import (
    CUFF_SHIFT,
    GROUP_OF,
    LARGEST_DEVIATION,
    NOTHING,
    SMALLEST_DEVIATION,
    Channel,
    Sum,
)
from carelog.analysis.usual.channel import COUNT_RATIO
from carelog.analysis.usual.day import BLOCKS, Day, Loss
from carelog.analysis.usual.likelihood import count_ratio, cusum, design_effect, normal_ratio
from carelog.analysis.usual.scale import SCALES, SOURCE
from carelog.analysis.usual.usual import CuffUsual, Rate, Usual
from carelog.domain.moment import Instant

SETTLED_ERROR = 0.05
RATED_WEIGHT = 12.0
IsNew = Callable[[str], bool]


class Evidence:
    """The log-likelihood ratios of one day's parts for a change at the start of each time of day."""

    def __init__(
        self, day: Day, usual: Usual, covered: Sequence[float], is_new: IsNew, blind: frozenset[str]
    ) -> None:
        self.day = day
        self.edges = day.edges
        self.parts: dict[str, list[float]] = {}
        self._counts(usual.rate, covered, "suction" in blind)
        self._ratings(usual, is_new, blind)

    def _counts(self, rate: Rate, covered: Sequence[float], is_blind: bool) -> None:
        suctions, clockwork = self.day.counts()
        expected = [rate.mean * share * held for share, held in zip(rate.shares, covered, strict=True)]
        clock = [usual * held for usual, held in zip(rate.clockwork, covered, strict=True)]
        margin = max(0.0, rate.error - SETTLED_ERROR)
        for name, ratio in COUNT_RATIO.items():
            if is_blind:
                self.parts[name] = [0.0] * BLOCKS
                continue
            allowed = [each * ((1 + margin) if ratio > 1 else (1 - margin / 2)) for each in expected]
            found = _count_parts(suctions, allowed, ratio, 1 / rate.spread)
            if ratio < 1:
                unwritten = _count_parts(clockwork, clock, ratio, 100.0)
                found = [ours - max(0.0, theirs) for ours, theirs in zip(found, unwritten, strict=True)]
            self.parts[name] = found

    def _ratings(self, usual: Usual, is_new: IsNew, blind: frozenset[str]) -> None:
        placed = [(self.day.block(fact.time), fact) for fact in self.day.facts if fact.ranks]
        for scale in SCALES:
            habit = usual.habits[scale.name]
            source = SOURCE.get(scale.name, scale.name)
            sums, counts = [0.0] * BLOCKS, [0.0] * BLOCKS
            if GROUP_OF[scale.name] not in blind:
                for block, fact in placed:
                    rank = fact.ranks.get(source)
                    if rank is not None:
                        weight = scale.new_rater if is_new(fact.by) else 1.0
                        sums[block] += weight * habit.judged(fact.by).ratios[rank]
                        counts[block] += weight
            caution = habit.rated / (habit.rated + RATED_WEIGHT)
            self.parts[scale.name] = _from_each(sums, counts, habit.alike, caution)


def _count_parts(counts: Sequence[float], expected: Sequence[float], ratio: float, size: float) -> list[float]:
    total, whole = sum(counts), sum(expected)
    later, later_expected, found = 0.0, 0.0, [0.0] * BLOCKS
    for block in reversed(range(BLOCKS)):
        later += counts[block]
        later_expected += expected[block]
        found[block] = count_ratio(total, whole, later, later_expected, ratio, size)
    return found


def _from_each(sums: Sequence[float], counts: Sequence[float], alike: float, caution: float) -> list[float]:
    total, count, found = 0.0, 0.0, [0.0] * BLOCKS
    for block in reversed(range(BLOCKS)):
        total += sums[block]
        count += counts[block]
        found[block] = caution * total / design_effect(count, alike)
    return found


def grown(channel: Channel, before: Sum, evidence: Evidence, cut: Instant, blocks: int) -> Sum:
    """The channel's sum after a day's evidence: the change began earlier, or at one of today's times of day."""
    parts = [evidence.parts[name] for name, _ in channel.parts]
    weights = [weight for _, weight in channel.parts]
    best = NOTHING
    if before.value > 0:
        values = [weight * part[0] for weight, part in zip(weights, parts, strict=True)]
        value = before.value + sum(values)
        if value > 0:
            kept = tuple(old + new for old, new in zip(before.parts, values, strict=True))
            best = Sum(value, before.since, kept)
    for block in range(blocks):
        if evidence.edges[block] < cut:
            continue
        values = [weight * part[block] for weight, part in zip(weights, parts, strict=True)]
        value = sum(values)
        if value > best.value:
            best = Sum(value, evidence.edges[block], tuple(values))
    return best


def leaked(before: Sum, losses: Sequence[Loss], cuff: CuffUsual | None) -> Sum:
    """The cuff channel's sum after some losses, each held to the deviation that one reading may count for."""
    found = before
    for loss in losses if cuff else ():
        deviation = min(max(cuff.deviation(loss), SMALLEST_DEVIATION), LARGEST_DEVIATION)
        value = cusum(found.value, normal_ratio(deviation, CUFF_SHIFT))
        since = found.since if found.value > 0 else loss.time - round(loss.hours * 3_600_000_000)
        found = Sum(value, since, (value,)) if value > 0 else NOTHING
    return found
