"""The record given out in each form that is built: which parts make it, and where it is put."""

import gc
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

from carelog import paths
from carelog.analysis.in_force import Reading
from carelog.app import output
from carelog.app.ports import Record
from carelog.commands import records
from carelog.commands.headway import MOST_SHEETS, Headway
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.giving import GiveRequest
from carelog.domain.moment import DAY_24_H, Instant, Week
from carelog.domain.paper import IsCancelled, Progress, SheetRequest
from carelog.domain.trouble import Trouble, WrongUse
from carelog.export.extract import Extract
from carelog.kinds import ALL
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.kinds.visit import VISIT
from carelog.text import say

FIRST, LAST = -(1 << 62), 1 << 62
WITH_RINGS = ("fhir",)
"""Forms that leave so much behind that somebody has to clear up meanwhile."""
WEEK = 7 * DAY_24_H
PEOPLE = (PERSON.name, CONTACT.name, RECORDER.name)
LASTING = tuple(kind.name for kind in ALL if kind.is_lasting)


def give(
    request: GiveRequest,
    record: Record,
    target: Path,
    now: Instant,
    progress: Progress | None = None,
    is_cancelled: IsCancelled | None = None,
) -> int:
    """Write the record, or the entries of a period, whole or not at all; how many entries they were."""
    from carelog.store.exchange import uncollected

    with nullcontext() if request.form in WITH_RINGS else uncollected():
        return _given(request, record, target, now, progress, is_cancelled)


def _given(
    request: GiveRequest,
    record: Record,
    target: Path,
    now: Instant,
    progress: Progress | None,
    is_cancelled: IsCancelled | None,
) -> int:
    if request.form == "csv":
        _check_folder(request, target)

    headway = Headway(progress, is_cancelled)
    entries = _entries(request, record, headway.check)
    headway.expect(request.form, entries)
    heading = record.person()
    visits = record.of_kinds([VISIT.name])
    extract = Extract(entries, heading.id, heading.name, now, request.since, request.until, visits)
    if request.form == "csv":
        _give_folder(extract, target, request.has_bom, headway)
    else:
        parts = _parts(request, extract, record, now, headway)
        if request.passphrase:
            _give_sealed(request.passphrase, parts, target, record)
        else:
            output.write_file(target, parts, record.path)
    return len(entries)


def _give_sealed(passphrase: str, parts: Iterable[bytes], target: Path, record: Record) -> None:
    """An envelope that the passphrase opens; what lies in it is written into the private folder first."""
    from carelog.seal.envelope import FILE, seal

    with paths.scratch() as folder:
        between = folder / "given"
        output.write_file(between, parts)
        with between.open("rb") as source:
            sealed = seal(source, between.stat().st_size, passphrase, FILE)
            output.write_file(target, sealed, record.path)


def _entries(request: GiveRequest, record: Record, step: Callable[[], None]) -> list[Entry]:
    if request.since is None and request.until is None:
        return record.everything(step)
    since = FIRST if request.since is None else request.since
    until = LAST if request.until is None else request.until
    if since >= until:
        raise WrongUse(say("The period ends before it begins: --from must lie before --to."))
    return record.period(since, until)


def _parts(
    request: GiveRequest, extract: Extract, record: Record, now: Instant, headway: Headway
) -> Iterator[bytes]:
    form, nameless = request.form, request.nameless
    if form == "exchange":
        yield from headway.seen(records.exchange().write(record, extract.entries, now))
    elif form == "html":
        from carelog.export.page import page

        yield from headway.seen(page(extract))
    elif form == "xlsx":
        from carelog.export.workbook import workbook

        yield workbook(extract, headway.step)
    elif form == "fhir":
        yield from headway.seen(_document(extract, record, nameless))
    else:
        yield from _archived(extract, record, now, headway, nameless)


def _document(extract: Extract, record: Record, nameless: bool) -> Iterator[bytes]:
    """The document of the period: also who it is about, who writes, and what is in place at its end."""
    from carelog.analysis.tube import tube_in_place
    from carelog.export.fhir.document import Beside, document

    lasting = record.of_kinds(LASTING)
    reading = Reading(lasting)
    end = extract.made_at if extract.until is None else extract.until
    plans = [each.id for held in reading.of(PLAN.name)[-1:] for each in held.chain]
    about = [each for each in lasting if each.kind in PEOPLE or each.id in plans]
    entries = {each.id: each for each in (*about, *extract.entries)}
    whole = replace(extract, entries=list(entries.values()))
    sheets = [pdf for _name, pdf in _sheets(extract, record, nameless, most=1)]
    given = Beside(tube_in_place(reading, end), _flags(extract, record, end), sheets[0] if sheets else None)
    yield from document(whole, given)


def _flags(extract: Extract, record: Record, end: Instant) -> Sequence[Flag]:
    """The flags of the period; of everything, those of its last week."""
    from carelog.analysis.past import PastWindow

    start = end - WEEK if extract.since is None else extract.since
    return PastWindow(record, start, end).flags()


def _archived(
    extract: Extract, record: Record, now: Instant, headway: Headway, nameless: bool
) -> Iterator[bytes]:
    """The archive, made in a private file first: it is too large for memory, and written from its end."""
    from carelog.export.archive import archive

    with tempfile.TemporaryFile(dir=_private(record)) as made:
        lines = records.exchange().write(record, extract.entries, now)
        archive(extract, lines, _sheets(extract, record, nameless), made, headway.seen)
        made.seek(0)
        while part := made.read(1 << 20):
            yield part


def _private(record: Record) -> Path:
    """The record's own folder, where it can be written to; else the program's own, closed to others."""
    folder = record.path.absolute().parent
    return folder if os.access(folder, os.W_OK) else paths.scratch_place()


def _sheets(
    extract: Extract, record: Record, nameless: bool, most: int = MOST_SHEETS
) -> Iterator[tuple[str, bytes]]:
    """The newest weeks of the period as they are printed."""
    from carelog.commands.paper import made_together

    home = extract.home
    weeks = {Week.of(home.day(held.time)) for held in extract.reading.held}
    wanted = sorted(weeks, key=Week.text)[-most:]
    requests = [SheetRequest(week=week, nameless=nameless) for week in wanted]
    names = [f"week-{week.text()}.pdf" for week in wanted]
    yield from zip(names, _collected(made_together(requests, record)), strict=True)


def _collected(made: Iterator[bytes]) -> Iterator[bytes]:
    """Sheets make rings, and a lot of them: garbage is looked for while each is made."""
    done = False
    while not done:
        was_on = gc.isenabled()
        gc.enable()
        try:
            found = next(made, None)
        finally:
            if not was_on:
                gc.disable()
        done = found is None
        if found is not None:
            yield found


def _check_folder(request: GiveRequest, target: Path) -> None:
    """`WrongUse` before anything is read: one that holds something is left as it is."""
    if request.passphrase:
        raise WrongUse(say("A folder can't be encrypted. Take --as zip."))
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise WrongUse(say("“{file}” is there already; name a new folder.").format(file=target))


def _give_folder(extract: Extract, target: Path, has_bom: bool, headway: Headway) -> None:
    """A folder of tables, whole or not at all."""
    from carelog.export.comma import files

    try:
        folder = Path(tempfile.mkdtemp(dir=target.absolute().parent, prefix=f".{target.name}."))
        try:
            for name, parts in files(extract, has_bom=has_bom):
                with paths.in_place_of(folder / name) as file:
                    for part in headway.seen(parts):
                        file.write(part)
            os.replace(folder, target)
        except BaseException:
            shutil.rmtree(folder, ignore_errors=True)
            raise
    except OSError as error:
        raise Trouble(
            say("“{file}” can't be written: {cause}.").format(file=target, cause=error.strerror or error)
        ) from error
