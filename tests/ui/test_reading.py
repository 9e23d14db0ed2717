"""The lock for reading: by choice, after minutes away, and never before a press, a flag or an emergency."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from carelog.app.reading_lock import fits, kept_of
from carelog.app.settings import Settings
from carelog.ui.reading import GUARDED
from tests.ui.conftest import Opened
from tests.ui.typing_in import pressed, typed

CODE = "7 oaks"
GONE_ON = {"seconds": 0.0}


@pytest.fixture
def locked(opened: Opened) -> Opened:
    """A window with a lock whose code was just chosen, by hand, and time that a test moves."""
    GONE_ON["seconds"] = 1000.0
    opened.rest.reading._now = lambda: GONE_ON["seconds"]
    opened.window.do("settings")
    typed(opened, "reading_new", CODE)
    pressed(opened, "reading_on")
    return opened


def away(minutes: float) -> None:
    GONE_ON["seconds"] += minutes * 60


def said(opened: Opened) -> str:
    found = [each.text() for each in opened.shown().findChildren(QLabel) if each.isVisible()]
    return " ".join(found).replace("\u200a", "")


def test_there_is_no_lock_until_somebody_chooses_one(opened: Opened) -> None:
    for page in ("timeline", "sheet", "settings"):
        opened.window.do(page)
        assert opened.window.page() == page
    assert Settings().reading_code == ""


def test_after_minutes_away_the_pages_of_the_past_ask_for_the_code(locked: Opened) -> None:
    locked.window.do("timeline")
    assert locked.window.page() == "timeline"  # the control: nobody was away
    locked.window.do("board")
    away(15)
    for page in sorted(GUARDED):
        if locked.window.do(page):
            assert locked.window.page() == "reading", page
            locked.window.do("board")
    locked.window.do("timeline")
    typed(locked, "reading_code", "6 oaks")
    pressed(locked, "reading_open")
    assert "That isn't the code" in said(locked)
    typed(locked, "reading_code", CODE)
    pressed(locked, "reading_open")
    assert locked.window.page() == "timeline"


def test_what_is_open_gives_way_to_the_board_once_nobody_was_there(locked: Opened) -> None:
    locked.window.do("timeline")
    away(14)
    locked.window.tick()
    assert locked.window.page() == "timeline"
    QTest.keyClick(locked.shown(), Qt.Key.Key_Down)  # somebody reads
    away(14)
    locked.window.tick()
    assert locked.window.page() == "timeline"
    away(1)
    locked.window.tick()
    assert locked.window.page() == "board"


def test_the_board_the_flags_and_the_emergency_page_always_work(locked: Opened) -> None:
    away(600)
    for page in ("emergency", "flags", "due", "plan", "help", "board"):
        locked.window.do(page)
        assert locked.window.page() == page
    before = len(locked.written("suction"))
    locked.press("tile_suction")
    locked.wait(lambda: len(locked.written("suction")) == before + 1)


def test_the_household_s_recovery_code_opens_it_when_the_code_is_forgotten(locked: Opened) -> None:
    from carelog.seal.code import grouped, make
    from carelog.seal.keyring import Keyring

    keys = Keyring(locked.window.desk.parts.places.keys)
    keys.take(make(bytes(26)), 0)
    locked.rest.reading._keyring = lambda: keys
    away(15)
    locked.window.do("sheet")
    typed(locked, "reading_code", grouped(make(bytes(range(26)))))
    pressed(locked, "reading_open")
    assert locked.window.page() == "reading"
    typed(locked, "reading_code", grouped(make(bytes(26))))
    pressed(locked, "reading_open")
    assert locked.window.page() == "sheet"


def test_it_is_switched_off_where_it_was_switched_on(locked: Opened) -> None:
    locked.window.do("settings")
    pressed(locked, "reading_off")
    away(600)
    locked.window.do("timeline")
    assert locked.window.page() == "timeline"


def test_the_code_itself_is_kept_nowhere(locked: Opened) -> None:
    text = locked.window.desk.parts.places.settings.read_text()
    assert CODE not in text
    kept = locked.window.preferences.now.reading_code
    assert kept in text
    assert fits(kept, CODE)
    assert kept_of(CODE) != kept_of(CODE)
    for wrong in ("", "7 oak", "7 Oaks"):
        assert not fits(kept, wrong)
    for spoiled in ("", ":", "zz:00", kept[:-1]):
        assert not fits(spoiled, CODE)


@pytest.mark.parametrize(
    ("is_safe", "words"),
    [(True, "encrypts the disk"), (False, "doesn't encrypt the disk"), (None, "can't be told from here")],
)
def test_the_settings_say_whether_the_disk_is_encrypted_where_the_system_tells(
    opened: Opened, monkeypatch: pytest.MonkeyPatch, is_safe: bool | None, words: str
) -> None:
    monkeypatch.setattr("carelog.ui.settings.page.is_encrypted", lambda _folder: is_safe)
    opened.window.do("settings")
    assert words in said(opened)
