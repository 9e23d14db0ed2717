"""Small households told in lines of text, and what is expected of their flags, told the same way.

A line is `[name:] day time [> day time] kind field=value …`: when it happened, when it was written down if
that was another moment (all in November 2026, UTC). `amend name` and `withdraw name` in the kind's place
change an entry. An expectation is `[subject] level from..to by`, nothing after the dots while it is in force.
"""

import json
import re
import uuid
from dataclasses import dataclass, field
from typing import Any

from carelog.analysis.flags.period import flags
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Instant, Moment
from carelog.kinds import named_or_unknown

_LINE = re.compile(
    r"(?:(?P<name>\w+): )?(?P<at>\d+ \d\d:\d\d(?::\d\d)?)(?: > (?P<known>\d+ \d\d:\d\d(?::\d\d)?))? "
    r"(?P<verb>amend|withdraw)? ?(?P<kind>\w+)(?P<rest>.*)"
)
_WORD = re.compile(r" (\w+)=(\S+)")
LONG_AGO = Moment.read("2020-01-01T00:00:00Z").instant
START = Moment.read("2026-11-01T00:00:00Z").instant


def clock(text: str) -> Instant:
    """`3 08:10` as an instant of November 2026 (day 31 and on: of December)."""
    day, time = text.split()
    hour, minute, *second = (int(part) for part in time.split(":"))
    return START + (((int(day) - 1) * 24 + hour) * 3600 + minute * 60 + sum(second)) * 1_000_000


def short(instant: Instant | None) -> str:
    """The other way round."""
    if instant is None:
        return ""
    seconds, rest = divmod(instant - START, 1_000_000)
    assert rest == 0
    days, seconds = divmod(seconds, 86_400)
    words = f"{days + 1} {seconds // 3600:02}:{seconds % 3600 // 60:02}"
    return f"{words}:{seconds % 60:02}" if seconds % 60 else words


@dataclass
class Story:
    """The entries of a household, and their names."""

    entries: list[Entry] = field(default_factory=list)
    named: dict[str, Entry] = field(default_factory=dict)

    def tell(self, *lines: str) -> "Story":
        """Add lines."""
        for line in lines:
            self._tell(line)
        return self

    def _tell(self, line: str) -> None:
        found = _LINE.fullmatch(line)
        assert found, line
        at, known = clock(found["at"]), clock(found["known"] or found["at"])
        details = {name: self._value(text) for name, text in _WORD.findall(found["rest"])}
        kind, amends = found["kind"], None
        if found["verb"]:
            target = self.named[kind]
            kind, amends = target.kind, target.id
            at = target.at.instant if found["known"] is None else at
        entry = Entry(
            id=str(uuid.UUID(int=len(self.entries) + 1)),
            kind=kind,
            at=Moment(at),
            recorded_at=known,
            by="AB",
            details=details,
            amends=amends,
            reason="a slip" if amends else "",
            withdrawn=found["verb"] == "withdraw",
        )
        assert entry.withdrawn or named_or_unknown(kind).problems(details) == [], line
        self.entries.append(entry)
        if found["name"]:
            self.named[found["name"]] = entry

    def _value(self, text: str) -> Any:
        """A detail's value: JSON where it is some, `@name` for an entry's id, else text (`~` for a space)."""
        if text.startswith("@"):
            return self.named[text[1:]].id
        try:
            return json.loads(text)
        except ValueError:
            return text.replace("~", " ")

    def ids(self, *names: str) -> tuple[str, ...]:
        """The ids of named entries."""
        return tuple(self.named[name].id for name in names)

    def flags(self, rule: str, until: Instant | str = "", since: Instant = LONG_AGO) -> list[Flag]:
        """One rule's flags in a period; until two months are over, and a day after the last entry."""
        end = (clock(until) if until else self._end()) if isinstance(until, str) else until
        return [flag for flag in flags(self.entries, since, end) if flag.rule == rule]

    def _end(self) -> Instant:
        return max([clock("61 00:00"), *(each.recorded_at + DAY_24_H for each in self.entries)])


def told(flag: Flag) -> str:
    """A flag as an expectation."""
    words = f"{flag.level.word} {short(flag.raised_at)}..{short(flag.cleared_at)}"
    return " ".join(part for part in (flag.subject, words, flag.cleared_by) if part)
