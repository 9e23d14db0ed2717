"""What isn't a record of ours is named in words and left byte for byte."""

import os
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from carelog.domain.trouble import Refused, Trouble
from carelog.store import opening
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord
from carelog.store.tables import VERSION
from tests.store.making import HERE, PERSON, entry, numbers, opened

needs_rights = pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")


def foreign(path: Path, application: int = 7, version: int = 1) -> bytes:
    """A database of another program."""
    connection = sqlite3.connect(path)
    connection.executescript(
        f"PRAGMA application_id = {application}; PRAGMA user_version = {version}; CREATE TABLE other (x)"
    )
    connection.close()
    return path.read_bytes()


def changed(path: Path) -> tuple[int, ...]:
    """What a file's state tells of changes; reading it moves only when it was last read."""
    state = path.stat()
    return state.st_ino, state.st_mode, state.st_size, state.st_mtime_ns, state.st_ctime_ns


@pytest.mark.parametrize("create", [None, PERSON])
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"Suction at nine\n", "not a carelog record"),
        (b"SQLite format 3\x00" + b"\x10", "damaged"),
    ],
    ids=["empty", "text", "cut short"],
)
def test_other_files_are_refused_and_left(path: Path, create: None, content: bytes, words: str) -> None:
    path.write_bytes(content)
    before = changed(path)
    with pytest.raises(Trouble, match=words):
        open_record(path, installation=HERE, create=create)
    assert path.read_bytes() == content
    assert changed(path) == before
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_another_programs_database_is_refused(path: Path) -> None:
    before = foreign(path)
    with pytest.raises(Refused, match="not a carelog record"):
        opened(path)
    assert path.read_bytes() == before


def test_a_newer_record_is_refused(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    plain = sqlite3.connect(path)
    plain.execute(f"PRAGMA user_version = {VERSION + 1}")
    plain.close()
    before = path.read_bytes()
    with pytest.raises(Refused, match="newer carelog"):
        opened(path)
    assert path.read_bytes() == before


def test_a_missing_record_is_not_made_by_opening(path: Path) -> None:
    with pytest.raises(Trouble, match="no record"):
        opened(path)
    assert list(path.parent.iterdir()) == []


def test_a_folder_and_a_pipe_are_no_records(path: Path) -> None:
    path.mkdir()
    with pytest.raises(Refused, match="not a file"):
        opened(path)
    pipe = path.with_name("pipe")
    os.mkfifo(pipe)
    with pytest.raises(Refused, match="not a file"):
        opened(pipe)


def test_a_link_to_a_record_opens_the_record(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    link = path.with_name("link.carelog")
    link.symlink_to(path)
    other = opened(link)
    other.append([entry(2)])
    other.close()
    assert numbers(record.everything()) == [1, 2]
    assert not link.with_name("link.carelog-journal").exists()


def test_a_link_to_nothing_is_no_record(path: Path) -> None:
    path.symlink_to(path.with_name("gone"))
    with pytest.raises(Trouble, match="no record"):
        opened(path)


def test_reading_alone_leaves_the_file_as_it_is(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    record.close()
    before = path.read_bytes(), path.stat().st_mtime_ns
    other = opened(path)
    assert other.count() == 1
    assert other.check() == []
    other.close()
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


# A transaction that was cut off ---------------------------------------------------------------------------


def cut_off(record: StoredRecord, path: Path) -> Path:
    """Leave a record as a power cut leaves it: half of a transaction in the file, the rest in the journal."""
    record.append([entry(n) for n in range(50)])
    record.close()
    cut = path.with_name("cut.carelog")
    writer = sqlite3.connect(path, isolation_level=None)
    writer.executescript("PRAGMA journal_mode = TRUNCATE; PRAGMA cache_size = 1; BEGIN IMMEDIATE")
    columns = ", ".join(
        row[1] for row in writer.execute("PRAGMA table_info(entry)") if row[1] not in ("arrival", "id")
    )
    columns = columns.replace("by,", '"by",')
    for n in range(200):
        writer.execute(
            f"INSERT INTO entry (id, {columns}) SELECT ? || id, {columns} FROM entry WHERE arrival = 1", (n,)
        )
    for end in ("", "-journal"):
        shutil.copyfile(f"{path}{end}", f"{cut}{end}")
    writer.execute("ROLLBACK")
    writer.close()
    assert cut.read_bytes() != path.read_bytes()
    return cut


def test_half_a_transaction_is_rolled_back_at_opening(record: StoredRecord, path: Path) -> None:
    cut = cut_off(record, path)
    other = opened(cut)
    assert numbers(other.everything()) == list(range(50))
    assert other.check() == []
    other.close()


def test_a_write_ahead_log_of_another_program_is_taken_in(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    record.close()
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("PRAGMA journal_mode = WAL")
    other.execute("INSERT INTO installation (id) VALUES ('other')")
    for end in ("", "-wal"):
        shutil.copyfile(f"{path}{end}", f"{path}.copy{end}")
    other.close()
    copy = opened(Path(f"{path}.copy"))
    assert numbers(copy.everything()) == [1]
    copy.append([entry(2)])
    assert copy.check() == []
    copy.close()
    assert Path(f"{path}.copy").read_bytes()[18:20] == b"\x01\x01"
    again = opened(path)
    assert numbers(again.everything()) == [1]
    again.close()


def test_without_its_journal_the_cut_off_file_is_damaged(record: StoredRecord, path: Path) -> None:
    cut = cut_off(record, path)
    Path(f"{cut}-journal").unlink()
    other = opened(cut)
    assert other.check() != []
    other.close()


def test_where_nothing_may_be_written_a_private_copy_is_mended(
    record: StoredRecord, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut = cut_off(record, path)
    before = cut.read_bytes(), Path(f"{cut}-journal").read_bytes()
    monkeypatch.setattr(os, "access", lambda *_: False)
    other = opened(cut)
    assert numbers(other.everything()) == list(range(50))
    with pytest.raises(Trouble, match="read-only"):
        other.append([entry(99)])
    other.close()
    assert (cut.read_bytes(), Path(f"{cut}-journal").read_bytes()) == before


def test_a_transaction_cut_off_while_we_read_is_rolled_back_too(record: StoredRecord, path: Path) -> None:
    cut = cut_off(record, path)
    whole = path.with_name("whole.carelog")
    shutil.copyfile(path, whole)
    reading = opened(whole)
    assert reading.count() == 50
    for end in ("", "-journal"):
        # Into the same file, as a program does that is cut off beside us.
        with Path(f"{whole}{end}").open("r+b" if end == "" else "wb") as file:
            file.write(Path(f"{cut}{end}").read_bytes())
    assert numbers(reading.everything()) == list(range(50))
    reading.close()


def test_a_record_is_read_where_it_lies_while_somebody_is_writing_to_it(
    record: StoredRecord, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record.append([entry(1)])
    writer = sqlite3.connect(path, isolation_level=None)
    writer.execute("PRAGMA journal_mode = TRUNCATE")
    writer.execute("BEGIN IMMEDIATE")
    writer.execute("CREATE TABLE half_done (x)")
    assert path.with_name(f"{path.name}-journal").stat().st_size > 0
    monkeypatch.setattr(opening, "_copied", lambda *_given: pytest.fail("copied while it was written to"))
    reader = open_record(path, installation=HERE, is_only_read=True)
    assert reader.everything() == [entry(1)]
    assert reader.check() == []
    writer.execute("ROLLBACK")
    writer.close()
    reader.close()


def test_what_a_power_cut_left_is_read_in_a_copy_where_nothing_may_be_written(
    record: StoredRecord, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut, copied, copy = cut_off(record, path), list[Path](), opening._copied

    def seen(file: Path, *given: Any) -> StoredRecord:
        copied.append(file)
        return copy(file, *given)

    monkeypatch.setattr(opening, "_copied", seen)
    before = cut.read_bytes()
    reader = open_record(cut, installation=HERE, is_only_read=True)
    assert len(reader.everything()) == 50
    reader.close()
    assert copied == [cut]
    assert cut.read_bytes() == before
