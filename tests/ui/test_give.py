"""Giving somebody the record from the window: for whom, which days; what lies in the file is said before."""

import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from pypdfium2 import PdfDocument
from PySide6.QtWidgets import QFileDialog

from carelog.ui.give.page import READERS, GivePage
from carelog.ui.words import Words
from tests.ui.conftest import Opened
from tests.ui.test_guard import record_in


def words(opened: Opened) -> str:
    """All that can be read on the page that is open."""
    return "\n".join(each.text() for each in opened.window.findChildren(Words) if each.isVisible())


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

    def asked(_parent: object, _title: str, name: str, _kinds: str) -> tuple[str, str]:
        suggested.append(name)
        return str(target), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", asked)
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
