"""Give and take with a stick in one act: what the other computers left there is read, all of ours is left."""

import re
from contextlib import suppress
from pathlib import Path

from carelog import paths
from carelog.app.merging import before_import, told
from carelog.app.output import write_file
from carelog.app.ports import Record
from carelog.commands import records, sealing
from carelog.commands.surroundings import Surroundings
from carelog.domain.moment import Instant
from carelog.domain.trouble import Trouble
from carelog.seal.envelope import FILE, Household, seal
from carelog.text import say, say_n

FOLDER = "carelog-meeting"
SEALED = ".sealed"
_NAME = re.compile(r"([0-9a-f]{8})-([0-9a-f]{8})\.jsonl(\.sealed)?", re.ASCII)


def meet(
    record: Record, root: Path, installation: str, around: Surroundings, *, is_sealed: bool
) -> list[str]:
    """Read what other computers left on a stick, then leave everything of ours there; what came of it.

    A file that can't be read is told of, and keeps neither the others from being read nor ours from being
    left. `Trouble` when ours can't be.
    """
    folder, now = _folder(root), around.clock.now()
    ours = installation[:8].lower()
    said = []
    for file in sorted(folder.iterdir()):
        found = _NAME.fullmatch(file.name)
        if found and found[2] != ours and (found[1] == record.person().id[:8].lower() or not record.count()):
            try:
                said += _taken(file, record, now, around)
            except Trouble as trouble:
                said.append(f"{file.name}: {trouble.sentence}")
    if not said:
        said.append(say("Nothing of your other computers is on the stick yet."))
    ring = sealing.keyring(around).read() if is_sealed else None
    return [*said, _left(folder, ours, record, now, ring.own if ring else None)]


def _folder(root: Path) -> Path:
    folder = root / FOLDER
    if folder.is_symlink():
        raise Trouble(say("“{folder}” is a link. Files go into a real folder only.").format(folder=folder))
    try:
        paths.make_private(folder)
    except OSError as error:
        raise Trouble(
            say("“{folder}” can't be written to ({cause}). Choose another.").format(
                folder=root, cause=error.strerror
            )
        ) from error
    return folder


def _taken(file: Path, record: Record, now: Instant, around: Surroundings) -> list[str]:
    from carelog.store.sealed import unsealed

    keys = sealing.keyring(around)
    before = before_import(record, now)
    with unsealed(file, keys.means(), FILE) as found, found.path.open("rb") as lines:
        keys.learn(found.learnt)
        merged = records.exchange().merge(lines, record)
    first = say_n(
        "One entry was added, {already} already there.",
        "{added} entries were added, {already} already there.",
        merged.added,
    ).format(added=merged.added, already=merged.already)
    return [first, *(told(record, before, now) if merged.added else [])]


def _left(folder: Path, ours: str, record: Record, now: Instant, by: Household | None) -> str:
    entries = record.everything()
    plain = folder / f"{record.person().id[:8].lower()}-{ours}.jsonl"
    sealed = plain.with_name(plain.name + SEALED)
    lines = records.exchange().write(record, entries, now)
    if by is None:
        target, other = plain, sealed
        write_file(target, lines, record.path)
    else:
        target, other = sealed, plain
        with paths.scratch() as room:
            between = room / plain.name
            write_file(between, lines)
            with between.open("rb") as source:
                write_file(target, seal(source, between.stat().st_size, by, FILE), record.path)
    with suppress(OSError):
        other.unlink(missing_ok=True)
    words = say_n(
        "One entry lies on the stick for your other computers. {how}",
        "All {count} entries lie on the stick for your other computers. {how}",
        len(entries),
    )
    how = say("The file isn't encrypted.") if by is None else say("The file is encrypted.")
    return words.format(count=len(entries), how=how)
