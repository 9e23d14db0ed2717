"""Automatic copies of a record: when the next is due, where it goes, which of the old ones stay."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from carelog import paths
from carelog.app.ports import Clock, PersonHeading
from carelog.domain.moment import DAY_24_H, Home, Instant, Moment
from carelog.domain.trouble import Trouble
from carelog.text import say

BackUp = Callable[[Path, Path], object]
"""Make a verified copy of the record at the first path as the second, whole or not at all; else `Trouble`."""

LAST, DAILY, WEEKLY, MONTHLY = 10, 14, 8, 24
SIZE_CAP = 2 * 1024**3  # bytes of all copies of one record together
ALWAYS_KEPT = 3  # the newest ones stay whatever their size
_UTC = Home("UTC")
_NAME = re.compile(r"([0-9a-f]{8})-(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)Z\.carelog", re.ASCII)


@dataclass(frozen=True, slots=True)
class Kept:
    """One copy: where, of which moment, how large in bytes."""

    path: Path
    made_at: Instant
    size: int


class Backups:
    """The copies of one record in one folder (the data folder's `backups`, or one on a second medium).

    `make` at exit and, while `is_due`, once a day; `kept` names them, newest first. File names hold eight
    digits of the person's id and the time, never a name.
    """

    def __init__(
        self, record: Path, person: PersonHeading, folder: Path, back_up: BackUp, clock: Clock
    ) -> None:
        self.folder = folder
        self._record = record
        self._person = person
        self._back_up = back_up
        self._clock = clock

    def kept(self) -> list[Kept]:
        """This record's copies, newest first; empty when the folder can't be read."""
        return [each for each in kept_in(self.folder) if each.path.name.startswith(_mark(self._person))]

    def is_due(self) -> bool:
        """Whether 24 h have passed since the newest copy (or the clock has gone back before it)."""
        newest = next(iter(self.kept()), None)
        return newest is None or not 0 <= self._clock.now() - newest.made_at < DAY_24_H

    def make(self) -> Kept:
        """Make a verified copy, then let those go that no longer count; `Trouble` when there is none."""
        now = self._clock.now()
        try:
            paths.make_private(self.folder)
        except OSError as error:
            raise Trouble(
                say("No copy was made: the folder “{folder}” can't be used ({cause}).").format(
                    folder=self.folder, cause=error.strerror
                )
            ) from error
        target = self.folder / name_of(self._person, now)
        if not target.exists():  # two in one second are one
            self._back_up(self._record, target)
        self._thin()
        return Kept(target, now, target.stat().st_size)

    def _thin(self) -> None:
        kept = self.kept()
        wanted = worth_keeping([each.made_at for each in kept])
        total = 0
        for number, each in enumerate(kept):
            total += each.size
            if number < ALWAYS_KEPT or (each.made_at in wanted and total <= SIZE_CAP):
                continue
            try:
                each.path.unlink(missing_ok=True)
            except OSError:
                return  # a copy too many harms nobody; the next time it is tried again


def kept_in(folder: Path) -> list[Kept]:
    """All copies in a folder, of whomever, newest first; empty when it can't be read."""
    try:
        found = [_kept(path) for path in folder.iterdir()]
    except OSError:
        return []
    return sorted((each for each in found if each), key=lambda each: each.made_at, reverse=True)


def worth_keeping(made: Iterable[Instant]) -> set[Instant]:
    """Of copies made at these instants: the last 10, one of each of 14 days, 8 weeks, 24 months."""
    newest_first = sorted(made, reverse=True)
    days = [_UTC.day(each) for each in newest_first]
    return {
        *newest_first[:LAST],
        *_newest_of_each(newest_first, days, lambda day: day, DAILY),
        *_newest_of_each(newest_first, days, lambda day: day.isocalendar()[:2], WEEKLY),
        *_newest_of_each(newest_first, days, lambda day: (day.year, day.month), MONTHLY),
    }


def _newest_of_each(
    made: Sequence[Instant], days: Sequence[date], span: Callable[[date], object], count: int
) -> list[Instant]:
    found: dict[object, Instant] = {}
    for instant, day in zip(made, days, strict=True):
        found.setdefault(span(day), instant)
    return list(found.values())[:count]


def name_of(person: PersonHeading, now: Instant) -> str:
    """What a copy made now is called: eight digits of the person's id, and the time."""
    return f"{_mark(person)}-{_UTC.local(now):%Y-%m-%dT%H-%M-%S}Z.carelog"


def _mark(person: PersonHeading) -> str:
    return person.id[:8].lower()


def _kept(path: Path) -> Kept | None:
    found = _NAME.fullmatch(path.name)
    if not found:
        return None
    try:
        made = Moment.read(f"{found[2]}T{found[3]}:{found[4]}:{found[5]}Z").instant
        return Kept(path, made, path.stat().st_size)
    except (Trouble, OSError):
        return None
