"""The scales on which secretions are judged, and what a change on each of them would look like."""

from collections.abc import Callable
from dataclasses import dataclass

from carelog.analysis.usual.likelihood import Shares, mixed, shifted
from carelog.domain.kind import order
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION

THICKNESS_RANK = order(SUCTION, "consistency")
AMOUNT_RANK = order(SUCTION, "amount")
FOUND_RANK = order(INNER_TUBE, "found")
COLOUR_CLASS = {"clear": 0, "white": 0, "cream": 1, "yellow": 2, "green": 3, "brown": 4}
STAINED_FROM = 2
STAINED = (0.0, 0.0, 0.6, 0.28, 0.12)
BLOOD_COLOURS = ("pink", "red")


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale: its categories, what is believed before anything is known, what a change does to it.

    `prior` are counts of made-up ratings; `alike` is the correlation of one day's ratings believed at first;
    `new_rater` is how much a rating by somebody new counts, `most` the largest log-likelihood ratio that a
    single rating may have.
    """

    name: str
    prior: Shares
    changed: Callable[[Shares], Shares]
    alike: float
    new_rater: float = 1.0
    most: float = 2.0


THICKNESS = Scale("thickness", (3.6, 1.5, 0.6, 0.2, 0.1), lambda usual: shifted(usual, 1.2), 0.04, 0.1)
DRYNESS = Scale("dryness", THICKNESS.prior, lambda usual: shifted(usual, 2.2), 0.04, 0.1)
COLOUR = Scale("colour", (4.0, 1.2, 0.5, 0.2, 0.1), lambda usual: mixed(usual, STAINED, 0.4), 0.02, most=3.0)
AMOUNT = Scale("amount", (3.3, 2.2, 0.5), lambda usual: shifted(usual, 1.2), 0.04, 0.1)
BLOOD = Scale("blood", (5.8, 0.2), lambda usual: mixed(usual, (0.0, 1.0), 0.2), 0.03)
FOUND = Scale("found", (1.8, 3.4, 0.7, 0.1), lambda usual: shifted(usual, 1.5), 0.05, 0.3)
SCALES = (THICKNESS, DRYNESS, COLOUR, AMOUNT, BLOOD, FOUND)
SOURCE = {"dryness": "thickness"}  # judged twice from the same ratings
