"""What two computers changed stands on the board as one line until somebody has chosen."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE
from carelog.store.opening import open_record
from carelog.ui.sides import unlike
from tests.ui.conftest import Opened
from tests.ui.household import NOW
from tests.ui.test_copies import board
from tests.ui.test_guard import record_in

Opens = Callable[[Path], Opened]
LINE = "Two computers changed Mouth care"


def rivals(target: Entry) -> list[Entry]:
    """Two changes of one entry, as two computers make them."""
    return [
        replace(
            target,
            id=f"60000000-0000-7000-8000-00000000000{number}",
            recorded_at=NOW - number * MINUTE,
            amends=target.id,
            reason="a slip",
            note=f"side {number}",
        )
        for number in (1, 2)
    ]


def test_rivals_stand_on_the_board_until_one_is_chosen(on_disk: Opens, tmp_path: Path) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    opened.press("tile_mouth_care")
    slips = opened.window.desk.slips
    opened.wait(lambda: bool(slips.all) and not slips.all[0].is_unsaved)
    target = slips.all[0].entry
    assert LINE not in board(opened)  # the control
    other = open_record(path, installation="elsewhere")
    other.append(rivals(target))
    other.close()
    opened.window.tick()
    opened.wait(lambda: LINE in board(opened))
    opened.window.desk.access.act(
        lambda logbook, record: logbook.keep(
            held := Reading(record.chain([target.id])).held[0], held.rivals[0], "MO"
        ),
        lambda _kept: None,
        lambda sentence: None,
    )
    opened.wait(lambda: LINE not in board(opened))


def texts(opened: Opened) -> str:
    found = [each.text() for each in opened.shown().findChildren(QLabel) if each.isVisible()]
    return " ".join(found).replace("\u200a", "")


def test_the_page_shows_both_sides_with_what_differs_and_one_press_keeps_one(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    slip = opened.window.desk.slips.press("suction", {"colour": "white"})
    opened.wait(lambda: not slip.is_unsaved)
    sides = rivals(slip.entry)
    sides = [
        replace(
            sides[0], by="MO", details={"colour": "white", "amount": "small"}, note="half a cup at night"
        ),
        replace(
            sides[1], by="NB", details={"colour": "yellow", "amount": "small"}, note="half a glass at night"
        ),
    ]
    other = open_record(path, installation="elsewhere")
    other.append(sides)
    other.close()
    assert not opened.window.board.findChildren(QPushButton, "offer_sides")[0].isVisible()
    opened.window.tick()
    opened.wait(lambda: "Two computers changed Suction" in board(opened))
    opened.press("offer_sides")
    opened.wait(lambda: "Keep this one" in [each.text() for each in opened.shown().findChildren(QPushButton)])
    said = texts(opened)
    for words in ("Written by MO", "Written by NB", "Colour: white", "Colour: yellow"):
        assert words in said
    assert "half a ‹cup› at night" in said
    assert "half a ‹glass› at night" in said
    assert "Amount" not in said  # both say the same of it
    keep = next(
        each
        for each in opened.shown().findChildren(QPushButton)
        if each.objectName().startswith("keep_") and "Written by NB" in each.accessibleName()
    )
    keep.setFocus()
    QTest.keyClick(keep, Qt.Key.Key_Return)
    opened.wait(lambda: "No entry has two versions" in texts(opened))
    record = open_record(path, installation="elsewhere")
    held = Reading(record.chain([slip.entry.id])).held[0]
    assert (held.entry.details["colour"], held.rivals) == ("yellow", ())
    assert len(record.chain([slip.entry.id])) == 4  # nothing is lost: both sides and what struck one out
    record.close()
    opened.window.do("board")
    assert not opened.window.board.findChildren(QPushButton, "offer_sides")[0].isVisible()


@pytest.mark.parametrize(
    ("text", "others", "wanted"),
    [
        ("a b c", ["a x c"], "a ‹b› c"),
        ("a b c d", ["a d"], "a ‹b c› d"),
        ("a", ["a"], "a"),
        ("", ["a"], "not given"),
        ("a b", [""], "‹a b›"),
        ("a b c", ["a x c", "a b y"], "a ‹b c›"),
    ],
)
def test_the_words_that_differ_stand_between_brackets(text: str, others: list[str], wanted: str) -> None:
    assert unlike(text, others) == wanted
