"""The life of one rule's flag about one subject: raised, grown, ended, raised again."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field

from carelog.analysis.flags.naming import begun, read_at
from carelog.analysis.rules.rule import Rule
from carelog.analysis.rules.sign import Sign, Told
from carelog.domain.flag import Flag, Level, Matter
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.text import mark, say

NEVER: Instant = 1 << 62
BY_ENTRY = "entry"
BY_TIME = "time"

NOT_AGAIN = mark("not written again for 24 h; nobody recorded telling anyone")
NOT_WRITTEN = mark("not written again for 24 h")
CHANGED = mark("the entry was changed")
ANEW = mark("the entry was changed; what it still shows is a new flag")


@dataclass(frozen=True, slots=True)
class Cause:
    """What makes a program look again: an entry that became known (a change among them), or time alone.

    `oldest`: when the oldest of the entries that became known, changes apart, had happened.
    """

    entry: bool = False
    change: bool = False
    oldest: Instant = NEVER

    @property
    def word(self) -> str:
        """The word for `cleared_by`."""
        return BY_ENTRY if self.entry else BY_TIME


@dataclass(slots=True)
class Episode:
    """One flag as it grows; `members` are the signs it holds on to, `top` whether one is at its level,
    `annulled` whether it ended because what showed it was changed, `grown_at` when its level last grew.

    A flag by statistics is a `usual.lives.Change`, which says why it is another.
    """

    rule: str
    subject: str | None
    level: Level
    raised_at: Instant
    headline: str
    why: str
    shown: tuple[Level, Instant]
    matter: Matter = Matter.BODY
    called: bool = False
    top: bool = True
    entries: dict[str, None] = field(default_factory=dict)
    seen: dict[str, None] = field(default_factory=dict)
    members: dict[str, Instant] = field(default_factory=dict)
    cleared_at: Instant | None = None
    cleared_by: str | None = None
    ended: str = ""
    annulled: bool = False
    grown_at: Instant = -NEVER
    kept: tuple[object, Flag] | None = field(default=None, repr=False, compare=False)
    """Once it has ended, the flag as it was told last, and all that its words hang on."""

    def join(self, signs: Iterable[Sign]) -> None:
        """Take in what shows it now: the level only grows, the words are the newest at the highest level."""
        for sign in sorted(signs, key=lambda each: (each.known, each.time, each.key)):
            self.members[sign.key] = sign.known
            self.entries.update(dict.fromkeys(sign.entries))
            self.level = max(self.level, sign.level)
            if (sign.level, sign.known) >= self.shown:
                self.shown = (sign.level, sign.known)
                self.headline, self.why = sign.headline, sign.why
                self.called = sign.called

    def flag(self, home: Home, now: Instant, words: tuple[str, str] | None = None) -> Flag:
        """The flag as a value, in words that are read at a moment (`words`: its headline and reason then).

        A headline begins like a sentence, also where its first word is the name of a thing in the house. The
        reason of an ended one is read on the day it was raised, which always stands beside it.
        """
        if self.cleared_at is None:
            return self._worded(home, now, words)
        key = home, home.day(now), tuple(self.seen)
        if self.kept is None or self.kept[0] != key:
            self.kept = key, self._worded(home, now, None)
        return self.kept[1]

    def _worded(self, home: Home, now: Instant, words: tuple[str, str] | None) -> Flag:
        day = now if self.cleared_at is None else self.raised_at
        headline, why = words or (self.headline, self.why)
        return Flag(
            self.rule,
            self.subject,
            self.level,
            self.raised_at,
            self.cleared_at,
            self.cleared_by,
            begun(read_at(headline, home, now)),
            read_at(why, home, day),
            tuple(self.entries),
            tuple(self.seen),
            read_at(self.ended, home, self.cleared_at or now),
            matter=self.matter,
            called=self.called,
        )


Ending = Callable[[str | None, Collection[str]], str]


class Life:
    """All episodes of one rule about one subject, one after the other."""

    def __init__(
        self,
        rule: Rule,
        subject: str | None,
        keep: Callable[[Episode], None],
        time_of: Callable[[str], Instant],
    ) -> None:
        """`keep` is given each episode when it ends; `time_of` says when an entry happened."""
        self.rule = rule
        self.subject = subject
        self.open: Episode | None = None
        self._keep = keep
        self._time_of = time_of

    @property
    def expires(self) -> Instant:
        """When time alone ends the episode in force, if nothing else is written."""
        if self.open is None or not self.rule.day or self.open.level is Level.URGENT:
            return NEVER
        return max(self.open.members.values()) + DAY_24_H

    def update(
        self,
        now: Instant,
        signs: Sequence[Sign],
        tolds: Sequence[Told],
        cause: Cause,
        ending: Ending,
    ) -> None:
        """Look at what shows the flag at this moment, tellings apart, and let it live, end or begin."""
        tolds = tolds if self.rule.told else ()
        untold = [sign for sign in signs if not _is_told(sign, tolds)]
        fresh = [sign for sign in untold if self._is_fresh(sign, now)]
        episode = self.open
        if episode is not None:
            fell = self._fell(episode, signs, cause)
            holding = [] if fell else [sign for sign in untold if self._holds(episode, sign, now)]
            if holding:
                level, episode.members = episode.level, {}
                episode.join(holding)
                episode.grown_at = now if episode.level > level else episode.grown_at
                episode.top = any(sign.level >= episode.level for sign in signs)
                return
            how = say(ANEW) if fell and fresh else self._how(episode, signs, tolds, now, ending)
            self._end(episode, now, cause, how)
        if fresh:
            self._start(now, fresh)

    def _start(self, now: Instant, signs: Sequence[Sign]) -> None:
        first = max(signs, key=lambda sign: (sign.level, sign.known))
        episode = Episode(
            self.rule.name,
            self.subject,
            first.level,
            now,
            first.headline,
            first.why,
            (first.level, first.known),
            self.rule.matter,
        )
        episode.join(signs)
        episode.grown_at = now
        self.open = episode

    def _end(self, episode: Episode, now: Instant, cause: Cause, ended: str) -> None:
        episode.cleared_at, episode.cleared_by, episode.ended = now, cause.word, ended
        self.open = None
        self._keep(episode)

    def _fell(self, episode: Episode, signs: Sequence[Sign], cause: Cause) -> bool:
        """Whether a change to the past (for some rules any entry) took away all that showed its level."""
        is_less = episode.top and bool(signs) and not any(s.level >= episode.level for s in signs)
        return is_less and (cause.entry if self.rule.falls else self._is_of_the_past(episode, cause))

    def _is_of_the_past(self, episode: Episode, cause: Cause) -> bool:
        """A change, or an entry written down late: before an entry that showed the flag.

        Of what time alone makes true also one from before it was raised or grew.
        """
        latest = episode.grown_at if self.rule.grows_with_time else -NEVER
        times = [self._time_of(each) for each in episode.entries]
        return cause.change or cause.oldest < max([latest, *times])

    def _holds(self, episode: Episode, sign: Sign, now: Instant) -> bool:
        if self._is_fresh(sign, now):
            return True
        return episode.level is Level.URGENT and sign.key in episode.members

    def _is_fresh(self, sign: Sign, now: Instant) -> bool:
        return not self.rule.day or sign.level is Level.URGENT or sign.known + DAY_24_H > now

    def _how(
        self,
        episode: Episode,
        signs: Sequence[Sign],
        tolds: Sequence[Told],
        now: Instant,
        ending: Ending,
    ) -> str:
        """How it ended, in words."""
        left = [sign for sign in signs if sign.key in episode.members]
        told = next((told for told in reversed(tolds) if any(told.covers(sign) for sign in left)), None)
        if told is not None:
            return told.words
        if self.rule.day and any(sign.known + DAY_24_H <= now for sign in left):
            return say(NOT_WRITTEN if all(sign.called for sign in left) else NOT_AGAIN)
        words = ending(self.subject, episode.members)
        episode.annulled = not words
        return words or say(CHANGED)


def _is_told(sign: Sign, tolds: Sequence[Told]) -> bool:
    return any(told.covers(sign) for told in reversed(tolds))
