"""The made-up household's record: kept while it is up to date, made anew, never in place of anything else."""

import os
from collections.abc import Callable
from datetime import time, timedelta
from pathlib import Path

from carelog import paths
from carelog.analysis.in_force import Reading
from carelog.analysis.people import person
from carelog.app.demo import FULL_WEEKS, demo_entries, demo_home, demo_person
from carelog.commands import records
from carelog.commands.surroundings import Surroundings
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, MINUTE, Home, Instant, Week
from carelog.domain.trouble import Refused, Trouble, WrongUse
from carelog.text import say, say_n


def keep_or_make(
    path: Path, until: Instant | None, around: Surroundings, tell: Callable[[str], None]
) -> None:
    """A made-up record that is up to date stays; an older one, or none, is made anew; others are refused.

    `tell` is given the sentence for one that somebody wrote in, which is kept aside.
    """
    now = minute_of(until, around)
    if os.path.lexists(path):
        end, own = _invented(path, around)
        if now - end <= DAY_24_H and (until is None or end <= now):
            return
        if own:
            tell(_kept_aside(path, own, now))
    try:
        entries = demo_entries(now)
    except (ValueError, OverflowError):  # twelve weeks before the first day there is
        raise WrongUse(say("The made-up days can't end then; choose a year nearer to now.")) from None
    _make(path, entries, around)


def minute_of(until: Instant | None, around: Surroundings) -> Instant:
    """The moment asked for, else now, to the minute."""
    return (around.clock.now() if until is None else until) // MINUTE * MINUTE


def _kept_aside(path: Path, own: int, now: Instant) -> str:
    """Set a made-up record aside that somebody wrote something of their own into; the sentence for it."""
    from carelog.store.backup import set_aside

    aside = set_aside(path, f"{Home('UTC').local(now):%Y-%m-%dT%H-%M-%SZ}", "before")
    words = say_n(
        "One entry was added to the made-up record. It is kept as {file}.",
        "{count} entries were added to the made-up record. It is kept as {file}.",
        own,
    )
    return words.format(count=own, file=aside)


def _invented(path: Path, around: Surroundings) -> tuple[Instant, int]:
    """When the record at a path was last written to, and how many entries in it aren't the demo's.

    `Refused` unless it says that it is made up.
    """
    with records.opened(path, around) as record:
        entries = record.everything()
    if person(Reading(entries)).invented is not True:
        raise Refused(
            say(
                "“{name}” isn't a made-up household's record; it was left as it is. Name another file."
            ).format(name=path.name)
        )
    last_week = Week.of(demo_home().day(entries[0].at.instant)).monday() + timedelta(weeks=FULL_WEEKS)
    try:
        made = {each.id for each in demo_entries(demo_home().at(last_week + timedelta(days=6), time(23, 59)))}
    except (ValueError, OverflowError):  # before the first day there is, or after the last
        made = set()
    return max(each.recorded_at for each in entries), sum(each.id not in made for each in entries)


def _make(path: Path, entries: list[Entry], around: Surroundings) -> None:
    from carelog.store.birth import put_in_place_of

    folder = path.parent
    try:
        if path == around.places.demo:
            paths.make_private(folder)
        elif not folder.is_dir():
            words = say("There is no folder “{folder}”. Make it, or name another file.")
            raise Trouble(words.format(folder=folder))
        new = folder / f".{path.name}.new-{os.urandom(6).hex()}"
        try:
            with records.made(new, demo_person(), around) as record:
                record.append(entries)
            put_in_place_of(new, path)
        finally:
            new.unlink(missing_ok=True)
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be written: {cause}.").format(file=path, cause=error.strerror)
        ) from error
