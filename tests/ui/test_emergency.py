"""The emergency page opens whatever state the record is in, and says from when its data are."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QWidget

from carelog.app.backups import name_of
from carelog.app.lock import Holder
from carelog.domain.moment import HOUR
from carelog.domain.record import PersonHeading
from carelog.store.backup import back_up
from carelog.store.opening import open_record
from carelog.ui.access import Stage
from carelog.ui.emergency import handing
from carelog.ui.sheet import printing
from tests.sheet.pages import running
from tests.ui.conftest import Opened, Opener, places_in
from tests.ui.household import NOW, Memory, household

PERSON = PersonHeading("10000000-0000-7000-8000-000000000000", "Made-up Person")
Opens = Callable[[Path], Opened]
FIRST = [
    "Call",
    "emergency, 555-0100\nward team, Imke Dorsett, 555-0142",
    "Emergency plan",
    "Sit up. Suction. Call 555-0100.",
]


def record_in(folder: Path, *, with_backup: bool = True) -> Path:
    """A real record of the household, and beside it a backup of two hours ago."""
    places = places_in(folder)
    record = open_record(places.record, installation="test", create=PERSON)
    record.append(household().everything())
    record.close()
    if with_backup:
        places.backups.mkdir()
        back_up(places.record, places.backups / name_of(PERSON, "", NOW - 2 * HOUR))
    return places.record


def newer(content: bytes) -> bytes:
    """A record of a program that is newer than this one."""
    with closing(sqlite3.connect(":memory:")) as database:
        database.deserialize(content)
        database.execute("PRAGMA user_version = 9999")
        return bytes(database.serialize())


def put_a_folder(path: Path) -> None:
    """A folder where the record was."""
    path.unlink()
    path.mkdir()


STATES: dict[str, Callable[[Path], object]] = {
    "damaged": lambda path: path.write_bytes(path.read_bytes()[:100] + bytes(path.stat().st_size - 100)),
    "empty": lambda path: path.write_bytes(b""),
    "text": lambda path: path.write_text("shopping list"),
    "written by a newer program": lambda path: path.write_bytes(newer(path.read_bytes())),
    "gone": lambda path: path.unlink(),
    "a folder": put_a_folder,
}


def shown(opened: Opened) -> list[str]:
    """All texts on the emergency page, from the top."""
    page = opened.shown()
    assert opened.window.page() == "emergency"
    return [label.text() for label in page.findChildren(QLabel) if label.isVisibleTo(page)]


@pytest.mark.parametrize("harm", STATES.values(), ids=STATES)
def test_whatever_became_of_the_record_the_page_shows_its_newest_backup_and_of_when(
    on_disk: Opens, tmp_path: Path, harm: Callable[[Path], object]
) -> None:
    path = record_in(tmp_path)
    harm(path)
    opened = on_disk(path)
    assert opened.window.desk.access.stage in (Stage.MISSING, Stage.FAILED)
    opened.press("go_emergency")
    opened.wait(lambda: len(shown(opened)) > 6)
    words = shown(opened)
    assert words[0] == "From a copy that holds all up to yesterday 23:40. It may be out of date."
    assert words[1:5] == FIRST
    assert "your country's emergency number" not in words
    assert words[-2:] == ["Recorded up to", "Wednesday 25\N{NO-BREAK SPACE}November 2026, 23:40"]


def test_a_record_that_another_window_holds_leaves_the_page_its_backup(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    path.rename(path.with_suffix(".kept"))
    opened = on_disk(path)
    opened.rest.ask_over(Holder("elsewhere", 1, NOW - HOUR), None)
    opened.press("go_emergency")
    opened.wait(lambda: len(shown(opened)) > 6)
    assert shown(opened)[0].startswith("From a copy that holds all up to")


@pytest.mark.parametrize("harm", STATES.values(), ids=STATES)
def test_without_any_backup_the_page_says_so_and_shows_nothing_of_its_own(
    on_disk: Opens, tmp_path: Path, harm: Callable[[Path], object]
) -> None:
    path = record_in(tmp_path, with_backup=False)
    harm(path)
    opened = on_disk(path)
    opened.press("go_emergency")
    asked: list[bool] = []
    opened.window.desk.access.reader.ask(lambda: True, asked.append, pytest.fail)
    opened.wait(lambda: bool(asked))
    number = ["Emergency number", "your country's emergency number"]
    expected = [*number, "Not readable here: use the plan on paper."]
    if opened.window.desk.access.stage is Stage.MISSING:
        expected = ["Nothing recorded yet: your country's emergency number"]
    assert shown(opened) == expected


def test_a_record_that_can_be_read_is_shown_itself_and_its_backup_is_not(
    on_disk: Opens, tmp_path: Path
) -> None:
    """The control of the fallback."""
    opened = on_disk(record_in(tmp_path))
    opened.press("go_emergency")
    words = shown(opened)
    assert not any("backup" in each for each in words)
    assert words[:4] == FIRST
    assert words[-2] == "Recorded up to"


@pytest.mark.parametrize("percent", [100, 200])
def test_whom_to_call_and_the_plan_are_above_the_fold_of_a_small_window(opened: Opened, percent: int) -> None:
    opened.window.preferences.change(text_percent=percent)
    opened.press("go_emergency")

    def found() -> list[QLabel]:
        page = opened.shown()
        return [label for label in page.findChildren(QLabel) if label.isVisibleTo(page)]

    def is_whole(label: QLabel) -> bool:
        return label.visibleRegion().boundingRect() == label.rect()

    opened.wait(lambda: len(found()) > 4 and all(map(is_whole, found()[:4])))
    labels = found()
    assert opened.window.height() == 600
    below = [label.text() for label in labels[4:]]
    assert "not recorded" in below
    assert "not recorded" not in [label.text() for label in labels[:4]]


def test_no_reminder_stands_above_the_emergency_page_and_it_comes_back_beside_others(opened: Opened) -> None:
    band = opened.window.findChild(QWidget, "reminder_band")
    assert band is not None
    opened.clock.instant += 24 * HOUR
    opened.window.tick()
    opened.wait(band.isVisible)
    opened.press("go_emergency")
    assert not band.isVisible()
    opened.window.tick()
    opened.come_to_rest()
    assert not band.isVisible()
    opened.window.go("board")
    assert band.isVisible()


def test_the_page_is_printed_from_the_record_and_from_a_backup(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed: list[list[tuple[str, str]]] = []

    def print_pages(_window: QWidget, pages: printing.TextPages, _name: str) -> str:
        printed.append(pages._texts)
        return "Sent to the printer."

    monkeypatch.setattr(printing, "print_pages", print_pages)
    path = record_in(tmp_path)
    opened = on_disk(path)
    opened.press("go_emergency")
    opened.press("print_emergency")
    assert "Sent to the printer." in shown(opened)
    opened.window.close()
    path.unlink()
    opened = on_disk(path)
    opened.press("go_emergency")
    opened.wait(lambda: len(shown(opened)) > 6)
    opened.press("print_emergency")
    assert len(printed) == 2
    assert all(texts[0] == (FIRST[0], FIRST[1]) and texts[1] == (FIRST[2], FIRST[3]) for texts in printed)


def print_hand_over(opened: Opened, is_done: Callable[[], bool]) -> None:
    """Two presses."""
    opened.press("go_emergency")
    opened.wait(lambda: len(shown(opened)) > 6)
    opened.press("print_handover")
    opened.wait(is_done)
    assert "Sent to the printer." in shown(opened)


def test_the_hand_over_is_printed_in_two_presses_from_the_record_and_from_a_backup(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed: list[str] = []

    def print_pages(_window: QWidget, pages: printing.PdfPages, _name: str) -> str:
        printed.append(running(pages._pdf))
        return "Sent to the printer."

    monkeypatch.setattr(handing, "print_pages", print_pages)
    path = record_in(tmp_path)
    opened = on_disk(path)
    print_hand_over(opened, lambda: len(printed) == 1)
    opened.window.close()
    path.unlink()
    print_hand_over(on_disk(path), lambda: len(printed) == 2)
    assert all("Can air pass by mouth and nose?" in each for each in printed)
    assert printed[0].split("Check code")[0] == printed[1].split("Check code")[0]


def test_a_record_without_entries_has_the_countrys_number_first(opener: Opener) -> None:
    opened = opener(Memory())
    opened.press("go_emergency")
    assert shown(opened)[0] == "Nothing recorded yet: your country's emergency number"


def test_the_page_has_its_own_name_for_whoever_cannot_see_it(opened: Opened) -> None:
    opened.press("go_emergency")
    assert opened.window.focusWidget().accessibleName() == "Emergency page"
