"""What was done about a flag, in words: who looked at it, who was told, what they said."""

from collections.abc import Callable, Iterable, Iterator

from carelog.analysis.flags.once import said_once
from carelog.analysis.flags.slip import without_slips
from carelog.analysis.in_force import Held
from carelog.analysis.marks import who
from carelog.analysis.week import Review
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Instant
from carelog.text import mark, say


def flags_of(review: Review, flags: Iterable[Flag]) -> list[Flag]:
    """The flags in force at any moment of the days: what is still there, then the rest, each by its level.

    What is listed and what is counted are these.
    """
    span = review.period
    found = (
        flag
        for flag in without_slips(said_once(flags), review.reading)
        if flag.raised_at < span.judged and (flag.cleared_at is None or flag.cleared_at > span.start)
    )
    return sorted(found, key=lambda flag: (flag.cleared_at is not None, flag.place, -flag.raised_at))


def done_words(
    flag: Flag,
    looked: Callable[[str], Held | None],
    when: Callable[[Instant], str],
    *,
    is_untold_said: bool = False,
) -> Iterator[str]:
    """A line for each time somebody looked, with the word that they gave; `looked` finds these by their ids.

    `is_untold_said`: that nobody told anyone is said already.
    """
    for each in flag.seen:
        held = looked(each)
        if held is None:
            continue
        details = held.entry.details
        told = say(mark(", told {whom}")).format(whom=details["told"]) if details.get("told") else ""
        note = f" “{held.entry.note.strip()}”" if held.entry.note.strip() else ""
        yield say(mark("Seen {time} by {by}{told}{note}")).format(
            time=when(held.time), by=who(held.first.by), told=told, note=note
        )
    if not flag.seen and not flag.called and not is_untold_said and flag.level is not Level.NOTE:
        yield say(mark("Nobody wrote down that they looked or told anyone."))
