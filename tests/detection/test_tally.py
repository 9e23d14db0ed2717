"""What is carried on from day to day is what would be found anew."""

from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.usual.day import Day, Fact
from carelog.analysis.usual.evidence import RatedSoFar
from carelog.analysis.usual.habit import ALIKE_WEIGHT, CAUTION, MOST_ALIKE, Habit, habit
from carelog.analysis.usual.scale import SCALES, THICKNESS
from carelog.analysis.usual.tally import Rating, RatingTallies, RatingTally
from carelog.domain.moment import HOUR

ratings = st.dictionaries(
    st.tuples(st.sampled_from(["AB", "CD", "EF"]), st.integers(0, 4)), st.integers(1, 6), max_size=6
).map(lambda found: dict(sorted(found.items())))
days = st.dictionaries(st.integers(0, 12), st.fixed_dictionaries({}, optional={"thickness": ratings}))
recorders = st.sampled_from(["AB", "CD", "new"])


def counted(tally: RatingTally) -> tuple[int, dict[Rating, int], list[tuple[Rating, Rating, int]]]:
    """What a tally holds, but for what has come and gone."""
    pairs = [(one, two, n) for one, others in tally.pairs.items() for two, n in others.items() if n]
    return tally.days, tally.chosen, sorted(pairs)


@given(st.lists(days, min_size=2, max_size=6))
def test_days_that_come_go_and_change_leave_what_the_newest_come_to(
    windows: Sequence[Mapping[int, Mapping[str, Mapping[Rating, int]]]],
) -> None:
    carried = RatingTallies(["thickness"])
    for window in windows:
        found, anew = carried.of(window), RatingTallies(["thickness"]).of(window)
        assert counted(found["thickness"]) == counted(anew["thickness"])


def day_by_day(found: Habit, windows: Sequence[tuple[Sequence[Mapping[Rating, int]], float]]) -> float:
    """The correlation of one day's ratings, a day after the other."""
    excess = pairs = weights = 0.0
    for given_days, weight in windows:
        for each in given_days:
            judged = [(found.judged[by], place, n) for (by, place), n in each.items()]
            total = sum(n * (one.ratios[place] - one.mean) for one, place, n in judged)
            variance = sum(n * one.variance for one, _, n in judged)
            excess += weight * (total * total - variance)
            pairs += weight * variance * (sum(each.values()) - 1)
            weights += weight
    typical, believed = pairs / max(weights, 1.0), found.scale.alike
    seen = (excess + believed * ALIKE_WEIGHT * typical) / (pairs + ALIKE_WEIGHT * typical or 1.0)
    return min(max(seen + CAUTION * max(0.0, seen - believed), 0.0), MOST_ALIKE)


@given(st.lists(ratings.filter(bool), max_size=12), st.lists(ratings.filter(bool), max_size=12))
def test_how_alike_a_days_ratings_are_is_what_it_is_day_by_day(
    whole: list[Mapping[Rating, int]], old: list[Mapping[Rating, int]]
) -> None:
    tallies = []
    for given_days, weight in ((whole, 1.0), (old, 0.25)):
        window = {number: {"thickness": each} for number, each in enumerate(given_days)}
        tallies.append((RatingTallies(["thickness"]).of(window)["thickness"], weight))
    found = habit(THICKNESS, tallies)
    assert found.alike == pytest.approx(day_by_day(found, [(whole, 1.0), (old, 0.25)]), abs=1e-9)


@given(
    st.lists(st.tuples(st.integers(0, 23), recorders, st.integers(0, 2), st.booleans()), max_size=20),
)
def test_a_day_that_goes_on_says_what_it_says_read_anew(
    written: list[tuple[int, str, int, bool]],
) -> None:
    """Also where an entry comes late or is taken back: bit for bit."""
    day = Day(1, tuple(hour * HOUR for hour in (0, 6, 12, 18, 24)))
    tally = RatingTally()
    tally.add({("AB", 0): 8, ("AB", 1): 2, ("CD", 0): 3})
    habits = {scale.name: habit(scale, [(tally, 1.0)]) for scale in SCALES}
    blind = frozenset[str]()

    def anew() -> RatedSoFar:
        return RatedSoFar(day, habits, lambda by: by == "new", blind)

    said = anew()
    for number, (hour, by, place, is_taken_back) in enumerate(written):
        fact = Fact(
            hour * HOUR, str(number), str(number), by, "suction", {"thickness": place, "blood": 0}, {}
        )
        day.put(fact)
        if is_taken_back and number % 2:
            day.take(day.facts[number % len(day.facts)])
        if not said.goes_on(day, habits, blind):
            said = anew()
        assert said.parts() == anew().parts()
