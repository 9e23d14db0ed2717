"""The first evening: one question a screen, each answer an entry, nothing lost."""

import threading
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget

from carelog.analysis.in_force import Reading
from carelog.analysis.plans import plans
from carelog.app.basics import answers
from carelog.app.basics.questions import QUESTIONS
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H
from carelog.ui import repeats
from carelog.ui.first import begin as begin_page
from carelog.ui.first.screens import begin_at
from tests.ui.conftest import Opened, Opener, places_in
from tests.ui.evening import answer, asks, press, said, standing, to
from tests.ui.household import Memory

Opens = Callable[[Path], Opened]


def begin(opened: Opened, born: str = "3 Feb 1961") -> None:
    """The person, as far as a relative knows at ten in the evening."""
    answer(opened, name="Odile Marrow", born=born)


def begin_plan(opened: Opened, born: str = "3 Feb 1961") -> None:
    """The person, and who gave the plan: its first sentence is asked for next."""
    begin(opened, born)
    to(opened, "Who gave you the plan?")
    answer(opened, set_by="Northgate ward 4")


def begin_limits(opened: Opened) -> None:
    """The same, up to the sentence about the cuff's limits."""
    begin_plan(opened)
    to(opened, "Between which numbers is the cuff pressure kept?")


def test_with_nothing_known_the_board_is_three_presses_away_and_takes_a_press(evening: Opened) -> None:
    evening.press("first_ready")
    evening.press("tile_suction")
    evening.wait(lambda: "saved" in evening.receipt())
    assert [entry.kind for entry in evening.record.entries] == ["suction"]
    assert "Still to fill in" in evening.find("offer_basics").text()


def test_each_answer_is_an_entry_and_undo_takes_back_the_last_one(evening: Opened) -> None:
    begin(evening)
    (person,) = standing(evening, "person")
    assert person == {"name": "Odile Marrow", "born": "1961-02-03", "home_zone": "Europe/London"}
    answer(evening, phone="555-0112")
    assert standing(evening, "contact") == [
        {"role": "Emergency number", "phone": "555-0112", "for": "emergency"}
    ]
    evening.press("basics_undo")
    evening.wait(lambda: standing(evening, "contact") == [])
    evening.press("basics_undo")
    evening.wait(lambda: len(standing(evening, "contact")) == 1)


def test_further_answers_about_the_person_change_the_one_entry_without_a_question_why(
    evening: Opened,
) -> None:
    begin(evening)
    to(evening, "Can air pass by mouth and nose?")
    press(evening, "pick_upper_airway_none")
    (person,) = standing(evening, "person")
    assert (person["name"], person["upper_airway"]) == ("Odile Marrow", "none")


def test_initials_come_from_the_name_and_more_people_leave_the_first_one_writing(evening: Opened) -> None:
    to(evening, "Who records here?")
    answer(evening, "basics_more", name="Anna Marrow")
    answer(evening, name="Aldo Marrow")
    assert [each["initials"] for each in standing(evening, "recorder")] == ["AM", "AMa"]
    assert evening.window.desk.recorder.who == "AM"


def test_the_tube_is_as_old_as_the_day_it_was_put_in_and_without_a_day_that_stays_open(
    evening: Opened,
) -> None:
    begin(evening)
    to(evening, "What stands on the tube?")
    evening.press("pick_cuff_air")
    evening.press("pick_inner_tube_reusable")
    answer(evening, id_mm="8")
    assert standing(evening, "tube_change") == [
        {"id_mm": 8, "cuff": "air", "inner_tube": "reusable", "reason": "first_entry"}
    ]
    assert asks(evening) == "When was the tube put in?"
    still = evening.rest.still
    assert "tube_day" in [each.name for each in still.questions()]
    answer(evening, put_in="14 Nov", next_due="12 Dec")
    (tube,) = Reading(evening.record.everything()).of("tube_change")
    assert evening.picture().home.day(tube.time).isoformat() == "2026-11-14"
    assert tube.entry.details["next_due"] == "2026-12-12"
    assert "tube_day" not in [each.name for each in still.questions()]


def test_sentences_of_the_plan_make_one_plan_with_whom_it_is_from(evening: Opened) -> None:
    begin_plan(evening)
    press(evening, "quiet_23_06")
    press(evening, "every_8")
    press(evening, "take_proposed")
    (plan,) = standing(evening, "plan")
    assert plan == {
        "set_by": "Northgate ward 4",
        "quiet": ["23:00", "06:00"],
        "tasks": [{"kind": "inner_tube", "every_h": 8}],
        "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
    }


def test_a_sentence_on_another_day_is_a_plan_of_its_own_and_the_one_before_stays(evening: Opened) -> None:
    begin_plan(evening)
    press(evening, "quiet_23_06")
    evening.clock.instant += DAY_24_H
    press(evening, "every_8")
    found = plans(Reading(evening.record.everything()))
    assert [("quiet" in each.details, len(each.tasks)) for each in found] == [(True, 0), (True, 1)]


def test_a_cuff_limit_in_another_unit_is_said_in_cmh2o_and_one_above_the_ceiling_is_asked_about(
    evening: Opened,
) -> None:
    begin_limits(evening)
    evening.find("field_low").setText("15")
    evening.find("field_high").setText("25")
    evening.press("basics_save")
    assert "Unit is missing." in said(evening)
    evening.press("pick_unit_mmHg")
    assert "15 to 25 mmHg is 20 to 34 cmH2O." in said(evening)
    evening.press("basics_save")
    assert "Is the unit right?" in said(evening)
    assert standing(evening, "plan") == []
    press(evening, "basics_save")
    assert standing(evening, "plan")[0]["limits"] == {
        "cuff_pressure": {"low": 15, "high": 25, "unit": "mmHg"}
    }


def test_a_temperature_typed_at_the_wrong_end_is_asked_about_before_it_flags_every_reading(
    evening: Opened,
) -> None:
    begin_plan(evening)
    to(evening, "From which temperature on do you call?")
    assert said(evening).index("Call from this number up") < said(evening).index("Call below this number")
    evening.find("field_low").setText("38.5")
    evening.press("basics_save")
    assert "Is it the other end?" in said(evening)
    assert standing(evening, "plan") == []
    evening.find("field_low").setText("")
    evening.find("field_high").setText("38.5")
    evening.press("basics_save")
    assert "Is it the other end?" not in said(evening)
    press(evening, "basics_save")
    assert standing(evening, "plan")[0]["limits"] == {"temperature_c": {"high": 38.5}}


@pytest.mark.parametrize("born", ["3 Feb 2019", ""])
def test_for_a_child_and_without_a_birth_date_nothing_is_proposed(evening: Opened, born: str) -> None:
    begin_plan(evening, born)
    while "Whom do you call" not in asks(evening):
        assert "proposed" not in said(evening).lower()
        assert not [
            each for each in evening.shown().findChildren(QPushButton, "take_proposed") if each.isVisible()
        ]
        assert not [
            b for b in evening.shown().findChildren(QPushButton) if "(proposed)" in b.text() and b.isVisible()
        ]
        press(evening, "basics_unknown")
    assert standing(evening, "plan") == []


def test_back_and_forth_and_a_crash_lose_nothing_that_was_typed(on_disk: Opens, tmp_path: Path) -> None:
    record = places_in(tmp_path).record
    first = on_disk(record)
    first.press("begin_record")
    first.wait(lambda: asks(first) == "Whom is this record about?")
    first.find("field_name").setText("Odile Marr")
    press(first, "basics_unknown")
    press(first, "basics_before")
    assert first.find("field_name").text() == "Odile Marr"
    kept = list((tmp_path / "state" / "drafts").glob("*.basics"))
    assert len(kept) == 1
    lines = kept[0].read_bytes()
    first.window.close()
    kept[0].write_bytes(lines)  # as a crash leaves it
    second = on_disk(record)
    second.press("begin_record")
    second.wait(lambda: asks(second) == "Whom is this record about?")
    assert second.find("field_name").text() == "Odile Marr"


def test_what_is_still_to_fill_in_goes_when_it_is_answered_or_put_aside(evening: Opened) -> None:
    begin(evening)
    evening.press("first_ready")
    evening.wait(lambda: evening.find("offer_basics").text() == "Still to fill in: 9")
    evening.press("offer_basics")
    press(evening, "basics_night")
    press(evening, "basics_aside")
    press(evening, "basics_airway")
    press(evening, "pick_upper_airway_open")
    assert evening.window.page() == "basics"
    evening.window.do("board")
    assert evening.find("offer_basics").text() == "Still to fill in: 7"


def test_a_number_is_changed_at_its_place_and_taken_out_there(opened: Opened) -> None:
    opened.window.do("basics")
    team = next(held for held in opened.picture().contacts if held.entry.details["for"] == "team")
    press(opened, f"basics_contact_{team.first.id}")
    answer(opened, phone="555-0199")
    phones = {each["for"]: each["phone"] for each in standing(opened, "contact")}
    assert phones == {"team": "555-0199", "emergency": "555-0100"}
    opened.wait(lambda: "555-0199" in said(opened))
    press(opened, f"basics_contact_{team.first.id}")
    press(opened, "basics_strike")
    assert [each["for"] for each in standing(opened, "contact")] == ["emergency"]
    opened.press("basics_undo")
    opened.wait(lambda: len(standing(opened, "contact")) == 2)


def test_a_label_without_an_id_is_kept_as_a_note_and_what_was_typed_waits_for_the_rest(
    evening: Opened,
) -> None:
    to(evening, "What stands on the tube?")
    evening.find("field_size_mark").setText("27 Ch")
    evening.press("pick_cuff_air")
    press(evening, "tube_note")
    (note,) = evening.written("note")
    assert "cuff air, on the flange 27 Ch" in note.note
    assert note.details == {"for_next": True}
    assert standing(evening, "tube_change") == []
    press(evening, "basics_before")
    evening.press("pick_inner_tube_reusable")
    answer(evening, id_mm="7")
    (tube,) = standing(evening, "tube_change")
    assert (tube["size_mark"], tube["cuff"], tube["id_mm"]) == ("27 Ch", "air", 7)


def test_a_second_press_in_a_moment_is_a_hands_own_and_answers_nothing_else(
    evening: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(repeats, "SAME_PRESS", 60_000)
    begin(evening)
    to(evening, "Can air pass by mouth and nose?")
    press(evening, "pick_upper_airway_open")
    evening.press("pick_helped_by_nothing")
    evening.come_to_rest()
    (person,) = standing(evening, "person")
    assert "upper_airway" in person
    assert "helped_by" not in person


def test_a_language_that_has_a_translation_can_be_chosen_by_its_own_name(
    opener: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(begin_page, "languages", lambda _folder: ["de"])
    opened = opener(Memory(), is_missing=True)
    assert opened.find("pick_language_de").text() == "Deutsch"
    opened.press("pick_language_de")
    assert opened.window.preferences.now.language == "de"


def test_whoever_leaves_a_question_while_it_is_saved_is_left_where_they_went(evening: Opened) -> None:
    evening.find("field_name").setText("Odile Marrow")
    done = threading.Event()
    append = evening.record.append

    def slowly(entries: Sequence[Entry]) -> None:
        done.wait(10)
        append(entries)

    evening.record.append = slowly  # type: ignore[method-assign]
    evening.press("basics_save")
    evening.press("basics_unknown")
    here = asks(evening)
    done.set()
    evening.wait(lambda: evening.picture().count == 1 and "Saved:" in said(evening))
    assert asks(evening) == here


def test_where_the_tube_is_taken_back_its_day_is_no_longer_asked_for(evening: Opened) -> None:
    to(evening, "What stands on the tube?")
    evening.press("pick_cuff_none")
    evening.press("pick_inner_tube_none")
    answer(evening, id_mm="7")
    assert asks(evening) == "When was the tube put in?"
    evening.press("basics_undo")
    evening.wait(lambda: asks(evening) == "What stands on the tube?")
    evening.window.do("board")
    evening.window.do("first")
    assert asks(evening) == "What stands on the tube?"


def test_what_was_pressed_last_can_be_undone_also_where_it_was_no_answer(evening: Opened) -> None:
    begin(evening)
    evening.window.desk.slips.press("mouth_care", {})
    evening.wait(lambda: "Saved: Mouth care" in said(evening))
    evening.press("basics_undo")
    evening.wait(lambda: standing(evening, "mouth_care") == [])
    assert len(standing(evening, "person")) == 1


def test_by_keys_alone_return_goes_from_line_to_line_and_saves_in_the_last_one(evening: Opened) -> None:
    for name, text in (("field_name", "Odile Marrow"), ("field_born", "3 Feb 1961")):
        evening.wait(lambda line=name: evening.window.focusWidget() is evening.find(line))  # type: ignore[misc]
        QTest.keyClicks(evening.window.focusWidget(), text)
        QTest.keyClick(evening.window.focusWidget(), Qt.Key.Key_Return)
    evening.wait(lambda: asks(evening) == "Which number is called in an emergency?")
    assert standing(evening, "person")[0]["born"] == "1961-02-03"
    assert evening.window.focusWidget() is evening.find("field_phone")


def test_what_was_typed_in_the_last_second_before_another_page_is_kept(
    evening: Opened, tmp_path: Path
) -> None:
    evening.find("field_name").setText("Odile Marr")
    evening.window.do("board")
    (kept,) = (tmp_path / "state" / "drafts").glob("*.basics")
    assert "Odile Marr" in kept.read_text("utf-8")
    evening.window.do("first")
    assert evening.find("field_name").text() == "Odile Marr"


def test_the_sentences_of_a_plan_follow_one_another_also_where_it_was_opened_alone(evening: Opened) -> None:
    begin(evening)
    evening.window.do("basics")
    press(evening, "basics_plan")
    press(evening, "set_by_0")
    press(evening, "basics_unknown")
    press(evening, "every_8")
    assert asks(evening) == "Between which numbers is the cuff pressure kept?"
    press(evening, "basics_back")
    assert evening.window.page() == "basics"
    assert standing(evening, "plan")[0]["tasks"] == [{"kind": "inner_tube", "every_h": 8}]


def test_what_was_saved_before_a_question_that_was_passed_over_isnt_shown_as_its_answer(
    evening: Opened,
) -> None:
    begin(evening)
    (line,) = [each for each in evening.shown().findChildren(QWidget, "basics_saved") if each.isVisible()]
    press(evening, "basics_unknown")
    assert not line.isVisible()
    answer(evening, name="Anna Marrow")
    evening.wait(line.isVisible)


def test_what_was_taken_as_it_was_proposed_says_so_in_the_plans_note(evening: Opened) -> None:
    begin_limits(evening)
    press(evening, "take_proposed")
    (plan,) = Reading(evening.record.everything()).of("plan")
    about = "Taken as proposed here: Between which numbers is the cuff pressure kept?"
    assert plan.entry.note.startswith(about)
    press(evening, "basics_before")
    answer(evening, low="22", high="28")
    (plan,) = Reading(evening.record.everything()).of("plan")
    assert plan.entry.details["limits"]["cuff_pressure"]["low"] == 22
    assert plan.entry.note == ""


@pytest.mark.parametrize(
    "theirs", ["{answer} übernommen: {question}", "Wie hier vorgeschlagen: {question} {answer}"]
)
def test_a_limit_that_the_team_gives_is_its_own_whatever_language_the_offer_was_taken_in(
    evening: Opened, theirs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin_limits(evening)
    with monkeypatch.context() as patch:
        patch.setattr(answers, "_PROPOSED", theirs)
        press(evening, "take_proposed")
    (plan,) = Reading(evening.record.everything()).of("plan")
    assert "Between which numbers is the cuff pressure kept?" in plan.entry.note
    assert "{" not in plan.entry.note
    press(evening, "basics_before")
    answer(evening, low="22", high="28")
    (plan,) = Reading(evening.record.everything()).of("plan")
    assert plan.entry.note == ""


def test_no_quiet_hours_is_one_press_and_what_doesnt_apply_leaves_nothing(evening: Opened) -> None:
    begin_plan(evening)
    press(evening, "quiet_none")
    assert "quiet" not in standing(evening, "plan")[-1]
    to(evening, "How often is the nebuliser used?")
    count = len(evening.record.entries)
    press(evening, "basics_not_here")
    assert len(evening.record.entries) == count
    to(evening, "What else does the letter say?")
    evening.find("field_instructions").setPlainText("Suction to 12 cm. Two people for a tube change.")
    press(evening, "basics_save")
    assert standing(evening, "plan")[-1]["instructions"].startswith("Suction to 12 cm.")


def test_that_there_are_no_quiet_hours_or_that_it_doesnt_apply_is_an_answer_that_stays(
    evening: Opened,
) -> None:
    begin_plan(evening)
    press(evening, "quiet_none")
    press(evening, "basics_before")
    assert evening.find("quiet_none").isChecked()
    assert evening.find("basics_on").text() == "Go on"
    press(evening, "basics_on")
    press(evening, "basics_not_here")
    evening.press("basics_before")
    evening.wait(lambda: "You said here that this doesn't apply." in said(evening))
    assert evening.find("basics_on").text() == "Go on"
    kept = [each.partition("/")[2] for each in evening.rest.preferences.now.basics_aside]
    assert kept == ["plan.quiet", "plan.inner"]
    others = [each.name for each in QUESTIONS if each.name != "plan"]
    assert begin_at(evening.picture(), (), [*kept, *others]).sentence == "cuff_limits"


def test_hours_that_are_chosen_later_take_the_place_of_no_quiet_hours(evening: Opened) -> None:
    begin_plan(evening)
    press(evening, "quiet_none")
    press(evening, "basics_before")
    press(evening, "quiet_22_06")
    assert standing(evening, "plan")[-1]["quiet"] == ["22:00", "06:00"]
    press(evening, "basics_before")
    assert not evening.find("quiet_none").isChecked()
    assert evening.find("quiet_22_06").isChecked()
