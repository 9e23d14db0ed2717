"""A filled sheet of paper is typed in by keyboard alone: a day in one act, nothing twice, undone as one."""

import re
import threading
from collections.abc import Iterator
from datetime import time
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from carelog.domain.entry import PAPER
from carelog.domain.paper import SheetRequest
from carelog.domain.trouble import Refused
from carelog.sheet import make
from carelog.ui.typed.lines import FAR, BoxStep, read_clock
from carelog.ui.typed.page import PORTION, TypedPage
from tests.sheet.pages import no_flags
from tests.ui.conftest import Opened

FASTEST_KEYS = 4  # a second: a slow two-finger typist's pace (our own choice)


class Typist:
    """Presses keys on whatever has the focus, and counts them."""

    def __init__(self, opened: Opened) -> None:
        self.opened = opened
        self.count = 0

    def key(self, key: Qt.Key) -> None:
        """One key."""
        widget = self.opened.window.focusWidget()
        assert widget is not None
        QTest.keyClick(widget, key)
        self.count += 1

    def type(self, text: str) -> None:
        """Letters and digits; a space is Tab."""
        for letter in text:
            if letter == " ":
                self.key(Qt.Key.Key_Tab)
            else:
                widget = self.opened.window.focusWidget()
                assert widget is not None
                QTest.keyClicks(widget, letter)
                self.count += 1

    def enter(self, text: str = "") -> None:
        """Letters, then Enter: to the next row."""
        self.type(text)
        self.key(Qt.Key.Key_Return)


@pytest.fixture
def typing(opened: Opened) -> Opened:
    """The page is open on yesterday."""
    opened.press("go_typed")
    opened.wait(lambda: bool(page(opened).rows) and not page(opened)._left)
    return opened


def page(opened: Opened) -> Any:
    return opened.shown()


def rows_of(opened: Opened, kind: str) -> list[Any]:
    return [each for each in page(opened).rows if each.row.kind == kind]


def from_paper(opened: Opened) -> list[Any]:
    return [entry for entry in opened.record.entries if entry.source == PAPER and not entry.amends]


def focus(row: Any) -> None:
    row.clock.setFocus()


def test_a_suction_is_typed_in_with_one_key_a_box_and_saved_with_its_own_time(typing: Opened) -> None:
    typist = Typist(typing)
    focus(rows_of(typing, "suction")[0])
    typist.enter("317 4 2 m s")
    typing.find("typed_by").setText("LR")
    typing.press("typed_save")
    typing.wait(lambda: len(from_paper(typing)) == 1)
    (entry,) = from_paper(typing)
    expected = {"colour": "yellow", "consistency": "thick", "amount": "moderate", "blood": "streaks"}
    assert (entry.kind, entry.details, entry.by) == ("suction", expected, "LR")
    home = typing.window.desk.present.home()
    assert home.local(entry.at.instant).time() == time(3, 17)
    assert home.day(entry.at.instant) == page(typing)._day
    assert entry.recorded_at == typing.clock.now()
    assert "1 entry" in page(typing)._state.text()


def test_a_day_of_30_entries_is_typed_by_keys_alone_in_two_minutes_and_in_one_act(
    typing: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    acts: list[int] = []
    append = typing.record.append

    def counted(_self: object, entries: Any) -> None:
        acts.append(len(entries))
        append(entries)

    monkeypatch.setattr(type(typing.record), "append", counted)
    typist = Typist(typing)
    for _ in range(3):  # to a day of which nothing is written down
        typing.press("typed_earlier")
        typing.pause()
    typing.wait(lambda: "Nothing of this day." in page(typing)._held.text())
    before = len(typing.record.entries)
    focus(page(typing).rows[0])
    plain = [each for each in page(typing).rows if not each.steps and each.note.isHidden()]
    for number in range(len(plain)):
        typist.enter(f"{6 + number}{10 + number}")
    typed = len(plain)
    for number, row in enumerate(rows_of(typing, "suction")[:15]):
        assert isinstance(typing.window.focusWidget(), QLineEdit)
        if number == 9:
            focus(row)  # the others stand on the back
        typist.enter(f"{9 + number % 14}{40 + number} 2 1 1 1")
        typed += 1
    for kind, text in (("cuff_pressure", "812 24"), ("cuff_pressure", "2004 26")):
        free = next(each for each in rows_of(typing, kind) if not each.is_filled)
        focus(free)
        typist.enter(text)
        typed += 1
    focus(rows_of(typing, "stoma")[0])
    typist.enter("915 1 1  1 1")
    focus(rows_of(typing, "observations")[0])
    typist.enter("801 36.8 97")
    for number, row in enumerate(rows_of(typing, "note")):
        focus(row)
        typist.enter(f"18{20 + number} dry")
    typed += 2 + len(rows_of(typing, "note"))
    typing.press("typed_save")
    typing.wait(lambda: len(typing.record.entries) > before)
    assert typed >= 30
    assert acts == [typed]
    assert len(from_paper(typing)) == typed
    keys = typist.count / typed
    assert keys * 30 / FASTEST_KEYS <= 120, f"{keys:.1f} keys an entry"


def test_each_row_and_box_on_the_screen_is_one_of_the_paper_in_its_order(typing: Opened) -> None:
    now = typing.window.desk.present.now()
    wanted = SheetRequest(name="blank", day=page(typing)._day, html=True, now=now)
    paper = make(wanted, typing.record.entries, find_flags=no_flags).decode()
    shown = page(typing).rows
    ticked = [each for each in shown if not each.steps and each.note.isHidden()]
    assert re.findall("<li>☐ (.*?)</li>", paper) == [
        f"{each.row.title} {each.row.clock}".strip() for each in ticked
    ]
    heads = re.findall(r"<table><thead><tr>(.*?)</tr>", paper)
    columns = dict.fromkeys(tuple(re.findall(r"<th[^>]*>(.*?)</th>", head)) for head in heads)
    kinds = dict.fromkeys(each.row.kind for each in shown if each not in ticked)
    first = [rows_of(typing, kind)[0] for kind in kinds]
    assert len(first) >= 5
    for row, names in zip(first, columns, strict=True):
        printed = [name.replace(",", "") for name in names if name not in ("time", "by", "in words")]
        assert printed == _in_words(row)
        assert ("in words" in names) == (not row.note.isHidden())


def _in_words(row: Any) -> list[str]:
    """What the paper's columns between time and initials are called, from the row of the screen."""
    found = []
    for step in row.steps.values():
        label = step.placeholderText()
        if isinstance(step, BoxStep):
            found += [f"{label} {word}" for _, word in step.words]
        else:
            found.append(label)
    return found


def test_all_of_it_is_taken_back_as_one(typing: Opened) -> None:
    typist = Typist(typing)
    first = rows_of(typing, "suction")[0]
    focus(first)
    for clock in ("101", "204", "307"):
        typist.enter(clock)
    typing.press("typed_save")
    typing.wait(lambda: len(from_paper(typing)) == 3)
    typing.press("typed_undo")
    typing.wait(lambda: sum(e.withdrawn for e in typing.record.entries) == 3)
    struck = {entry.amends for entry in typing.record.entries if entry.withdrawn}
    assert struck == {entry.id for entry in from_paper(typing)}
    assert "Taken back: 3 entries." in page(typing)._state.text()
    assert not page(typing)._undo.isVisible()


def test_what_is_in_the_record_already_stands_beside_it_and_is_left_out(typing: Opened) -> None:
    typist = Typist(typing)
    for _ in range(2):
        focus(rows_of(typing, "suction")[0])
        typist.enter("317 2")
        typing.press("typed_save")
        typing.wait(lambda: "paper" in page(typing)._state.text())
        typing.wait(lambda: not rows_of(typing, "suction")[0].is_filled)
        typing.pause()
        typing.wait(lambda: "03:17 Suction" in page(typing)._held.text())
    assert len(from_paper(typing)) == 1
    assert "1 was in the record already and was left out." in page(typing)._state.text()
    focus(rows_of(typing, "suction")[0])
    typist.enter("319")
    assert "in the record already, 03:17" in rows_of(typing, "suction")[0].remark.text()
    focus(rows_of(typing, "suction")[0])
    for _ in range(3):
        typist.key(Qt.Key.Key_Backspace)
    typist.enter("340")
    assert rows_of(typing, "suction")[0].remark.text() == ""


def test_a_row_without_a_time_or_with_a_wrong_number_is_said_and_nothing_is_saved(typing: Opened) -> None:
    typist = Typist(typing)
    focus(rows_of(typing, "suction")[0])
    typist.enter("500")
    focus(rows_of(typing, "suction")[1])
    typist.enter(" 2")
    typing.press("typed_save")
    assert "“Suction” has no time." in page(typing)._state.text()
    typing.pause()
    focus(rows_of(typing, "suction")[1])
    typist.enter("2561")
    typing.press("typed_save")
    assert "isn't a time" in page(typing)._state.text()
    assert from_paper(typing) == []
    assert rows_of(typing, "suction")[0].is_filled


def test_a_time_that_is_still_to_come_is_refused_and_what_was_typed_stays(typing: Opened) -> None:
    typist = Typist(typing)
    typing.press("typed_later")
    typing.wait(lambda: page(typing)._shown is not None)
    focus(rows_of(typing, "suction")[0])
    typist.enter("2359")
    typing.press("typed_save")
    typing.wait(lambda: "still to come" in page(typing)._state.text())
    assert from_paper(typing) == []
    assert rows_of(typing, "suction")[0].is_filled


def test_ctrl_enter_goes_to_the_button_that_saves(typing: Opened) -> None:
    focus(rows_of(typing, "suction")[0])
    Typist(typing).type("317")
    widget = typing.window.focusWidget()
    assert widget is not None
    QTest.keyClick(widget, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    button = typing.window.focusWidget()
    assert button is not None
    assert button.objectName() == "typed_save"
    QTest.keyClick(button, Qt.Key.Key_Space)
    typing.wait(lambda: len(from_paper(typing)) == 1)


def test_the_space_bar_takes_the_time_that_the_plan_names(typing: Opened) -> None:
    row = next(each for each in page(typing).rows if each.row.clock)
    focus(row)
    Typist(typing).key(Qt.Key.Key_Space)
    assert row.clock.text() == row.row.clock


def test_another_who_wrote_a_row_is_named_in_it(typing: Opened) -> None:
    typist = Typist(typing)
    focus(rows_of(typing, "suction")[0])
    typist.enter("317     MO")
    typist.enter("417")
    typing.find("typed_by").setText("LR")
    typing.press("typed_save")
    typing.wait(lambda: len(from_paper(typing)) == 2)
    assert [entry.by for entry in from_paper(typing)] == ["MO", "LR"]


@pytest.mark.parametrize(
    ("text", "clock"),
    [("717", time(7, 17)), ("0717", time(7, 17)), ("7:17", time(7, 17)), ("23.05", time(23, 5)), ("", None)],
)
def test_a_time_is_typed_with_or_without_its_colon(text: str, clock: time | None) -> None:
    assert read_clock(text) == clock
    for wrong in ("2460", "7:1", "abc", "99"):
        with pytest.raises(Refused):
            read_clock(wrong)


@pytest.fixture
def some(opened: Opened, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The page, of which the first rows are there and the others aren't made yet."""
    add_up_to, is_over = TypedPage._add_up_to, list[bool]()

    def stopped(page: TypedPage, count: int) -> None:
        add_up_to(page, count)
        if not is_over:
            page._soon.stop()

    monkeypatch.setattr(TypedPage, "_add_up_to", stopped)
    opened.press("go_typed")
    opened.wait(lambda: bool(page(opened).rows))
    is_over.append(True)
    return page(opened)


def test_the_first_rows_can_be_typed_into_before_the_others_are_there(opened: Opened, some: Any) -> None:
    assert (len(some.rows), bool(some._left)) == (PORTION, True)
    assert opened.window.focusWidget() is some.rows[0].clock
    some._go(PORTION)
    assert opened.window.focusWidget() is some.rows[PORTION].clock


def test_ctrl_enter_leads_to_the_button_that_saves_while_rows_are_still_added(
    opened: Opened, some: Any
) -> None:
    some._go(FAR)
    assert opened.window.focusWidget() is some._save_button
    assert not some._left


def test_rows_that_were_not_there_yet_are_added_when_the_page_is_opened_again(
    opened: Opened, some: Any
) -> None:
    opened.window.go("board")
    some._add_some()
    assert len(some.rows) == PORTION
    opened.window.go("typed")
    opened.wait(lambda: not some._left)
    assert [each.clock.objectName() for each in some.rows] == [
        f"typed_{number}_time" for number in range(len(some.rows))
    ]
    assert opened.find("typed_save").isVisible()


# Another day whose rows are others ----------------------------------------------------------------------


def to_other_rows(opened: Opened) -> None:
    """To a day from before there was any plan."""
    before = page(opened)._parts
    page(opened)._move(-60)
    opened.wait(lambda: page(opened)._parts != before)


def test_a_day_with_other_rows_is_saved_as_the_first_one_is(typing: Opened) -> None:
    to_other_rows(typing)
    assert page(typing)._left  # the others follow between events
    typing.wait(lambda: not page(typing)._left)
    typing.come_to_rest()  # the body of before is deleted by now
    focus(rows_of(typing, "suction")[0])
    Typist(typing).type("317")
    page(typing)._go(FAR)
    assert typing.window.focusWidget() is typing.find("typed_save")
    typing.press("typed_save")
    typing.wait(lambda: len(from_paper(typing)) == 1)
    home = typing.window.desk.present.home()
    assert home.day(from_paper(typing)[0].at.instant) == page(typing)._day


def test_what_is_typed_and_not_saved_goes_along_to_a_day_with_other_rows(typing: Opened) -> None:
    timed = next(each for each in page(typing).rows if each.row.clock).row
    for row, text in (
        (rows_of(typing, "suction")[1], "317 4 2 m s"),
        (rows_of(typing, "note")[0], "815 dry"),
    ):
        focus(row)
        Typist(typing).enter(text)
    focus(next(each for each in page(typing).rows if each.row == timed))
    Typist(typing).type("717")
    to_other_rows(typing)
    filled = [each for each in page(typing).rows if each.is_filled]
    assert {each.row.kind for each in filled} == {"suction", "note", timed.kind}
    assert page(typing).rows[-1].row == timed  # no row of this day is for it
    assert page(typing).rows[-1].clock.text() == "717"
    typing.press("typed_save")
    typing.wait(lambda: len(from_paper(typing)) == 3)
    suction = next(each for each in from_paper(typing) if each.kind == "suction")
    expected = {"colour": "yellow", "consistency": "thick", "amount": "moderate", "blood": "streaks"}
    assert suction.details == expected
    assert "dry" in [each.note for each in from_paper(typing)]


def test_rows_are_saved_whole_while_others_are_still_added(opened: Opened, some: Any) -> None:
    for number, row in enumerate(some.rows):
        row.clock.setText(f"{number + 1}00")
    filled = len(some.rows)
    assert some._left
    some.save()
    opened.wait(lambda: len(from_paper(opened)) == filled)
    some._add_some()
    opened.wait(lambda: not some._left)
    assert not any(each.is_filled for each in some.rows)
    some._go(FAR)
    assert opened.window.focusWidget() is some._save_button


@pytest.fixture
def disk(typing: Opened, monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """A disk that is slow to save, until it is told to go on."""
    may_go, append = threading.Event(), typing.record.append

    def slow(entries: Any) -> None:
        may_go.wait(30)
        append(entries)

    monkeypatch.setattr(typing.record, "append", slow)
    yield may_go
    may_go.set()


def test_what_is_typed_while_the_disk_is_at_work_stays_and_nothing_is_saved_twice(
    typing: Opened, disk: threading.Event
) -> None:
    first, second = rows_of(typing, "suction")[:2]
    focus(first)
    Typist(typing).type("317")
    page(typing).save()
    focus(second)
    Typist(typing).type("517")
    page(typing).save()  # pressed again before it is answered
    to_day, rows = page(typing)._day, page(typing).rows
    page(typing)._move(-60)
    typing.wait(lambda: page(typing)._shown.day != to_day)
    assert page(typing).rows is rows  # what is being saved may fail yet
    disk.set()
    typing.wait(lambda: page(typing).rows is not rows)
    filled = [each for each in page(typing).rows if each.is_filled]
    assert [(each.row.kind, each.clock.text()) for each in filled] == [("suction", "517")]
    assert [typing.window.desk.present.home().day(each.at.instant) for each in from_paper(typing)] == [to_day]


def test_what_could_not_be_saved_stays_though_another_day_was_opened_meanwhile(
    typing: Opened, disk: threading.Event
) -> None:
    focus(rows_of(typing, "suction")[0])
    Typist(typing).type("317")
    typing.record.trouble = "The disk is full."
    page(typing).save()
    day, rows = page(typing)._day, page(typing).rows
    page(typing)._move(-60)
    typing.wait(lambda: page(typing)._shown.day != day)
    disk.set()
    typing.wait(lambda: page(typing).rows is not rows)
    assert "The disk is full." in page(typing)._state.text()
    filled = [each for each in page(typing).rows if each.is_filled]
    assert [(each.row.kind, each.clock.text()) for each in filled] == [("suction", "317")]
    assert from_paper(typing) == []
