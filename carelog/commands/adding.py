"""`carelog add`: entries from a keyboard macro, a bedside button, a script."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.commands import records, times
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.entry import Details, Entry, Json, is_uuid
from carelog.domain.field import WEEK, Field, When
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, Instant, Moment, Week, known_zone
from carelog.domain.trouble import Refused, Trouble, WrongUse
from carelog.kinds import ALL, kind_named
from carelog.text import say

ONE_ENTRY = ("at", "by", "note", "id", "recorded-at")
ENVELOPE = ("id", "recorded_at")


def add(given: Given, around: Surroundings) -> int:
    """One entry from the command line, or many from standard input; 0 when all of them are saved."""
    path = Path(given.needed("record"))
    if given.has("stream"):
        if given.values or any(given.has(name) for name in ONE_ENTRY):
            raise WrongUse(say("--stream takes its entries from standard input alone."))
        return _stream(path, around)
    if not given.values:
        raise WrongUse(say("Which kind? Like this: carelog add --record FILE suction colour=white."))
    kind = _kind(given.values[0])
    given = _with_envelope(given)
    details = _details(kind, given.values[1:], lambda: _home_of_file(path, around), around.clock.now)
    _check_texts(given, details)
    with records.made_if_missing(path, around) as record:
        book = Logbook(record, around.clock, around.ids, around.witness)
        entry = book.save(_entry(given, kind, details, book, _home(given, record)))
    _say_saved(entry, around)
    return 0


def _kind(name: str) -> Kind:
    found = kind_named(name)
    if found is None:
        names = " ".join(each.name for each in ALL)
        raise WrongUse(
            say("“{name}” isn't a kind of entry; there are {names}.").format(name=name, names=names)
        )
    return found


def _with_envelope(given: Given) -> Given:
    """`id=` and `recorded_at=`, which are no kind's fields, read as the options of these names."""
    options, words = dict(given.options), []
    for word in given.values:
        name, equals, text = word.partition("=")
        if not equals or name not in ENVELOPE:
            words.append(word)
            continue
        option = name.replace("_", "-")
        if option in options:
            raise WrongUse(say("“{name}” is given twice; give it once.").format(name=name))
        options[option] = text
    return replace(given, options=options, values=tuple(words))


def _home_of_file(path: Path, around: Surroundings) -> Home:
    """The home zone of a record; of one that isn't there yet, this computer's, as its first entry says."""
    if not path.exists():
        return Home(around.clock.zone() or "UTC")
    with records.opened(path, around) as record:
        return records.home(record)


def _details(
    kind: Kind, words: Sequence[str], home: Callable[[], Home], now: Callable[[], Instant]
) -> Details:
    details: dict[str, Json] = {}
    for word in words:
        name, equals, text = word.partition("=")
        field = kind.field(name)
        if not equals:
            raise WrongUse(say("“{word}” isn't like field=value.").format(word=word))
        if field is None:
            raise WrongUse(_no_field(kind, name))
        if name in details:
            raise WrongUse(say("“{name}” is given twice; give it once.").format(name=name))
        details[name] = _value(field, text, home, now)
    found = kind.problems(details)
    if found:
        raise WrongUse(f"{found[0].field} {found[0].words}.")
    return details


def _no_field(kind: Kind, name: str) -> str:
    names = " ".join(each.name for each in kind.fields)
    if not names:
        return say("{kind} has no fields; what was seen goes into --note.").format(kind=kind.name)
    words = say("{kind} has no field “{name}”; it has {names}.")
    return words.format(kind=kind.name, name=name, names=names)


def _value(field: Field, text: str, home: Callable[[], Home], now: Callable[[], Instant]) -> Json:
    try:
        if field.type is WEEK:
            return Week.near(text, home().day(now())).text()
        value = field.type.typed(text)
        if isinstance(field.type, When) and field.type.problem(value) is not None:
            return times.read_moment(text, home()).text()  # without an offset, as `--at` is read
        return value
    except (Refused, WrongUse) as error:
        raise WrongUse(f"{field.name}: {error.sentence}") from error


def _check_texts(given: Given, details: Details) -> None:
    try:
        "".join([*given.options.values(), *map(str, details.values())]).encode()
    except UnicodeEncodeError:
        raise WrongUse(say("A value is no text that can be read (UTF-8).")) from None


def _home(given: Given, record: Record) -> Home | None:
    """The home zone, asked for only when a time was given."""
    return records.home(record) if given.has("at") or given.has("recorded-at") else None


def _entry(given: Given, kind: Kind, details: Details, book: Logbook, home: Home | None) -> Entry:
    at, zone = _at(given, home, book.zone)
    entry = book.draft(
        kind.name, details, given.text("by") or "", at=at, note=given.text("note") or "", zone=zone
    )
    identity = given.text("id")
    if identity is not None:
        if not is_uuid(identity):
            raise WrongUse(say("“{text}” isn't a UUID.").format(text=identity[:40]))
        entry = replace(entry, id=identity.lower())
    if home is not None and given.has("recorded-at"):
        entry = replace(entry, recorded_at=times.read_moment(given.needed("recorded-at"), home).instant)
    return entry


def _at(given: Given, home: Home | None, here: str) -> tuple[Moment | None, str]:
    """When it happened, and the zone whose clock says so: at home, else here, else none."""
    if home is None or not given.has("at"):
        return None, here
    moment = times.read_moment(given.needed("at"), home)
    fits = [zone for zone in (home.name, here) if _fits(zone, moment)]
    return moment, fits[0] if fits else ""


def _fits(zone: str, moment: Moment) -> bool:
    return known_zone(zone) is not None and Home(zone).offset(moment.instant) == moment.offset


def _stream(path: Path, around: Surroundings) -> int:
    """Save each line by itself; its id is printed, and out of our hands, only once it is durable."""
    from carelog.store.lines import LineRefused, Unnamed, lines_of, numbered, read_line

    status, unnamed = 0, Unnamed()
    with records.made_if_missing(path, around) as record:
        book = Logbook(record, around.clock, around.ids, around.witness)
        for number, text in numbered(lines_of(around.lines())):
            try:
                given = read_line(text)
                entry = given.entry if given.has_id else unnamed.named(given.entry)
                book.save(entry)
            except Trouble as error:
                refused = error if isinstance(error, LineRefused) else LineRefused(number, error.sentence)
                around.warn(refused.sentence)
                status = 1
                continue
            _say_saved(entry, around)
    return status


def _say_saved(entry: Entry, around: Surroundings) -> None:
    if not around.say_saved(entry.id):
        around.warn(say("The entry is saved, but its id could not be written out: {id}").format(id=entry.id))
