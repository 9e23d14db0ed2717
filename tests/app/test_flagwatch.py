"""The outlook's flags: those of a replay of the whole record, also after another start."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from carelog.analysis.flags.period import flags
from carelog.app.demo import demo_entries
from carelog.app.flagwatch import file_beside
from carelog.app.outlook import Outlook
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, HOUR, Moment
from tests.app.books import START, Desk, desk_in

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
WEEK = 7 * DAY_24_H


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = desk_in(tmp_path)
    yield desk
    desk.record.close()


def replayed(desk: Desk, now: int) -> tuple[Flag, ...]:
    """The flags of now, by reading everything."""
    return tuple(flags(desk.record.everything(), now - WEEK, now, live_now=now))


def test_before_it_is_asked_for_nothing_is_known_of_flags(desk: Desk) -> None:
    assert Outlook(desk.record).picture(START).flags is None


def test_flags_follow_what_is_saved_and_told(desk: Desk) -> None:
    outlook = Outlook(desk.record)
    outlook.watch()
    assert outlook.picture(START).flags == ()
    outlook.add([desk.book.record("suction", {"blood": "fresh"}, "AB")])
    (flag,) = outlook.picture(START + 1).flags or ()
    assert (flag.rule, flag.cleared_at) == ("blood", None)
    desk.clock.instant += HOUR
    outlook.add([desk.book.record("seen", {"rule": "blood", "told": "the team"}, "AB")])
    now = desk.clock.instant + 1
    (flag,) = outlook.picture(now).flags or ()
    assert flag.cleared_by == "entry"
    assert outlook.picture(now).flags == replayed(desk, now)


def test_another_start_goes_on_without_reading_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = desk_in(tmp_path)
    desk.record.append(demo_entries(NOW))
    first = Outlook(desk.record)
    first.watch(file_beside(desk.record.path))
    assert first.picture(NOW).flags == replayed(desk, NOW)
    first.save()
    desk.clock.instant = NOW + HOUR
    desk.book.record("suction", {"blood": "fresh"}, "AB")
    expected = replayed(desk, NOW + 2 * HOUR)
    monkeypatch.setattr(desk.record, "everything", lambda: pytest.fail("read everything again"))
    again = Outlook(desk.record)
    again.watch(file_beside(desk.record.path))
    assert again.picture(NOW + 2 * HOUR).flags == expected
    assert "blood" in [flag.rule for flag in expected]
    desk.record.close()


@pytest.mark.parametrize("damage", ["other file", "cut", "gone", "nonsense"])
def test_a_state_that_does_not_fit_is_passed_over(damage: str, desk: Desk, tmp_path: Path) -> None:
    outlook = Outlook(desk.record)
    outlook.watch(file := file_beside(desk.record.path))
    outlook.add([desk.book.record("suction", {"blood": "fresh"}, "AB")])
    outlook.picture(START + 1)
    outlook.refresh()
    outlook.save()
    assert file.stat().st_mode & 0o077 == 0
    if damage == "other file":
        (tmp_path / "other").mkdir()
        other = desk_in(tmp_path / "other")
        other.book.record("mouth_care", {}, "AB")
        kept = file.read_bytes()
        file_beside(other.record.path).write_bytes(kept)
        seen = Outlook(other.record)
        seen.watch(file_beside(other.record.path))
        assert seen.picture(START + 2).flags == ()
        other.record.close()
        return
    content = {"cut": file.read_bytes()[:60], "nonsense": b"\x00" * 99, "gone": b""}[damage]
    file.write_bytes(content)
    again = Outlook(desk.record)
    again.watch(file)
    assert again.picture(START + 2).flags == replayed(desk, START + 2)
    assert [flag.rule for flag in again.picture(START + 2).flags or ()] == ["blood"]


def test_a_folder_that_takes_no_file_stops_nothing(desk: Desk, tmp_path: Path) -> None:
    outlook = Outlook(desk.record)
    (tmp_path / "file").touch()
    outlook.watch(tmp_path / "file" / "inside")
    outlook.add([desk.book.record("mouth_care", {}, "AB")])
    outlook.picture(START + 1)
    outlook.save()
    assert not (tmp_path / "file" / "inside").exists()
