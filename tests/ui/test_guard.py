"""The window and its file: damaged, moved, replaced, in a bad place; a control that is silent for each."""

import shutil
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from carelog.app.backups import name_of
from carelog.app.drafts import DraftFile
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE
from carelog.domain.record import Damage, PersonHeading
from carelog.store.backup import back_up
from carelog.store.opening import check_file, open_record
from carelog.store.record import StoredRecord
from carelog.ui.access import Stage
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
    back_up(path, places.backups / name_of(PERSON, "", NOW - HOUR))
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
    band = opened.rest.guard.band
    opened.wait(lambda: "it lacks: " in band.words())
    assert "“record.carelog” is damaged: nothing is written to it" in band.words()
    assert "readable entries that it lacks: 1." in band.words()
    slip = opened.window.desk.slips.press("mouth_care", {})
    if opened.window.desk.access.is_open():
        opened.wait(lambda: slip.state is State.FAILED)
    assert slip.state is not State.SAVED
    assert path.read_bytes() == content
    opened.press("take_copy")
    opened.wait(lambda: slip.state is State.SAVED)
    assert [each.read_bytes() for each in beside(path)] == [content]
    count, wrong = check_file(path)
    assert (count, wrong) == (300 + len(household().entries) + 1, [])
    opened.wait(lambda: beside(path)[0].name in opened.rest.fault.words().replace("\u200a", ""))
    assert band.words() == ""


HARMS: dict[str, Callable[[bytes], bytes]] = {
    "all but the beginning is blank": lambda content: content[:100] + bytes(len(content) - 100),
    "the list of tables is blank": lambda content: content[:100] + bytes(PAGE - 100) + content[PAGE:],
    "all but the beginning is noise": lambda content: content[:100] + Random(1).randbytes(len(content) - 100),
    "a stub is left": lambda content: content[:60],
    "the first page is left": lambda content: content[:PAGE],
    "the second half is missing": lambda content: content[: len(content) // 2],
    "the beginning is blank": lambda content: bytes(512) + content[512:],
    "nothing is left": lambda _content: b"",
}


@pytest.mark.parametrize("harm", HARMS.values(), ids=HARMS)
def test_a_record_too_damaged_to_open_is_left_as_it_is_and_its_newest_copy_taken_when_asked(
    on_disk: Opens, tmp_path: Path, harm: Callable[[bytes], bytes]
) -> None:
    path = record_in(tmp_path)
    content = harm(path.read_bytes())
    path.write_bytes(content)
    opened = on_disk(path)
    desk, band = opened.window.desk, opened.rest.guard.band
    assert desk.access.stage is Stage.FAILED
    assert desk.access.trouble.startswith("“record.carelog” is ")
    slip = desk.slips.press("mouth_care", {})
    opened.wait(lambda: "The newest good copy holds all up to" in band.words())
    assert "what it lacks can't be told" in band.words()
    opened.wait(lambda: desk.present.backup is not None)
    assert (path.read_bytes(), slip.state, beside(path)) == (content, State.WAITING, [])
    opened.press("take_copy")
    opened.wait(lambda: slip.state is State.SAVED)
    assert [each.read_bytes() for each in beside(path)] == [content]
    assert check_file(path) == (300 + len(household().entries) + 1, [])


def test_a_foreign_file_is_named_and_no_copy_takes_its_place(on_disk: Opens, tmp_path: Path) -> None:
    """The control: the same window on a database of another program, and on a file elsewhere."""
    path = record_in(tmp_path)
    elsewhere = tmp_path / "letter.carelog"
    path.write_bytes(b"SQLite format 3\0" + bytes(PAGE))
    elsewhere.write_bytes(b"Dear nurse")
    for file in (path, elsewhere):
        opened = on_disk(file)
        assert "is not a carelog record. It was left as it is." in opened.window.desk.access.trouble
        opened.wait(lambda: opened.window.desk.present.backup is not None)  # noqa: B023
        looked: list[bool] = []
        opened.window.desk.access.reader.ask(lambda: True, looked.append, pytest.fail)
        opened.wait(lambda: bool(looked))  # noqa: B023
        assert opened.rest.guard.band.words() == ""
        opened.window.close()


def ids_in(path: Path) -> list[str]:
    """The ids of a record's entries, oldest first."""
    record = open_record(path, installation="test")
    found = [entry.id for entry in record.everything()]
    record.close()
    return found


def test_what_was_saved_added_and_undone_before_a_copy_took_the_place_is_in_it_too(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    before = set(ids_in(path))
    opened = on_disk(path)
    desk, band = opened.window.desk, opened.rest.guard.band
    opened.press("tile_mouth_care")
    opened.wait(lambda: desk.slips.all[0].state is State.SAVED)
    opened.clock.instant += MINUTE
    opened.press("undo")
    opened.wait(lambda: desk.slips.all[0].state is State.UNDONE)
    opened.clock.instant += MINUTE
    opened.press("tile_suction")
    opened.wait(lambda: desk.slips.all[1].state is State.SAVED)
    opened.press("pick_amount_small")
    opened.wait(lambda: desk.slips.all[1].entry.details == {"amount": "small"})
    own = [each for each in ids_in(path) if each not in before]
    assert len(own) == 4
    content = damage(path)
    opened.rest.guard._look()
    opened.wait(lambda: "it lacks: 5." in band.words())
    opened.press("take_copy")
    opened.wait(lambda: band.words() == "" and set(ids_in(path)) >= set(own))
    opened.wait(lambda: desk.slips.all[1].state is State.SAVED)
    assert [each for each in ids_in(path) if each in own] == own
    assert check_file(path)[1] == []
    assert [each.read_bytes() for each in beside(path)] == [content]
    assert [(slip.state, slip.entry.details) for slip in desk.slips.all] == [
        (State.UNDONE, {}),
        (State.SAVED, {"amount": "small"}),
    ]


def test_nothing_of_this_window_goes_into_another_persons_record(on_disk: Opens, tmp_path: Path) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    desk = opened.window.desk
    opened.press("tile_mouth_care")
    opened.wait(lambda: desk.slips.all[0].state is State.SAVED)
    path.unlink()
    other = open_record(path, installation="test", create=PersonHeading(PERSON.id[::-1], "Another"))
    other.append(household().everything())
    other.close()
    content = path.read_bytes()
    opened.window.tick()
    opened.wait(lambda: "moved, renamed or replaced" in opened.rest.guard.band.words())
    opened.press("open_anew")
    opened.wait(lambda: desk.access.stage is Stage.FAILED)
    assert desk.access.trouble.startswith("This file is about somebody else")
    assert path.read_bytes() == content


def test_a_press_that_is_not_saved_yet_is_kept_within_a_second_and_no_longer_once_it_is(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    draft = DraftFile(opened.window.desk.parts.places.draft(path))
    away = path.rename(tmp_path / "elsewhere.carelog")
    slip = opened.window.desk.slips.press("mouth_care", {})
    opened.wait(lambda: draft.path.exists())
    kept = draft.read()
    assert kept is not None
    assert kept.presses == (slip.first,)
    away.rename(path)
    opened.window.desk.slips.try_again()
    opened.wait(lambda: slip.state is State.SAVED)
    opened.wait(lambda: not draft.path.exists())


def test_a_record_that_is_sound_is_not_called_damaged(on_disk: Opens, tmp_path: Path) -> None:
    """The control: the same window on the same record before it was damaged."""
    path = record_in(tmp_path)
    opened = on_disk(path)
    seen = watched(opened)
    opened.wait(lambda: bool(seen))
    assert seen == [(False, "")]
    assert (opened.rest.guard.band.words(), opened.rest.fault.words()) == ("", "")
    assert beside(path) == []


def watched(opened: Opened) -> list[tuple[bool, str]]:
    """What the next look at the file finds."""
    guard, seen = opened.rest.guard, []
    on_seen = guard._on_seen

    def shown(found: tuple[bool, str]) -> None:
        on_seen(found)
        seen.append(found)

    opened.window.desk.access.read(guard._seen, shown, lambda sentence: pytest.fail(sentence))
    return seen


@pytest.mark.parametrize("is_replaced", [False, True])
def test_a_record_moved_or_replaced_under_the_window_gets_no_press_until_it_is_back(
    on_disk: Opens, tmp_path: Path, is_replaced: bool
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    desk, band = opened.window.desk, opened.rest.guard.band
    opened.wait(lambda: desk.present.flags is not None)
    away = path.rename(tmp_path / "elsewhere.carelog")
    content = away.read_bytes()
    if is_replaced:
        shutil.copyfile(away, path)
    slip = desk.slips.press("mouth_care", {})
    opened.wait(lambda: slip.state is State.FAILED)
    opened.window.tick()
    opened.wait(lambda: "was moved, renamed or replaced. Nothing is written" in band.words())
    assert away.read_bytes() == content
    if not is_replaced:
        opened.press("open_anew")
        assert "isn't there" in band.words()
        assert (desk.access.stage, slip.state) == (Stage.OPEN, State.FAILED)
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
    assert ("keeps the same on several computers" in opened.rest.fault.words()) is is_warned
    assert opened.window.desk.access.is_open()


def test_what_is_found_out_of_a_file_is_not_said_of_the_one_that_took_its_place(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_answer, asked, check = threading.Event(), list[StoredRecord](), StoredRecord.quick_check

    def slow_at_first(record: StoredRecord) -> list[Damage]:
        asked.append(record)
        if len(asked) > 1:
            return check(record)
        may_answer.wait(60)
        return [Damage("the file", "made up")]

    monkeypatch.setattr(StoredRecord, "quick_check", slow_at_first)
    opened = on_disk(record_in(tmp_path))
    opened.wait(lambda: len(asked) == 1)
    opened.rest.guard._open_anew()
    opened.wait(lambda: opened.window.desk.access.stage is Stage.OPEN)
    may_answer.set()
    opened.wait(lambda: len(asked) == 2)
    opened.pause()
    assert opened.rest.guard.band.words() == ""
