"""How a person's secretions are usually rated, and how each recorder rates."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from operator import mul
from typing import NamedTuple

from carelog.analysis.usual.likelihood import Shares, log_ratios, settled
from carelog.analysis.usual.scale import Scale
from carelog.analysis.usual.tally import RatingTally

RECORDER_WEIGHT = 20.0
ALIKE_WEIGHT = 10.0
MOST_ALIKE = 0.6
CAUTION = 0.9  # whose days swing more than is believed at first may swing more than was seen


class Judged(NamedTuple):
    """One recorder's log-likelihood ratios and usual shares by place; the ratios' mean and variance then."""

    ratios: tuple[float, ...]
    shares: tuple[float, ...]
    mean: float
    variance: float


class JudgedBy(dict[str, Judged]):
    """How each recorder's ratings are judged: worked out when it is asked for first."""

    def __init__(self, scale: Scale, pooled: Shares, by_recorder: Mapping[str, Sequence[float]]) -> None:
        """`pooled`: the household's usual shares; `by_recorder`: how often each recorder chose each place."""
        self._scale, self._pooled, self._by_recorder = scale, pooled, by_recorder

    def __missing__(self, recorder: str) -> Judged:
        found = self[recorder] = self._judge(self._by_recorder.get(recorder, ()))
        return found

    def _judge(self, own: Sequence[float]) -> Judged:
        """By a recorder's own habit, which is shrunk to the household's."""
        usual = self._pooled
        if own:
            whole = sum(own) + RECORDER_WEIGHT
            usual = settled([(n + RECORDER_WEIGHT * p) / whole for n, p in zip(own, usual, strict=True)])
        most = self._scale.most
        ratios = tuple([min(ratio, most) for ratio in log_ratios(usual, self._scale.changed(usual))])
        weighed = list(map(mul, usual, ratios))
        mean = sum(weighed)
        return Judged(ratios, usual, mean, sum(map(mul, weighed, ratios)) - mean * mean)


@dataclass(slots=True)
class Habit:
    """The usual ratings on one scale; `alike` is the correlation of one day's ratings."""

    scale: Scale
    pooled: Shares
    rated: float
    by_recorder: Mapping[str, Sequence[float]]
    judged: JudgedBy
    alike: float


def habit(scale: Scale, tallies: Sequence[tuple[RatingTally, float]]) -> Habit:
    """The usual on one scale from the days learnt from, those of each weight together."""
    places = len(scale.prior)
    by_recorder: dict[str, list[float]] = {}
    for tally, weight in tallies:
        for (recorder, place), count in tally.chosen.items():
            own = by_recorder.get(recorder)
            if own is None:
                own = by_recorder[recorder] = [0.0] * places
            own[place] += weight * count
    sums = [fsum([own[place] for own in by_recorder.values()]) for place in range(places)]
    whole = sum(sums) + sum(scale.prior)
    pooled = settled([(n + prior) / whole for n, prior in zip(sums, scale.prior, strict=True)])
    judged = JudgedBy(scale, pooled, by_recorder)
    return Habit(scale, pooled, sum(sums), by_recorder, judged, _alike(scale, judged, tallies))


def _alike(scale: Scale, judged: JudgedBy, tallies: Sequence[tuple[RatingTally, float]]) -> float:
    """The correlation of one day's ratings, from the days, shrunk to what is believed at first.

    Of each day the square of how far its ratings lie from their means together, less what that would be if
    none were like another. The square of a sum is a sum over pairs, and so the days are added up before.
    """
    excess = pairs = days = 0.0
    for tally, weight in tallies:
        away = {each: judged[each[0]].ratios[each[1]] - judged[each[0]].mean for each in tally.chosen}
        # Added exactly, so that the order in which days have come and gone plays no part.
        squares = fsum(
            (count if one == other else 2 * count) * away[one] * away[other]
            for one, others in tally.pairs.items()
            for other, count in others.items()
            if count
        )
        alone = fsum([count * judged[by].variance for (by, _), count in tally.chosen.items()])
        excess += weight * (squares - alone)
        pairs += weight * fsum([count * judged[by].variance for by, count in tally.beside.items() if count])
        days += weight * tally.days
    typical = pairs / max(days, 1.0)
    believed = (excess + scale.alike * ALIKE_WEIGHT * typical) / (pairs + ALIKE_WEIGHT * typical or 1.0)
    cautious = believed + CAUTION * max(0.0, believed - scale.alike)
    return min(max(cautious, 0.0), MOST_ALIKE)
