"""Counts the rows that say what is looked for, in a thread of its own: the first answer waits for nothing."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from carelog.domain.moment import Home, Instant
from carelog.domain.plan import Span
from carelog.kinds import ALL
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.timeline.reader import Place, read_found
from carelog.ui.timeline.rows import TimelineRow, Wanted
from carelog.ui.worker import Worker

if TYPE_CHECKING:
    from carelog.app.ports import Record

PATIENCE = 5  # s
_QUESTION = mark("when was the last")
"""How somebody may begin; what comes after it is looked for."""


@dataclass(frozen=True, slots=True)
class SoughtCount:
    """How many rows say it, the newest of them that isn't struck out, and whether that is all."""

    count: int
    last: TimelineRow | None
    is_done: bool


class Seeker:
    """One count at a time; what nobody waits for any more is stopped."""

    def __init__(self, access: Access, show: Callable[[SoughtCount], None]) -> None:
        self._access = access
        self._show = show
        self._newest = Newest()
        self._stop = threading.Event()
        self._hand: Worker | None = None
        access.when_ending.append(self._end)

    def count(self, wanted: Wanted, home: Home, quiet: Span | None) -> None:
        """Count what these filters let through; the one before is forgotten."""
        self.forget()
        stop = self._stop = threading.Event()
        show = self._newest.ask().only(self._show)

        def job(record: "Record") -> None:
            place, found, last = Place(), 0, None
            while not place.is_done and not stop.is_set():
                rows = read_found(record, place, wanted, home, quiet)
                found += len(rows)
                last = last or next((row for row in rows if not row.is_struck), None)
                counted = SoughtCount(found, last, place.is_done)
                self._access.bridge.call(partial(show, counted))

        if self._hand is None:
            self._hand = Worker("seeker", self._access.bridge, self._access.turn)
        self._access.read(job, lambda _nothing: None, lambda _sentence: None, self._hand)

    def forget(self) -> None:
        """Nobody looks for anything any more."""
        self._stop.set()
        self._newest.forget()

    def _end(self) -> None:
        self._stop.set()
        if self._hand is not None:
            self._hand.end(PATIENCE)


def wanted(typed: str, kinds: frozenset[str], known: frozenset[str]) -> Wanted:
    """What is asked for in the field and by the buttons of kinds; `known`: the initials of who records.

    Who asks for the last of a kind by its name is told of that kind, not of whatever else says these words.
    """
    words = looked_for(typed)
    kind = _kind_named(words) if words != " ".join(typed.split()) else ""
    if kind and (not kinds or kind in kinds):
        return Wanted(frozenset({kind}))
    return Wanted(kinds, words, known.intersection(words.split()))


def _kind_named(words: str) -> str:
    """The kind whose name these words are; empty: none."""
    asked = words.rstrip("?. ").casefold()
    return next((kind.name for kind in ALL if say(kind.title).casefold() == asked), "")


def looked_for(typed: str) -> str:
    """What somebody looks for, also where it is asked as a question."""
    words, question = " ".join(typed.split()).rstrip("?").strip(), say(_QUESTION).casefold()
    return words[len(question) :].strip() if words.casefold().startswith(question) else words


def told(counted: SoughtCount, home: Home, now: Instant) -> str:
    """How many rows there are, and when the last was, in one line."""
    if not counted.count:
        return say("No row has these words or kinds") if counted.is_done else say("Looking …")
    count = say_n("One row", "{count} rows", counted.count).format(count=counted.count)
    if not counted.is_done:
        count = say("{rows} so far").format(rows=count)
    row = counted.last
    if row is None:
        return say("{rows}, struck out").format(rows=count)
    what = ", ".join(part for part in (row.title, row.line, row.who) if part)
    time = times.near(home, row.time, now)
    words = say("{rows}. The last: {time}, {ago}: {what}")
    return words.format(rows=count, time=time, ago=times.ago(row.time, now), what=what)
