"""Handing over in the window: offered, read, left for the next; nothing stands before the first press."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Moment
from carelog.ui.emergency.facts import person_words
from carelog.ui.since.page import SincePage
from carelog.ui.words import Words
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, household


def written(number: int, kind: str, back: int, by: str, note: str = "", **details: object) -> Entry:
    return Entry(
        f"30000000-0000-7000-8000-{number:012x}",
        kind,
        Moment(NOW - back),
        NOW - back,
        "Europe/London",
        by,
        details,
        note,
    )


@pytest.fixture
def handing(opener: Opener) -> Opened:
    """MO wrote last two days ago; since then LR recorded an incident and left a note."""
    record = household()
    record.entries = [each for each in record.entries if each.by != "MO"]
    record.entries += [
        written(1, "suction", 2 * DAY_24_H, "MO", colour="white"),
        written(2, "incident", DAY_24_H, "LR", what="power_cut"),
        written(3, "note", HOUR, "LR", "Leave the window shut.", for_next=True),
    ]
    opened = opener(record)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.window.desk.recorder.choose("LR")
    return opened


def choose(opened: Opened, initials: str) -> None:
    opened.press("go_who")
    opened.press(f"choose_{initials}")


def is_offered(opened: Opened) -> bool:
    return opened.rest.since.is_offered()


def read(opened: Opened) -> str:
    page = opened.shown()
    assert isinstance(page, SincePage)
    opened.wait(lambda: any("entr" in each.text() for each in page.findChildren(Words)))
    return "\n".join(each.text() for each in page.findChildren(Words)).replace("\xa0", " ")


def test_who_is_chosen_after_two_days_is_offered_what_happened_and_the_board_goes_on(handing: Opened) -> None:
    choose(handing, "MO")
    handing.wait(lambda: is_offered(handing))
    assert handing.window.page() == "board"
    handing.press("tile_suction")
    handing.wait(lambda: handing.record.entries[-1].kind == "suction")
    assert handing.record.entries[-1].by == "MO"


def test_the_page_tells_what_happened_and_what_was_left_for_the_next(handing: Opened) -> None:
    choose(handing, "MO")
    handing.wait(lambda: is_offered(handing))
    handing.press("offer_since")
    text = read(handing)
    assert "MO, your last entry was" in text
    assert "power cut" in text
    assert "“Leave the window shut.” LR" in text
    assert not is_offered(handing)


def test_i_have_read_it_begins_a_shift_and_goes_to_the_board(handing: Opened) -> None:
    choose(handing, "MO")
    handing.press("go_since")
    read(handing)
    handing.press("since_read")
    handing.wait(lambda: bool(handing.written("shift")) and handing.window.page() == "board")
    (shift,) = [each for each in handing.written("shift") if each.by == "MO"]
    assert shift.details == {"action": "start"}


def test_reading_it_takes_the_offer_away_and_somebody_who_wrote_lately_gets_none(handing: Opened) -> None:
    choose(handing, "MO")
    handing.wait(lambda: is_offered(handing))
    handing.press("offer_since")
    assert not is_offered(handing)
    choose(handing, "LR")
    handing.come_to_rest()
    assert not is_offered(handing)


def test_a_tiles_key_presses_it_from_the_page_too(handing: Opened) -> None:
    choose(handing, "MO")
    handing.press("go_since")
    read(handing)
    before = len(handing.record.entries)
    QTest.keyClick(handing.window.focusWidget(), Qt.Key.Key_1)
    handing.wait(lambda: len(handing.record.entries) > before)
    assert handing.record.entries[-1].kind == "suction"
    assert handing.window.page() == "board"


def test_a_tile_on_the_page_presses_the_boards_own(handing: Opened) -> None:
    choose(handing, "MO")
    handing.press("go_since")
    read(handing)
    before = len(handing.record.entries)
    handing.press("since_tile_1")
    handing.wait(lambda: len(handing.record.entries) > before)
    assert handing.window.page() == "board"
    assert handing.record.entries[-1].kind == "suction"


def test_escape_leads_to_the_board(handing: Opened) -> None:
    handing.press("go_since")
    QTest.keyClick(handing.window, Qt.Key.Key_Escape)
    assert handing.window.page() == "board"


def test_a_note_for_the_next_is_a_note_that_says_so(handing: Opened) -> None:
    handing.press("go_since")
    read(handing)
    handing.press("since_note")
    assert handing.window.page() == "form"
    handing.find("field_note").setPlainText("The ties are new.")
    handing.press("save")
    handing.wait(lambda: handing.record.entries[-1].kind == "note")
    assert handing.record.entries[-1].details == {"for_next": True}
    assert handing.record.entries[-1].note == "The ties are new."


def test_all_of_it_can_be_printed_as_text(handing: Opened) -> None:
    choose(handing, "MO")
    handing.press("go_since")
    read(handing)
    page = handing.shown()
    assert isinstance(page, SincePage)
    texts = page.texts()
    assert texts[0][0] == "Since MO was last here"
    who, when, *_rest = texts[0][1].splitlines()
    assert person_words(handing.picture()) == who
    assert when == "As of Thursday 26\N{NO-BREAK SPACE}November 2026, 03:12."
    assert texts[-1][1].endswith("No monitor, no alarm.")
    assert any("power cut" in text for _, text in texts)
    assert texts[-1][1].startswith("It holds what was recorded.")


def test_where_nothing_stands_above_the_tiles_a_band_offers_it_and_later_takes_it_away(
    opener: Opener,
) -> None:
    record = household()
    record.entries = [each for each in record.entries if each.kind != "plan" and each.by != "MO"]
    record.entries.append(written(1, "suction", 2 * DAY_24_H, "MO"))
    opened = opener(record)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.window.desk.recorder.choose("LR")
    choose(opened, "MO")
    opened.wait(lambda: is_offered(opened))
    assert opened.find("since_band").isVisible()
    assert all(tile.isVisible() for tile in opened.window.board.tiles)
    opened.press("since_later")
    assert not is_offered(opened)
    assert not opened.rest.since.band.isVisible()


def test_to_a_nurse_the_band_offers_the_page_of_the_visit_too(opener: Opener) -> None:
    record = household()
    record.entries = [each for each in record.entries if each.kind != "plan"]
    opened = opener(record)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    for initials, is_offered_it in (("MO", False), ("NB", True)):
        opened.window.desk.recorder.choose("LR")
        choose(opened, initials)
        opened.come_to_rest()
        offer = opened.window.findChildren(QPushButton, "since_visit")
        assert [each.isVisibleTo(opened.rest.since.band) for each in offer] == [is_offered_it]
    opened.press("since_visit")
    assert opened.window.page() == "visit"
