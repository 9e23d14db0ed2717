"""The nurse's visit in the window: from the door to the signature, by keys and by the finger."""

import pytest
from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Moment
from carelog.ui import times
from carelog.ui.theme import TARGET
from carelog.ui.visit.page import VisitPage
from carelog.ui.words import Words
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, household
from tests.ui.test_focus import activate


def written(number: int, kind: str, back: int, by: str, note: str = "", **details: object) -> Entry:
    at = Moment(NOW - back)
    identity = f"30000000-0000-7000-8000-{number:012x}"
    return Entry(identity, kind, at, NOW - back, "Europe/London", by, details, note)


ASKED = written(1, "question", 2 * DAY_24_H, "LR", "Can the ties be a size shorter?")


@pytest.fixture
def visit(opener: Opener) -> Opened:
    """Two questions, one of them answered, and a nurse who records."""
    record = household()
    record.entries += [
        ASKED,
        written(2, "question", 3 * DAY_24_H, "LR", "Is a cotton cover all right?"),
        written(3, "answer", 2 * DAY_24_H, "NB", "Yes, by day.", question=written(2, "question", 0, "").id),
        written(4, "suction", 5 * DAY_24_H, "MO", consistency="thick", colour="yellow"),
        written(5, "suction", 4 * DAY_24_H, "MO", consistency="thin", colour="white"),
    ]
    opened = opener(record)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.window.desk.recorder.choose("NB")
    return opened


def read_whole(opened: Opened) -> VisitPage:
    """The page, once all of it is read."""
    page = opened.shown()
    assert isinstance(page, VisitPage)
    opened.wait(lambda: page.state.visit is not None and page.state.visit.has_all_flags)
    return page


def text(opened: Opened) -> str:
    return "\n".join(each.text() for each in read_whole(opened).findChildren(Words)).replace("\xa0", " ")


def test_the_board_offers_it_while_a_nurse_records_and_to_nobody_else(visit: Opened) -> None:
    visit.press("offer_visit")
    assert visit.window.page() == "visit"
    visit.press("go_board")
    visit.window.desk.recorder.choose("MO")
    (offer,) = visit.window.findChildren(QPushButton, "offer_visit")
    assert not offer.isVisible()


def test_what_she_asks_at_the_door_stands_there_and_the_unanswered_question_first(visit: Opened) -> None:
    visit.window.do("visit")
    words = text(visit)
    for each in (
        "Last temperature",
        "Who rated suction",
        "Without an entry",
        "nobody recorded telling anyone",
    ):
        assert each in words
    assert words.index("Can the ties be a size shorter?") < words.index("Is a cotton cover all right?")
    assert "Yes, by day." in words


def test_rows_with_nothing_to_press_are_as_high_as_those_beside_them(visit: Opened) -> None:
    visit.press("go_visit")
    read_whole(visit)
    found = {each.text(): each.height() for each in visit.shown().findChildren(Words) if each.isVisible()}
    assert min(found["Who was told"], found["Last temperature"]) >= TARGET


def test_a_question_is_answered_in_place_and_the_answer_can_be_taken_back(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.find(f"answer_{ASKED.id}").setText("Yes, I will bring them.")
    visit.press(f"save_answer_{ASKED.id}")
    visit.wait(lambda: len(visit.written("answer")) == 2)
    answer = visit.written("answer")[-1]
    said = "Answer (to the question “Can the ties be a size shorter?”) saved"
    visit.wait(lambda: visit.receipt().startswith(said))
    assert (answer.details, answer.note, answer.by) == (
        {"question": ASKED.id},
        "Yes, I will bring them.",
        "NB",
    )
    visit.wait(lambda: not read_whole(visit).findChildren(QWidget, f"answer_{ASKED.id}"))
    visit.press("visit_undo")
    visit.wait(lambda: visit.written("answer")[-1].withdrawn)
    visit.wait(lambda: bool(read_whole(visit).findChildren(QWidget, f"answer_{ASKED.id}")))


def test_what_the_nurse_typed_is_never_saved_as_anothers_words_and_waits_for_her(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.find(f"answer_{ASKED.id}").setText("No: one finger must fit.")
    visit.window.desk.recorder.choose("LR")
    visit.press("go_board")
    visit.window.do("visit")
    assert "Typed by NB, not saved: No: one finger must fit." in text(visit)
    assert visit.find(f"answer_{ASKED.id}").text() == ""
    visit.press(f"save_answer_{ASKED.id}")
    assert "The answer is empty. Nothing was saved." in text(visit)
    assert len(visit.written("answer")) == 1
    visit.window.desk.recorder.choose("NB")
    assert visit.find(f"answer_{ASKED.id}").text() == "No: one finger must fit."


def test_signing_says_that_an_answer_is_typed_and_not_saved(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.find(f"answer_{ASKED.id}").setText("No: one finger must fit.")
    visit.press("visit_sign")
    visit.press("visit_sign_now")
    visit.wait(lambda: bool(visit.written("visit")))
    said = "Typed and not saved: the answer to “Can the ties be a size shorter?”."
    visit.wait(lambda: said in text(visit))


def test_what_was_saved_here_is_told_to_nobody_else_and_not_after_another_act(visit: Opened) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    visit.press("visit_sign")
    visit.press("visit_sign_now")
    visit.wait(page.receipt.isVisible)
    visit.window.desk.recorder.choose("LR")
    assert not page.receipt.isVisible()
    visit.press("visit_sign")
    visit.press("signs_NB")
    visit.press("visit_sign_now")
    visit.wait(page.receipt.isVisible)
    visit.window.desk.slips.press("mouth_care", {})
    visit.wait(lambda: not page.receipt.isVisible())


def test_a_flag_is_seen_with_a_word(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    line = visit.find("seen_cuff_high_")
    line.setText("Looked at the gauge.")
    QTest.keyClick(line, Qt.Key.Key_Return)
    visit.wait(lambda: bool(visit.written("seen")))
    (seen,) = visit.written("seen")
    assert (seen.details, seen.note, seen.by) == ({"rule": "cuff_high"}, "Looked at the gauge.", "NB")


def test_the_last_seven_days_are_signed_by_name_and_initials_of_a_recorder(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.press("visit_sign")
    visit.find("visit_note").setText("Ties to be changed.")
    visit.press("visit_sign_now")
    visit.wait(lambda: bool(visit.written("visit")))
    (signed,) = visit.written("visit")
    assert signed.details == {"nurse": "Nour", "until": "2026-11-26", "signed": True}
    assert (signed.note, signed.by) == ("Ties to be changed.", "NB")
    visit.wait(lambda: "by Nour." in text(visit))


def test_nobody_signs_who_wasnt_chosen(visit: Opened) -> None:
    visit.window.desk.recorder.choose("LR")
    visit.window.do("visit")
    read_whole(visit)
    visit.press("visit_sign")
    visit.press("visit_sign_now")
    assert "Say who signs." in text(visit)
    assert visit.written("visit") == []
    visit.press("signs_NB")
    visit.press("visit_sign_now")
    visit.wait(lambda: bool(visit.written("visit")))
    assert visit.written("visit")[0].by == "NB"


def test_each_number_opens_its_entries_and_escape_leads_back_to_it(visit: Opened) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    number = visit.find("here_suctions_0")
    number.setFocus()
    QTest.keyClick(number, Qt.Key.Key_Return)
    visit.wait(lambda: bool(page.findChildren(QWidget, "visit_entries")))
    table = visit.find("visit_entries")
    assert table.model().rowCount() >= 3
    QTest.keyClick(visit.window.focusWidget(), Qt.Key.Key_Escape)
    assert visit.window.focusWidget().objectName() == "here_suctions_0"


def test_what_is_changed_after_the_signature_is_counted_and_marked_among_the_days(visit: Opened) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    page.state.nurse = "NB"
    page.sign(True)
    visit.wait(lambda: bool(visit.written("visit")))
    visit.clock.instant = NOW + HOUR
    late = written(6, "suction", 3 * DAY_24_H, "MO")
    visit.window.desk.access.act(
        lambda logbook, _record: logbook.record("suction", {}, "MO", at=late.at), lambda _e: None, pytest.fail
    )
    visit.wait(lambda: "Since then 1 entry was changed." in text(visit))
    visit.press("visit_changed")
    visit.wait(lambda: visit.window.page() == "timeline")
    visit.wait(
        lambda: (
            "written after these days were signed"
            in "\n".join(each.text() for each in visit.shown().findChildren(Words))
        )
    )


def test_from_the_door_to_the_signature_by_keys_alone(visit: Opened) -> None:
    """Two keys lead there, Enter goes from answer to answer, Ctrl and Enter to the signature."""
    keys = Keys(visit)
    keys.press(Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier)
    read_whole(visit)
    keys.tab_to(f"answer_{ASKED.id}")
    keys.type("Yes, I will bring them.")
    keys.press(Qt.Key.Key_Return)
    visit.wait(lambda: len(visit.written("answer")) == 2)
    visit.wait(lambda: visit.window.focusWidget().objectName() == "seen_cuff_high_")
    read_whole(visit)
    keys.type("Looked.")
    keys.press(Qt.Key.Key_Return)
    visit.wait(lambda: len(visit.written("seen")) == 1)
    read_whole(visit)
    keys.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert visit.window.focusWidget().objectName() == "visit_note"
    keys.type("All read.")
    keys.tab_to("visit_sign_now")
    keys.press(Qt.Key.Key_Return)
    visit.wait(lambda: len(visit.written("visit")) == 1)
    assert visit.written("visit")[0].note == "All read."
    assert keys.count <= 25, keys.count
    visit.wait(lambda: visit.window.focusWidget().objectName() == "visit_print")


def test_the_button_that_signs_names_the_days(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.press("visit_sign")
    assert visit.find("visit_sign_now").text() == "Sign 20 to 26\xa0Nov as Nour"


class Keys:
    """Presses keys where the focus is, and counts them; what is typed counts as one."""

    def __init__(self, opened: Opened) -> None:
        self._opened = opened
        self.count = 0
        activate(opened)

    def press(self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.count += 1
        QTest.keyClick(self._opened.window.focusWidget() or self._opened.window, key, held)

    def type(self, words: str) -> None:
        self.count += 1
        QTest.keyClicks(self._opened.window.focusWidget(), words)

    def tab_to(self, name: str) -> None:
        for _ in range(60):
            focused = self._opened.window.focusWidget()
            if focused is not None and focused.objectName() == name:
                return
            self.press(Qt.Key.Key_Tab)
        pytest.fail(f"Tab never came to {name}")


def test_of_days_of_which_nothing_was_recorded_the_page_says_that_nothing_can_be_flagged(
    visit: Opened,
) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    visit.press("visit_days")
    for _ in range(3):
        visit.press("visit_earlier")
    visit.wait(lambda: page.state.visit is not None and page.state.visit.days == page.days)
    read_whole(visit)
    assert "Nothing was recorded, so nothing can be flagged." in text(visit)
    assert "nothing flagged in what was recorded" not in text(visit)


def test_other_days_stand_beside_each_other_and_the_form_isnt_needed(visit: Opened) -> None:
    visit.rest.ways.open_form("visit")
    page = read_whole(visit)
    visit.press("visit_days")
    visit.press("visit_14")
    visit.press("visit_earlier")
    assert page.days.count == 14
    assert str(page.days.last) == "2026-11-12"
    assert len(page.days.here) == len(page.days.beside)


def test_a_word_given_with_seen_stands_on_the_flags_own_card(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    line = visit.find("seen_cuff_high_")
    line.setText("Looked at the gauge.")
    QTest.keyClick(line, Qt.Key.Key_Return)
    visit.wait(lambda: bool(visit.written("seen")))
    visit.window.do("flags")
    visit.wait(lambda: "by NB “Looked at the gauge.”" in shown_words(visit))
    assert "No one was written down as told." in shown_words(visit)


def test_an_answer_says_among_the_days_which_question_it_answers_and_never_an_id(visit: Opened) -> None:
    visit.window.do("timeline")
    model = visit.find("timeline_list").model()
    visit.wait(lambda: any("Yes, by day." in line for line in lines(model)))
    (answer,) = [line for line in lines(model) if "Yes, by day." in line]
    assert "to the question “Is a cotton cover all right?”" in answer
    assert "30000000-" not in answer
    visit.rest.ways.open_entry(written(3, "answer", 0, "").id)
    visit.wait(lambda: "to the question “Is a cotton cover all right?”" in shown_words(visit))


def shown_words(opened: Opened) -> str:
    return "\n".join(each.text() for each in opened.shown().findChildren(Words)).replace("\xa0", " ")


def lines(model: QAbstractItemModel) -> list[str]:
    """The rows of the days as they are read out."""
    role = Qt.ItemDataRole.AccessibleTextRole
    return [str(model.data(model.index(number, 2), role)) for number in range(model.rowCount())]


def test_what_was_just_saved_is_never_shown_as_if_it_werent(visit: Opened) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    shown: list[str] = []
    fill = page.overview.fill

    def noted() -> None:
        fill()
        if page.state.saved is not None:
            shown.append("\n".join(each.text() for each in page.overview._body.findChildren(Words)))

    page.overview.fill = noted  # type: ignore[method-assign]
    visit.press("visit_sign")
    visit.press("visit_sign_now")
    visit.wait(lambda: bool(shown))
    assert "Saved. It is being read …" in shown[0]
    visit.wait(lambda: "by Nour." in text(visit))
    assert not [words for words in shown if "not signed" in words]


def test_undo_on_the_board_names_the_signature_and_takes_it_back_here_too(visit: Opened) -> None:
    visit.window.do("visit")
    page = read_whole(visit)
    visit.press("visit_sign")
    visit.press("visit_sign_now")
    visit.wait(lambda: bool(visit.written("visit")) and page.state.saved is not None)
    visit.press("go_board")
    undo = visit.window.board.receipt.undo
    visit.wait(undo.isVisible)
    assert "Nurse's visit" in undo.accessibleName()
    visit.window.board.receipt.take_back()
    visit.wait(lambda: visit.written("visit")[-1].withdrawn)
    visit.window.do("visit")
    visit.wait(lambda: "not signed" in text(visit))
    (back,) = page.receipt.findChildren(QPushButton, "visit_undo")
    assert not back.isVisible()


def test_the_plan_leads_back_to_the_visit_also_once_it_was_changed(visit: Opened) -> None:
    visit.window.do("visit")
    read_whole(visit)
    visit.press("visit_plan")
    assert visit.window.page() == "plan"
    visit.press("plan_back")
    assert visit.window.page() == "visit"
    read_whole(visit)
    visit.press("visit_plan")
    visit.press("plan_change")
    visit.wait(lambda: visit.window.page() != "plan")
    visit.find("throw_away").click()
    visit.wait(lambda: visit.window.page() == "plan")
    visit.press("plan_back")
    assert visit.window.page() == "visit"
    visit.press("go_board")
    visit.window.do("plan")
    assert not visit.shown().findChildren(QWidget, "plan_back")


def test_who_puts_right_at_once_what_they_wrote_is_asked_why_once_the_day_is_signed(visit: Opened) -> None:
    late = written(7, "suction", HOUR, "NB", colour="white")

    def is_asked() -> bool:
        entry = visit.written("suction")[-1]
        (held,) = [each for each in Reading(visit.record.entries).of("suction") if each.first.id == entry.id]
        visit.rest.ways.open_change("suction", held)
        return any(each.isVisible() for each in visit.shown().findChildren(QWidget, "reason"))

    def record(kind: str, at: Moment | None = None, **details: object) -> None:
        count = len(visit.record.entries)
        visit.window.desk.access.act(
            lambda logbook, _record: logbook.record(kind, details, "NB", at=at), lambda _e: None, pytest.fail
        )
        visit.wait(lambda: len(visit.record.entries) > count and visit.picture().count > count)

    record("suction", late.at, colour="white")
    assert not is_asked()
    visit.find("throw_away").click()
    visit.clock.instant += MINUTE
    record("visit", nurse="Nour", until="2026-11-26", signed=True)
    assert is_asked()


def test_the_band_that_leads_to_the_visit_doesnt_stand_on_it(visit: Opened) -> None:
    visit.window.desk.recorder.choose("MO")
    visit.window.desk.recorder.choose("NB")
    visit.wait(visit.rest.since.is_offered)
    visit.window.do("visit")
    assert not visit.rest.since.is_offered()
    assert visit.rest.since.band.words() == ""


def test_an_end_of_today_has_its_day_behind_a_start_of_another() -> None:
    home, today = Home("UTC"), NOW - NOW % DAY_24_H
    start, end = times.from_to(home, today - 4 * DAY_24_H, today, NOW)
    assert (start.replace("\xa0", " "), end.replace("\xa0", " ")) == (
        "Sun 22 Nov, 00:00",
        "Thu 26 Nov, 00:00",
    )
    assert times.from_to(home, today, today + HOUR, NOW)[1] == "01:00"
