"""Reading one line of an exchange file, or of a stream; every refusal is one plain sentence."""

import hashlib
import json
import uuid
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from io import BufferedIOBase
from typing import BinaryIO, NoReturn

from carelog.domain.entry import LIVE, SOURCES, Details, Entry, Json, is_uuid, line
from carelog.domain.field import Reference
from carelog.domain.moment import Instant, Moment, has_zone_form, is_writable
from carelog.domain.number import settle
from carelog.domain.record import PersonHeading
from carelog.domain.trouble import AnotherPerson, Refused
from carelog.kinds import ALL, kind_named
from carelog.text import mark, say

FORMAT = "carelog-exchange"
VERSION = 1
LONGEST = 4 * 1024 * 1024
DEEPEST = 32
WITHOUT_ID = uuid.UUID("8d0f6f1c-6c0e-4f57-9c0c-3d2f0a5b7e21")

# A line of the greatest length with its end and a byte-order mark is shorter than this.
_ENOUGH = LONGEST + 8
_BLANK = b" \t\r\n"
_MARK = b"\xef\xbb\xbf"
_NESTS = (dict, list)
_NESTING = ("details", "person")
_TOO_DEEP = mark("it is nested deeper than 32.")
_IN_HEADING = frozenset(("format", "version", "person", "written_at"))
_IN_PERSON = frozenset(("id", "name"))
_IN_ENTRY = frozenset(
    ("id", "kind", "at", "zone", "recorded_at", "by", "details", "note", "source", "amends", "reason")
) | {"withdrawn"}
# The fields of each kind that hold the id of another entry.
_REFERENCES = {
    kind.name: tuple(field.name for field in kind.fields if isinstance(field.type, Reference)) for kind in ALL
}


@dataclass(frozen=True, slots=True)
class GivenEntry:
    """An entry as a line gave it, and whether the line gave it an id."""

    entry: Entry
    has_id: bool


@dataclass(frozen=True, slots=True)
class FileHeading:
    """The first line of an exchange file; `person` None when it doesn't say whom it is about."""

    person: PersonHeading | None


class LineRefused(Refused):
    """A line can't be taken; the sentence begins with its number, counted from 1."""

    def __init__(self, number: int, sentence: str) -> None:
        super().__init__(say("Line {number}: {sentence}").format(number=number, sentence=shown(sentence)))
        self.number = number


class OtherLineRefused(LineRefused, AnotherPerson):
    """The heading names another person than the record's."""


def shown(sentence: str) -> str:
    """A sentence that may hold pieces of a file: on one line, nothing in it that steers a screen."""
    return "".join(letter if letter.isprintable() else " " for letter in sentence)


def lines_of(stream: BinaryIO | BufferedIOBase) -> Iterator[bytes]:
    """The lines of a file; of one that is longer than a line may be only as much as shows that."""
    while piece := stream.readline(_ENOUGH):
        yield piece
        while len(piece) == _ENOUGH and not piece.endswith(b"\n"):
            piece = stream.readline(_ENOUGH)


def numbered(lines: Iterable[bytes]) -> Iterator[tuple[int, bytes]]:
    """Each line that isn't empty with its number, without its end and the file's byte-order mark."""
    for number, raw in enumerate(lines, start=1):
        if raw == b"\n":
            continue
        text = raw.removeprefix(_MARK) if number == 1 else raw
        text = text.rstrip(b"\r\n")
        if text.strip(_BLANK):
            yield number, text


def read_heading(text: bytes) -> FileHeading:
    """The heading of an exchange file; `Refused` when there is none or it is of another format."""
    found = _object(text)
    if found.get("format") != FORMAT:
        raise Refused(say("this isn't a carelog exchange file: its first line must be the heading."))
    version = found.get("version", VERSION)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise Refused(say("“version” must be a whole number from 1."))
    if version > VERSION:
        raise Refused(say("this file was written by a newer carelog. Import it with that one."))
    _only(found, _IN_HEADING)
    if "written_at" in found:
        Moment.read(_text(found, "written_at", ""))
    return FileHeading(_person(found["person"]) if "person" in found else None)


def _person(found: Json) -> PersonHeading | None:
    if not isinstance(found, dict):
        raise Refused(say("“person” must be an object with an id and a name."))
    _only(found, _IN_PERSON)
    name = _text(found, "name", "")
    return PersonHeading(_id(found, "id") or "", name) if "id" in found else None


def read_line(text: bytes) -> GivenEntry:
    """The entry of one line; `Refused` with a sentence that is still to get the line's number.

    An entry without `id` has the id "" (see `Unnamed`), one without `recorded_at` its `at`.
    """
    found = _object(text)
    _only(found, _IN_ENTRY)
    for name in ("kind", "at"):
        if name not in found:
            raise Refused(say("“{name}” is missing.").format(name=name))
    at = Moment.read(_text(found, "at", ""))
    recorded_at = _recorded_at(found, at)
    entry = Entry(
        id=(_id(found, "id") or "") if "id" in found else "",
        kind=_kind(found),
        at=at,
        recorded_at=recorded_at,
        zone=_zone(found),
        by=_text(found, "by", ""),
        details=_details(found),
        note=_text(found, "note", ""),
        source=_source(found),
        amends=_id(found, "amends") if found.get("amends") is not None else None,
        reason=_text(found, "reason", ""),
        withdrawn=_withdrawn(found),
    )
    return GivenEntry(_checked(entry), "id" in found)


class Unnamed:
    """Gives entries without an id the same one in each import of the same file."""

    def __init__(self) -> None:
        self._seen: Counter[bytes] = Counter()

    def named(self, entry: Entry) -> Entry:
        """The entry with the id that its line and its occurrence number among equal lines make."""
        text = line(entry)
        digest = hashlib.sha256(text.encode()).digest()
        self._seen[digest] += 1
        return replace(entry, id=str(uuid.uuid5(WITHOUT_ID, f"{text} {self._seen[digest]}")))


# The pieces of a line -------------------------------------------------------------------------------------


def _object(text: bytes) -> dict[str, Json]:
    if len(text) > LONGEST:
        raise Refused(say("it is longer than 4 MiB."))
    try:
        found = _decoder.decode(text.decode())
    except UnicodeDecodeError:
        raise Refused(say("it isn't UTF-8 text.")) from None
    except RecursionError:
        raise Refused(say(_TOO_DEEP)) from None
    except ValueError:
        raise Refused(say("it isn't JSON.")) from None
    if not isinstance(found, dict):
        raise Refused(say("it isn't a JSON object."))
    # Whatever else nests is refused as it is: only these two may.
    for name in _NESTING:
        if isinstance(found.get(name), _NESTS):
            _check_depth(found[name], 2)
    if b"\\u" in text:
        _refuse_lone_surrogates(found)
    return found


def _pairs(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) != len(pairs):
        twice = next(name for name, count in Counter(name for name, _ in pairs).items() if count > 1)
        raise Refused(say("“{name}” stands twice in one object.").format(name=twice[:40]))
    return found


def _constant(word: str) -> NoReturn:
    raise Refused(say("{word} isn't a number.").format(word=word))


def _whole(digits: str) -> Json:
    if len(digits) > 400:
        raise Refused(say("a number is too large."))
    return settle(int(digits))


def _broken(digits: str) -> Json:
    return settle(float(digits))


# Numbers are settled while they are read, so a value never meets the rest in another form.
_decoder = json.JSONDecoder(
    object_pairs_hook=_pairs, parse_constant=_constant, parse_int=_whole, parse_float=_broken
)


def _check_depth(value: dict[str, Json] | list[Json], depth: int) -> None:
    if depth > DEEPEST:
        raise Refused(say(_TOO_DEEP))
    for each in value.values() if isinstance(value, dict) else value:
        if isinstance(each, _NESTS):
            _check_depth(each, depth + 1)


def _refuse_lone_surrogates(value: Json) -> None:
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except RecursionError:
        raise Refused(say(_TOO_DEEP)) from None
    except UnicodeEncodeError:
        raise Refused(say("it holds half of a character (a lone surrogate).")) from None


def _only(found: Mapping[str, Json], names: frozenset[str]) -> None:
    if found.keys() <= names:
        return
    for name in found.keys() - names:
        raise Refused(say("“{name}” isn't a name that may stand here.").format(name=name[:40]))


def _text(found: Mapping[str, Json], name: str, default: str) -> str:
    value = found.get(name, default)
    if not isinstance(value, str):
        raise Refused(say("“{name}” must be text.").format(name=name))
    return value


def _id(found: Mapping[str, Json], name: str) -> str:
    value = _text(found, name, "")
    if not is_uuid(value):
        raise Refused(say("“{value}” isn't a UUID.").format(value=value[:40]))
    return value.lower()


def _kind(found: Mapping[str, Json]) -> str:
    kind = _text(found, "kind", "")
    if not kind:
        raise Refused(say("“{name}” is missing.").format(name="kind"))
    return kind


def _recorded_at(found: Mapping[str, Json], at: Moment) -> Instant:
    given = "recorded_at" in found
    instant = Moment.read(_text(found, "recorded_at", "")).instant if given else at.instant
    if not is_writable(instant):
        raise Refused(
            say("“{name}” isn't a day and time that exists.").format(name="recorded_at" if given else "at")
        )
    return instant


def _zone(found: Mapping[str, Json]) -> str:
    zone = _text(found, "zone", "")
    if zone and not has_zone_form(zone):
        raise Refused(say("“{zone}” is no zone like Europe/London.").format(zone=zone[:40]))
    return zone


def _source(found: Mapping[str, Json]) -> str:
    source = _text(found, "source", LIVE)
    if source not in SOURCES:
        raise Refused(say("“source” must be live or paper."))
    return source


def _withdrawn(found: Mapping[str, Json]) -> bool:
    withdrawn = found.get("withdrawn", False)
    if not isinstance(withdrawn, bool):
        raise Refused(say("“withdrawn” must be true or false."))
    return withdrawn


def _details(found: Mapping[str, Json]) -> Details:
    details = found.get("details", {})
    if not isinstance(details, dict):
        raise Refused(say("“details” must be an object."))
    return details


def _checked(entry: Entry) -> Entry:
    """The entry, ids in its details in lower case; `Refused` when it isn't one of its kind."""
    if entry.withdrawn:
        _check_withdrawal(entry)
        return entry
    kind = kind_named(entry.kind)
    if kind is None:
        return entry
    problems = kind.problems(entry.details, entry.at.instant)
    if problems:
        raise Refused(f"“{problems[0].field}” {problems[0].words}.")
    ids = {name: entry.details[name].lower() for name in _REFERENCES[kind.name] if name in entry.details}
    return replace(entry, details={**entry.details, **ids}) if ids else entry


def _check_withdrawal(entry: Entry) -> None:
    if entry.amends is None:
        raise Refused(say("an entry that strikes out must say which (“amends”)."))
    if entry.details:
        raise Refused(say("an entry that strikes out has no details."))
    if not entry.reason.strip():
        raise Refused(say("an entry that strikes out must give its reason."))
