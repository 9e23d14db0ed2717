"""The recovery code in the window: made, typed back, tried; and a copy that comes back by it."""

import io
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel

from carelog.app import medium
from carelog.app.backups import kept_in
from carelog.commands.meeting import meet
from carelog.commands.surroundings import Surroundings
from carelog.domain.moment import DAY_24_H
from carelog.paths import default_places
from carelog.seal import code as codes
from carelog.seal.keyring import Keyring
from carelog.seal.magic import is_envelope
from carelog.store.opening import check_file, open_record
from carelog.ui import files
from carelog.ui.ringed import Line
from tests.ui.conftest import Opened, places_in
from tests.ui.household import Numbered
from tests.ui.test_guard import record_in
from tests.ui.typing_in import pressed, typed

Opens = Callable[[Path], Opened]


def said(opened: Opened) -> str:
    found = [each.text() for each in opened.shown().findChildren(QLabel) if each.isVisible()]
    return " ".join(found).replace("\u200a", "")


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


def with_stick(opened: Opened, stick: Path) -> None:
    """The stick is plugged in and was chosen."""
    copies = opened.rest.copies
    parts = copies._parts._replace(media=lambda: [stick])
    copies._parts = parts
    opened.window.desk.parts = parts
    opened.window.preferences.change(second_medium=medium.choose(stick))


def switched_on(opened: Opened) -> str:
    """Make the code and type it back; the code as it was shown."""
    opened.window.do("code")
    pressed(opened, "code_make")
    code: str = opened.find("code_shown", QLabel).text()
    typed(opened, "code_typed", code.lower())
    pressed(opened, "code_on")
    return code


def copy_on(opened: Opened, stick: Path) -> Path:
    before = len(kept_in(stick / medium.FOLDER))
    opened.clock.instant += 1_000_000
    opened.rest.copies.make()
    opened.wait(lambda: len(kept_in(stick / medium.FOLDER)) > before)
    opened.wait(lambda: not opened.rest.copies.is_asked)
    return kept_in(stick / medium.FOLDER)[0].path


def test_it_counts_once_it_was_typed_back_and_a_slip_is_told_by_its_group(
    on_disk: Opens, tmp_path: Path
) -> None:
    opened = on_disk(record_in(tmp_path))
    keys = Keyring(opened.window.desk.parts.places.keys)
    opened.window.do("code")
    assert "the encrypted copies are gone" in said(opened)
    pressed(opened, "code_make")
    code: str = opened.find("code_shown", QLabel).text()
    assert [len(group) for group in code.split(" ")] == [5] * 6
    slip = code[:-1] + ("7" if code[-1] != "7" else "8")
    typed(opened, "code_typed", slip)
    pressed(opened, "code_on")
    assert "in group 6." in said(opened)
    assert keys.read() is None
    assert opened.find("code_typed", Line).text() == slip
    typed(opened, "code_typed", code)
    pressed(opened, "code_on")
    assert "It is on." in said(opened)
    assert "are encrypted, since" in said(opened)
    assert keys.read() is not None
    assert code not in said(opened)


def test_a_code_that_was_not_typed_back_changes_nothing(on_disk: Opens, tmp_path: Path) -> None:
    opened = on_disk(record_in(tmp_path))
    opened.window.do("code")
    pressed(opened, "code_make")
    pressed(opened, "code_not_now")
    assert "Nothing was changed." in said(opened)
    assert Keyring(opened.window.desk.parts.places.keys).read() is None


def test_the_next_copy_on_the_stick_is_encrypted_those_at_home_are_not_and_the_page_says_so(
    on_disk: Opens, tmp_path: Path, stick: Path
) -> None:
    opened = on_disk(record_in(tmp_path))
    with_stick(opened, stick)
    assert not is_envelope(copy_on(opened, stick).read_bytes())
    opened.window.do("copies")
    assert "The copies aren't encrypted." in said(opened)
    switched_on(opened)
    assert is_envelope(copy_on(opened, stick).read_bytes())
    at_home = kept_in(opened.window.desk.parts.places.backups)[0].path
    assert not is_envelope(at_home.read_bytes())
    opened.window.do("copies")
    assert "The copies are encrypted." in said(opened)
    assert opened.window.preferences.now.outside_up_to
    assert opened.window.preferences.now.copy_trouble == ""


def test_plain_copies_are_possible_by_choice_and_that_is_said(
    on_disk: Opens, tmp_path: Path, stick: Path
) -> None:
    opened = on_disk(record_in(tmp_path))
    with_stick(opened, stick)
    switched_on(opened)
    pressed(opened, "code_plain")
    assert "aren't encrypted, as you chose" in said(opened)
    assert not is_envelope(copy_on(opened, stick).read_bytes())


def test_the_page_shows_what_a_code_opens(on_disk: Opens, tmp_path: Path, stick: Path) -> None:
    opened = on_disk(record_in(tmp_path))
    with_stick(opened, stick)
    code = switched_on(opened)
    copy = copy_on(opened, stick)
    opened.window.do("code")
    typed(opened, "code_try", code)
    pressed(opened, "code_show")
    opened.wait(lambda: f"“{copy.name}” is the record of" in said(opened))
    later = switched_on(opened)
    typed(opened, "code_try", later)
    pressed(opened, "code_show")
    opened.wait(lambda: f"it doesn't open “{copy.name}”" in said(opened))


def test_on_a_new_computer_the_code_is_asked_for_then_what_the_copy_holds_is_shown_then_it_is_taken(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = on_disk(record_in(tmp_path))
    with_stick(opened, stick)
    code = switched_on(opened)
    copy = copy_on(opened, stick)
    count = check_file(opened.window.desk.access.path)[0]
    opened.window.close()
    opened.window.desk.parts.places.keys.unlink()
    target = tmp_path / "new" / "record.carelog"
    target.parent.mkdir()
    other = on_disk(target)
    monkeypatch.setattr(files, "_chosen", lambda _asked: copy)
    other.window.do("first")
    pressed(other, "welcome_on")
    pressed(other, "open_other")
    assert "is encrypted. Type the recovery code" in said(other)
    typed(other, "sealed_key", code[:-2])
    pressed(other, "open_sealed")
    assert "were typed" in said(other)
    typed(other, "sealed_key", code)
    pressed(other, "open_sealed")
    other.wait(lambda: f"“{copy.name}” is the record of" in said(other))
    assert f"{count} entries, up to" in said(other)
    assert not target.exists()
    pressed(other, "take_sealed")
    other.wait(target.exists)
    other.wait(other.window.desk.access.is_open)
    assert check_file(target) == (count, [])


def test_the_other_computer_s_code_is_taken_in(on_disk: Opens, tmp_path: Path) -> None:
    from carelog.seal.code import grouped, make

    opened = on_disk(record_in(tmp_path))
    opened.window.do("code")
    typed(opened, "code_enter", grouped(make(bytes(26))))
    pressed(opened, "code_take")
    assert "open on this computer too" in said(opened)
    assert Keyring(opened.window.desk.parts.places.keys).read() is not None


def test_give_and_take_with_the_stick_in_one_press(on_disk: Opens, tmp_path: Path, stick: Path) -> None:
    path = record_in(tmp_path)
    other = open_record(path, installation="elsewhere")
    their = [
        replace(other.everything()[-1], id="60000000-0000-7000-8000-000000000001", note="from elsewhere")
    ]
    person = other.person()
    other.close()
    opened = on_disk(path)
    with_stick(opened, stick)
    code = switched_on(opened)
    nowhere = io.StringIO()
    places = places_in(tmp_path / "elsewhere")
    around = Surroundings(places, opened.clock, Numbered(), nowhere, nowhere, io.BytesIO, {})
    Keyring(places.keys).take(codes.read(code), opened.clock.now())
    with closing(open_record(places.record, installation="e" * 8, create=person)) as there:
        there.append(their)
        meet(there, stick, "e" * 8, around, is_sealed=True)
        opened.window.do("copies")
        pressed(opened, "meet")
        opened.wait(lambda: "One entry was added" in said(opened))
        assert "lie on the stick for your other computers. The file is encrypted." in said(opened)
        count = check_file(path)[0]
        assert any("were added" in each for each in meet(there, stick, "e" * 8, around, is_sealed=True))
        assert there.count() == count
    there.close()


def test_a_copy_is_tried_and_the_page_says_what_it_would_bring_and_lose(
    on_disk: Opens, tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "own"))  # all other tests share one
    path = record_in(tmp_path)
    opened = on_disk(path)
    with_stick(opened, stick)
    switched_on(opened)
    copy_on(opened, stick)
    count = check_file(path)[0]
    for _ in range(2):
        slip = opened.window.desk.slips.press("mouth_care", {})
        opened.wait(lambda slip=slip: not slip.is_unsaved)  # type: ignore[misc]
        opened.pause()
    before = path.read_bytes()
    opened.window.do("copies")
    for name in ("try_outside_0", "try_here_0"):
        pressed(opened, name)
        opened.wait(lambda: f"would bring back {count} entries, up to" in said(opened))
        assert "2 entries of the record would be lost." in said(opened)
    assert path.read_bytes() == before
    scratch = default_places().scratch
    opened.wait(lambda: list(scratch.iterdir()) == [])  # a copy of its own may just be tried


def test_the_oldest_copy_is_tried_once_a_quarter(on_disk: Opens, tmp_path: Path, stick: Path) -> None:
    opened = on_disk(record_in(tmp_path))
    tries: list[Path] = []
    copies = opened.rest.copies
    real = copies._parts.restore
    assert real is not None

    def restore(copy: Path, target: Path) -> int:
        tries.append(copy)
        return real(copy, target)

    copies._parts = copies._parts._replace(restore=restore)
    with_stick(opened, stick)
    for days, wanted in ((0, 1), (30, 0), (30, 0), (30, 0), (2, 1)):
        opened.clock.instant += days * DAY_24_H
        tries.clear()
        copy_on(opened, stick)
        opened.bot.wait(300)
        oldest = copies.here()[-1].path
        opened.wait(lambda: tries.count(oldest) >= wanted)  # noqa: B023 — asked at once
        assert tries.count(oldest) == wanted, days
    assert "Coming back from the copy of" in opened.window.preferences.now.oldest_tried
