"""`carelog import` and `export`: the record in and out."""

from dataclasses import replace
from pathlib import Path

from carelog.app.ports import Record
from carelog.commands import records, sealing, times
from carelog.commands.giving import give
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.giving import GiveRequest
from carelog.domain.moment import Home, Instant
from carelog.domain.trouble import WrongUse
from carelog.text import say, say_n

EXCHANGE = "exchange"
FORMS = (EXCHANGE, "fhir", "csv", "xlsx", "html", "zip")


def bring_in(given: Given, around: Surroundings) -> int:
    """Add the entries of an exchange file, or of the archive that holds one: all or none."""
    source, path = Path(given.values[0]), Path(given.needed("record"))
    code = sealing.typed_code(given.text("code"), around)
    words = sealing.typed_words(given, around) if given.has("passphrase") else ""
    opened = sealing.given_file(source, around, code, words)
    with opened as file, records.source_of(file) as lines:
        merged, more = records.merge(lines, path, around)
    around.say(
        say_n(
            "One entry was added, {already} already there.",
            "{added} entries were added, {already} already there.",
            merged.added,
        ).format(added=merged.added, already=merged.already)
    )
    for line in more:
        around.say(line)
    if merged.unknown_kinds or merged.unknown_fields:
        around.say(
            say("Kept, though not known to this version: {kinds} entries by kind, {fields} fields.").format(
                kinds=merged.unknown_kinds, fields=merged.unknown_fields
            )
        )
    return 0


def export(given: Given, around: Surroundings) -> int:
    """Write the record, or the entries of a period, in one of the forms."""
    form = given.text("as") or EXCHANGE
    if form not in FORMS:
        raise WrongUse(say("--as must be one of {forms}.").format(forms=", ".join(FORMS)))
    target, path = Path(given.values[0]), Path(given.needed("record"))
    with records.opened(path, around) as record:
        words = sealing.typed_words(given, around) if given.has("passphrase") else ""
        request = replace(_request(given, form, record), passphrase=words)
        count = give(request, record, target, around.clock.now())
    around.say(
        say_n("One entry written to {file}.", "{count} entries written to {file}.", count).format(
            count=count, file=target
        )
    )
    return 0


def _request(given: Given, form: str, record: Record) -> GiveRequest:
    has_bom = not given.has("no-bom")
    if not given.has("from") and not given.has("to"):
        return GiveRequest(form, has_bom=has_bom)
    home = records.home(record)
    since, until = _instant(given.text("from"), home), _instant(given.text("to"), home)
    return GiveRequest(form, since, until, has_bom)


def _instant(text: str | None, home: Home) -> Instant | None:
    return None if text is None else times.read_moment(text, home).instant
