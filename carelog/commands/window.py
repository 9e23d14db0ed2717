"""The window without a sub-command: chooses its parts and starts it."""

import gc
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.commands import display
from carelog.commands.surroundings import Surroundings
from carelog.domain.trouble import Trouble
from carelog.text import say

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager

    from carelog.app.drill import Tried
    from carelog.app.ports import Exchange, Record, Sheets
    from carelog.domain.giving import GiveRequest
    from carelog.domain.moment import Instant
    from carelog.domain.paper import IsCancelled, Progress
    from carelog.seal.keyring import Keyring
    from carelog.seal.magic import Opener
    from carelog.ui.parts import Parts


def open_window(record: str | None, around: Surroundings, *, begins_tour: bool = False) -> int:
    """Show the window on a record, or on the household's own, until it is closed."""
    if not display.can_open(around.environment, around.platform):
        raise Trouble(say("There is no display to open the window on. carelog --help names the commands."))
    from carelog.app.faults import FaultLog, watch

    watch(FaultLog(around.places.log, around.clock), around.warn)
    gc.disable()  # until the record is read; `ui/garbage` says why
    try:
        from carelog.ui.application import run

        path = Path(record) if record else _chosen(around)
        return run(parts(path, around)._replace(begins_tour=begins_tour))
    finally:
        gc.enable()


def _chosen(around: Surroundings) -> Path:
    """Where a person chose the record to lie, else its place in the data folder."""
    from carelog.app.settings import SettingsFile

    chosen = SettingsFile(around.places.settings).read().record
    return Path(chosen) if chosen else around.places.record


def parts(record: Path, around: Surroundings) -> "Parts":
    """The real parts of a window; what they need is imported at their first call."""
    from carelog.ui.parts import Parts

    return Parts(
        record_path=record,
        places=around.places,
        clock=around.clock,
        ids=around.ids,
        reckoning=around.reckoning,
        open_record=lambda path: _opened(path, around),
        make_record=lambda path: _made(path, around),
        make_demo=lambda path, tell: _demo(path, around, tell),
        exchange=_exchange,
        sheets=_sheets,
        give=_give,
        back_up=lambda record, target: _back_up(record, target, around),
        keyring=lambda: _keyring(around),
        tried=lambda copy, record: _tried(copy, record, around),
        is_good=lambda copy: _is_good(copy, around),
        opened_by=lambda copy, code: _opened_by(copy, code),
        asks_for=lambda file: _asks_for(file, around),
        holds=lambda file, typed: _holds(file, typed, around),
        take_up=lambda file, path, typed: _taken_up(file, path, around, typed),
        given_file=lambda file, typed: _given_file(file, typed, around),
        meet=lambda record, root, is_sealed: _meet(record, root, around, is_sealed),
        take_over=lambda file, path, stamp, typed: _taken_over(file, path, stamp, around, typed),
        held_up_to=lambda copy, now: _held_up_to(copy, now, around),
        installation=lambda: _installation(around),
        restore=lambda copy, target: _restore(copy, target, around),
        newest_backup=lambda path: _newest_backup(path, around),
        is_damaged=_is_damaged,
        lacking=_lacking,
        set_aside=_set_aside,
        place_warning=_place_warning,
        media=lambda: _media(around),
    )


def _opened(path: Path, around: Surroundings) -> "Record":
    from carelog.app.installation import installation_id
    from carelog.store.opening import open_record

    # The window never waits for another program: it keeps its last picture and says its time.
    installation = installation_id(around.places.installation)
    record = open_record(path, installation=installation, read_patience_ms=0)
    record.bring_up()  # here and not with the first press, which would wait for it
    return record


def _made(path: Path, around: Surroundings) -> "Record":
    from carelog import paths
    from carelog.app.installation import installation_id
    from carelog.commands.records import new_person
    from carelog.store.opening import open_record

    if path == around.places.record:
        paths.make_private(around.places.data)
    return open_record(
        path,
        installation=installation_id(around.places.installation),
        create=new_person(),
        read_patience_ms=0,
    )


def _demo(path: Path, around: Surroundings, tell: "Callable[[str], None]") -> "Record":
    from carelog.commands.invented import keep_or_make

    keep_or_make(path, None, around, tell)
    return _opened(path, around)


def _back_up(record: Path, target: Path, around: Surroundings) -> int:
    from carelog.commands.sealing import make_copy

    return make_copy(record, target, around)


def _keyring(around: Surroundings) -> "Keyring":
    from carelog.seal.keyring import Keyring

    return Keyring(around.places.keys)


def _tried(copy: Path, record: Path, around: Surroundings) -> "Tried":
    from carelog.commands.sealing import tried

    return tried(copy, record, around)


def _is_good(copy: Path, around: Surroundings) -> bool:
    from carelog.commands.sealing import is_good

    return is_good(copy, around)


def _opened_by(copy: Path, code: str) -> str:
    from carelog.commands.sealing import opened_by

    return opened_by(copy, code)


def _asks_for(file: Path, around: Surroundings) -> "Opener | None":
    from carelog.commands.sealing import asks_for

    return asks_for(file, around)


def _holds(file: Path, typed: str, around: Surroundings) -> str:
    from carelog.commands.taking import contents_of

    return contents_of(file, around, typed)


def _taken_up(file: Path, path: Path, around: Surroundings, typed: str) -> "Record":
    from carelog.commands.taking import take_up

    take_up(file, path, around, typed)
    return _opened(path, around)


def _given_file(file: Path, typed: str, around: Surroundings) -> "AbstractContextManager[Path]":
    from carelog.commands.sealing import given_with

    return given_with(file, around, typed)


def _meet(record: "Record", root: Path, around: Surroundings, is_sealed: bool) -> list[str]:
    from carelog.commands.meeting import meet

    return meet(record, root, _installation(around), around, is_sealed=is_sealed)


def _taken_over(file: Path, path: Path, stamp: str, around: Surroundings, typed: str) -> Path:
    from carelog.commands.taking import take_over

    return take_over(file, path, stamp, around, typed)


def _held_up_to(copy: Path, now: "Instant", around: Surroundings) -> "Instant":
    from carelog.commands.sealing import held_up_to

    return held_up_to(copy, now, around)


def _installation(around: Surroundings) -> str:
    from carelog.app.installation import installation_id

    return installation_id(around.places.installation)


def _restore(copy: Path, target: Path, around: Surroundings) -> int:
    from carelog.commands.sealing import restore

    return restore(copy, target, around)


def _newest_backup(record: Path, around: Surroundings) -> "tuple[Instant, Record] | None":
    from carelog.commands.copies import newest_copy

    return newest_copy(record, around.places.backups, around.clock.now())


def _is_damaged(record: Path) -> bool:
    from carelog.store.opening import check_file

    return bool(check_file(record)[1])


def _lacking(record: Path, copy: Path) -> int:
    from carelog.store.backup import lacking

    return lacking(record, copy)


def _set_aside(record: Path, stamp: str) -> Path:
    from carelog.store.backup import set_aside

    return set_aside(record, stamp)


def _place_warning(record: Path) -> str:
    from carelog.store.place import warning

    return warning(record)


def _media(around: Surroundings) -> list[Path]:
    from carelog.app.medium import mounted

    return mounted(around.environment, around.platform)


def _exchange() -> "Exchange":
    from carelog.commands.records import exchange

    return exchange()


def _give(
    request: "GiveRequest",
    record: "Record",
    target: Path,
    now: "Instant",
    progress: "Progress | None",
    is_cancelled: "IsCancelled | None",
) -> int:
    from carelog.commands.giving import give

    return give(request, record, target, now, progress, is_cancelled)


def _sheets() -> "Sheets":
    from carelog.commands.paper import sheets

    return sheets()
