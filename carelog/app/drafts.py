"""What was typed or pressed and isn't saved yet: one private file a record, its space kept from the start."""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, TypeVar

from carelog import paths
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import Instant, Moment
from carelog.domain.trouble import Trouble
from carelog.text import mark, say

Kind = TypeVar("Kind")

_WHOLE = ("", "")
SLOT = 32 * 1024  # bytes; two of them lie in the file, written in turn
VERSION = 1
MOST = 1 << 30  # bytes; a draft that can't be read is set aside, so no long one may count as such

OTHER_VERSION = mark(
    "Something that was typed or pressed before can't be read by this carelog. It was set aside as {file}."
)
OTHER_PERSON = mark(
    "Something that was typed or pressed before was about another person. It was set aside as {file}."
)


@dataclass(frozen=True, slots=True)
class FormDraft:
    """One form as it stood, valid or not."""

    kind: str
    typed: Mapping[str, Json]  # as the window likes to keep it
    note: str = ""
    reason: str = ""
    amends: str = ""  # the id of the entry that it changes
    tried: Entry | None = None  # what a save that failed had held
    more: Mapping[str, Json] = field(default_factory=dict)  # what a newer carelog kept beside it


@dataclass(frozen=True, slots=True)
class Draft:
    """The forms as they stood, and the presses that weren't saved yet."""

    record: str  # the record file's path
    person: str = ""  # the id of the person it is about; empty while nobody knows
    forms: tuple[FormDraft, ...] = ()
    presses: tuple[Entry, ...] = ()
    written_at: Instant = 0  # set by `DraftFile.write`
    more: Mapping[str, Json] = field(default_factory=dict)  # what a newer carelog kept beside it

    def __bool__(self) -> bool:
        return bool(self.forms or self.presses)


class Unknown(Exception):
    """A draft that isn't of this version, or isn't what one looks like."""


class DraftFile:
    """The file of one record's open forms and unsaved presses.

    `open` when a form opens (reserves the space), `write` at most 2 s after a key and at each page change,
    `throw_away` once all of it is saved or given up, `read` at the next start. Each raises `Trouble` when the
    disk doesn't take it: then the form stays open and says so. What `read` can't take is never overwritten:
    `set_aside` renames it.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._turn = 0
        self._more: dict[tuple[str, str], Mapping[str, Json]] = {}
        """What a newer carelog kept beside a form (by its kind and what it changes), or the whole."""

    def open(self) -> None:
        """Reserve the space, so that a disk that fills up later still takes the draft."""
        kept = list(_slots(self.path))
        if kept:
            self._turn = max(turn for turn, _ in kept)
            return
        try:
            self._lay_out(SLOT, b"")
        except OSError as error:
            raise _trouble(error) from error

    def write(self, draft: Draft, now: Instant) -> None:
        """Keep the form as it stands now; the one kept before stays whole until this one is."""
        self._turn += 1
        draft = self._with_more(draft)
        slot = _slot(self._turn, draft, now)
        try:
            size = self.path.stat().st_size // 2 if self.path.exists() else 0
            if len(slot) >= size:
                self._lay_out(max(SLOT, 1 << len(slot).bit_length()), slot)
            else:
                self._overwrite(slot, size)
        except OSError as error:
            raise _trouble(error) from error

    def read(self) -> Draft | None:
        """The newest draft that is whole; None when there is none, `Unknown` when it can't be taken."""
        kept = list(_slots(self.path))
        if not kept:
            if _is_blank(self.path):
                return None
            raise Unknown
        turn, found = max(kept, key=lambda each: each[0])
        self._turn = max(self._turn, turn)
        draft = _draft(found)
        self._more = {_WHOLE: draft.more} | {(each.kind, each.amends): each.more for each in draft.forms}
        return draft

    def set_aside(self) -> Path | None:
        """Rename the file, so that nothing writes over it; its new name, None when there is no file."""
        number = 1
        while os.path.lexists(new := self.path.with_suffix(f".aside-{number}.json")):
            number += 1
        try:
            self.path.rename(new)
        except FileNotFoundError:
            return None
        except OSError as error:
            raise _trouble(error) from error
        return new

    def throw_away(self) -> None:
        """Remove the draft, saved or given up."""
        try:
            self.path.unlink(missing_ok=True)
        except OSError as error:
            raise _trouble(error) from error

    def _with_more(self, draft: Draft) -> Draft:
        """The draft with what isn't known here but was read beside it."""
        forms = tuple(
            each if each.more else replace(each, more=self._more.get((each.kind, each.amends), {}))
            for each in draft.forms
        )
        return replace(draft, forms=forms, more=draft.more or self._more.get(_WHOLE, {}))

    def _overwrite(self, slot: bytes, size: int) -> None:
        # In place, in the slot that doesn't hold the newest draft: needs no new room on the disk.
        with paths.open_private(self.path, "r+b") as file:
            file.seek(size * (self._turn % 2))
            file.write(slot.ljust(size - 1) + b"\n")
            file.flush()
            os.fsync(file.fileno())

    def _lay_out(self, size: int, slot: bytes) -> None:
        halves = [b" " * (size - 1) + b"\n"] * 2
        if slot:
            halves[self._turn % 2] = slot.ljust(size - 1) + b"\n"
        paths.make_private(self.path.parent)
        paths.replace_private(self.path, b"".join(halves))


def of_moved(folder: Path, person: str) -> DraftFile | None:
    """The draft about a person whose record isn't where it was: somebody moved or renamed the file."""
    for path in sorted(folder.glob("*.json")):
        file = DraftFile(path)
        try:
            draft = None if ".aside-" in path.name else file.read()
        except Unknown:
            continue
        if draft and draft.person == person and person and not os.path.lexists(draft.record):
            return file
    return None


def _slot(turn: int, draft: Draft, now: Instant) -> bytes:
    kept = asdict(replace(draft, written_at=now))
    for each in (kept, *kept["forms"]):
        each |= each.pop("more")  # beside the others, where it came from
    text = json.dumps(kept)
    return json.dumps({"version": VERSION, "turn": turn, "mark": _mark(text), "draft": text}).encode()


def _slots(path: Path) -> Iterator[tuple[int, Mapping[str, Any]]]:
    """The slots that are whole, of whatever version, and their turns."""
    try:
        lines = paths.read_kept(path, most=MOST).split(b"\n")
    except OSError:
        return
    for line in lines:
        try:
            slot = json.loads(line)
            if _mark(slot["draft"]) == slot["mark"]:
                yield int(slot["turn"]), slot
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            continue


def _is_blank(path: Path) -> bool:
    """Whether there is nothing in a file but the room that was kept for a draft, or there is no file."""
    try:
        return not paths.read_kept(path, most=MOST).strip()
    except FileNotFoundError:
        return True
    except OSError:
        return False


def _draft(slot: Mapping[str, Any]) -> Draft:
    if slot.get("version") != VERSION:
        raise Unknown
    try:
        found = json.loads(slot["draft"])
        forms = tuple(_form(each) for each in found.pop("forms"))
        return _made(Draft, {**found, "forms": forms, "presses": tuple(map(_entry, found.pop("presses")))})
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise Unknown from None


def _form(kept: Mapping[str, Any]) -> FormDraft:
    tried = kept["tried"]
    found = _made(FormDraft, {**kept, "tried": None if tried is None else _entry(tried)})
    if not isinstance(found.typed, dict):
        raise TypeError
    return found


def _entry(kept: Mapping[str, Any]) -> Entry:
    moment = _made(Moment, kept["at"])
    entry = _made(Entry, {**kept, "at": moment})
    if not isinstance(entry.details, dict) or not isinstance(entry.amends, str | None):
        raise TypeError
    return entry


def _made(kind: type[Kind], kept: Mapping[str, Any]) -> Kind:
    """A value of a class from its kept fields, texts and numbers in place.

    What a newer carelog kept beside them goes into `more`, where there is one; what an older one didn't keep
    yet stands at its default.
    """
    declared = {each.name: each for each in fields(kind)}  # type: ignore[arg-type]
    unknown = {name: value for name, value in kept.items() if name not in declared}
    known = {name: value for name, value in kept.items() if name in declared}
    if unknown and "more" not in declared:
        raise TypeError
    if unknown:
        known["more"] = {**known.get("more", {}), **unknown}
    for name, each in declared.items():
        if name not in known:
            if "more" not in declared or (each.default is MISSING and each.default_factory is MISSING):
                raise TypeError
        elif each.type in (str, int, bool) and type(known[name]) is not each.type:
            raise TypeError
    return kind(**known)


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _trouble(error: OSError) -> Trouble:
    cause = error.strerror or str(error)
    return Trouble(
        say("What you typed can't be kept on the disk ({cause}). Save it or leave the form open.").format(
            cause=cause
        )
    )
