"""What one day says for and against a change, by the time of day at which the change may have begun."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import accumulate
from operator import add

from carelog.analysis.usual.channel import (
    COUNT_RATIO,
    CUFF_SHIFT,
    FEWER,
    GROUP_OF,
    LARGEST_DEVIATION,
    MORE,
    NOTHING,
    SMALLEST_DEVIATION,
    Channel,
    Sum,
)
from carelog.analysis.usual.day import BLOCKS, Day, Fact, Loss
from carelog.analysis.usual.habit import Habit
from carelog.analysis.usual.likelihood import count_ratios, cusum, design_effect, normal_ratio
from carelog.analysis.usual.measure import UsualReading, speaks
from carelog.analysis.usual.scale import SCALES, SOURCE
from carelog.analysis.usual.usual import CuffUsual, Rate
from carelog.domain.moment import HOUR, Instant

SETTLED_ERROR = 0.05
RATED_WEIGHT = 12.0
LEAST_CLOCKWORK = 3.0  # entries a day
NONE = (0.0,) * BLOCKS
CLOCKWORK_SIZE = 100.0  # what is done by the clock hardly varies from day to day
SCALES_FROM = {
    source: [each for each in SCALES if SOURCE.get(each.name, each.name) == source]
    for source in dict.fromkeys(SOURCE.get(each.name, each.name) for each in SCALES)
}
IsNew = Callable[[str], bool]


class RatedSoFar:
    """What the ratings of one day say so far, for a change at the start of each time of day.

    While facts are only added at the day's end it goes on with them (`goes_on`), in the order in which it
    would take them all anew.
    """

    def __init__(self, day: Day, habits: Mapping[str, Habit], is_new: IsNew, blind: frozenset[str]) -> None:
        """`is_new` tells whose ratings count less; `blind`: the groups that can't be judged on the day."""
        self.day, self._habits, self._is_new, self._blind = day, habits, is_new, blind
        self._turns, self._taken = day.turns, 0
        scales = [each for each in SCALES if GROUP_OF[each.name] not in blind]
        self._sums = {each.name: [0.0] * BLOCKS for each in scales}
        self._counts = {each.name: [0.0] * BLOCKS for each in scales}
        self._parts: dict[str, Sequence[float]] = {each.name: NONE for each in SCALES}

    def goes_on(self, day: Day, habits: Mapping[str, Habit], blind: frozenset[str]) -> bool:
        """Whether it is of this day, held against this, and nothing that it took has changed since."""
        is_same = self.day is day and self._habits is habits and self._blind == blind
        return is_same and self._turns == day.turns

    def parts(self) -> Mapping[str, Sequence[float]]:
        """The log-likelihood ratios of each scale, with all facts that the day has."""
        facts = self.day.facts
        touched = set[str]()
        for fact in facts[self._taken :]:
            if fact.ranks:
                touched.update(self._take(fact))
        self._taken = len(facts)
        if touched:
            self._parts = {**self._parts, **{name: self._from_each(name) for name in touched}}
        return self._parts

    def _take(self, fact: Fact) -> Iterator[str]:
        """Add the ratings of a fact; the scales that they are on."""
        block, by, is_new = self.day.block(fact.time), fact.by, self._is_new(fact.by)
        for source, place in fact.ranks.items():
            for scale in SCALES_FROM[source]:
                name = scale.name
                if name in self._sums:
                    weight = scale.new_rater if is_new else 1.0
                    self._sums[name][block] += weight * self._habits[name].judged[by].ratios[place]
                    self._counts[name][block] += weight
                    yield name

    def _from_each(self, name: str) -> Sequence[float]:
        """From each time of day on, what the ratings on one scale say."""
        habit, sums, counts = self._habits[name], self._sums[name], self._counts[name]
        caution, alike = habit.rated / (habit.rated + RATED_WEIGHT), habit.alike
        total, count, found = 0.0, 0.0, [0.0] * BLOCKS
        for block in (3, 2, 1, 0):
            total += sums[block]
            count += counts[block]
            found[block] = caution * total / design_effect(count, alike)
        return found


class Evidence:
    """The log-likelihood ratios of one day's parts for a change at the start of each time of day."""

    def __init__(
        self,
        day: Day,
        rate: Rate,
        said: Mapping[str, Sequence[float]],
        covered: Sequence[float],
        blind: frozenset[str],
        blocks: int = BLOCKS,
    ) -> None:
        """`said`: what the ratings say; `blocks`: how many of the day's times have begun, at which a change
        is looked for."""
        self.day, self.blind = day, blind
        self.edges = day.edges
        self.blocks = blocks
        self.parts = {**said, **self._counted(rate, covered)}

    def _counted(self, rate: Rate, covered: Sequence[float]) -> Mapping[str, Sequence[float]]:
        """What the counts say."""
        if "suction" in self.blind:
            return dict.fromkeys(COUNT_RATIO, NONE)
        begun, found = self.blocks, dict[str, Sequence[float]]()
        expected = _from_each_on(
            [rate.mean * share * held for share, held in zip(rate.shares, covered, strict=True)]
        )
        counted = _from_each_on(self.day.suctions)[:begun], expected[:begun], 1 / rate.spread
        margin, carried = max(0.0, rate.error - SETTLED_ERROR), rate.carried
        for name, ratio in MORE.items():
            found[name] = [each / carried for each in count_ratios(*counted, 1 + margin, ratio)]
        if sum(rate.clockwork) < LEAST_CLOCKWORK:
            return found | dict.fromkeys(FEWER, NONE)
        clock = _from_each_on([usual * held for usual, held in zip(rate.clockwork, covered, strict=True)])
        by_clock = _from_each_on(self.day.clockwork)[:begun], clock[:begun], CLOCKWORK_SIZE
        for name, ratio in FEWER.items():
            fewer = count_ratios(*counted, 1 - margin / 2, ratio)
            unwritten = count_ratios(*by_clock, 1.0, ratio)
            found[name] = [(a - max(0.0, b)) / carried for a, b in zip(fewer, unwritten, strict=True)]
        return found

    def totals(self, channel: Channel) -> Sequence[float]:
        """What the parts of a channel say together, for a change at each time of day that has begun."""
        if len(channel.parts) == 1:  # it has the weight 1
            return self.parts[channel.parts[0][0]]
        parts = [(self.parts[name][: self.blocks], weight) for name, weight in channel.parts]
        weighed = [part if weight == 1 else [weight * each for each in part] for part, weight in parts]
        return list(map(sum, zip(*weighed, strict=True)))


def _from_each_on(values: Sequence[float]) -> list[float]:
    """From each time of day on, how many."""
    return list(accumulate(reversed(values)))[::-1]


def grown(channel: Channel, before: Sum, evidence: Evidence, cut: Instant) -> Sum:
    """The channel's sum after a day's evidence: the change began earlier, or at a time of this day."""
    totals, edges, best, start = evidence.totals(channel), evidence.edges, 0.0, -1
    for block in range(evidence.blocks):
        if totals[block] > best and edges[block] >= cut:
            best, start = totals[block], block
    if before.value > 0 and before.value + totals[0] >= best:
        value = before.value + totals[0]
        if value > 0:
            return Sum(value, before.since, _parts(channel, evidence, 0, before.parts))
    return Sum(best, edges[start], _parts(channel, evidence, start)) if start >= 0 else NOTHING


def _parts(channel: Channel, evidence: Evidence, block: int, old: Sequence[float] = ()) -> tuple[float, ...]:
    new = [weight * evidence.parts[name][block] for name, weight in channel.parts]
    return tuple(map(add, old, new)) if old else tuple(new)


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
