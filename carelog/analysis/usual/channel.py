"""The channels on which a change is looked for, each a cumulative sum of log-likelihood ratios.

The method and its weights are those that did best in a study on simulated records (design numbers, not
clinical evidence): secretions that get more, thicker and coloured together; counts alone; drying; blood; the
cuff; a slow drift; fewer than usual; amounts and the inner tube by themselves; oxygen saturation and pulse.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

MORE = {"more_1.5": 1.5, "more_1.6": 1.6, "more_2.5": 2.5}
FEWER = {"fewer_0.7": 0.7, "fewer_0.5": 0.5}
COUNT_RATIO = {**MORE, **FEWER}
CUFF_SHIFT = 2.0  # standard deviations
LARGEST_DEVIATION = 3.0  # one wrong reading can't raise a flag by itself
SMALLEST_DEVIATION = -3.0

RULE_OF = {
    "more_1.5": "suction_more",
    "more_1.6": "suction_more",
    "more_2.5": "suction_more",
    "drift": "suction_more",
    "fewer_0.5": "suction_less",
    "thickness": "secretions_thicker",
    "dryness": "secretions_thicker",
    "colour": "secretions_colour",
    "blood": "secretions_colour",
    "amount": "secretions_amount",
    "found": "inner_tube_blocking",
    "cuff": "cuff_leak",
    "spo2": "spo2_falling",
    "pulse": "pulse_rising",
}
SCALES_OF = {
    "secretions_thicker": ("thickness",),
    "secretions_colour": ("colour", "blood"),
    "secretions_amount": ("amount",),
    "inner_tube_blocking": ("found",),
}
"""The scales whose ratings a rule tells of."""
GROUP_OF = {
    **dict.fromkeys(COUNT_RATIO, "suction"),
    "drift": "suction",
    **dict.fromkeys(("thickness", "dryness", "colour", "amount", "blood"), "secretions"),
    "found": "inner_tube",
    "cuff": "cuff",
    "spo2": "readings",
    "pulse": "readings",
}


@dataclass(frozen=True)
class Channel:
    """One channel: the weights of its parts, its share of the budget of false flags."""

    name: str
    parts: tuple[tuple[str, float], ...]
    share: float

    @cached_property
    def groups(self) -> frozenset[str]:
        """The groups whose restart concerns the channel."""
        return frozenset(GROUP_OF[part] for part, _ in self.parts)

    @cached_property
    def rules(self) -> frozenset[str]:
        """The rules that the channel's parts may raise."""
        return frozenset(RULE_OF[part] for part, _ in self.parts if part in RULE_OF)


CHANNELS = (
    Channel("infection", (("more_1.6", 1.0), ("thickness", 1.0), ("colour", 1.0)), 0.48),
    Channel("more", (("more_1.5", 1.0),), 0.13),
    Channel("many_more", (("more_2.5", 1.0),), 0.11),
    Channel("drying", (("dryness", 1.0), ("fewer_0.7", 0.5), ("found", 1.0)), 0.11),
    Channel("blood", (("blood", 1.0),), 0.04),
    Channel("amount", (("amount", 1.0),), 0.02),
    Channel("inner_tube", (("found", 1.0),), 0.02),
    Channel("fewer", (("fewer_0.5", 1.0),), 0.03),
)
CUFF = Channel("cuff", (("cuff", 1.0),), 0.04)
DRIFT = Channel("drift", (("drift", 1.0),), 0.02)
READINGS = (Channel("spo2", (("spo2", 1.0),), 0.05), Channel("pulse", (("pulse", 1.0),), 0.12))
"""Their shares are added where the readings are compared, and all are then brought to the whole budget."""
SUMMED = (*CHANNELS, CUFF, *READINGS)
ALL_CHANNELS = (*SUMMED, DRIFT)
CHANNEL_OF = {channel.name: channel for channel in ALL_CHANNELS}
NOTE_CHANNELS = ("drift", "fewer")


class Sum(NamedTuple):
    """A channel's sum, the moment from which it has grown, and what each part gave."""

    value: float = 0.0
    since: int = 0
    parts: tuple[float, ...] = ()


NOTHING = Sum()


JOINS = 3.0  # natural logarithm: a part of a channel this strong is a reason by itself


def reasons(channel: Channel, found: Sum) -> list[str]:
    """The rules that a channel above its threshold raises: of its strongest part, and of each strong one."""
    pairs = zip(channel.parts, found.parts, strict=True)
    parts = {name: value for (name, _), value in pairs if name in RULE_OF}
    strongest = max(parts, key=lambda name: parts[name])
    return [RULE_OF[name] for name, value in parts.items() if name == strongest or value >= JOINS]
