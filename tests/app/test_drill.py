"""The restore drill says in one line whether a copy would bring the record back."""

import tempfile
from pathlib import Path

import pytest

from carelog.app.backups import Kept
from carelog.app.drill import EVERY, drill, is_due
from carelog.domain.moment import Home, Moment
from carelog.store.backup import back_up, restore
from tests.app.books import desk_in

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
LONDON = Home("Europe/London")


@pytest.fixture
def copy(tmp_path: Path) -> Kept:
    with desk_in(tmp_path) as desk:
        for _ in range(3):
            desk.book.record("suction", {"colour": "white"}, "AB")
    target = tmp_path / "copy.carelog"
    back_up(desk.record.path, target)
    return Kept(target, Moment.read("2026-06-25T12:00:00Z").instant, target.stat().st_size, "5f6f4e0a", "")


def test_a_good_copy_is_said_to_be_readable_and_leaves_nothing(
    copy: Kept, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shared, own = tmp_path / "shared", tmp_path / "state"
    shared.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(shared))
    monkeypatch.setenv("XDG_STATE_HOME", str(own))
    seen: list[Path] = []

    def looked_at(copy: Path, target: Path) -> int:
        seen.append(target)
        return restore(copy, target)

    done = drill(copy, looked_at, LONDON, NOW)
    assert (done.is_good, done.at) == (True, NOW)
    assert "25\u00a0June\u00a02026, 13:00" in done.words
    assert "all its 3 entries" in done.words
    assert list(shared.iterdir()) == []
    assert seen[0].is_relative_to(own)
    assert list((own / "carelog" / "scratch").iterdir()) == []


def test_a_damaged_copy_is_said_to_fail(copy: Kept) -> None:
    content = copy.path.read_bytes()
    assert b"white" in content
    copy.path.write_bytes(content.replace(b"white", b"green"))
    done = drill(copy, restore, LONDON, NOW)
    assert not done.is_good
    assert "failed" in done.words
    assert "\n" not in done.words


def test_a_disk_without_room_is_not_a_bad_copy(
    copy: Kept, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "state").write_text("no folder")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    done = drill(copy, restore, LONDON, NOW)
    assert not done.is_good
    assert "couldn't be tried" in done.words


def test_it_is_due_each_month(copy: Kept) -> None:
    assert is_due(0, NOW)
    assert not is_due(NOW, NOW + EVERY - 1)
    assert is_due(NOW, NOW + EVERY)
    assert is_due(NOW, NOW - 1)
    assert copy.size > 0
