"""Automatic copies of a record: when the next is due, where it goes, which of the old ones stay."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from carelog import paths
from carelog.app.ports import Clock, PersonHeading
from carelog.domain.moment import DAY_24_H, MINUTE, Home, Instant, Moment
from carelog.domain.trouble import Trouble
from carelog.text import say

BackUp = Callable[[Path, Path], object]
"""Make a verified copy of the record at the first path as the second, whole or not at all; else `Trouble`."""

LAST, DAILY, WEEKLY, MONTHLY = 10, 14, 8, 24
SIZE_CAP = 2 * 1024**3  # bytes of all copies of one record together
ALWAYS_KEPT = 3  # the newest ones stay whatever their size
_UTC = Home("UTC")
SEALED = ".sealed"  # the end of an encrypted copy's name
DOUBT = 15 * MINUTE  # a copy that is dated further ahead says nothing about when it was made
_NAME = re.compile(
    r"([0-9a-f]{8})(?:-([0-9a-f]{8}))?-(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)Z(?:-\d+)?\.carelog(\.sealed)?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Kept:
    """One copy: where, of which moment by the clock of its computer, how large in bytes, and whose."""

    path: Path
    made_at: Instant
    size: int
    person: str  # eight digits of the person's id
    installation: str  # eight digits of the id of the computer that made it; empty: not known
    is_sealed: bool = False  # in an envelope, by its name


class Backups:
    """The copies of one record in one folder (the data folder's `backups`, or one on a second medium).

    `make` at exit and, while `is_due`, once a day; `kept` names them, newest first. File names hold eight
    digits of the person's id, eight of this installation's, and the time, never a name: the copies of two
    computers on one stick are told apart, and neither counts or removes the other's.
    """

    def __init__(
        self,
        record: Path,
        person: PersonHeading,
        folder: Path,
        back_up: BackUp,
        clock: Clock,
        installation: str,
        is_sealed: bool = False,
        is_good: Callable[[Path], bool] = lambda _copy: True,
    ) -> None:
        """`is_sealed`: `back_up` makes encrypted copies; `is_good` opens one and says if it is whole."""
        self.folder = folder
        self._record = record
        self._person = person
        self._back_up = back_up
        self._clock = clock
        self._installation = installation
        self._is_sealed = is_sealed
        self._is_good = is_good

    def kept(self) -> list[Kept]:
        """This record's copies by this computer, newest first; empty when the folder can't be read.

        Those that are dated ahead of now are left out, and so are never removed.
        """
        last = self.latest()
        person, ours = _mark(self._person.id), ("", _mark(self._installation))
        return [
            each
            for each in kept_in(self.folder)
            if each.person == person and each.installation in ours and each.made_at <= last
        ]

    def latest(self) -> Instant:
        """Until when a date is believed; one further ahead was written by a clock that was wrong."""
        return self._clock.now() + DOUBT

    def newest(self) -> Kept | None:
        """The newest of them."""
        return next(iter(self.kept()), None)

    def is_due(self) -> bool:
        """Whether 24 h have passed since the newest copy."""
        newest = self.newest()
        return newest is None or self._clock.now() - newest.made_at >= DAY_24_H

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
        target = self.folder / name_of(self._person, self._installation, now, self._is_sealed)
        if not target.exists():  # two in one second are one
            self._back_up(self._record, target)
        self._thin()
        found = kept(target)
        if found is None:
            raise Trouble(say("The copy “{name}” is gone again.").format(name=target.name))
        return found

    def _thin(self) -> None:
        """Let go of those that no longer count, each only once the copy that stands for it was opened."""
        there = self.kept()
        wanted = worth_keeping([each.made_at for each in there])
        total = 0
        stays: Kept | None = None
        is_good: bool | None = True  # None: the one that stays wasn't opened yet
        for number, each in enumerate(there):
            total += each.size
            if number < ALWAYS_KEPT or (each.made_at in wanted and total <= SIZE_CAP):
                stays, is_good = each, None
                continue
            if is_good is None:
                is_good = stays is None or self._is_good(stays.path)
            if not is_good:  # then this one stands in its place
                stays, is_good = each, None
                continue
            try:
                each.path.unlink(missing_ok=True)
            except OSError:
                return  # a copy too many harms nobody; the next time it is tried again


def kept_in(folder: Path) -> list[Kept]:
    """All copies in a folder, of whomever, newest first; empty when it can't be read."""
    try:
        found = [kept(path) for path in folder.iterdir()]
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


def name_of(person: PersonHeading, installation: str, now: Instant, is_sealed: bool = False) -> str:
    """What a copy made now is called: eight digits of the person's id, eight of this computer's, the time."""
    marks = [_mark(each) for each in (person.id, installation) if each]
    ending = SEALED if is_sealed else ""
    return f"{'-'.join(marks)}-{_UTC.local(now):%Y-%m-%dT%H-%M-%S}Z.carelog{ending}"


def is_copy(path: Path) -> bool:
    """Whether a file is called as copies are: nobody goes on writing in one."""
    return _NAME.fullmatch(path.name) is not None


def _mark(identity: str) -> str:
    return identity[:8].lower()


def kept(path: Path) -> Kept | None:
    """What the name and size of a copy say; None for any other file."""
    found = _NAME.fullmatch(path.name)
    if not found:
        return None
    try:
        made = Moment.read(f"{found[3]}T{found[4]}:{found[5]}:{found[6]}Z").instant
        return Kept(path, made, path.stat().st_size, found[1], found[2] or "", bool(found[7]))
    except (Trouble, OSError):
        return None
