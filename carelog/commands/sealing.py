"""Copies in and out of envelopes, with this computer's keys and what somebody typed."""

import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from carelog import paths
from carelog.app.backups import SEALED
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.moment import Instant
from carelog.domain.trouble import Refused, Trouble, WrongUse
from carelog.seal import code as codes
from carelog.seal import passphrase as passphrases
from carelog.seal.magic import Opener, is_sealed
from carelog.text import say, say_n

if TYPE_CHECKING:
    from carelog.app.drill import Tried
    from carelog.seal.keyring import Keyring

STANDARD_INPUT = "-"


def keyring(around: Surroundings) -> "Keyring":
    """This computer's keys."""
    from carelog.seal.keyring import Keyring

    return Keyring(around.places.keys)


def has_code(around: Surroundings) -> bool:
    """Whether a recovery code was made or taken in here; `Trouble` when the keys can't be read."""
    return os.path.lexists(around.places.keys) and keyring(around).read() is not None


def make_copy(record: Path, target: Path, around: Surroundings) -> int:
    """A verified copy, encrypted where its name says so; how many entries it holds."""
    if not target.name.endswith(SEALED):
        from carelog.store.backup import back_up

        return back_up(record, target)
    from carelog.store.sealed import seal_copy

    ring = keyring(around).read()
    if ring is None:
        raise Trouble(say("There is no code yet, so no copy was encrypted. Make one: carelog code --new"))
    return seal_copy(record, target, ring.own)


def typed_code(text: str | None, around: Surroundings) -> str:
    """The code that was given with an option or on standard input; empty for None."""
    if text is None:
        return ""
    return codes.read(around.first_line() if text == STANDARD_INPUT else text)


def code_for(copy: Path, given: Given, around: Surroundings) -> str:
    """The code for a copy: the one that was given; on a terminal it is asked for where it is needed."""
    code = typed_code(given.text("code"), around)
    if code or around.ask is None or not is_sealed(copy):
        return code
    return codes.read(around.ask(say("Recovery code: "))) if asks_for(copy, around) is Opener.CODE else code


def asks_for(file: Path, around: Surroundings) -> Opener | None:
    """What has to be typed to open a file here; None for one that isn't encrypted, or opens by itself."""
    if not is_sealed(file):  # the usual file needs nothing of all that
        return None
    from carelog.store.sealed import asks_for as asked

    return asked(file, keyring(around).means())


@contextmanager
def opened_copy(copy: Path, around: Surroundings, code: str = "") -> Iterator[Path]:
    """A copy, out of its envelope where it lies in one; a key that it brought along is kept."""
    if not is_sealed(copy):  # the usual copy needs nothing of all that
        yield copy
        return
    from carelog.store.sealed import unsealed

    keys = keyring(around)
    with unsealed(copy, keys.means(code)) as found:
        keys.learn(found.learnt)
        yield found.path


def restore(copy: Path, target: Path, around: Surroundings, code: str = "") -> int:
    """Make a record from a copy; never over a file that is there. Returns how many entries are back."""
    from carelog.store.backup import restore as bring_back

    with opened_copy(copy, around, code) as file:
        return bring_back(file, target)


def held_up_to(copy: Path, now: Instant, around: Surroundings) -> Instant:
    """Up to when what a copy holds was recorded; 0 when it holds nothing."""
    from carelog.store.backup import held_up_to as up_to

    with opened_copy(copy, around) as file:
        return up_to(file, now)


def opened_by(copy: Path, code: str) -> str:
    """What an encrypted copy holds, opened by this code alone, as it would be on another computer."""
    from carelog.seal.envelope import Means
    from carelog.seal.keys import of_code
    from carelog.store.sealed import unsealed

    with unsealed(copy, Means(code_keys=(of_code(code),))) as found:
        return contents(found.path, copy.name)


def tried(copy: Path, record: Path, around: Surroundings) -> "Tried":
    """Come back from a copy into a private folder: what it would bring, and what of the record it lacks."""
    from carelog.app.drill import Tried
    from carelog.store.backup import examine, lacking
    from carelog.store.backup import restore as bring_back

    with opened_copy(copy, around) as file, paths.scratch() as folder:
        back = folder / "back.carelog"
        count = bring_back(file, back)
        return Tried(count, examine(back).recorded_up_to or 0, lacking(record, back))


def is_good(copy: Path, around: Surroundings) -> bool:
    """Whether a copy can be opened and all of it is as it was written."""
    from carelog.store.backup import examine

    try:
        with opened_copy(copy, around) as file:
            return not examine(file).damage
    except Trouble:
        return False


def contents(file: Path, name: str) -> str:
    """Whose record a copy holds, how many entries, and up to when, in one sentence."""
    from carelog.analysis.home import home_of
    from carelog.analysis.in_force import Reading
    from carelog.analysis.people import person
    from carelog.kinds.person import PERSON
    from carelog.store.opening import open_record

    with closing(open_record(file, installation="", is_only_read=True)) as record:
        who = person(Reading(record.of_kinds([PERSON.name]))).name or record.person().name or say("no name")
        last, count, home = record.last_written(), record.count(), home_of(record)
    if last is None:
        return say("“{copy}” is the record of {who}; it holds no entries.").format(copy=name, who=who)
    words = say_n(
        "“{copy}” is the record of {who}: one entry, of {when}.",
        "“{copy}” is the record of {who}: {count} entries, up to {when}.",
        count,
    )
    when = f"{home.local(last.recorded_at):%Y-%m-%d %H:%M}"
    return words.format(copy=name, who=who, count=count, when=when)


def typed_words(given: Given, around: Surroundings) -> str:
    """The passphrase that was given, or read from standard input; `WrongUse` for one that is too short."""
    text = given.needed("passphrase")
    try:
        return passphrases.read(around.first_line() if text == STANDARD_INPUT else text)
    except Refused as refused:
        raise WrongUse(refused.sentence) from None


@contextmanager
def given_file(file: Path, around: Surroundings, code: str = "", passphrase: str = "") -> Iterator[Path]:
    """A file that somebody gave, out of its envelope where it lies in one; else `Refused`.

    A household's key that it brought along is kept.
    """
    if not is_sealed(file):
        yield file
        return
    from carelog.seal.envelope import FILE
    from carelog.store.sealed import unsealed

    keys = keyring(around)
    with unsealed(file, replace(keys.means(code), passphrase=passphrase or None), FILE) as found:
        keys.learn(found.learnt)
        yield found.path


def given_with(file: Path, around: Surroundings, typed: str) -> AbstractContextManager[Path]:
    """The same, opened by what was typed for it: a recovery code or a passphrase, as the file asks."""
    if asks_for(file, around) is Opener.PASSPHRASE:
        return given_file(file, around, passphrase=typed)
    return given_file(file, around, code=codes.read(typed) if typed else "")
