"""A plan in sentences, each about one thing that it says: for its page, its editor, paper and comparing."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.limits import limit_names, limits_of_plan
from carelog.analysis.plans import NO_ENTRY
from carelog.domain.entry import Details, Json
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.plan import (
    EARLY,
    FALSE_FLAGS_A_YEAR,
    GRACE,
    LEAD_DAYS,
    RESERVE_DAYS,
    Plan,
    Span,
    Task,
)
from carelog.domain.units import plain, with_unit
from carelog.kinds import task_name
from carelog.kinds.plan import PLAN
from carelog.text import mark, say, say_n

TASKS, LIMITS = "tasks", "limits"
PARTS: Sequence[tuple[str, Sequence[str]]] = (
    (mark("What it asks for"), (TASKS,)),
    (mark("Limits"), (LIMITS,)),
    (mark("At night"), ("quiet", "valve_at_night", "cuff_down_at_night")),
    (
        mark("Catheter, spares, supplies"),
        ("catheter_fr", "spare_step_mm", "cuffed_spare", "lead_days", "reserve_days"),
    ),
    (mark("Compared with the usual"), ("false_flags_a_year", "restarts")),
    (mark("Instructions"), ("instructions",)),
)
"""All that a plan says, in the order in which it is read: headings, and the fields under each."""

COUNTS_ANYWAY: Mapping[str, Json] = {
    "false_flags_a_year": FALSE_FLAGS_A_YEAR,
    "lead_days": LEAD_DAYS,
    "reserve_days": RESERVE_DAYS,
}
"""What counts where a plan doesn't say it."""

_NOT_BETWEEN = mark("{words}, not between {start} and {end}")
_ALWAYS = mark("{words}, also in the quiet hours")
_LATE_AFTER = mark("{words}, overdue after {length}")
_EARLY_BY = mark("{words}, from {length} before")
_AT = mark("at {times}")
_QUIET = mark("Quiet hours {start} to {end}")
_NO_QUIET = mark("No quiet hours")
_NO_LIMIT = mark("{name}: no limit set")
_LIMIT = mark("{name}: {range}")
_NOT_SAID = mark("{what}: the plan doesn't say")
_COUNTS = mark("{what} (not in the plan)")
_NOTHING_ANEW = mark("The usual goes on being learnt")
_NO_WORDS = mark("No instructions")
_NO_TASKS = mark("Nothing is asked for")
_MORE = mark("Also recorded")


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One thing that a plan says, or, where it isn't set, doesn't: its place in the plan, and the words.

    The place is a field's name; of a task and a limit with its own name behind a slash.
    """

    place: str
    words: str
    is_set: bool = True

    @property
    def field(self) -> str:
        """The plan's field that it is of."""
        return self.place.partition("/")[0]


@dataclass(frozen=True, slots=True)
class Passage:
    """The sentences under one heading."""

    title: str
    sentences: tuple[PlanLine, ...]


def passages(details: Details, *, is_adult: bool) -> list[Passage]:
    """A plan's details whole, in sentences under their headings."""
    found = [
        Passage(say(title), tuple(_of_fields(fields, details, is_adult=is_adult))) for title, fields in PARTS
    ]
    unknown = PLAN.unknown(details)
    if unknown:
        rest = tuple(PlanLine(name, PLAN.line({name: value})) for name, value in unknown.items())
        found.append(Passage(say(_MORE), rest))
    return found


def _of_fields(fields: Sequence[str], details: Details, *, is_adult: bool) -> Iterator[PlanLine]:
    for name in fields:
        if name == TASKS:
            tasks = Plan.of(NO_ENTRY, 0, details).tasks
            yield from (PlanLine(f"{TASKS}/{each.key}", task_sentence(each, details)) for each in tasks)
            if not tasks:
                yield PlanLine(TASKS, say(_NO_TASKS), is_set=False)
        elif name == LIMITS:
            yield from limit_sentences(details.get(LIMITS, {}), is_adult=is_adult)
        else:
            yield field_sentence(name, details)


def task_sentence(task: Task, details: Details) -> str:
    """What a plan asks for: “Inner tube every 8 hours, not between 23:00 and 06:00”."""
    words = f"{task_name(task.kind, task.where)} {rhythm(task)}"
    if task.every is not None and task.quiet is not None:
        start, end = hours(task.quiet)
        words = say(_NOT_BETWEEN).format(words=words, start=start, end=end)
    elif task.every is not None and details.get("quiet"):
        words = say(_ALWAYS).format(words=words)
    if task.times and task.early != EARLY:
        words = say(_EARLY_BY).format(words=words, length=_minutes(task.early))
    if task.grace != GRACE:
        words = say(_LATE_AFTER).format(words=words, length=_minutes(task.grace))
    return words


def _minutes(length: Instant) -> str:
    return with_unit(length / MINUTE, say(mark("min")))


def rhythm(task: Task) -> str:
    """How often a task is asked for: “every 8 hours”, “at 08:00, 20:00”."""
    if task.every is None:
        return say(_AT).format(times=", ".join(f"{clock:%H:%M}" for clock in task.times))
    return every(task.every)


def every(length: Instant) -> str:
    """An interval in words: “every 8 hours”, “every 7 days”; the number and its unit on one line."""
    days, rest = divmod(length, 24 * HOUR)
    if not rest and days > 1:
        words, count = say_n("every day", "every {count} days", days), plain(days)
    else:
        words = say_n("every hour", "every {count} hours", 1 if length == HOUR else 2)
        count = plain(length / HOUR)
    return words.replace("{count} ", "{count}\N{NO-BREAK SPACE}").format(count=count)


def hours(span: Span) -> tuple[str, str]:
    """The two ends of quiet hours, as clock times."""
    return f"{span[0]:%H:%M}", f"{span[1]:%H:%M}"


def limit_sentences(given: Details, *, is_adult: bool) -> list[PlanLine]:
    """Each limit that a plan may give, with the number that counts where it gives none."""
    lines, _none = limits_of_plan(given, is_adult)
    known = dict(lines)
    return [
        PlanLine(
            f"{LIMITS}/{name}",
            _capital(
                say(_LIMIT).format(name=label, range=known[label])
                if label in known
                else say(_NO_LIMIT).format(name=label)
            ),
            is_set=bool(given.get(name)),
        )
        for name, label in limit_names()
    ]


def field_sentence(name: str, details: Details) -> PlanLine:
    """What a plan says of one of its other fields."""
    value = details.get(name)
    if name == "quiet":
        words = say(_QUIET).format(start=value[0], end=value[1]) if value else say(_NO_QUIET)
        return PlanLine(name, words, is_set=bool(value))
    if value is not None and value != "":
        return PlanLine(name, str(value) if name == "instructions" else _capital(PLAN.line({name: value})))
    if name in COUNTS_ANYWAY:
        words = say(_COUNTS).format(what=PLAN.line({name: COUNTS_ANYWAY[name]}))
    elif name in ("restarts", "instructions"):
        words = say(_NOTHING_ANEW if name == "restarts" else _NO_WORDS)
    else:
        field = PLAN.field(name)
        words = say(_NOT_SAID).format(what=say(field.label) if field else name)
    return PlanLine(name, _capital(words), is_set=False)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


# Two plans side by side ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BothSay:
    """The same thing in two plans: the words of each, whether they differ, and its name if it needs one."""

    before: str
    after: str
    title: str = ""

    @property
    def is_changed(self) -> bool:
        """Whether the two say something else of it."""
        return self.before != self.after


@dataclass(frozen=True, slots=True)
class SidePart:
    """What two plans say under one heading."""

    title: str
    rows: tuple[BothSay, ...]


def beside(before: Details, after: Details, *, is_adult: bool) -> list[SidePart]:
    """Two plans, thing by thing: empty where one has no word of it, left out where neither says it."""
    found = []
    ours = {each.title: each.sentences for each in passages(before, is_adult=is_adult)}
    theirs = {each.title: each.sentences for each in passages(after, is_adult=is_adult)}
    for title in dict.fromkeys([*ours, *theirs]):
        one = {each.place: each for each in ours.get(title, ())}
        other = {each.place: each for each in theirs.get(title, ())}
        places = [
            place
            for place in dict.fromkeys([*one, *other])
            if any(place in side and side[place].is_set for side in (one, other))
        ]
        rows = tuple(BothSay(_words(one.get(each)), _words(other.get(each))) for each in places)
        if rows:
            found.append(SidePart(title, rows))
    return found


def _words(sentence: PlanLine | None) -> str:
    return "" if sentence is None else sentence.words
