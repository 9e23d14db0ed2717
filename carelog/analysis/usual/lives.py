"""The lives of the flags by statistics: raised, grown, cleared, and silent for a week."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from carelog.analysis.usual.channel import NOTE_CHANNELS
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, Instant

SILENCE = 7 * DAY_24_H
LONG_AGO = -(1 << 62)


@dataclass(slots=True)
class Episode:
    """One flag: the channels that raised it, since when its evidence runs, and which entries show it."""

    rule: str
    level: Level
    raised_at: Instant
    since: Instant
    headline: str
    why: str
    channels: set[str]
    entries: dict[str, None] = field(default_factory=dict)
    cleared_at: Instant | None = None
    cleared_by: str | None = None

    def flag(self) -> Flag:
        """The flag as a value."""
        return Flag(
            self.rule,
            None,
            self.level,
            self.raised_at,
            self.cleared_at,
            self.cleared_by,
            self.headline,
            self.why,
            tuple(self.entries),
        )


def level_of(channel: str) -> Level:
    """How serious what a channel notices is."""
    return Level.NOTE if channel in NOTE_CHANNELS else Level.CALL


class Lives:
    """All episodes, at most one in force a rule."""

    def __init__(self) -> None:
        self.open: dict[str, Episode] = {}
        self.ended: list[Episode] = []
        self.newest: dict[str, Episode] = {}

    def may_raise(self, rule: str, channel: str, now: Instant, fired: Instant) -> bool:
        """Whether a channel may raise a rule now: not again within 7 days unless by a channel that is new to it,
        or after a rule on what was written fired."""
        last = self.newest.get(rule)
        if last is None or now - last.raised_at >= SILENCE:
            return True
        return channel not in last.channels or fired > last.raised_at

    def start(self, episode: Episode) -> None:
        """Begin an episode."""
        self.open[episode.rule] = self.newest[episode.rule] = episode

    def end(self, rule: str, now: Instant, by_entry: bool) -> Episode:
        """End an episode."""
        episode = self.open.pop(rule)
        episode.cleared_at, episode.cleared_by = now, "entry" if by_entry else "time"
        self.ended.append(episode)
        return episode

    def flags(self) -> Iterable[Flag]:
        """All flags in the order of their beginnings."""
        every = [*self.ended, *self.open.values()]
        return [each.flag() for each in sorted(every, key=lambda each: (each.raised_at, each.rule))]
