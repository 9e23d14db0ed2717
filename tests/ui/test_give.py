"""Giving somebody the record from the window: for whom, which days; what lies in the file is said before."""

import threading
import zipfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pytest
from pypdfium2 import PdfDocument
from PySide6.QtWidgets import QFileDialog, QWidget

from carelog.domain.paper import Cancelled
from carelog.seal.magic import is_envelope
from carelog.ui import files, repeats
from carelog.ui.give.page import READERS, GivePage
from carelog.ui.words import Words, breakable
from tests.ui.conftest import Opened
from tests.ui.test_guard import record_in


def words(opened: Opened) -> str:
    """All that can be read on the page that is open."""
    told = "\n".join(each.text() for each in opened.window.findChildren(Words) if each.isVisible())
    return told.replace(breakable("x" * 24)[-1], "")  # where a long name may be broken


def is_told(opened: Opened, name: str) -> bool:
    """Whether the page says that a file of this name was written."""
    return f"{name}." in words(opened).partition(" written to ")[2]


@pytest.fixture
def page(on_disk: Callable[[Path], Opened], tmp_path: Path) -> tuple[Opened, GivePage]:
    opened = on_disk(record_in(tmp_path))
    opened.press("go_sheet")
    opened.press("go_give")
    found = opened.window.stack.currentWidget()
    assert isinstance(found, GivePage)
    return opened, found


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.form)
def test_each_choice_says_before_what_the_file_holds_and_writes_it(
    page: tuple[Opened, GivePage], tmp_path: Path, reader: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, found = page
    form, holds, suffix = (getattr(reader, name) for name in ("form", "holds", "suffix"))
    target, suggested = tmp_path / f"out{suffix}", list[str]()

    def chosen(asked: QFileDialog) -> Path:
        suggested.append(Path(asked.selectedFiles()[0]).name)
        assert asked.defaultSuffix() == suffix.removeprefix("."), "a name that is typed gets it"
        return target

    monkeypatch.setattr(files, "_chosen", chosen)
    opened.press(f"pick_give_to_{form}")
    opened.press("pick_give_days_0")
    assert holds in words(opened)
    assert "Whoever finds it can read it" in words(opened)
    opened.press("give_save")
    opened.wait(lambda: "written to" in words(opened))
    assert target.exists()
    assert "Made-up" not in suggested[0]
    assert found.request().form == form


def test_the_last_seven_days_begin_at_midnight_at_home(page: tuple[Opened, GivePage]) -> None:
    opened, found = page
    request = found.request()
    home, now = opened.window.desk.present.home(), opened.window.desk.present.now()
    assert request.since is not None
    assert home.start_of(home.day(request.since)) == request.since
    assert (home.day(now) - home.day(request.since)).days == 6


def test_who_takes_it_in_again_is_given_all_of_it_unless_somebody_chose_otherwise(
    page: tuple[Opened, GivePage],
) -> None:
    opened, found = page
    for form in ("zip", "exchange"):
        opened.press(f"pick_give_to_{form}")
        assert opened.find("pick_give_days_0").isChecked()
        assert found.request().since is None
    opened.press("pick_give_to_fhir")
    assert opened.find("pick_give_days_7").isChecked()
    opened.press("pick_give_days_28")
    opened.press("pick_give_to_zip")
    assert opened.find("pick_give_days_28").isChecked()


@pytest.mark.parametrize("percent", [100, 200])
def test_what_came_of_it_is_seen_on_a_small_screen_without_scrolling(
    page: tuple[Opened, GivePage], tmp_path: Path, percent: int
) -> None:
    opened, found = page
    opened.window.preferences.change(text_percent=percent)
    opened.press("pick_give_to_exchange")
    opened.press("give_lock")
    opened.find("give_passphrase").setText("a horse, a staple")
    found.give_to(tmp_path / "out")
    opened.wait(lambda: is_told(opened, "out"))
    telling = next(each for each in opened.window.findChildren(Words) if " written to " in each.text())
    assert telling.visibleRegion().boundingRect().height() == telling.height()


def test_a_place_that_cant_be_written_gets_its_sentence(
    page: tuple[Opened, GivePage], tmp_path: Path
) -> None:
    opened, found = page
    found.give_to(tmp_path / "no" / "such" / "folder" / "out.html")
    opened.wait(lambda: "can't be written" in words(opened))


def test_an_archive_from_the_window_holds_the_exchange_file(
    page: tuple[Opened, GivePage], tmp_path: Path
) -> None:
    opened, found = page
    opened.press("pick_give_to_zip")
    opened.press("pick_give_days_0")
    found.give_to(tmp_path / "all.zip")
    opened.wait(lambda: "written to" in words(opened))
    assert "record.jsonl" in zipfile.ZipFile(tmp_path / "all.zip").namelist()


def test_a_second_archive_asked_for_from_the_same_page_comes_too(
    page: tuple[Opened, GivePage], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, _found = page
    opened.press("pick_give_to_zip")
    opened.press("pick_give_days_0")
    for name in ("one.zip", "two.zip", "three.zip"):
        monkeypatch.setattr(files, "_chosen", Mock(return_value=tmp_path / name))
        opened.press("give_save")
        opened.wait(partial(is_told, opened, name))
        assert zipfile.ZipFile(tmp_path / name).testzip() is None


def test_who_is_given_it_stays_chosen_when_pressed_again_and_so_stay_the_days_and_the_lock(
    page: tuple[Opened, GivePage], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, found = page
    monkeypatch.setattr(repeats, "SAME_PRESS", 0)
    for name in ("give_to_zip", "give_days_28"):
        opened.press(f"pick_{name}")
        opened.press(f"pick_{name}")
        assert opened.find(f"pick_{name}").isChecked()
    opened.press("give_lock")
    before = found.request()
    opened.press("pick_give_to_zip")
    opened.press("pick_give_days_28")
    assert found.request() == before
    assert before.form == "zip"
    assert found.is_locked()
    assert before.since is not None


class Slow:
    """A giver that writes its file part by part until it is let go or stopped."""

    def __init__(self) -> None:
        self.may_end = threading.Event()
        self.parts = 0

    def __call__(self, _request: object, _record: object, file: Path, *given: Any) -> int:
        _now, progress, is_cancelled = given
        while not self.may_end.wait(0.01):
            if is_cancelled():
                raise Cancelled("The export was stopped; nothing was written.")
            progress(self.parts)
            self.parts += 1
        file.write_bytes(b"whole")
        return 1


@pytest.fixture
def slow(page: tuple[Opened, GivePage]) -> Iterator[Slow]:
    found = Slow()
    page[1]._giver._give = found
    yield found
    found.may_end.set()


def test_stop_stops_while_parts_are_told_and_what_is_asked_next_comes(
    page: tuple[Opened, GivePage], slow: Slow, tmp_path: Path
) -> None:
    opened, found = page
    found.give_to(tmp_path / "one")
    opened.wait(lambda: "41\N{NO-BREAK SPACE}%" in words(opened))
    button = opened.find("give_stop")
    opened.wait(lambda: slow.parts > 10)
    assert opened.find("give_stop") is button, "it isn't replaced under the hand"
    opened.press("give_stop")
    opened.wait(lambda: "was stopped" in words(opened))
    assert not (tmp_path / "one").exists()
    found.give_to(tmp_path / "two")
    slow.may_end.set()
    opened.wait(lambda: "One entry written" in words(opened))
    assert (tmp_path / "two").read_bytes() == b"whole"


def test_another_file_asked_for_meanwhile_stops_the_first(
    page: tuple[Opened, GivePage], slow: Slow, tmp_path: Path
) -> None:
    opened, found = page
    found.give_to(tmp_path / "one")
    opened.wait(lambda: slow.parts > 2)
    found.give_to(tmp_path / "two")
    before = slow.parts
    opened.wait(lambda: slow.parts > before + 2)
    slow.may_end.set()
    opened.wait(lambda: "One entry written" in words(opened))
    assert not (tmp_path / "one").exists()
    assert (tmp_path / "two").exists()


@pytest.mark.usefixtures("slow")
def test_the_window_reads_and_records_while_a_file_is_written(
    page: tuple[Opened, GivePage], tmp_path: Path
) -> None:
    opened, found = page
    found.give_to(tmp_path / "one")
    opened.wait(lambda: "%" in words(opened))
    read = list[int]()
    opened.window.desk.access.read(lambda record: record.count(), read.append, lambda _why: None)
    opened.wait(lambda: bool(read))
    assert "Writing the file" in words(opened)


@pytest.mark.usefixtures("slow")
def test_a_window_that_closes_stops_what_is_being_written(
    page: tuple[Opened, GivePage], tmp_path: Path
) -> None:
    opened, found = page
    found.give_to(tmp_path / "one")
    opened.wait(lambda: "%" in words(opened))
    opened.window.close()
    assert not (tmp_path / "one").exists()


@pytest.mark.parametrize("hides_name", [True, False])
def test_the_archives_sheets_have_no_name_in_their_titles_where_that_is_chosen(
    page: tuple[Opened, GivePage], tmp_path: Path, hides_name: bool
) -> None:
    opened, found = page
    opened.window.preferences.change(hides_name=hides_name)
    opened.press("pick_give_to_zip")
    target = tmp_path / "all.zip"
    found.give_to(target)
    opened.wait(partial(zipfile.is_zipfile, target))
    with zipfile.ZipFile(target) as archive:
        sheet = next(name for name in archive.namelist() if name.endswith(".pdf"))
        with PdfDocument(archive.read(sheet)) as document:
            title = str(document.get_metadata_value("Title"))
    assert ("Nima Albers" in title) is not hides_name


def test_a_file_can_be_locked_with_a_passphrase_and_only_that_takes_it_in_again(
    page: tuple[Opened, GivePage], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, found = page
    target, suggested = tmp_path / "out.jsonl.sealed", list[str]()

    def chosen(asked: QFileDialog) -> Path:
        suggested.append(Path(asked.selectedFiles()[0]).name)
        return target

    monkeypatch.setattr(files, "_chosen", chosen)
    assert not opened.window.findChildren(QWidget, "give_lock"), "a page for any browser can't be locked"
    opened.press("pick_give_to_exchange")
    opened.press("give_lock")
    assert "Only carelog opens the file" in words(opened)
    opened.find("give_passphrase").setText("too few")
    opened.press("give_save")
    assert "too short" in words(opened)
    assert suggested == []
    assert opened.find("give_passphrase").text() == "too few"
    opened.find("give_passphrase").setText("a horse, a staple")
    opened.press("give_save")
    opened.wait(lambda: is_told(opened, target.name))
    assert suggested[0].endswith(".jsonl.sealed")
    assert is_envelope(target.read_bytes())
    assert "staple" not in repr(found.request())
    monkeypatch.setattr(files, "_chosen", lambda _asked: target)
    opened.window.go("copies")
    opened.press("import_file")
    opened.wait(lambda: "is encrypted" in words(opened))
    for typed, told in (("a horse, a stable", "doesn't open"), ("a horse, a staple", "already there")):
        opened.find("import_key").setText(typed)
        opened.press("import_open")
        opened.wait(lambda told=told: told in words(opened))  # type: ignore[misc]
    assert not opened.window.findChildren(QWidget, "import_key")
