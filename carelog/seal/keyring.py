"""The keys of this household on this computer: one file in the config folder, for this user alone."""

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from carelog import paths
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble
from carelog.seal import code as codes
from carelog.seal import keys
from carelog.seal.envelope import HOME, Household, Means
from carelog.text import mark, say

VERSION = 1

UNREADABLE = mark(
    "The file of this household's key, “{file}”, can't be read. Move it away, then type the recovery code in "
    "once more: carelog code --enter"
)
NEWER = mark("The file of this household's key, “{file}”, was written by a newer carelog. Use that one.")
NOT_KEPT = mark("The household's key couldn't be saved: {cause}. Nothing was changed.")


@dataclass(frozen=True, slots=True)
class Ring:
    """The household's own key, since when copies are encrypted, and what else opens its copies."""

    own: Household
    since: Instant
    others: tuple[Household, ...] = ()  # keys of its other computers, and codes that were in use before
    more: Mapping[str, Any] = field(default_factory=dict)  # what a newer carelog added

    def means(self, code: str = "") -> Means:
        """All that this computer can open envelopes with, and a code that was typed."""
        return Means((self.own, *self.others), (keys.of_code(code),) if code else ())

    def knows(self, other: Household) -> bool:
        """Whether a household's key and code are among these."""
        return other in (self.own, *self.others)


class Keyring:
    """The file; it is written whole or not at all, and never leaves the computer."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> Ring | None:
        """The keys; None while no code was ever made or typed in here. `Trouble` when they can't be read."""
        try:
            found = json.loads(paths.read_kept(self.path, is_followed=True))
            if found["version"] > VERSION:
                raise Trouble(say(NEWER).format(file=self.path))
            return _ring(found)
        except FileNotFoundError:
            return None
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
            raise Trouble(say(UNREADABLE).format(file=self.path)) from error

    def means(self, code: str = "") -> Means:
        """What opens envelopes on this computer; where nothing was ever made, the typed code alone."""
        ring = self.read()
        return ring.means(code) if ring else Means(code_keys=(keys.of_code(code),) if code else ())

    def take(self, code: str, now: Instant) -> Ring:
        """Encrypt copies from now on so that this code opens them, too; keys that are here stay.

        The first code makes the household's key. With each later one, copies of before stay open here, and
        open elsewhere by the code of their time.
        """
        ring, code_key = self.read(), keys.of_code(code)
        if ring is None:
            made = Household(os.urandom(HOME), os.urandom(keys.SIZE), code_key)
            return self._write(Ring(made, now))
        if ring.own.code_key == code_key:
            return ring
        others = (ring.own, *ring.others)
        return self._write(replace(ring, own=replace(ring.own, code_key=code_key), others=others))

    def learn(self, other: Household | None) -> None:
        """Keep a key of the same household that an envelope brought along."""
        ring = self.read()
        if other is not None and ring is not None and not ring.knows(other):
            self._write(replace(ring, others=(*ring.others, other)))

    def _write(self, ring: Ring) -> Ring:
        written = {
            **ring.more,
            "version": VERSION,
            "since": ring.since,
            "own": _written(ring.own),
            "others": [_written(each) for each in ring.others],
        }
        try:
            paths.make_private(self.path.parent)
            paths.replace_private(self.path, json.dumps(written, indent=1).encode())
        except OSError as error:
            raise Trouble(say(NOT_KEPT).format(cause=error.strerror)) from error
        return ring


def new_code() -> str:
    """A new recovery code, without spaces."""
    return codes.make()


def _ring(found: Mapping[str, Any]) -> Ring:
    more = {name: found[name] for name in found.keys() - {"version", "since", "own", "others"}}
    others = tuple(_household(each) for each in found["others"])
    return Ring(_household(found["own"]), int(found["since"]), others, more)


def _household(found: Mapping[str, str]) -> Household:
    home, key, code_key = (bytes.fromhex(found[name]) for name in ("home", "key", "code_key"))
    if (len(home), len(key), len(code_key)) != (HOME, keys.SIZE, keys.SIZE):
        raise ValueError
    return Household(home, key, code_key)


def _written(household: Household) -> dict[str, str]:
    return {
        "home": household.home.hex(),
        "key": household.key.hex(),
        "code_key": household.code_key.hex(),
    }
