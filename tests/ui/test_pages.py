"""The other pages: what they say, and what they never say."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton

from carelog.domain.due import DueState
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, MINUTE
from carelog.ui import naming
from carelog.ui.flags import shown
from carelog.ui.help.topics import TOPICS, topic_text
from carelog.ui.keys import KEYS
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, Memory, StandingClock, household
from tests.ui.test_board import texts


def flag(level: Level, **given: object) -> Flag:
    """A flag in force since three hours."""
    values: dict[str, object] = {
        "rule": "cuff_high",
        "subject": None,
        "level": level,
        "raised_at": NOW - 3 * HOUR,
        "cleared_at": None,
        "cleared_by": None,
        "headline": "Cuff 34 cmH2O at 20:05.",
        "why": "The plan says 20 to 30.",
        "entries": (),
    }
    return Flag(**{**values, **given})  # type: ignore[arg-type]


def raise_flags(opened: Opened, *flags: Flag) -> None:
    """Show these flags, whatever the record says, also when the window looks at the record again."""
    present = opened.window.desk.present
    opened.wait(lambda: present.flags is not None)
    outlook = present._outlook
    assert outlook is not None
    look = type(outlook).picture
    outlook.picture = lambda now: replace(look(outlook, now), flags=flags)  # type: ignore[method-assign]
    present.flags = flags
    present.when_changed.tell()


def test_levels_are_told_by_words_and_an_urgent_flag_stands_above_every_page(opened: Opened) -> None:
    raise_flags(
        opened, flag(Level.URGENT, headline="Fresh blood at 03:00."), flag(Level.CALL), flag(Level.NOTE)
    )
    shown = texts(opened.window.board.aside)
    for words in ("Emergency plan now", "Speak to the team today", "Look at this"):
        assert words in shown
    for name in ("timeline", "settings", "help"):
        opened.press(f"go_{name}")
        assert opened.find("urgent_band").words().startswith("Emergency plan now: Fresh blood at 03:00.")
        assert "555-0100" in opened.find("urgent_band").words()


def test_who_was_told_is_recorded_by_one_press_on_a_contact_and_nothing_isnt_told(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL))
    opened.press("go_flags")
    assert "Imke Dorsett" in texts(opened.find("flag_list"))
    opened.press("tell_0")
    opened.press("told_save")
    assert opened.written("seen") == []
    opened.press("told_0")
    opened.wait(lambda: len(opened.written("seen")) == 1)
    assert opened.written("seen")[0].details == {
        "rule": "cuff_high",
        "told": "Imke Dorsett",
    }


def test_the_emergency_number_is_offered_once_as_who_was_told(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL))
    opened.press("go_flags")
    opened.press("tell_0")
    offered = [
        each.text() for each in opened.window.findChildren(QPushButton) if "told_" in each.objectName()
    ]
    assert sum("emergency" in each.casefold() for each in offered) == 1


def test_looking_at_a_flag_is_recorded_without_anybody_told(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL, subject="cuff"))
    opened.press("go_flags")
    opened.press("seen_0")
    opened.wait(lambda: len(opened.written("seen")) == 1)
    assert opened.written("seen")[0].details == {"rule": "cuff_high", "subject": "cuff"}


def test_a_flag_is_seen_with_a_word_which_stands_in_the_entry(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL))
    opened.press("go_flags")
    opened.press("word_0")
    opened.find("seen_word").setText("The gauge was cold.")
    opened.press("seen_save")
    opened.wait(lambda: len(opened.written("seen")) == 1)
    assert opened.written("seen")[0].note == "The gauge was cold."
    assert opened.written("seen")[0].details == {"rule": "cuff_high"}


def test_a_flag_that_ended_by_time_with_nobody_told_stays_on_the_board_until_seen() -> None:
    gone = flag(Level.CALL, cleared_at=NOW - HOUR, cleared_by="time", ended="not written again for 24 h")
    assert shown.on_board([gone]) == [gone]
    assert shown.on_board([flag(Level.CALL, cleared_at=NOW, cleared_by="time", seen=("x",))]) == []
    assert shown.on_board([flag(Level.CALL, cleared_at=NOW, cleared_by="entry")]) == []


def test_the_board_says_of_a_flag_that_ended_unheard_that_it_ended(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL, cleared_at=NOW - HOUR, cleared_by="time", ended="24 h went by"))
    shown = texts(opened.window.board.aside)
    assert "Ended: 24 h went by" in shown
    raise_flags(opened, flag(Level.CALL))
    assert "Ended" not in texts(opened.window.board.aside)


def test_the_worst_flag_comes_first_and_the_word_cleared_is_never_shown(opened: Opened) -> None:
    ended = flag(Level.CALL, cleared_at=NOW - HOUR, cleared_by="entry", ended="next reading 26 cmH2O")
    raise_flags(opened, flag(Level.NOTE), flag(Level.URGENT), ended)
    opened.press("go_flags")
    shown = texts(opened.shown())
    assert shown.index("Emergency plan now") < shown.index("Look at this")
    assert "next reading 26 cmH2O" in shown
    assert "cleared" not in shown.lower()


def test_flags_that_are_not_read_yet_are_said_not_to_be(opened: Opened) -> None:
    opened.window.desk.present.flags = None
    opened.window.desk.present.when_changed.tell()
    assert "Flags: not read yet" in texts(opened.window.board.aside)


def test_dues_are_told_by_words_with_last_time_and_by_whom(opened: Opened) -> None:
    opened.press("go_due")
    shown = texts(opened.find("due_list"))
    assert "Mouth care" in shown
    assert "MO" in shown
    picture = opened.window.desk.present.picture
    assert picture is not None
    assert {due.state for due in picture.dues} >= {DueState.DUE}


def test_recording_from_the_due_page_saves_what_a_tile_would(opened: Opened) -> None:
    opened.press("go_due")
    names = [button.accessibleName() for button in opened.find("due_list").findChildren(QPushButton)]
    number = names.index("Record Mouth care")
    before = len(opened.written("mouth_care"))
    opened.press(f"due_{number}")
    opened.wait(lambda: len(opened.written("mouth_care")) == before + 1)


def test_a_reminder_is_silent_in_quiet_hours_and_snoozing_writes_nothing(opened: Opened) -> None:
    rung: list[str] = []
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.rest.reminders._ring = rung.append
    opened.rest.reminders._known.clear()
    opened.rest.reminders.refresh()
    band = opened.find("reminder_band")
    assert "Nebuliser" in band.words()
    assert rung == []
    before = len(opened.record.entries)
    opened.press("reminder_later")
    assert not band.isVisible()
    opened.clock.instant += 9 * MINUTE
    opened.rest.reminders.refresh()
    assert not band.isVisible()
    opened.clock.instant += MINUTE
    opened.rest.reminders.refresh()
    assert band.isVisible()
    assert len(opened.record.entries) == before


def test_outside_quiet_hours_a_reminder_sounds_once_for_all_that_came_due(opener: Opener) -> None:
    opened = opener()
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    rung: list[str] = []
    opened.rest.reminders._ring = rung.append
    opened.clock.instant += 7 * HOUR
    opened.window.tick()
    opened.wait(lambda: len(rung) == 1)
    opened.window.tick()
    opened.come_to_rest()
    assert len(rung) == 1


def test_the_emergency_page_puts_whom_to_call_and_the_persons_own_plan_first_in_the_largest_letters(
    opened: Opened,
) -> None:
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    QTest.keyClick(opened.window, Qt.Key.Key_F2)
    assert opened.window.page() == "emergency"
    page = opened.shown()
    labels = [label for label in page.findChildren(QLabel) if label.isVisibleTo(page)]
    assert [label.text() for label in labels[:4]] == [
        "Call",
        "emergency, 555-0100\nward team, Imke Dorsett, 555-0142",
        "Emergency plan",
        "Sit up. Suction. Call 555-0100.",
    ]
    assert all(label.font().pixelSize() >= 24 for label in labels)
    largest = [label.text() for label in labels if label.font().pixelSize() > 24]
    assert largest == [labels[1].text(), labels[3].text()]
    shown = texts(page)
    assert "Can air pass by mouth and nose? partly" in shown
    assert "Nima Albers, born 1961-02-03" in shown
    assert "latex" in shown


def test_an_emergency_page_without_a_record_says_to_use_paper(opener: Opener) -> None:
    from carelog.domain.trouble import Trouble

    def refuses(_path: Path) -> Memory:
        raise Trouble("This file is damaged.")

    opened = opener(Memory(), opener=refuses)
    opened.press("go_emergency")
    shown = texts(opened.shown())
    assert "Not readable here: use the plan on paper." in shown
    assert "your country's emergency number" in shown


def test_what_nobody_recorded_is_shown_as_not_recorded(opener: Opener) -> None:
    record = Memory()
    record.entries = [entry for entry in household().entries if entry.kind == "recorder"]
    opened = opener(record)
    opened.press("go_emergency")
    shown = texts(opened.shown())
    assert shown.count("not recorded") >= 4


def test_the_plans_page_says_each_limit_with_its_unit_and_which_are_not_set(opened: Opened) -> None:
    opened.press("go_plan")
    shown = texts(opened.shown()).replace("\N{NO-BREAK SPACE}", " ")
    assert "Cuff pressure: 20 to 30 cmH2O" in shown
    assert "SpO2: no limit set. Breathing rate: no limit set." in shown


def test_the_settings_show_what_is_chosen_also_when_a_key_chose_it(opened: Opened) -> None:
    opened.press("go_settings")
    opened.window.do("larger")
    opened.wait(lambda: opened.find("pick_text_percent_125").isChecked())
    assert not opened.find("pick_text_percent_100").isChecked()
    opened.press("pick_palette_day")
    assert opened.find(
        "pick_palette_day"
    ).isChecked()  # pressed again, a choice of which one always counts stays
    opened.pause()
    opened.press("pick_palette_by_itself")
    opened.wait(lambda: opened.find("pick_palette_by_itself").isChecked())
    assert not opened.find("pick_palette_day").isChecked()


@pytest.mark.parametrize("page", ["flags", "due", "plan", "emergency", "help_rules", "settings"])
def test_in_a_wide_window_no_line_of_words_is_too_long_to_be_read(opened: Opened, page: str) -> None:
    opened.window.resize(1920, 1080)
    for percent in (100, 200):
        opened.window.preferences.change(text_percent=percent)
        opened.window.do(page)
        opened.come_to_rest()
        shown = opened.shown()
        widest = max(label.width() for label in shown.findChildren(QLabel) if label.isVisibleTo(shown))
        assert 300 < widest <= 8.4 * percent


def test_a_first_start_makes_nothing_before_it_is_asked(opener: Opener, tmp_path: Path) -> None:
    def gone(path: Path) -> Memory:
        pytest.fail(f"opened {path}")

    record = Memory()
    opened = opener(record, opener=gone, is_waiting=False, is_missing=True)
    opened.wait(lambda: opened.window.page() == "first")
    opened.press("welcome_on")
    assert "There is no record here yet" in texts(opened.shown())
    opened.press("begin_record")
    opened.wait(lambda: "Whom is this record about?" in texts(opened.shown()))
    assert record.entries == []


def test_a_first_start_takes_the_computers_zone_as_the_home_zone_and_says_so(opener: Opener) -> None:
    record, clock = Memory(), StandingClock(name="Europe/Warsaw")
    opened = opener(record, clock, is_waiting=False, is_missing=True)
    opened.wait(lambda: opened.window.page() == "first")
    assert "not read" not in texts(opened.window.head).lower()
    opened.press("begin_record")
    opened.wait(lambda: "Whom is this record about?" in texts(opened.shown()))
    assert "04:12" in texts(opened.window.head)
    assert "Europe/Warsaw" in texts(opened.shown())
    opened.find("field_name").setText("Nima Albers")
    opened.press("basics_save")
    opened.wait(lambda: len(record.entries) == 1)
    assert record.entries[0].zone == "Europe/Warsaw"
    assert record.entries[0].details == {"name": "Nima Albers", "home_zone": "Europe/Warsaw"}


def test_the_cover_hides_names_and_leaves_the_emergency_button_and_an_urgent_flags_existence(
    opened: Opened,
) -> None:
    raise_flags(opened, flag(Level.URGENT, headline="Fresh blood at 03:00."))
    opened.rest.toggle_cover()
    shown = texts(opened.window)
    assert "Lucia" not in shown
    assert "Fresh blood" not in shown
    assert "Emergency plan now" in shown
    assert opened.find("go_emergency").isVisible()
    opened.press("uncover")
    assert opened.window.page() == "board"


def test_every_key_has_one_meaning_and_does_something(opened: Opened) -> None:
    presses = [key.press for key in KEYS]
    assert len(presses) == len(set(presses))
    for key in KEYS:
        assert opened.window.do(key.does), key.press


def test_the_night_comes_by_itself_in_quiet_hours_and_by_its_key(opened: Opened) -> None:
    opened.window.preferences.change(palette="")
    nights = [opened.window.theme.is_night]
    opened.window.preferences.flip()
    nights.append(opened.window.theme.is_night)
    opened.clock.instant += 7 * HOUR
    opened.rest._follow_time()
    nights.append(opened.window.theme.is_night)
    assert nights == [True, False, False]


def test_one_timer_of_thirty_seconds_drives_everything(opened: Opened) -> None:
    def running() -> list[int]:
        timers = (each for each in opened.window.findChildren(QTimer) if not each.isSingleShot())
        return [timer.interval() for timer in timers if timer.isActive()]

    opened.wait(lambda: running() == [30_000])  # what is loaded ahead has a timer of its own until it is done


def test_every_topic_of_the_help_has_a_page_and_the_rules_come_from_their_own_table(opened: Opened) -> None:
    from carelog.analysis.rules.table import RULES

    for topic in TOPICS:
        assert topic_text(topic.name).strip()
    assert opened.window.do("help_rules")
    shown = texts(opened.shown())
    assert all(rule.title in shown for rule in RULES)


def test_without_a_record_each_page_says_so_and_the_board_leads_back_to_the_first_steps(
    opener: Opener,
) -> None:
    opened = opener(Memory(), is_missing=True)
    for page in ("flags", "due", "plan", "timeline", "sheet"):
        opened.press(f"go_{page}")
        shown = texts(opened.shown())
        assert "There is no record here yet" in shown, page
        assert "Opening" not in shown, page
    opened.press("go_board")
    opened.press("go_first")
    assert opened.window.page() == "first"


def test_who_was_told_stays_typed_while_time_goes_by_and_when_it_cannot_be_saved(opened: Opened) -> None:
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    raise_flags(opened, flag(Level.CALL))
    opened.press("go_flags")
    opened.press("tell_0")
    opened.find("told_other", QLineEdit).setText("Dr Quill")
    opened.clock.instant += 2 * MINUTE
    opened.window.desk.present.when_changed.tell()
    assert opened.find("told_other").text() == "Dr Quill"
    opened.record.trouble = "The disk is full."
    opened.press("told_save")
    opened.wait(lambda: "The disk is full." in texts(opened.window))
    opened.clock.instant += 2 * MINUTE
    opened.window.desk.present.when_changed.tell()
    assert opened.find("told_other").text() == "Dr Quill"
    opened.record.trouble = ""
    opened.press("told_save")
    opened.wait(lambda: [entry.details.get("told") for entry in opened.written("seen")] == ["Dr Quill"])
    assert opened.window.findChild(QLineEdit, "told_other") is None


def test_who_was_told_about_what_is_told_in_words_by_receipt_and_timeline(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL))
    opened.press("go_flags")
    opened.press("tell_0")
    opened.press("told_0")
    opened.wait(lambda: len(opened.written("seen")) == 1)
    opened.wait(lambda: "saved" in opened.receipt())
    assert "Cuff pressure high" in opened.receipt()
    assert "told Imke Dorsett" in opened.receipt()
    assert "cuff_high" not in opened.receipt()
    row = naming.line_words("seen", {"rule": "cuff_high", "told": "Imke Dorsett"})
    assert "Cuff pressure high" in row
    assert (
        naming.line_words("seen", {"rule": "a_rule_of_a_newer_carelog"}) == "flag a_rule_of_a_newer_carelog"
    )


def test_what_an_update_changed_in_the_rules_is_told_until_it_was_read(opened: Opened) -> None:
    assert "An update changed" not in texts(opened.window.board.aside)
    opened.rest.preferences.change(rules_seen="2026-01-01")
    opened.window.board.aside.refresh()
    assert "An update changed the rules of the flags: see Flags." in texts(opened.window.board.aside)
    raise_flags(opened)
    opened.press("go_flags")
    assert "New: a valve or cap on at night." in texts(opened.shown())
    assert "By the rules of Saturday 28" in texts(opened.shown())
    opened.press("rules_read")
    assert "New: a valve or cap on at night." not in texts(opened.shown())
    opened.window.board.aside.refresh()
    assert "An update changed" not in texts(opened.window.board.aside)
