"""An archive packed by another hand: taken where it is plain what is meant, else refused in a sentence."""

import io
import os
import threading
import zipfile
from pathlib import Path

import pytest

from carelog.domain.trouble import Refused
from carelog.export import unpacked
from carelog.export.unpacked import EXCHANGE, exchange_file

LINES = b'{"format": "carelog-exchange"}\n' * 50


def read(path: Path) -> bytes:
    """The lines of the exchange file in it."""
    with path.open("rb") as file, exchange_file(file) as lines:
        return lines.read()


def packed(path: Path, *names: str, way: int = zipfile.ZIP_DEFLATED) -> Path:
    """An archive with these files, all alike."""
    with zipfile.ZipFile(path, "w", way) as file:
        for name in names:
            file.writestr(name, LINES)
    return path


def test_a_file_that_is_no_archive_is_read_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(LINES)
    assert read(tmp_path / "a") == LINES


@pytest.mark.parametrize("name", [EXCHANGE, f"carelog-2026-11-23/{EXCHANGE}"])
def test_a_folder_that_was_unpacked_and_packed_again_is_taken(tmp_path: Path, name: str) -> None:
    assert read(packed(tmp_path / "a.zip", "README.txt", name)) == LINES


@pytest.mark.parametrize("names", [("README.txt",), (EXCHANGE, f"other/{EXCHANGE}")])
def test_an_archive_without_one_or_with_two_is_refused(tmp_path: Path, names: tuple[str, ...]) -> None:
    with pytest.raises(Refused, match=r"must hold one record\.jsonl"):
        read(packed(tmp_path / "a.zip", *names))


def test_what_a_password_locks_is_refused(tmp_path: Path) -> None:
    path = packed(tmp_path / "a.zip", EXCHANGE)
    content = bytearray(path.read_bytes())
    place = content.rindex(b"PK\x01\x02") + 8  # flags of the entry in the list at the end
    content[place] |= 1
    path.write_bytes(content)
    with pytest.raises(Refused, match="locked with a password"):
        read(path)


@pytest.mark.parametrize("way", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_what_is_packed_in_another_way_is_refused(tmp_path: Path, way: int) -> None:
    with pytest.raises(Refused, match="packed in another way"):
        read(packed(tmp_path / "a.zip", EXCHANGE, way=way))


def test_what_unpacks_to_more_than_any_record_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unpacked, "MOST_BYTES", len(LINES) - 1)
    with pytest.raises(Refused, match="more than any record"):
        read(packed(tmp_path / "a.zip", EXCHANGE))


def test_what_says_a_smaller_size_than_it_has_is_refused(tmp_path: Path) -> None:
    path = packed(tmp_path / "a.zip", EXCHANGE)
    content = bytearray(path.read_bytes())
    place = content.rindex(b"PK\x01\x02") + 24  # the size it says it has
    content[place : place + 4] = (10).to_bytes(4, "little")
    path.write_bytes(content)
    with pytest.raises(Refused, match="damaged"):
        read(path)


@pytest.mark.parametrize("is_archive", [False, True])
def test_a_pipe_gives_lines_and_never_an_archive(tmp_path: Path, is_archive: bool) -> None:
    content = packed(tmp_path / "a.zip", EXCHANGE).read_bytes() if is_archive else LINES
    there, here = os.pipe()

    def write() -> None:
        with io.FileIO(here, "w") as end:
            end.write(content)

    writer = threading.Thread(target=write)
    writer.start()
    with open(there, "rb") as pipe:
        if is_archive:
            with pytest.raises(Refused, match="can't be read from a pipe"), exchange_file(pipe):
                pass
        else:
            with exchange_file(pipe) as lines:
                assert lines.read(20) == LINES[:20]
    writer.join()


def test_trouble_of_whoever_reads_is_not_called_damage(tmp_path: Path) -> None:
    path = packed(tmp_path / "a.zip", EXCHANGE)
    with pytest.raises(KeyError), path.open("rb") as file, exchange_file(file):
        raise KeyError
