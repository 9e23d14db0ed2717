"""Whoever else is on this computer finds nothing of the record outside it and its copies."""

import resource
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.main import main
from carelog.store.opening import open_record
from tests.ui.conftest import Opened
from tests.ui.test_guard import record_in

Opens = Callable[[Path], Opened]
PLANTED = "Zwetschgenkuchen"


def holding(folder: Path) -> list[str]:
    """The files below a folder in which the planted word stands, in either of two ways of writing it."""
    ways = PLANTED.encode(), PLANTED.encode("utf-16-le")
    found = [each for each in folder.rglob("*") if each.is_file() and not each.is_symlink()]
    return sorted(
        str(each.relative_to(folder)) for each in found if any(way in each.read_bytes() for way in ways)
    )


def test_a_word_that_was_recorded_stands_in_the_record_and_its_copies_and_nowhere_else(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, homeless: Path
) -> None:
    shared = tmp_path / "shared"
    shared.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(shared))
    monkeypatch.setenv("TMPDIR", str(shared))
    path = record_in(tmp_path)
    opened = on_disk(path)
    slip = opened.window.desk.slips.press("note", {})
    opened.wait(lambda: not slip.is_unsaved)
    record = open_record(path, installation="elsewhere")
    record.append([replace(slip.entry, id="60000000-0000-7000-8000-000000000009", note=PLANTED)])
    record.close()
    opened.window.tick()
    for page in ("timeline", "flags", "sheet", "copies", "code", "sides", "emergency", "board"):
        opened.window.do(page)
        opened.come_to_rest()
    opened.rest.copies.make()
    opened.wait(lambda: opened.rest.copies.newest is not None)
    opened.window.close()
    found = holding(tmp_path)
    assert "data/record.carelog" in found  # the control
    outside = [each for each in found if not each.endswith(".carelog")]
    assert outside == []
    assert all(each.startswith("data/") for each in found)
    assert holding(homeless) == []
    assert list(shared.iterdir()) == []


def test_a_crash_writes_no_memory_to_a_file() -> None:
    before = resource.getrlimit(resource.RLIMIT_CORE)
    resource.setrlimit(resource.RLIMIT_CORE, (before[1], before[1]))
    main(["--version"])
    assert resource.getrlimit(resource.RLIMIT_CORE) == (0, before[1])
    resource.setrlimit(resource.RLIMIT_CORE, before)
