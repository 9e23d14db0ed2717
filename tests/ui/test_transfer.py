"""An import into the window's own record and a copy made from the settings page, on real files."""

import json
import threading
import zipfile
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, cast

import pytest

from carelog.app.backups import kept_in
from carelog.app.ports import Exchange, Merged
from carelog.domain.entry import line
from carelog.domain.moment import HOUR
from carelog.store.backup import examine
from carelog.store.exchange import StoredExchange, heading_line
from carelog.store.opening import open_record
from carelog.ui import files
from carelog.ui.access import Stage
from carelog.ui.button import Button
from carelog.ui.settings.copies import CopiesPage
from carelog.ui.slip import State
from tests.ui.conftest import Opened, places_in
from tests.ui.household import NOW, household
from tests.ui.test_guard import PERSON, record_in

Opens = Callable[[Path], Opened]


class Held(StoredExchange):
    """The real exchange, which stops after the file's last line until it is let go on."""

    def __init__(self) -> None:
        self.begun, self.may_go_on = threading.Event(), threading.Event()

    def merge(self, lines: Any, *given: Any) -> Merged:
        """Read all lines, wait, and take them in."""

        def waiting() -> Any:
            yield from lines
            self.begun.set()
            assert self.may_go_on.wait(60)

        return super().merge(waiting(), *given)


def exchange_file(folder: Path) -> tuple[Path, list[str]]:
    """A file of two entries that the record doesn't have, and their ids."""
    last = household().everything()[-1]
    ids = [f"40000000-0000-7000-8000-{number:012x}" for number in (1, 2)]
    entries = [replace(last, id=each, recorded_at=NOW - HOUR) for each in ids]
    file = folder / "from-elsewhere.jsonl"
    file.write_bytes(heading_line(PERSON, NOW) + b"".join(f"{line(e)}\n".encode() for e in entries))
    return file, ids


def test_an_archive_is_taken_in_like_the_file_in_it(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, ids = exchange_file(tmp_path)
    archive = tmp_path / "all.zip"
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.write(file, "record.jsonl")
    monkeypatch.setattr(files, "_chosen", lambda _asked: archive)
    opened = on_disk(record_in(tmp_path))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.window.go("copies")
    opened.press("import_file")
    opened.wait(lambda: "2 entries were added" in page(opened)._said)
    record = open_record(opened.window.desk.access.path, installation="test")
    assert {each.id for each in record.everything()} >= set(ids)
    record.close()


def test_presses_made_during_an_import_say_not_saved_yet_and_are_saved_after_it_in_order(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = record_in(tmp_path)
    file, ids = exchange_file(tmp_path)
    monkeypatch.setattr(files, "_chosen", lambda _asked: file)
    opened = on_disk(path)
    desk, held = opened.window.desk, Held()
    desk.parts = desk.parts._replace(exchange=lambda: cast(Exchange, held))
    opened.wait(lambda: desk.present.flags is not None)
    opened.window.go("copies")
    assert opened.window.findChild(Button, "import_stop") is None
    opened.press("import_file")
    opened.wait(held.begun.is_set)
    assert opened.find("import_stop").isVisible()
    assert page(opened).findChild(Button, "import_file") is None
    slips = [desk.slips.press("mouth_care", {}), desk.slips.press("suction", {"amount": "small"})]
    assert [slip.state for slip in slips] == [State.WAITING, State.WAITING]
    assert "not saved yet" in opened.receipt().lower()
    pressed = [slip.first for slip in slips]
    held.may_go_on.set()
    opened.wait(lambda: all(slip.state is State.SAVED for slip in slips))
    opened.wait(lambda: "2 entries were added" in page(opened)._said)
    assert opened.find("import_file").isVisible()
    record = open_record(path, installation="test")
    newest = [entry for _place, entry in record.arrived(0)][-4:]
    record.close()
    assert [entry.id for entry in newest] == [*ids, *(entry.id for entry in pressed)]
    assert newest[2:] == pressed


def page(opened: Opened) -> CopiesPage:
    """The page of copies, which is open."""
    found = opened.shown()
    assert isinstance(found, CopiesPage)
    return found


def test_a_copy_made_from_the_settings_page_holds_every_entry_and_is_named_there(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    folder = opened.window.desk.parts.places.backups
    before = {each.path for each in kept_in(folder)}
    opened.press("go_settings")
    opened.window.go("copies")
    opened.press("copy_now")
    opened.wait(lambda: bool({each.path for each in kept_in(folder)} - before))
    (made,) = {each.path for each in kept_in(folder)} - before
    opened.wait(lambda: (newest := opened.rest.copies.newest) is not None and newest.path == made)
    examined = examine(made)
    record = open_record(path, installation="test")
    assert (examined.count, examined.damage) == (record.count(), ())
    record.close()
    opened.wait(lambda: any(made.name in text.replace("\u200a", "") for text in texts(opened)))


def says(opened: Opened, words: str) -> bool:
    """Whether the page says these words."""
    return words in page(opened)._said


def test_the_windows_export_holds_every_entry_and_never_lands_on_a_record(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, file = record_in(tmp_path), tmp_path / "everything.jsonl"
    opened = on_disk(path)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.window.go("copies")
    before = path.read_bytes()
    for target, words in ((path, "is a record"), (file, "entries written")):
        monkeypatch.setattr(files, "_chosen", lambda _asked, to=target: to)
        opened.press("export_file")
        opened.wait(partial(says, opened, words))
    assert path.read_bytes() == before
    record = open_record(path, installation="test")
    lines = file.read_text(encoding="utf-8").splitlines()
    assert [json.loads(each)["id"] for each in lines[1:]] == [entry.id for entry in record.everything()]
    record.close()


def texts(opened: Opened) -> list[str]:
    """What the page says."""
    from carelog.ui.words import Words

    return [words.text() for words in page(opened).findChildren(Words)]


def test_a_record_begun_here_and_filled_by_an_import_is_opened_again_as_the_same_one(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = places_in(tmp_path).record
    file, ids = exchange_file(tmp_path)
    monkeypatch.setattr(files, "_chosen", lambda _asked: file)
    opened = on_disk(path)
    desk = opened.window.desk
    opened.press("begin_record")
    opened.wait(desk.access.is_open)
    opened.window.go("copies")
    opened.press("import_file")
    opened.wait(lambda: "2 entries were added" in page(opened)._said)
    slip = desk.slips.press("mouth_care", {})
    opened.wait(lambda: slip.state is State.SAVED)
    desk.access.begin_anew(lambda: None)
    opened.wait(lambda: desk.access.stage is not Stage.OPENING and slip.state is not State.WAITING)
    assert (desk.access.stage, desk.access.trouble, slip.state) == (Stage.OPEN, "", State.SAVED)
    record = open_record(path, installation="test")
    assert [entry.id for entry in record.everything()][-3:] == [*ids, slip.first.id]
    record.close()
