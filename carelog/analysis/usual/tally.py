"""What the ratings of some days come to: how often each was chosen, and how often two of them on one day."""

from collections.abc import Iterable, Mapping

Rating = tuple[str, int]
"""A recorder, and the place on a scale that was chosen."""
Ratings = Mapping[Rating, int]
"""How often each was chosen on one day, in order."""
Given = Mapping[str, Ratings]
"""What one day gives, by scale; never changed, but replaced by another."""


class RatingTally:
    """The ratings on one scale of some days, added up.

    All are whole numbers, so that it doesn't matter in which order days come and go. `pairs`: of every two
    ratings, and of each with itself, the sum over the days of how often the one was chosen times how often
    the other; `beside`: of each recorder the sum over the days of how many others each of their ratings
    stood beside. What has come and gone may stand there with 0, but not in `chosen`.
    """

    def __init__(self) -> None:
        self.days = 0
        self.chosen: dict[Rating, int] = {}
        self.pairs: dict[Rating, dict[Rating, int]] = {}
        self.beside: dict[str, int] = {}

    def add(self, ratings: Ratings, times: int = 1) -> None:
        """Add what one day gave; `times` -1: take it away again."""
        self.days += times
        others, chosen, beside = sum(ratings.values()) - 1, self.chosen, self.beside
        items = list(ratings.items())
        for first, (rating, count) in enumerate(items):
            number = times * count
            chosen[rating] = chosen.get(rating, 0) + number
            beside[rating[0]] = beside.get(rating[0], 0) + number * others
            pairs = self.pairs.setdefault(rating, {})
            for other, often in items[first:]:
                pairs[other] = pairs.get(other, 0) + number * often
            if not chosen[rating]:
                del chosen[rating]


class RatingTallies:
    """The tallies of some scales, carried on to the next usual, which learns from nearly the same days.

    What each day gave is kept as it was added: where a day gives something else now, that is taken away.
    """

    def __init__(self, scales: Iterable[str]) -> None:
        self._tallies = {scale: RatingTally() for scale in scales}
        self._given: Mapping[int, Given] = {}

    def of(self, days: Mapping[int, Given]) -> Mapping[str, RatingTally]:
        """The tallies of some days, by their numbers; they stand until others are asked for."""
        given, self._given = self._given, days
        for ordinal, each in given.items():
            if days.get(ordinal) is not each:
                self._add(each, -1)
        for ordinal, each in days.items():
            if given.get(ordinal) is not each:
                self._add(each, 1)
        return self._tallies

    def _add(self, given: Given, times: int) -> None:
        for scale, tally in self._tallies.items():
            if scale in given:
                tally.add(given[scale], times)
