"""Files as earlier versions wrote them; they are never made anew."""

import json
import shutil
from pathlib import Path

import pytest

from carelog.domain.entry import content_hash
from carelog.store.exchange import StoredExchange
from carelog.store.opening import check_file
from tests.store.making import fresh, opened

VERSIONS = Path(__file__).parent / "versions"
ONE = VERSIONS / "1"
WRITTEN = [tuple(row) for row in json.loads((ONE / "entries.json").read_text(encoding="utf-8"))]
"""Place, id, content hash, link and writer of each entry, as version 1 wrote them: frozen for ever."""


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return Path(shutil.copy(ONE / "record.carelog", tmp_path))


@pytest.mark.parametrize("name", ["record.carelog", "copy.carelog"])
def test_a_record_and_a_copy_of_version_1_are_read_as_sound(name: str, tmp_path: Path) -> None:
    file = Path(shutil.copy(ONE / name, tmp_path))
    assert check_file(file) == (len(WRITTEN), [])


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
