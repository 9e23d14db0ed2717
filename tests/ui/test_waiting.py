"""What waits to be saved outlives other records, damage and other versions, and is shown as what it is."""

import shutil
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from carelog.app.drafts import Draft, DraftFile, FormDraft
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, Moment
from carelog.store.opening import open_record
from carelog.ui.access import Stage
from carelog.ui.newest import Asking
from tests.ui.conftest import Opened, places_in
from tests.ui.household import NOW, ZONE
from tests.ui.test_guard import PERSON, record_in

Opens = Callable[[Path], Opened]
WAITING = Entry(
    "50000000-0000-7000-8000-000000000001",
    "ties",
    Moment(NOW - HOUR),
    NOW - HOUR,
    ZONE,
    "MO",
    {"action": "checked"},
)


def draft_in(folder: Path, record: Path, **given: object) -> DraftFile:
    """A draft of an earlier window: one note half typed, one press that wasn't saved."""
    file = DraftFile(places_in(folder).draft(record))
    draft = Draft(str(record), PERSON.id, (FormDraft("note", {"fields": {}}, "half a"),), (WAITING,))
    file.write(replace(draft, **given), NOW - HOUR)  # type: ignore[arg-type]
    return file


def ids_in(record: Path) -> list[str]:
    """The ids of a record's entries."""
    there = open_record(record, installation="test")
    found = [each.id for each in there.everything()]
    there.close()
    return found


def closed(opened: Opened) -> None:
    """Close the window as a person does."""
    opened.window.close()


def test_a_press_that_was_not_saved_is_named_and_saved_as_it_was(on_disk: Opens, tmp_path: Path) -> None:
    record = record_in(tmp_path)
    draft_in(tmp_path, record)
    opened = on_disk(record)
    opened.wait(lambda: WAITING.id in ids_in(record))
    assert "not saved then: Ties" in opened.rest.fault.words()
    assert "Half-filled, not saved" in opened.rest.shelf.band.words()


def test_another_record_opened_meanwhile_removes_nothing_of_it(on_disk: Opens, tmp_path: Path) -> None:
    record, other = record_in(tmp_path), tmp_path / "other.carelog"
    shutil.copyfile(record, other)
    file = draft_in(tmp_path, record)
    before = file.path.read_bytes()
    closed(on_disk(other))
    assert file.path.read_bytes() == before


@pytest.mark.parametrize("harm", [lambda path: path.unlink(), lambda path: path.write_bytes(b"x" * 500)])
def test_a_start_without_the_record_keeps_what_waits_for_it(
    on_disk: Opens, tmp_path: Path, harm: Callable[[Path], object]
) -> None:
    record = record_in(tmp_path)
    whole = record.read_bytes()
    file = draft_in(tmp_path, record)
    harm(record)
    opened = on_disk(record)
    assert opened.window.desk.access.stage in (Stage.MISSING, Stage.FAILED)
    closed(opened)
    kept = file.read()
    assert kept is not None
    assert (kept.presses, kept.forms[0].note) == ((WAITING,), "half a")
    record.write_bytes(whole)
    opened = on_disk(record)
    opened.wait(lambda: WAITING.id in ids_in(record))
    form = opened.rest.shelf.keeper.form("note")
    assert form is not None
    assert form.note() == "half a"


def test_another_persons_draft_is_set_aside_with_a_sentence(on_disk: Opens, tmp_path: Path) -> None:
    record = record_in(tmp_path)
    file = draft_in(tmp_path, record, person=PERSON.id[::-1])
    before = file.path.read_bytes()
    opened = on_disk(record)
    assert "about another person" in opened.rest.fault.words()
    closed(opened)
    assert [each.read_bytes() for each in file.path.parent.glob("*.aside-*")] == [before]
    assert WAITING.id not in ids_in(record)


def test_a_draft_that_cannot_be_read_is_set_aside_with_a_sentence(on_disk: Opens, tmp_path: Path) -> None:
    record = record_in(tmp_path)
    file = draft_in(tmp_path, record)
    content = file.path.read_bytes().replace(b'"version": 1', b'"version": 9')
    file.path.write_bytes(content)
    opened = on_disk(record)
    assert "can't be read by this carelog" in opened.rest.fault.words()
    opened.press("tile_note")
    closed(opened)
    assert [each.read_bytes() for each in file.path.parent.glob("*.aside-*")] == [content]


def test_a_form_with_a_field_that_is_not_known_here_is_kept_in_a_file_too(
    on_disk: Opens, tmp_path: Path
) -> None:
    record = record_in(tmp_path)
    form = FormDraft("stoma", {"fields": {"pain": "3", "shape": "star"}}, "sore")
    file = draft_in(tmp_path, record, forms=(form,), presses=())
    opened = on_disk(record)
    assert "set aside" in opened.rest.fault.words()
    (aside,) = file.path.parent.glob("*.aside-*")
    kept = DraftFile(aside).read()
    assert kept is not None
    assert kept.forms == (form,)


def test_the_one_draft_of_an_earlier_carelog_is_set_aside(on_disk: Opens, tmp_path: Path) -> None:
    record = record_in(tmp_path)
    old = places_in(tmp_path).config / "draft.json"
    old.write_bytes(b"typed once")
    opened = on_disk(record)
    assert "draft.aside-1.json" in opened.rest.fault.words().replace("\u200a", "")
    assert (old.parent / "draft.aside-1.json").read_bytes() == b"typed once"


def test_of_two_threads_that_ask_for_a_look_the_one_numbered_last_is_looked_at_last(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else what was just saved would be missing in the picture until the next look, 30 s later."""
    present, reader = opened.window.desk.present, opened.window.desk.access.reader
    numbers: list[int] = []
    asked: list[int] = []
    begun, ask, put = threading.Event(), present._newest.ask, reader.ask

    def numbered() -> Asking:
        asking = ask()
        numbers.append(asking.number)
        return asking

    def slowly(*given: Any) -> Any:
        mine = numbers[-1]
        if threading.current_thread() is not threading.main_thread():
            begun.set()
            time.sleep(0.1)
        asked.append(mine)
        return put(*given)

    monkeypatch.setattr(present._newest, "ask", numbered)
    monkeypatch.setattr(reader, "ask", slowly)
    other = threading.Thread(target=lambda: present._take_in(()))
    other.start()
    assert begun.wait(10)
    present.look()
    other.join()
    assert asked == numbers
    assert len(asked) == 2
