"""A copy is never gone on with where it lies, a stick is written to only where a person chose that."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton

from carelog.app.backups import kept_in
from carelog.app.lock import WindowLock
from carelog.app.settings import SettingsFile
from carelog.seal.code import make
from carelog.seal.envelope import Household as Keys
from carelog.seal.keys import of_code
from carelog.store.opening import check_file, open_record
from carelog.store.sealed import seal_copy
from carelog.ui import files
from carelog.ui.access import Stage
from tests.journeys.household import Household, carelog
from tests.ui.conftest import Opened, places_in
from tests.ui.test_guard import record_in

Opens = Callable[[Path], Opened]
COUNT = 320
WORDS = "a horse, a staple"


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A stick with a copy and a record of a household that lives on another computer."""
    folder = tmp_path / "stick"
    folder.mkdir()
    elsewhere = tmp_path / "elsewhere"
    record = record_in(elsewhere)
    (copy,) = kept_in(elsewhere / "data" / "backups")
    shutil.copy(copy.path, folder)
    shutil.copy(record, folder / "household.carelog")
    return folder


def chosen(monkeypatch: pytest.MonkeyPatch, file: Path) -> None:
    """The file that a person chooses in every dialog."""
    monkeypatch.setattr(files, "_chosen", lambda _asked: file)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, whole."""
    return {each.name: each.read_bytes() for each in folder.iterdir()}


def said(opened: Opened) -> str:
    """All texts of the page that is open."""
    return " ".join(label.text() for label in opened.shown().findChildren(QLabel)).replace("\u200a", "")


def pressed(opened: Opened) -> None:
    """A suction that is saved."""
    opened.wait(opened.window.desk.access.is_open)
    slip = opened.window.desk.slips.press("suction", {})
    opened.wait(lambda: not slip.is_unsaved)


def kinds(record: Path) -> list[str]:
    """The kinds of a record's entries."""
    there = open_record(record, installation="test")
    found = [each.kind for each in there.everything()]
    there.close()
    return found


def test_a_copy_is_taken_in_and_the_one_on_the_stick_stays_as_it_is(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record, before = places_in(tmp_path).record, contents(stick)
    (copy,) = kept_in(stick)
    chosen(monkeypatch, copy.path)
    opened = on_disk(record)
    opened.press("open_other")
    pressed(opened)
    assert opened.window.desk.access.path == record
    opened.wait(lambda: "was taken in. It stays as it is" in opened.rest.fault.words())
    opened.window.close()
    assert contents(stick) == before
    assert check_file(record)[1] == []
    assert kinds(record)[-1] == "suction"
    assert on_disk(record).window.desk.access.is_open()


def test_a_record_on_a_stick_is_asked_about_and_taken_onto_the_computer(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record, before = places_in(tmp_path).record, contents(stick)
    chosen(monkeypatch, stick / "household.carelog")
    opened = on_disk(record)
    opened.press("open_other")
    assert opened.window.desk.access.stage is Stage.MISSING
    opened.press("take_in")
    pressed(opened)
    assert kinds(record)[-1] == "suction"
    opened.window.close()
    assert contents(stick) == before


def test_a_record_stays_on_a_stick_where_a_person_chose_that_also_at_the_next_start(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    places = places_in(tmp_path)
    there = stick / "household.carelog"
    chosen(monkeypatch, there)
    opened = on_disk(places.record)
    opened.press("open_other")
    opened.press("stay_there")
    pressed(opened)
    opened.window.close()
    assert kinds(there)[-1] == "suction"
    assert not places.record.exists()
    made = {each.name for each in stick.iterdir() if each not in {copy.path for copy in kept_in(stick)}}
    assert made <= {there.name, f"{there.name}-journal", f"{there.name}.flags"}
    assert SettingsFile(places.settings).read().record == str(there)


def test_a_stick_that_is_not_there_is_named_and_no_new_record_is_offered_as_the_old_one(
    on_disk: Opens, tmp_path: Path, stick: Path
) -> None:
    away = stick.rename(tmp_path / "away")
    opened = on_disk(stick / "household.carelog")
    opened.wait(lambda: opened.window.page() == "first")
    assert "The record isn't there" in said(opened)
    assert f"The record will lie here: {places_in(tmp_path).record}" in said(opened)
    away.rename(stick)
    opened.press("open_again")
    opened.wait(opened.window.desk.access.is_open)


@pytest.fixture
def exported(tmp_path: Path) -> Path:
    """The exchange file of another computer."""
    (tmp_path / "other").mkdir()
    home = Household(tmp_path / "other")
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("2 08:00", "mouth_care")
    file = tmp_path / "household.jsonl"
    assert carelog("export", str(file), "--record", str(home.record())).status == 0
    return file


def test_a_second_computer_begins_with_the_record_of_the_first(
    on_disk: Opens, tmp_path: Path, exported: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = places_in(tmp_path).record
    chosen(monkeypatch, exported)
    opened = on_disk(record)
    opened.press("take_up_other")
    pressed(opened)
    assert kinds(record) == ["person", "mouth_care", "suction"]


@pytest.fixture
def sent(exported: Path, tmp_path: Path) -> Path:
    """The same, encrypted for somebody who knows the passphrase."""
    file = tmp_path / "sent.jsonl.sealed"
    record = str(tmp_path / "other" / "household-2.carelog")
    assert carelog("export", str(file), "--record", record, "--passphrase", WORDS).status == 0
    return file


def test_a_file_with_a_passphrase_is_opened_by_it_then_told_and_only_then_taken(
    on_disk: Opens, tmp_path: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = places_in(tmp_path).record
    chosen(monkeypatch, sent)
    opened = on_disk(record)
    opened.press("take_up_other")
    assert "Type in the passphrase" in said(opened)
    assert not opened.window.findChildren(QPushButton, "code_lost")
    for text, told in (
        ("a horse, a stable", "doesn't open"),
        (WORDS, "is the record of Odette Farrow: 2 entries"),
    ):
        opened.find("sealed_key", QLineEdit).setText(text)
        opened.press("open_sealed")
        opened.wait(lambda told=told: told in said(opened))  # type: ignore[misc]
        assert not record.exists()
    opened.press("take_sealed")
    pressed(opened)
    assert kinds(record) == ["person", "mouth_care", "suction"]


def test_what_one_file_holds_is_never_told_of_another_that_was_chosen_meanwhile(
    on_disk: Opens, tmp_path: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = sent.with_name("other.jsonl.sealed")
    shutil.copy(sent, other)
    opened = on_disk(places_in(tmp_path).record)
    for file in (sent, other):
        chosen(monkeypatch, file)
        opened.press("take_up_other")
        if file is sent:
            opened.find("sealed_key", QLineEdit).setText(WORDS)
            opened.press("open_sealed")
    opened.bot.wait(1000)
    assert "“other.jsonl.sealed” is encrypted" in said(opened)
    assert "is the record of" not in said(opened)


def test_whoever_lost_the_code_is_told_that_no_one_can_open_the_copy_and_what_else_there_may_be(
    on_disk: Opens, tmp_path: Path, exported: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy.carelog.sealed"
    household = Keys(bytes(16), bytes(32), of_code(make(bytes(26))))
    seal_copy(exported.with_name("other") / "household-2.carelog", copy, household)
    chosen(monkeypatch, copy)
    opened = on_disk(places_in(tmp_path).record)
    opened.press("open_other")
    opened.find("sealed_key", QLineEdit).setText("AB12")
    opened.press("code_lost")
    assert "No one can open this copy without its code" in said(opened)
    assert "begin a new record" in said(opened)
    assert opened.find("sealed_key", QLineEdit).text() == "AB12"
    opened.press("leave_sealed")
    assert "No one can open" not in said(opened)
    opened.press("begin_record")
    opened.wait(opened.window.desk.access.is_open)


def test_a_spoiled_envelope_is_told_at_once_and_no_code_is_asked_for(
    on_disk: Opens, tmp_path: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoiled = bytearray(sent.read_bytes())
    spoiled[30] ^= 1
    sent.write_bytes(spoiled)
    chosen(monkeypatch, sent)
    opened = on_disk(places_in(tmp_path).record)
    opened.press("open_other")
    assert "isn't as it was written" in said(opened)
    assert not opened.window.findChildren(QLineEdit, "sealed_key")


def test_what_cannot_be_taken_up_leaves_no_record_and_says_why(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record, letter = places_in(tmp_path).record, tmp_path / "letter.jsonl"
    letter.write_text("Dear nurse")
    chosen(monkeypatch, letter)
    opened = on_disk(record)
    opened.press("take_up_other")
    opened.wait(lambda: opened.window.desk.access.stage is Stage.FAILED)
    assert opened.window.desk.access.trouble == "Line 1: it isn't JSON."
    assert not record.exists()


def begun(opened: Opened, *kinds_begun: str, told: str = "another person") -> None:
    """A record in which somebody wrote these, and the import that it refuses, with what is told."""
    opened.press("begin_record")
    opened.wait(opened.window.desk.access.is_open)
    for kind in kinds_begun:
        details = {"initials": "LR"} if kind == "recorder" else {}
        slip = opened.window.desk.slips.press(kind, details)
        opened.wait(lambda waiting=slip: not waiting.is_unsaved)  # type: ignore[misc]
    opened.window.go("copies")
    opened.press("import_file")
    opened.wait(lambda: told in said(opened))


def test_a_refusal_names_both_people_and_offers_to_set_an_otherwise_empty_record_aside(
    on_disk: Opens, tmp_path: Path, exported: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = places_in(tmp_path).record
    chosen(monkeypatch, exported)
    opened = on_disk(record)
    begun(opened, "recorder")
    assert "about Odette Farrow (5f6f4e0a)" in said(opened)
    assert "about somebody without a name" in said(opened)
    opened.press("take_over")
    opened.wait(lambda: "was taken up" in opened.rest.fault.words())
    pressed(opened)
    assert kinds(record) == ["person", "mouth_care", "suction"]
    (aside,) = record.parent.glob("record.before-*.carelog")
    assert kinds(aside) == ["recorder"]


def test_another_computer_s_file_is_taken_up_with_the_passphrase_that_opened_it(
    on_disk: Opens, tmp_path: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = places_in(tmp_path).record
    chosen(monkeypatch, sent)
    opened = on_disk(record)
    begun(opened, "recorder", told="Type in the passphrase")
    opened.find("import_key", QLineEdit).setText(WORDS)
    opened.press("import_open")
    opened.wait(lambda: "about Odette Farrow" in said(opened))
    opened.press("take_over")
    opened.wait(lambda: "was taken up" in opened.rest.fault.words())
    pressed(opened)
    assert kinds(record) == ["person", "mouth_care", "suction"]


def test_a_record_with_care_in_it_is_never_offered_to_be_set_aside(
    on_disk: Opens, tmp_path: Path, exported: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The control."""
    chosen(monkeypatch, exported)
    opened = on_disk(places_in(tmp_path).record)
    begun(opened, "recorder", "mouth_care")
    assert "take_over" not in {each.objectName() for each in opened.window.findChildren(QPushButton)}


def test_another_record_is_opened_only_with_its_own_lock(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    places = places_in(tmp_path)
    chosen(monkeypatch, stick / "household.carelog")
    other = WindowLock(places.lock(stick / "household.carelog"))
    assert other.take(1) is None
    opened = on_disk(places.record)
    opened.press("open_other")
    opened.press("stay_there")
    assert "Another window shows" in opened.rest.fault.words()
    assert opened.window.desk.access.stage is Stage.MISSING
    other.release()
    opened.press("stay_there")
    opened.wait(opened.window.desk.access.is_open)
    assert WindowLock(places.lock(stick / "household.carelog")).take(1) is not None


def test_what_was_written_into_an_older_made_up_record_is_said_to_be_kept(
    on_disk: Opens, tmp_path: Path
) -> None:
    places = places_in(tmp_path)
    places.make()
    until = "2026-11-10T12:00+00:00"
    demo = ("demo", "--record", str(places.demo), "--out", str(tmp_path), "--until", until)
    assert carelog(*demo).status == 0
    added = ("note", "--recorded-at", until, "--at", until, "--note", "x")
    assert carelog("add", "--record", str(places.demo), *added).status == 0
    opened = on_disk(places.record)
    opened.press("look_round")
    opened.wait(opened.window.desk.access.is_open)
    (aside,) = places.data.glob("demo.before-*.carelog")
    opened.wait(lambda: "One entry was added to the made-up record." in opened.rest.fault.words())
    assert str(aside) in opened.rest.fault.words().replace("\u200a", "")


def test_an_older_made_up_record_as_it_was_made_needs_no_word(on_disk: Opens, tmp_path: Path) -> None:
    """The control."""
    places = places_in(tmp_path)
    places.make()
    demo = ("demo", "--record", str(places.demo), "--out", str(tmp_path), "--until", "2026-11-10T12:00+00:00")
    assert carelog(*demo).status == 0
    opened = on_disk(places.record)
    opened.press("look_round")
    opened.wait(opened.window.desk.access.is_open)
    assert list(places.data.glob("demo.before-*")) == []
    assert opened.rest.fault.words() == ""
