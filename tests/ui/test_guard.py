"""The window and its file: damaged, moved, replaced, in a bad place; a control that is silent for each."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.app.backups import name_of
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE
from carelog.domain.record import PersonHeading
from carelog.store.backup import back_up
from carelog.store.opening import check_file, open_record
from carelog.ui.desk import Stage
from carelog.ui.slip import State
from tests.ui.conftest import Opened, places_in
from tests.ui.household import NOW, Numbered, household

PERSON = PersonHeading("10000000-0000-7000-8000-000000000000", "Made-up Person")
PAGE = 4096
Opens = Callable[[Path], Opened]


def record_in(folder: Path) -> Path:
    """A record of a household, some hundred old entries, a copy of an hour ago and one entry since."""
    places = places_in(folder)
    path = places.record
    record = open_record(path, installation="test", create=PERSON)
    entries, number = household().everything(), Numbered()
    last = entries[-1]
    old = [
        replace(
            last,
            id=number(each).replace("7000-8000", "7000-9000"),
            kind="note",
            details={},
            note="old " * 20,
            at=replace(last.at, instant=NOW - 700 * DAY_24_H + each * MINUTE),
            recorded_at=NOW - 700 * DAY_24_H + each * MINUTE,
        )
        for each in range(300)
    ]
    record.append([*old, *entries])
    places.backups.mkdir()
    back_up(path, places.backups / name_of(PERSON, NOW - HOUR))
    since = replace(last, id="30000000-0000-7000-8000-000000000001", recorded_at=NOW - MINUTE)
    record.append([since])
    record.close()
    return path


def damage(path: Path) -> bytes:
    """Overwrite the page of an old entry, and return what the file holds then."""
    content = bytearray(path.read_bytes())
    start = content.index(b"old old") // PAGE * PAGE
    content[start : start + 64] = bytes(64)
    path.write_bytes(content)
    return bytes(content)


def beside(path: Path) -> list[Path]:
    """What was set aside."""
    return list(path.parent.glob("*.damaged-*.carelog"))


def test_a_damaged_record_is_told_of_never_written_to_and_its_newest_copy_offered(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    content = damage(path)
    opened = on_disk(path)
    band = opened.house.guard.band
    opened.wait(lambda: "it lacks: " in band.words())
    assert "“record.carelog” is damaged: nothing is written to it" in band.words()
    assert "readable entries that it lacks: 1." in band.words()
    slip = opened.window.desk.press("mouth_care", {})
    if opened.window.desk.is_open():
        opened.wait(lambda: slip.state is State.FAILED)
    assert slip.state is not State.SAVED
    assert path.read_bytes() == content
    opened.press("take_copy")
    opened.wait(lambda: slip.state is State.SAVED)
    assert [each.read_bytes() for each in beside(path)] == [content]
    count, wrong = check_file(path)
    assert (count, wrong) == (300 + len(household().entries) + 1, [])
    opened.wait(lambda: beside(path)[0].name in opened.house.fault.words().replace("\u200a", ""))
    assert band.words() == ""


def test_a_record_that_is_sound_is_not_called_damaged(on_disk: Opens, tmp_path: Path) -> None:
    """The control: the same window on the same record before it was damaged."""
    path = record_in(tmp_path)
    opened = on_disk(path)
    seen = watched(opened)
    opened.wait(lambda: bool(seen))
    assert seen == [(False, "")]
    assert (opened.house.guard.band.words(), opened.house.fault.words()) == ("", "")
    assert beside(path) == []


def watched(opened: Opened) -> list[tuple[bool, str]]:
    """What the next look at the file finds."""
    guard, seen = opened.house.guard, []
    on_seen = guard._on_seen

    def shown(found: tuple[bool, str]) -> None:
        on_seen(found)
        seen.append(found)

    opened.window.desk.read(guard._seen, shown, lambda sentence: pytest.fail(sentence))
    return seen


@pytest.mark.parametrize("is_replaced", [False, True])
def test_a_record_moved_or_replaced_under_the_window_gets_no_press_until_it_is_back(
    on_disk: Opens, tmp_path: Path, is_replaced: bool
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    desk, band = opened.window.desk, opened.house.guard.band
    opened.wait(lambda: desk.flags is not None)
    away = path.rename(tmp_path / "elsewhere.carelog")
    content = away.read_bytes()
    if is_replaced:
        shutil.copyfile(away, path)
    slip = desk.press("mouth_care", {})
    opened.wait(lambda: slip.state is State.FAILED)
    opened.window.tick()
    opened.wait(lambda: "was moved, renamed or replaced. Nothing is written" in band.words())
    assert away.read_bytes() == content
    if not is_replaced:
        opened.press("open_anew")
        assert "isn't there" in band.words()
        assert (desk.stage, slip.state) == (Stage.OPEN, State.FAILED)
        away.rename(path)
    opened.press("open_anew")
    opened.wait(lambda: slip.state is State.SAVED)
    opened.wait(lambda: band.words() == "")
    record = open_record(path, installation="test")
    assert [entry.id for entry in record.chain([slip.first.id])] == [slip.first.id]
    record.close()


@pytest.mark.parametrize(("folder", "is_warned"), [("Dropbox", True), ("plain", False)])
def test_a_record_in_a_folder_that_is_kept_alike_elsewhere_opens_with_a_warning(
    on_disk: Opens, tmp_path: Path, folder: str, is_warned: bool
) -> None:
    path = record_in(tmp_path / folder)
    opened = on_disk(path)
    seen = watched(opened)
    opened.wait(lambda: bool(seen))
    assert ("keeps the same on several computers" in opened.house.fault.words()) is is_warned
    assert opened.window.desk.is_open()
