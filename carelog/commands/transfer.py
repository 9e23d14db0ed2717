"""`carelog import` and `export`: the exchange file in and out."""

from collections.abc import Iterable
from io import BufferedReader
from pathlib import Path

from carelog.app import output
from carelog.app.ports import Record
from carelog.commands import records, times
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Instant
from carelog.domain.trouble import WrongUse
from carelog.text import say, say_n

EXCHANGE = "exchange"
FORMS = (EXCHANGE, "fhir", "csv", "xlsx", "html", "zip")
ZIP_STARTS = b"PK\x03\x04"
ALWAYS = 2**62


def bring_in(given: Given, around: Surroundings) -> int:
    """Add an exchange file's entries, all or none."""
    source = Path(given.values[0])
    with records.source_of(source) as file:
        if isinstance(file, BufferedReader) and file.peek(len(ZIP_STARTS)).startswith(ZIP_STARTS):
            raise WrongUse(say("“{file}” is a zip, and reading one isn't built yet.").format(file=source))
        merged = records.merge(file, Path(given.needed("record")), around)
    around.say(
        say_n(
            "One entry was added, {already} already there.",
            "{added} entries were added, {already} already there.",
            merged.added,
        ).format(added=merged.added, already=merged.already)
    )
    if merged.unknown_kinds or merged.unknown_fields:
        around.say(
            say("Kept, though not known to this version: {kinds} entries by kind, {fields} fields.").format(
                kinds=merged.unknown_kinds, fields=merged.unknown_fields
            )
        )
    return 0


def export(given: Given, around: Surroundings) -> int:
    """Write the record, or the entries of a period, as an exchange file."""
    form = given.text("as") or EXCHANGE
    if form not in FORMS:
        raise WrongUse(say("--as must be one of {forms}.").format(forms=", ".join(FORMS)))
    if form != EXCHANGE:
        raise WrongUse(say("--as {form} isn't built yet; --as exchange is.").format(form=form))
    target, path = Path(given.values[0]), Path(given.needed("record"))
    with records.opened(path, around) as record:
        entries = _entries(given, record)
        lines = records.exchange().write(record, entries, around.clock.now())
        count = output.write_file(target, lines, path) - 1
    around.say(
        say_n("One entry written to {file}.", "{count} entries written to {file}.", count).format(
            count=count, file=target
        )
    )
    return 0


def _entries(given: Given, record: Record) -> Iterable[Entry]:
    if not given.has("from") and not given.has("to"):
        return record.everything()
    home = records.home(record)
    start = _instant(given.text("from"), -ALWAYS, home)
    end = _instant(given.text("to"), ALWAYS, home)
    if start >= end:
        raise WrongUse(say("The period ends before it begins: --from must lie before --to."))
    return record.period(start, end)


def _instant(text: str | None, otherwise: Instant, home: Home) -> Instant:
    return otherwise if text is None else times.read_moment(text, home).instant
