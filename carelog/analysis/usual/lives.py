"""The lives of the flags by statistics: raised, grown, cleared, and silent for a week."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from carelog.analysis.usual.channel import NOTE_CHANNELS, RULE_OF
from carelog.analysis.usual.day import Fact
from carelog.analysis.usual.explain import Reason
from carelog.analysis.usual.measure import MEASURE_OF
from carelog.analysis.usual.usual import Usual
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, Instant

SILENCE = 7 * DAY_24_H
LONG_AGO = -(1 << 62)


@dataclass(slots=True)
class Change:
    """One flag by statistics: the channels that raised it, since when its evidence runs, and its entries.

    Not a `flags.life.Episode`: that one holds single signs of what was written and ends with them or by a
    telling; this one ends by the evidence of days. All that they share is the `Flag` that each becomes.
    """

    rule: str
    level: Level
    raised_at: Instant
    since: Instant
    reason: Reason
    closing: str
    channels: set[str] = field(default_factory=set)
    entries: dict[str, None] = field(default_factory=dict)
    cleared_at: Instant | None = None
    cleared_by: str | None = None
    ended: str = ""

    def flag(self) -> Flag:
        """The flag as a value."""
        return Flag(
            self.rule,
            None,
            self.level,
            self.raised_at,
            self.cleared_at,
            self.cleared_by,
            self.reason.headline,
            self.reason.why,
            tuple(self.entries),
            (),
            self.ended,
            by_statistics=True,
            closing=self.closing,
            several=self.reason.is_several,
        )


def show(episode: Change, facts: Iterable[Fact], usual: Usual) -> None:
    """Note the entries that show an episode."""
    for fact in facts:
        if fact.time >= episode.since and _shows(episode.rule, fact, usual):
            episode.entries[fact.id] = None


def _shows(rule: str, fact: Fact, usual: Usual) -> bool:
    if rule in ("suction_more", "suction_less"):
        return fact.is_suction
    if rule == "cuff_leak":
        return fact.kind == "cuff_pressure"
    if rule in MEASURE_OF:
        return MEASURE_OF[rule].name in fact.readings
    return any(
        name in fact.ranks and usual.habits[name].judged[fact.by].ratios[fact.ranks[name]] > 0
        for name, each in RULE_OF.items()
        if each == rule and name in usual.habits
    )


def level_of(channel: str) -> Level:
    """How serious what a channel notices is."""
    return Level.NOTE if channel in NOTE_CHANNELS else Level.CALL


class Lives:
    """All episodes, at most one in force a rule."""

    def __init__(self) -> None:
        self.open: dict[str, Change] = {}
        self.ended: list[Change] = []
        self.newest: dict[str, Change] = {}

    def may_raise(self, rule: str, level: Level, now: Instant, fired: Instant) -> bool:
        """Whether a rule may be raised now.

        Not again within 7 days, unless more seriously or after a rule on what was written fired.
        """
        last = self.newest.get(rule)
        if last is None or now - last.raised_at >= SILENCE:
            return True
        return level > last.level or fired > last.raised_at

    def start(self, episode: Change) -> None:
        """Begin an episode."""
        self.open[episode.rule] = self.newest[episode.rule] = episode

    def end(self, rule: str, now: Instant, by_entry: bool, ended: str) -> Change:
        """End an episode; `ended` says how, in words."""
        episode = self.open.pop(rule)
        episode.ended = ended
        episode.cleared_at, episode.cleared_by = now, "entry" if by_entry else "time"
        self.ended.append(episode)
        return episode

    def flags(self) -> list[Flag]:
        """All flags in the order of their beginnings."""
        every = [*self.ended, *self.open.values()]
        return [each.flag() for each in sorted(every, key=lambda each: (each.raised_at, each.rule))]
