"""How a person's secretions are usually rated, and how each recorder rates."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from carelog.analysis.usual.day import Ratings
from carelog.analysis.usual.likelihood import log_ratios, settled
from carelog.analysis.usual.scale import Scale

RECORDER_WEIGHT = 20.0
ALIKE_WEIGHT = 10.0
MOST_ALIKE = 0.6
CAUTION = 0.9  # whose days swing more than is believed at first may swing more than was seen


@dataclass(frozen=True, slots=True)
class Judged:
    """One recorder's log-likelihood ratios and usual shares by place; the ratios' mean and variance then."""

    ratios: tuple[float, ...]
    shares: tuple[float, ...]
    mean: float
    variance: float


@dataclass(slots=True)
class Habit:
    """The usual ratings on one scale; `alike` is the correlation of one day's ratings."""

    scale: Scale
    pooled: tuple[float, ...]
    rated: float
    by_recorder: dict[str, list[float]]
    alike: float = 0.0
    _judged: dict[str, Judged] = field(default_factory=dict)

    def judged(self, recorder: str) -> Judged:
        """The ratios for a rating by this recorder, whose own habit is shrunk to the household's."""
        found = self._judged.get(recorder)
        if found is None:
            found = self._judged[recorder] = self._judge(self.by_recorder.get(recorder, ()))
        return found

    def all_judged(self) -> list[tuple[str, Judged]]:
        """The ratios of everybody whose ratings were learnt from."""
        return [(recorder, self.judged(recorder)) for recorder in self.by_recorder]

    def _judge(self, own: Sequence[float]) -> Judged:
        usual = self.pooled
        if own:
            whole = sum(own) + RECORDER_WEIGHT
            usual = settled([(n + RECORDER_WEIGHT * p) / whole for n, p in zip(own, usual, strict=True)])
        most = self.scale.most
        ratios = tuple(min(ratio, most) for ratio in log_ratios(usual, self.scale.changed(usual)))
        mean = sum(p * ratio for p, ratio in zip(usual, ratios, strict=True))
        variance = sum(p * ratio * ratio for p, ratio in zip(usual, ratios, strict=True)) - mean * mean
        return Judged(ratios, tuple(usual), mean, variance)


def habit(scale: Scale, days: Iterable[tuple[Ratings, float]]) -> Habit:
    """The usual on one scale from the days learnt from, each with the weight it has."""
    learnt = [(ratings, weight) for ratings, weight in days if ratings]
    places = len(scale.prior)
    by_recorder: dict[str, list[float]] = {}
    for ratings, weight in learnt:
        for recorder, chosen in ratings:
            own = by_recorder.get(recorder)
            if own is None:
                own = by_recorder[recorder] = [0.0] * places
            for place, count in chosen:
                own[place] += weight * count
    sums = [sum(own[place] for own in by_recorder.values()) for place in range(places)]
    whole = sum(sums) + sum(scale.prior)
    pooled = settled([(n + prior) / whole for n, prior in zip(sums, scale.prior, strict=True)])
    found = Habit(scale, pooled, sum(sums), by_recorder)
    found.alike = _alike(found, learnt)
    return found


def _alike(found: Habit, learnt: Sequence[tuple[Ratings, float]]) -> float:
    """The correlation of one day's ratings, from the days, shrunk to what is believed at first."""
    excess = pairs = 0.0
    off = {by: [ratio - each.mean for ratio in each.ratios] for by, each in found.all_judged()}
    for ratings, weight in learnt:
        total = variance = count = 0.0
        for recorder, chosen in ratings:
            away, own = off[recorder], found.judged(recorder).variance
            for place, n in chosen:
                total += n * away[place]
                count += n
                variance += n * own
        excess += weight * (total * total - variance)
        pairs += weight * variance * (count - 1)
    typical = pairs / max(sum(weight for _, weight in learnt), 1.0)
    scale = found.scale
    believed = (excess + scale.alike * ALIKE_WEIGHT * typical) / (pairs + ALIKE_WEIGHT * typical or 1.0)
    cautious = believed + CAUTION * max(0.0, believed - scale.alike)
    return min(max(cautious, 0.0), MOST_ALIKE)
