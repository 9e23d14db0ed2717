"""The care plan: what is due how often, the limits, who set them, from when."""

from dataclasses import dataclass, field
from datetime import time
from typing import Self

from carelog.domain.entry import Details, details_text
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.units import Number, exact

Span = tuple[time, time]

GRACE = 60 * MINUTE
EARLY = 60 * MINUTE
LEAD_DAYS = 7
RESERVE_DAYS = 7
FALSE_FLAGS_A_YEAR = 2


def clock(text: str) -> time:
    """The local time written as HH:MM."""
    return time.fromisoformat(text)


def _span(value: object) -> Span | None:
    return (clock(value[0]), clock(value[1])) if isinstance(value, list) else None


@dataclass(frozen=True, slots=True)
class Task:
    """One thing the plan asks for: every so many hours, or at local times."""

    kind: str
    where: Details = field(default_factory=dict)
    every: Instant | None = None
    times: tuple[time, ...] = ()
    quiet: Span | None = None
    grace: Instant = GRACE
    early: Instant = EARLY
    _same: str = field(init=False, repr=False, compare=False, default="")

    @property
    def key(self) -> str:
        """What tells it from the plan's other tasks: its kind, and the values of `where` by name."""
        values = ":".join(_word(self.where[name]) for name in sorted(self.where))
        return f"{self.kind}:{values}" if values else self.kind

    @classmethod
    def of(cls, details: Details, plan_quiet: Span | None) -> Self:
        """A task from a valid plan's details; defaults stand in for what isn't given."""
        every = details.get("every_h")
        return cls(
            kind=details["kind"],
            where=details.get("where", {}),
            every=None if every is None else int(exact(every) * HOUR),
            times=tuple(sorted({clock(text) for text in details.get("times", [])})),
            quiet=_span(details["quiet"]) if "quiet" in details else plan_quiet,
            grace=_minutes(details.get("grace_min"), GRACE),
            early=_minutes(details.get("early_min"), EARLY),
        )

    def same(self) -> str:
        """A text that is equal for two tasks that ask the same, whether defaults are written out or not."""
        return self._same

    def __post_init__(self) -> None:
        # Worked out once: the start of a task compares it with each plan there ever was.
        shown = [self.kind, details_text(self.where), self.every, self.times, self.grace]
        text = repr([*shown, self.early if self.times else None, self.quiet if self.every else None])
        object.__setattr__(self, "_same", text)


def _word(value: object) -> str:
    return value if isinstance(value, str) else details_text({"": value})[5:-1]


def _minutes(value: Number | None, default: Instant) -> Instant:
    return default if value is None else int(exact(value) * MINUTE)


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan as it stands in one entry, whole."""

    entry: str
    since: Instant
    details: Details
    quiet: Span | None
    tasks: tuple[Task, ...]

    @classmethod
    def of(cls, entry: str, since: Instant, details: Details) -> Self:
        """The plan of a valid plan entry's details, in force from `since`."""
        quiet = _span(details.get("quiet"))
        tasks = tuple(Task.of(task, quiet) for task in details.get("tasks", []))
        return cls(entry, since, details, quiet, tasks)

    def limits(self, name: str) -> Details:
        """The limits recorded for a reading, as they were typed; empty when there are none."""
        found: Details = self.details.get("limits", {}).get(name, {})
        return found

    def number(self, name: str, default: Number) -> Number:
        """A number of the plan, or the default."""
        found: Number = self.details.get(name, default)
        return found
