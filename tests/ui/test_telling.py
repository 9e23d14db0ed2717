"""What a screen reader says by itself: each thing once, and nothing that is over before it is heard."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from PySide6.QtPrintSupport import QPrinterInfo
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from carelog.domain.due import Due, DueState
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, Home
from carelog.sheet import PaperSheets
from carelog.ui.due.reminders import PATIENCE, Reminders
from tests.ui.conftest import Opened
from tests.ui.household import NOW
from tests.ui.test_pages import flag, raise_flags

Said = list[str]


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch) -> Said:
    """What is announced from now on."""
    heard: Said = []

    class Event:
        def __init__(self, _widget: QWidget, words: str) -> None:
            self.words = words

        def setPoliteness(self, _how: object) -> None:
            self.words = f"! {self.words}"

    class Ears:
        AnnouncementPoliteness = announce_politeness()

        @staticmethod
        def updateAccessibility(event: Event) -> None:
            heard.append(event.words)

    import PySide6.QtGui

    monkeypatch.setattr(PySide6.QtGui, "QAccessibleAnnouncementEvent", Event)
    monkeypatch.setattr(PySide6.QtGui, "QAccessible", Ears)
    return heard


def announce_politeness() -> type:
    """Qt's own, kept from the double."""
    from PySide6.QtGui import QAccessible

    return QAccessible.AnnouncementPoliteness


def test_an_urgent_flag_is_announced_at_once_and_once(opened: Opened, said: Said) -> None:
    raise_flags(opened, flag(Level.URGENT, headline="Fresh blood at 03:00."))
    for _ in range(3):
        opened.clock.instant += 60_000_000
        opened.rest.urgent.refresh()
    found = [words for words in said if "Fresh blood" in words]
    assert len(found) == 1
    assert found[0].startswith("! Emergency plan now")


def test_a_reminder_is_announced_once_until_something_else_is_due(opened: Opened, said: Said) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    said.clear()
    opened.rest.reminders._known.clear()
    opened.rest.reminders.refresh()
    opened.rest.reminders.refresh()
    assert said == [opened.rest.reminders.band.words()]


@dataclass
class Shown:
    """What reminders ask of a picture of now."""

    dues: tuple[Due, ...]
    flags: tuple[Flag, ...] | None = None
    instant: int = NOW
    when_changed: list[Callable[[], None]] = field(default_factory=list)

    @property
    def picture(self) -> "Shown":
        """Itself."""
        return self

    def now(self) -> int:
        """The moment it is looked at."""
        return self.instant

    def home(self) -> Home:
        """The household's clock."""
        return Home("UTC")


def due(state: DueState, since: int) -> Due:
    """A task that is due at noon; since when it is late."""
    return Due("inner_tube", {}, NOW, state, None, "", "", since)


def reminded(shown: Shown, qtbot: QtBot) -> tuple[Reminders, Said]:
    """The reminders of this picture by day, and how often they sounded, with which words."""
    rung: Said = []
    made = Reminders(shown, rung.append, lambda: False)  # type: ignore[arg-type]
    qtbot.addWidget(made.band)
    made.refresh()
    return made, rung


def test_what_is_due_at_a_start_is_shown_at_once_and_said_once_with_what_the_flags_tell_of_it(
    qtbot: QtBot, said: Said
) -> None:
    shown = Shown((due(DueState.DUE, NOW + HOUR),))
    reminders, rung = reminded(shown, qtbot)
    assert "Inner tube due" in reminders.band.words()
    shown.dues, shown.flags = (due(DueState.LATE, NOW - 12 * HOUR),), ()
    reminders.refresh()
    reminders.refresh()
    assert len(rung) == 1
    assert "Inner tube overdue since" in rung[0]
    assert said == rung


def test_what_is_due_is_said_also_where_no_flags_are_read(qtbot: QtBot) -> None:
    shown = Shown((due(DueState.DUE, NOW + HOUR),))
    reminders, rung = reminded(shown, qtbot)
    shown.instant += PATIENCE
    reminders.refresh()
    assert rung == [reminders.band.words()]


def test_what_was_hidden_before_the_flags_are_read_stays_hidden_and_unsaid(qtbot: QtBot) -> None:
    shown = Shown((due(DueState.DUE, NOW + HOUR),))
    reminders, rung = reminded(shown, qtbot)
    reminders.hide()
    shown.flags = ()
    reminders.refresh()
    assert reminders.band.words() == ""
    assert rung == []


def test_a_refusal_is_announced_each_time(opened: Opened, said: Said) -> None:
    opened.press("tile_cuff_pressure")
    opened.find("field_value", QLineEdit).setText("abc")
    opened.press("save")
    opened.press("save")
    assert len(said) == 2
    assert said[0] == said[1] != ""


def slowly(opened: Opened, gate: threading.Event) -> None:
    """Saving waits for the gate."""
    append: Callable[..., None] = opened.record.append

    def late(entries: object) -> None:
        assert gate.wait(30)
        append(entries)

    opened.record.append = late  # type: ignore[method-assign]


def test_a_save_that_is_quick_is_announced_only_as_saved(opened: Opened, said: Said) -> None:
    gate, late = threading.Event(), opened.window.board.receipt._late
    late.setInterval(30_000)  # a busy computer doesn't make a save slow
    slowly(opened, gate)
    opened.press("tile_suction")
    opened.wait(lambda: "not saved yet" in opened.receipt())
    assert late.isActive()
    gate.set()
    opened.wait(lambda: "Suction saved" in opened.receipt())
    assert not late.isActive()
    assert [words for words in said if "Suction" in words] == [opened.receipt()]


def test_a_second_press_within_the_same_minute_is_announced_as_the_first_was(
    opened: Opened, said: Said
) -> None:
    def saved() -> list[str]:
        return [words for words in said if "Suction saved" in words]

    opened.press("tile_suction")
    opened.wait(lambda: len(saved()) == 1)
    opened.pause()
    opened.press("tile_suction")
    opened.wait(lambda: len(saved()) == 2)
    assert saved()[0] == saved()[1]


def test_a_save_that_takes_long_is_announced_as_not_saved_yet(opened: Opened, said: Said) -> None:
    gate = threading.Event()
    slowly(opened, gate)
    opened.press("tile_suction")
    opened.wait(lambda: any("not saved yet" in words for words in said))
    gate.set()
    opened.wait(lambda: any("Suction saved" in words for words in said))


def test_a_card_that_is_shown_and_a_call_are_announced_once_and_break_into_nothing(
    opened: Opened, said: Said
) -> None:
    opened.window.do("cards")
    opened.press("card_1")
    opened.window.do("back")
    opened.press("cards_call")
    opened.press("call_stop")
    assert [words for words in said if "suction" in words or "come" in words] == [
        "I need suction",
        "Please come to Nima Albers",
    ]


def test_how_a_sheet_and_printing_went_is_announced_but_not_each_page_of_it(
    opened: Opened, said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = opened.window.desk
    desk.parts = desk.parts._replace(sheets=lambda: PaperSheets())
    monkeypatch.setattr(QPrinterInfo, "availablePrinters", list)
    opened.press("go_sheet")
    opened.wait(lambda: "2 pages" in said)
    opened.press("sheet_print")
    opened.window.do("emergency")
    opened.press("print_emergency")
    none = "No printer is set up on this computer."
    saved, nothing = f"{none} Save the sheet and print it elsewhere.", f"{none} Nothing was printed."
    heard = [words for words in said if "overdue" not in words]  # a reminder may come in between
    assert heard == ["Making the sheet …", "2 pages", saved, nothing]


def test_a_code_for_reading_that_is_too_short_or_wrong_is_announced(opened: Opened, said: Said) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)  # the reminder of it comes before
    said.clear()
    opened.press("go_settings")
    opened.find("reading_new", QLineEdit).setText("12")
    opened.press("reading_on")
    assert said == ["Type at least four letters or digits."]
