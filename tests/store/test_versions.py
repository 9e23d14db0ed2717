"""Files as earlier versions wrote them; they are never made anew."""

import errno
import json
import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.app.drafts import DraftFile
from carelog.app.settings import SettingsFile
from carelog.domain.entry import content_hash
from carelog.domain.trouble import Trouble
from carelog.store import upgrades
from carelog.store.backup import back_up, restore
from carelog.store.engine import Connect, plain_connect
from carelog.store.exchange import StoredExchange
from carelog.store.opening import check_file
from carelog.store.tables import VERSION
from tests.faults.upgrading import counted, in_a_child
from tests.store.making import entry, fresh, opened

VERSIONS = Path(__file__).parent / "versions"
ONE = VERSIONS / "1"


FOLDERS = sorted(VERSIONS.iterdir())
"""One an earlier version; `python -m tests.store.freeze` keeps one more, before the schema changes."""


def written_in(folder: Path) -> list[tuple[object, ...]]:
    """The entries of an earlier version, as it wrote them."""
    return [tuple(row) for row in json.loads((folder / "entries.json").read_text(encoding="utf-8"))]


WRITTEN = written_in(ONE)
"""Place, id, content hash, link and writer of each entry, as version 1 wrote them: frozen for ever."""


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return Path(shutil.copy(ONE / "record.carelog", tmp_path))


def test_every_earlier_version_is_kept() -> None:
    assert {int(each.name) for each in FOLDERS} >= set(range(1, VERSION))


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
@pytest.mark.parametrize("name", ["record.carelog", "copy.carelog"])
def test_a_record_and_a_copy_of_an_earlier_version_are_read_as_sound(
    name: str, folder: Path, tmp_path: Path
) -> None:
    file = Path(shutil.copy(folder / name, tmp_path))
    assert check_file(file) == (len(written_in(folder)), [])


def test_the_hash_of_each_line_of_version_1_is_frozen(record: Path) -> None:
    one = opened(record)
    found = {entry.id: content_hash(entry) for entry in one.everything()}
    one.close()
    assert found == {id_: written for _, id_, written, _, _ in WRITTEN}


def test_an_exchange_file_of_version_1_gives_the_same_entries_and_the_same_bytes(tmp_path: Path) -> None:
    file = (ONE / "exchange.jsonl").read_bytes()
    new = fresh(tmp_path / "new.carelog")
    assert StoredExchange().merge(file.splitlines(keepends=True), new).added == len(WRITTEN)
    written = b"".join(StoredExchange().write(new, new.everything(), 0))
    assert written.split(b"\n")[1:] == file.split(b"\n")[1:]
    assert json.loads(written.split(b"\n")[0])["version"] == 1
    new.close()


def test_the_id_of_a_line_without_one_is_frozen(tmp_path: Path) -> None:
    heading = b'{"format": "carelog-exchange", "version": 1}\n'
    line = b'{"kind": "suction", "at": "2026-11-02T08:00:00Z", "details": {"amount": "small"}}\n'
    new = fresh(tmp_path / "new.carelog")
    StoredExchange().merge([heading, line, line], new)
    assert sorted(each.id for each in new.everything()) == IDS
    new.close()


IDS = ["6430f274-b2d2-5d55-886f-708be87b5715", "cc2156b2-26b4-5ce0-b241-d79fd26cdf8d"]


# The upgrade ------------------------------------------------------------------------------------------

SHAPE = "SELECT type, name, sql FROM sqlite_master ORDER BY type, name"


def shape(file: Path) -> list[tuple[str, ...]]:
    """Every table, index and trigger with its declaration, and the file's marks."""
    with closing(sqlite3.connect(file)) as plain:
        marks = [(name, *plain.execute(f"PRAGMA {name}").fetchone()) for name in MARKS]
        return [*plain.execute(SHAPE), *marks]


MARKS = ("application_id", "user_version")


def version(file: Path) -> int:
    return int.from_bytes(file.read_bytes()[60:64], "big")


def rows(file: Path) -> list[tuple[object, ...]]:
    """The entries as they lie in the file, in the order of arrival, with hash, link and writer."""
    with closing(sqlite3.connect(file)) as plain:
        return list(
            plain.execute("SELECT arrival, id, content_hash, link, installation FROM entry ORDER BY arrival")
        )


def kept(record: Path) -> list[Path]:
    return sorted(record.parent.glob("record.version-1*.carelog"))


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_record_of_an_earlier_version_becomes_what_a_new_one_is_and_no_hash_changes(
    folder: Path, tmp_path: Path
) -> None:
    record = Path(shutil.copy(folder / "record.carelog", tmp_path))
    new = fresh(tmp_path / "new.carelog")
    new.append([entry(90)])
    new.close()
    assert version(record) == int(folder.name) <= VERSION
    one = opened(record)
    one.append([entry(90)])
    assert one.check() == []
    one.close()
    assert shape(record) == shape(tmp_path / "new.carelog")
    assert rows(record)[:-1] == written_in(folder)
    tables = [row for row in shape(record) if row[0] == "table"]
    assert len(tables) >= 3
    assert all(" STRICT" in str(row[2]) for row in tables)


def test_the_original_is_kept_as_it_was(record: Path) -> None:
    before = rows(record)
    one = opened(record)
    one.append([entry(90)])
    one.close()
    (original,) = kept(record)
    assert version(original) == 1
    assert rows(original) == before
    assert check_file(original) == (len(WRITTEN), [])


def test_who_only_reads_changes_nothing(record: Path) -> None:
    before = record.read_bytes()
    one = opened(record)
    assert len(one.everything()) == len(WRITTEN)
    assert one.quick_check() == one.check() == one.check_newest() == []
    one.close()
    assert record.read_bytes() == before
    assert kept(record) == []


def test_the_way_back_from_a_copy_of_version_1_makes_a_record_of_this_one(tmp_path: Path) -> None:
    back = tmp_path / "back.carelog"
    before = (ONE / "copy.carelog").read_bytes()
    assert restore(ONE / "copy.carelog", back) == len(WRITTEN)
    assert version(back) == VERSION
    assert rows(back) == WRITTEN
    assert check_file(back) == (len(WRITTEN), [])
    assert (ONE / "copy.carelog").read_bytes() == before


def test_a_copy_of_a_record_of_version_1_stays_one(record: Path, tmp_path: Path) -> None:
    assert back_up(record, tmp_path / "copy.carelog") == len(WRITTEN)
    assert version(tmp_path / "copy.carelog") == 1


REPLACING = [
    "INSERT OR REPLACE INTO heading (name, value) VALUES ('person_name', 'Somebody Else')",
    "INSERT OR REPLACE INTO installation (number, id) VALUES (1, 'another')",
]


@pytest.mark.parametrize("statement", REPLACING)
def test_what_version_2_is_for(record: Path, statement: str) -> None:
    """What version 1 let be replaced (the control) isn't any more."""
    old = Path(shutil.copy(record, record.with_name("old.carelog")))
    with closing(sqlite3.connect(old)) as plain:
        plain.execute(statement)
    one = opened(record)
    one.append([entry(90)])
    one.close()
    with closing(sqlite3.connect(record)) as plain, pytest.raises(sqlite3.IntegrityError):
        plain.execute(statement)


def saved(file: Path, connect: Connect = plain_connect) -> None:
    with closing(opened(file, connect=connect)) as one:
        one.append([entry(90)])


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_killed_at_20_points_it_is_done_by_the_next_start_and_nothing_is_lost(
    record: Path, tmp_path: Path
) -> None:
    seen: list[str] = []
    saved(Path(shutil.copy(record, tmp_path / "whole.carelog")), counted(0, seen))
    assert any("heading_once" in statement for statement in seen)
    kills = 0
    for number in range(20):
        folder = tmp_path / str(number)
        folder.mkdir()
        file = Path(shutil.copy(record, folder / "record.carelog"))
        limit = 1 + number * (len(seen) - 1) // 19
        kills += in_a_child(lambda file=file, limit=limit: saved(file, counted(limit, [])))  # type: ignore[misc]
        assert version(file) in (1, VERSION)
        saved(file)
        assert version(file) == VERSION
        assert rows(file)[: len(WRITTEN)] == WRITTEN
        assert check_file(file) == (len(WRITTEN) + 1, [])
        assert [check_file(each)[1] for each in kept(file)] == [[]] * len(kept(file))
        assert kept(file)
    assert kills == 20


def test_a_record_that_cannot_be_upgraded_is_written_to_as_before(
    record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk, or a folder that takes no second file, keeps nobody from saving an entry."""

    def full(_path: Path, _make: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(upgrades, "placed", full)
    saved(record)
    assert version(record) == 1
    assert kept(record) == []
    assert check_file(record) == (len(WRITTEN) + 1, [])
    monkeypatch.undo()
    saved(record)
    assert version(record) == VERSION


def test_what_an_earlier_try_left_that_cannot_be_read_is_no_copy(record: Path) -> None:
    left = record.with_name("record.version-1.carelog")
    left.write_bytes(b"cut off by a power cut" * 100)
    saved(record)
    assert version(record) == VERSION
    (copy,) = (file for file in kept(record) if file != left)
    assert check_file(copy) == (len(WRITTEN), [])


def test_a_spoiled_record_of_version_1_is_not_upgraded(record: Path) -> None:
    content = record.read_bytes()
    assert b"left for the next" in content
    record.write_bytes(content.replace(b"left for the next", b"left for the text"))
    before = record.read_bytes()
    with pytest.raises(Trouble):
        saved(record)
    assert record.read_bytes() == before
    assert kept(record) == []


# What lies beside a record ------------------------------------------------------------------------------


def test_settings_of_version_1_are_read_and_what_is_not_known_is_kept(tmp_path: Path) -> None:
    file = SettingsFile(Path(shutil.copy(ONE / "settings.json", tmp_path)))
    found = file.read()
    assert (found.palette, found.text_percent, found.recorder, found.window.width) == (
        "night",
        150,
        "AB",
        1100,
    )
    content = json.loads(file.path.read_text())
    file.path.write_text(json.dumps({**content, "version": 7, "of_later": [1], "palette": "day"}))
    file.write(file.read()._replace(text_percent=175))
    written = json.loads(file.path.read_text())
    assert written["of_later"] == [1]
    assert written["version"] == 7
    assert (written["palette"], written["text_percent"]) == ("day", 175)


def test_a_draft_of_version_1_is_read_and_what_is_not_known_is_kept(tmp_path: Path) -> None:
    file = DraftFile(Path(shutil.copy(ONE / "draft.json", tmp_path)))
    found = file.read()
    assert found is not None
    assert found.forms[0].typed == {"colour": "cream", "note": "half a"}
    assert found.forms[0].tried == entry(50, details={"colour": "cream"})
    assert found.presses == (entry(51, details={"amount": "small"}),)
    later = replace(found, more={"of_later": 1}, forms=(replace(found.forms[0], more={"also": [2]}),))
    DraftFile(file.path).write(later, 0)
    again = DraftFile(file.path)
    assert again.read() is not None
    again.write(found, 0)  # as a window of today does, which knows nothing of them
    kept_draft = DraftFile(file.path).read()
    assert kept_draft is not None
    assert kept_draft.more == {"of_later": 1}
    assert kept_draft.forms[0].more == {"also": [2]}
