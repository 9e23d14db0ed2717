"""Coming home: what must be there and who brings it, who was shown each task and has done it alone.

The lists only suggest what to write down; each household, with its ward, arranges what it needs, and local
practice comes first. Things: SickKids family pages and St George's emergency equipment (FOUND). Tasks, and
that each carer shows them before discharge: clinical consensus statement on tracheostomy care, Mitchell et
al., Otolaryngol Head Neck Surg 2013;148:6-20 (MEMORY). What is marked so is common practice, no source. The
sentences are ours.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.people import recorders
from carelog.analysis.times import month_day
from carelog.analysis.tube import tube_in_place
from carelog.domain.entry import Details
from carelog.domain.moment import Home, Instant
from carelog.kinds.arrangement import ARRANGEMENT
from carelog.kinds.training import TRAINING
from carelog.text import mark, say

THINGS = (
    mark("suction machine with a battery"),
    mark("a second way to suction, no mains"),
    mark("suction catheters, tubing, canister"),
    mark("spare-tube box, packed"),
    mark("inner tubes, cleaning things"),
    mark("HME, nebuliser or humidifier"),
    mark("ties, dressings, gloves"),
    mark("cuff pressure gauge"),
    mark("who delivers more, and how soon"),
    mark("care plan, written and signed"),
    mark("numbers for day, night, emergency"),
    # Common practice, no source, from here on:
    mark("power company and ambulance told"),
    mark("first visit of the nurse"),
    mark("date of the next tube change"),
)
TASKS = (
    mark("inner tube"),
    mark("suction"),
    mark("cuff"),
    mark("stoma"),
    mark("ties"),
    mark("tube out"),
    mark("tube change, if theirs"),
    mark("power cut"),
)
SOURCES = mark(
    "Things: from SickKids family pages and from St George's list of what is needed at once. Tasks: from "
    "what experts said in 2013. The rest is how it is often done."
)
_NEEDS = {
    "inner tube": ("inner_tube", ("none",)),
    "inner tubes, cleaning things": ("inner_tube", ("none",)),
    "cuff": ("cuff", ("none",)),
    "cuff pressure gauge": ("cuff", ("none", "water", "foam")),
}
"""What is only for a tube that has it: the field of the tube, and the values by which it hasn't."""


@dataclass(frozen=True, slots=True)
class Arranged:
    """One thing to be arranged, field by field as said last; `said` is the newest entry about it."""

    what: str
    who: str = ""
    by: date | None = None
    done: Held | None = None
    said: Held | None = None

    def is_late(self, today: date) -> bool:
        """Whether its day has passed and nobody said that it is done."""
        return self.done is None and self.by is not None and self.by < today


@dataclass(frozen=True, slots=True)
class Trained:
    """What somebody was shown of a task, and whether they did it alone; each with the entry that says so."""

    task: str
    who: str
    shown: Held | None = None
    alone: Held | None = None
    again_by: date | None = None

    @property
    def shown_by(self) -> str:
        """Who showed it; empty where nobody said."""
        return str(self.shown.entry.details.get("shown_by", "")) if self.shown else ""

    def is_to_be_seen_again(self, today: date) -> bool:
        """Whether the day has passed by which somebody was to look at it again."""
        return self.again_by is not None and self.again_by < today


@dataclass(frozen=True, slots=True)
class Homecoming:
    """Both lists: first what was written down, then what is suggested and nobody said anything about."""

    today: date
    home: Home
    arranged: tuple[Arranged, ...]
    trained: tuple[tuple[str, tuple[Trained, ...]], ...]
    """Each task with the people of whom something is recorded."""
    people: tuple[str, ...]
    """Who learns: who is named in a training, then those who record and aren't nurses."""

    @property
    def open(self) -> tuple[Arranged, ...]:
        """What isn't there by what was recorded, what has a day first."""
        waiting = [each for each in self.arranged if each.done is None]
        return tuple(sorted(waiting, key=lambda each: (each.said is None, each.by or date.max)))

    @property
    def there(self) -> tuple[Arranged, ...]:
        """What somebody said is there or done."""
        return tuple(each for each in self.arranged if each.done is not None)


def homecoming(reading: Reading, now: Instant) -> Homecoming:
    """The lists by the entries read, at a moment."""
    held = tube_in_place(reading, now)
    tube = held.entry.details if held is not None else None
    learnt = list(_trained(reading.home, reading.of(TRAINING.name)))
    tasks = _named((each.task for each in learnt), _for_tube(TASKS, tube))
    return Homecoming(
        today=reading.home.day(now),
        home=reading.home,
        arranged=tuple(_arranged(reading, _for_tube(THINGS, tube))),
        trained=tuple((task, tuple(e for e in learnt if _same(e.task, task))) for task in tasks),
        people=tuple(_people(reading, learnt)),
    )


def _for_tube(names: Sequence[str], tube: Details | None) -> list[str]:
    """The suggested ones, without what the tube in place hasn't got; all of them where none is recorded."""
    found = []
    for name in names:
        field, values = _NEEDS.get(name, ("", ()))
        if tube is None or tube.get(field) not in values:
            found.append(say(name))
    return found


def _same(one: str, other: str) -> bool:
    return one.strip().casefold() == other.strip().casefold()


def _named(written: Iterable[str], suggested: Sequence[str]) -> list[str]:
    """The suggested ones in their order, then the household's own as they came."""
    found = list(suggested)
    for each in written:
        if not any(_same(each, other) for other in found):
            found.append(each.strip())
    return found


def _arranged(reading: Reading, suggested: Sequence[str]) -> Iterator[Arranged]:
    written = reading.of(ARRANGEMENT.name)
    for what in _named((held.entry.details["what"] for held in written), suggested):
        found = Arranged(what)
        for held in written:
            if _same(held.entry.details["what"], what):
                found = _said(found, held)
        yield found


def _said(before: Arranged, held: Held) -> Arranged:
    details = held.entry.details
    done = before.done
    if "done" in details:
        done = held if details["done"] else None
    return replace(
        before,
        who=str(details.get("who", before.who)),
        by=date.fromisoformat(details["by"]) if "by" in details else before.by,
        done=done,
        said=held,
    )


def _trained(home: Home, written: Sequence[Held]) -> Iterator[Trained]:
    found: dict[tuple[str, str], Trained] = {}
    for held in written:
        details = held.entry.details
        key = details["task"].strip().casefold(), details["who"].strip().casefold()
        before = found.get(key, Trained(details["task"].strip(), details["who"].strip()))
        is_shown = "shown_by" in details or "done_alone" not in details
        alone = before.alone
        if "done_alone" in details:
            alone = held if details["done_alone"] else None
        found[key] = replace(
            before,
            shown=held if is_shown else before.shown,
            alone=alone,
            again_by=_again(before.again_by, details, home.day(held.time)),
        )
    yield from found.values()


def _again(before: date | None, details: Details, day: date) -> date | None:
    """By when it is to be looked at again; once that was done, on that day or later, a new one is needed."""
    if "again_by" in details:
        return date.fromisoformat(details["again_by"])
    return None if before is not None and day >= before else before


def _people(reading: Reading, learnt: Sequence[Trained]) -> Iterator[str]:
    known: list[str] = []
    recorded = [
        str(held.entry.details.get("name") or held.entry.details["initials"])
        for held in recorders(reading)
        if held.entry.details.get("role") != "nurse"
    ]
    for each in (*(each.who for each in learnt), *recorded):
        if not any(_same(each, other) for other in known):
            known.append(each)
            yield each


def arranged_words(each: Arranged, today: date) -> str:
    """Who brings it, by when; empty where neither is recorded."""
    parts = [each.who]
    if each.by is not None:
        by = mark("was to be there by {day}") if each.is_late(today) else mark("by {day}")
        parts.append(say(by).format(day=month_day(each.by)))
    return ", ".join(part for part in parts if part)


def trained_words(lists: Homecoming, each: Trained) -> str:
    """Who was shown it when and by whom, whether they did it alone, when it is to be looked at again."""
    parts = [each.who]
    if each.shown is not None:
        shown = mark("shown {day} by {who}") if each.shown_by else mark("shown {day}")
        day = month_day(lists.home.day(each.shown.time))
        parts.append(say(shown).format(day=day, who=each.shown_by))
    if each.alone is not None:
        parts.append(say(mark("alone {day}")).format(day=month_day(lists.home.day(each.alone.time))))
    else:
        parts.append(say(mark("alone: not recorded")))
    if each.again_by is not None:
        again = (
            mark("again was due {day}") if each.is_to_be_seen_again(lists.today) else mark("again by {day}")
        )
        parts.append(say(again).format(day=month_day(each.again_by)))
    return ", ".join(parts)
