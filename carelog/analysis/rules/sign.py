"""What shows a flag at a moment: how serious, by which entries, since when it is known."""

from dataclasses import dataclass

from carelog.domain.flag import Level
from carelog.domain.moment import Instant


@dataclass(frozen=True, slots=True)
class Sign:
    """One thing that shows a flag.

    `key` tells it from the rule's other signs; `known` is since when a program could have shown it, `time`
    when it happened (both decide what a telling covers); `called`: the entry itself says who was called.
    """

    key: str
    subject: str | None
    level: Level
    entries: tuple[str, ...]
    known: Instant
    time: Instant
    headline: str
    why: str
    called: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """Somebody was told: it settles what was known when it was recorded and had happened by its time.

    `root` is the first entry of its chain; `words` say who, and when.
    """

    root: str
    recorded: Instant
    time: Instant
    words: str

    def covers(self, sign: Sign) -> bool:
        """Whether the telling speaks of this sign."""
        return sign.known <= self.recorded and sign.time <= self.time
