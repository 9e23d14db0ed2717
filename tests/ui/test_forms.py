"""Forms: any valid details go in and come out, nothing typed is lost, odd values are asked about again."""

from datetime import timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QPushButton, QWidget

from carelog.analysis.in_force import Reading
from carelog.app.ports import Record
from carelog.domain.entry import Entry
from carelog.domain.kind import Kind
from carelog.domain.moment import HOUR, MINUTE, Home, Moment
from carelog.kinds import ALL
from carelog.ui.forms.gauge import GaugeLine, last_unit
from carelog.ui.forms.shelf import form_for
from carelog.ui.words import Words
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, ZONE, Memory, household
from tests.ui.samples import details_of


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
@settings(max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_form_gives_back_any_valid_details_that_were_put_into_it(
    opened: Opened, kind: Kind, data: Any
) -> None:
    details = {**data.draw(details_of(kind)), "unknown_field": {"kept": [1, "as it is"]}}
    form = form_for(opened.window.desk, kind.name, lambda _entry: None, given=details)
    try:
        assert form.details() == details
        again = form_for(opened.window.desk, kind.name, lambda _entry: None)
        again.restore(form.typed(), "a note", "a reason")
        assert again.texts() == ("a note", "a reason")
        again.deleteLater()
    finally:
        form.deleteLater()


def fill(opened: Opened, **texts: str) -> None:
    """Type into the fields of the form that is open."""
    for name, text in texts.items():
        opened.find(f"field_{name}").setText(text)


def readings(*units: str) -> Memory:
    """The household with these last cuff pressures, each inside the plan's limits."""
    record = household()
    record.entries = [entry for entry in record.entries if entry.kind != "cuff_pressure"]
    home, value = Home(ZONE), {"cmH2O": 25, "mmHg": 18, "kPa": 2.5}
    for number, unit in enumerate(units):
        at = NOW - (7 + len(units) - number) * HOUR
        details = {"value": value[unit], "unit": unit}
        each = f"40000000-0000-7000-8000-{number:012x}"
        record.entries.append(Entry(each, "cuff_pressure", home.moment(at), at, ZONE, "MO", details))
    return record


def gauge(opened: Opened) -> str:
    """What the form says about the unit and the range."""
    return str(opened.find("gauge_line").text()).replace("\N{NO-BREAK SPACE}", " ")


def test_the_unit_of_the_last_readings_is_offered_beside_the_number_with_the_range_in_it(
    opener: Opener,
) -> None:
    opened = opener(readings("cmH2O", "mmHg", "mmHg", "mmHg"))
    opened.press("tile_cuff_pressure")
    opened.wait(lambda: opened.find("pick_unit_mmHg").isChecked())
    assert "mmHg is chosen as in the last readings" in gauge(opened)
    assert "The plan says 20 to 30 cmH2O. On a gauge in mmHg: 15 to 22 mmHg." in gauge(opened)
    assert opened.rest.shelf.keeper.touched() == []
    assert opened.window.focusWidget() is opened.find("field_value")
    QTest.keyClicks(opened.find("field_value"), "25")
    QTest.keyClick(opened.find("field_value"), Qt.Key.Key_Return)
    opened.wait(lambda: opened.written("cuff_pressure")[-1].details == {"value": 25, "unit": "mmHg"})


def test_another_unit_is_one_press_and_changes_no_number(opener: Opener) -> None:
    opened = opener(readings("cmH2O"))
    opened.press("tile_cuff_pressure")
    opened.wait(lambda: opened.find("pick_unit_cmH2O").isChecked())
    assert "On a gauge" not in gauge(opened)
    fill(opened, value="2.2")
    opened.press("pick_unit_kPa")
    assert not opened.find("pick_unit_cmH2O").isChecked()
    assert opened.find("field_value").text() == "2.2"
    assert opened.find("field_value_after").accessibleDescription() == "kPa"
    assert "is chosen as" not in gauge(opened)
    assert "On a gauge in kPa: 2 to 2.9 kPa." in gauge(opened)


def test_no_unit_is_chosen_for_a_number_that_stands_already(opener: Opener) -> None:
    opened = opener(readings("cmH2O"))
    form = form_for(opened.window.desk, "cuff_pressure", lambda _entry: None)
    form.controls["value"].restore("18")
    line = form.findChild(GaugeLine)
    assert line is not None
    asked: list[str] = []

    def read(record: Record) -> Record:
        asked.append("read")
        return record

    line._access.read(read, lambda _record: asked.append("back"), pytest.fail)
    opened.wait(lambda: asked == ["read", "back"])
    assert form.details() == {"value": 18}
    form.deleteLater()


def test_both_ends_of_a_plans_limit_stand_beside_their_unit(opened: Opened) -> None:
    opened.press("go_plan")
    opened.press("plan_limits_cuff_pressure")
    high = opened.find("field_limits_cuff_pressure_high")
    assert high.accessibleDescription() == "cmH2O"
    opened.press("pick_limits_cuff_pressure_unit_mmHg")
    assert high.accessibleDescription() == "mmHg"
    opened.pause()
    opened.press("pick_limits_cuff_pressure_unit_mmHg")
    assert high.accessibleDescription() == ""


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_a_field_for_a_date_holds_a_date_at_any_size_of_the_text(opened: Opened, percent: int) -> None:
    opened.window.do("more")
    opened.window.preferences.change(text_percent=percent)
    opened.rest.ways.open_form("tube_change")
    field = opened.find("field_next_due")
    opened.wait(lambda: field.width() - 16 >= field.fontMetrics().horizontalAdvance("2026-11-22"))
    opened.window.preferences.change(text_percent=300 - percent)
    opened.wait(lambda: field.width() - 16 >= field.fontMetrics().horizontalAdvance("2026-11-22"))


def test_a_birth_date_is_typed_and_the_quiet_hours_show_an_example(opened: Opened) -> None:
    opened.rest.ways.open_form("person")
    names = [button.objectName() for button in opened.find("form_person").findChildren(QPushButton)]
    assert not [name for name in names if name.startswith("step_born")]
    opened.rest.ways.open_form("plan")
    opened.press("say_quiet")
    assert opened.find("field_quiet").placeholderText() == "23:00"


def test_an_answer_and_a_week_are_asked_for_by_name_and_example(opened: Opened) -> None:
    opened.rest.ways.open_form("answer")
    opened.press("save")
    assert opened.find("form_answer")._message.text() == "Answer is missing."
    opened.rest.ways.open_form("visit", {})
    assert opened.find("field_week").placeholderText() == "2026-W47"


def test_a_week_is_typed_by_its_number_and_what_it_was_read_as_stands_beside_it(opened: Opened) -> None:
    opened.rest.ways.open_form("visit", {})
    opened.find("field_nurse").setText("Nour")
    opened.find("field_week").setText("47")
    assert opened.find("read_as_week").text().replace("\xa0", " ") == (
        "read as 2026-W47, Mon 16 Nov to Sun 22 Nov"
    )
    opened.press("save")
    opened.wait(lambda: bool(opened.written("visit")))
    assert opened.written("visit")[0].details == {"nurse": "Nour", "week": "2026-W47"}


def test_a_shift_offers_care_and_checks_as_looked_at_and_nothing_that_befalls(opened: Opened) -> None:
    opened.rest.ways.open_form("shift")
    names = {each.objectName() for each in opened.find("form_shift").findChildren(QPushButton)}
    offered = {name.removeprefix("pick_nothing_needed_") for name in names if "nothing_needed" in name}
    assert {"suction", "inner_tube", "stoma", "cuff_pressure", "box_check"} <= offered
    assert not offered & {"incident", "tube_change", "stay", "note", "order", "visit"}


def test_where_the_last_readings_differ_in_unit_none_is_offered(opener: Opener) -> None:
    opened = opener(readings("cmH2O", "cmH2O", "mmHg"))
    assert last_unit(opened.record, "cuff_pressure", "unit") is None
    assert last_unit(readings("mmHg", "cmH2O", "cmH2O", "cmH2O"), "cuff_pressure", "unit") == "cmH2O"
    assert last_unit(readings(), "cuff_pressure", "unit") is None


def test_a_cuff_pressure_asks_for_its_unit_and_keeps_what_was_typed(opener: Opener) -> None:
    opened = opener(readings("cmH2O", "kPa"))
    opened.press("tile_cuff_pressure")
    fill(opened, value="25,5")
    opened.press("save")
    form = opened.find("form_cuff_pressure")
    assert "Unit is missing" in form._message.text()
    assert opened.find("field_value").text() == "25,5"
    opened.press("pick_unit_mmHg")
    opened.press("save")
    opened.wait(lambda: opened.window.page() == "board")
    assert opened.written("cuff_pressure")[-1].details == {"value": 25.5, "unit": "mmHg"}


def test_a_value_far_from_the_usual_is_asked_about_once_and_then_recorded_as_typed(opened: Opened) -> None:
    opened.press("tile_cuff_pressure")
    fill(opened, value="20")
    opened.press("pick_unit_kPa")
    opened.press("save")
    assert "is unusual" in opened.find("form_cuff_pressure")._message.text()
    assert opened.written("cuff_pressure")[-1].details["value"] == 34
    opened.press("save")
    opened.wait(lambda: opened.written("cuff_pressure")[-1].details == {"value": 20, "unit": "kPa"})


def test_what_is_not_a_number_is_named_with_its_field_and_kept(opened: Opened) -> None:
    opened.press("tile_cuff_pressure")
    fill(opened, value="about 25")
    opened.press("pick_unit_cmH2O")
    opened.press("save")
    assert opened.find("form_cuff_pressure")._message.text().startswith("Found at: “about 25” isn't a number")
    assert opened.find("field_value").text() == "about 25"


def test_the_valve_asks_whether_the_cuff_is_down_before_it_is_recorded_as_on(opened: Opened) -> None:
    opened.press("tile_valve")
    opened.press("pick_action_on")
    opened.press("save")
    assert "Is the cuff fully down?" in opened.find("form_valve")._message.text()
    assert opened.written("valve") == []
    opened.press("pick_cuff_down_true")
    opened.press("save")
    opened.wait(lambda: len(opened.written("valve")) == 1)
    assert opened.written("valve")[0].details == {"action": "on", "cuff_down": True}


def test_the_stoma_form_asks_three_questions_first_and_ends_with_the_teams_contact(opened: Opened) -> None:
    opened.press("tile_stoma")
    form = opened.find("form_stoma")
    assert list(form.controls)[:3] == ["crust", "skin", "fluid_from"]
    for name in ("crust", "skin", "fluid_from"):
        opened.press(f"pick_{name}_not_tried")
    assert form.details() == {}
    words = [label.text() for label in form.findChildren(type(form._message)) if label.isVisibleTo(form)]
    assert any("Imke Dorsett" in text and "555-0142" in text for text in words)


def test_a_failed_save_keeps_the_form_and_the_next_try_is_the_same_entry(opened: Opened) -> None:
    opened.press("tile_note")
    opened.find("field_note").setPlainText("slept badly")
    opened.record.trouble = "The disk is full."
    opened.press("save")
    opened.wait(lambda: opened.find("form_note")._message.text() == "The disk is full.")
    first = opened.find("form_note").tried
    opened.record.trouble = ""
    opened.clock.instant += 3 * MINUTE
    opened.press("save")
    opened.wait(lambda: len(opened.written("note")) == 1)
    note = opened.written("note")[0]
    assert (note.id, note.recorded_at, note.note) == (first.id, first.recorded_at, "slept badly")


def test_a_form_that_could_not_be_saved_is_the_same_entry_after_the_next_start(opener: Opener) -> None:
    record = household()
    first = opener(record)
    first.press("tile_note")
    first.find("field_note").setPlainText("slept badly")
    record.trouble = "The disk is full."
    first.press("save")
    first.wait(lambda: first.find("form_note")._message.text() == "The disk is full.")
    tried = first.find("form_note").tried
    first.window.close()
    record.trouble = ""
    second = opener(record)
    second.wait(lambda: second.rest.shelf.keeper.form("note") is not None)
    second.press("tile_note")
    second.clock.instant += 3 * MINUTE
    second.press("save")
    second.wait(lambda: len(second.written("note")) == 1)
    note = second.written("note")[0]
    assert (note.id, note.recorded_at, note.note) == (tried.id, tried.recorded_at, "slept badly")


def test_a_half_filled_form_is_kept_while_another_page_is_open(opened: Opened) -> None:
    opened.press("tile_observations")
    fill(opened, spo2_percent="9")
    opened.press("go_timeline")
    assert "Observations" in opened.find("draft_band").words()
    opened.press("draft_go_on")
    assert opened.find("field_spo2_percent").text() == "9"


def test_closing_with_a_half_filled_form_asks_nothing_and_the_next_start_brings_it_back(
    opener: Opener,
) -> None:
    record = household()
    first = opener(record)
    first.press("tile_stoma")
    first.press("pick_skin_red")
    first.find("field_pain").setText("3")
    first.find("field_note").setPlainText("sore on the left")
    first.window.close()
    second = opener(record)
    second.wait(lambda: bool(second.rest.shelf.keeper.touched()) or second.rest.shelf.band.words() != "")
    assert "Stoma" in second.rest.shelf.band.words()
    form = second.rest.shelf.keeper.form("stoma")
    assert form is not None
    assert form.details() == {"skin": "red", "pain": 3}
    assert form.note() == "sore on the left"


def test_throwing_a_form_away_removes_the_draft(opened: Opened) -> None:
    opened.press("tile_note")
    opened.find("field_note").setPlainText("half a")
    opened.rest.shelf.keeper.write()
    draft = opened.window.desk.parts.places.draft(opened.window.desk.access.path)
    assert b"half a" in draft.read_bytes()
    opened.press("throw_away")
    assert not draft.exists()


def test_presses_that_were_never_saved_come_back_at_the_next_start_and_are_saved_once(opener: Opener) -> None:
    record = household()
    first = opener(record)
    first.record.trouble = "The disk is full."
    first.press("tile_ties")
    first.wait(lambda: "not saved" in first.receipt())
    pressed = first.window.desk.slips.all[-1].first
    first.window.close()
    record.trouble = ""
    second = opener(record)
    second.wait(lambda: record.entries[-1] == pressed)
    assert len([entry for entry in record.entries if entry.id == pressed.id]) == 1


def test_an_amendment_keeps_unknown_fields_and_needs_a_reason(opener: Opener) -> None:
    record = household()
    home = Home(ZONE)
    at = record.entries[-1].recorded_at - HOUR
    record.entries.append(
        Entry(
            "40000000-0000-7000-8000-000000000001",
            "cuff_pressure",
            home.moment(at),
            at,
            ZONE,
            "MO",
            {"value": 24, "unit": "cmH2O", "gauge": "blue"},
        )
    )
    opened = opener(record)
    opened.rest.ways.open_entry("40000000-0000-7000-8000-000000000001")
    opened.wait(lambda: opened.shown().findChild(QWidget, "amend") is not None)
    opened.press("amend")
    fill(opened, value="26")
    opened.press("save")
    opened.wait(lambda: "Say why" in opened.find("form_cuff_pressure")._message.text())
    opened.find("reason").setText("misread")
    opened.press("save")
    opened.wait(lambda: opened.written("cuff_pressure")[-1].reason == "misread")
    assert opened.written("cuff_pressure")[-1].details == {"value": 26, "unit": "cmH2O", "gauge": "blue"}


def test_the_form_offers_no_future_day_and_asks_about_a_future_time(opened: Opened) -> None:
    opened.press("tile_note")
    opened.find("field_note").setPlainText("tomorrow?")
    opened.press("at_other")
    assert not opened.find("day_later").isEnabled()
    opened.find("field_clock").setText("23:59")
    opened.press("save")
    assert "hasn't come yet" in opened.find("form_note")._message.text()


def test_a_time_that_comes_twice_in_autumn_can_be_told_apart(opener: Opener) -> None:
    from carelog.domain.moment import Moment
    from tests.ui.household import StandingClock

    noon = Moment.read("2026-10-25T12:00:00+00:00").instant
    opened = opener(household(noon), StandingClock(noon))
    opened.press("tile_note")
    opened.find("field_note").setPlainText("in the doubled hour")
    opened.press("at_other")
    opened.find("field_clock").setText("01:30")
    opened.press("second_hour")
    opened.press("save")
    opened.wait(lambda: len(opened.written("note")) == 1)
    assert opened.written("note")[0].at == Moment.read("2026-10-25T01:30:00+00:00")


def test_a_reference_is_picked_from_a_list_in_words(opener: Opener) -> None:
    record = household()
    home, at = Home(ZONE), record.entries[-1].recorded_at - HOUR
    question = Entry(
        "40000000-0000-7000-8000-000000000002",
        "question",
        home.moment(at),
        at,
        ZONE,
        "LR",
        {},
        "Who orders the HMEs?",
    )
    record.entries.append(question)
    opened = opener(record)
    opened.rest.ways.open_form("answer")
    opened.wait(lambda: bool(opened.window.findChildren(QWidget, f"pick_question_{question.id}")))
    button = opened.find(f"pick_question_{question.id}")
    assert "Who orders the HMEs?" in button.words
    button.click()
    opened.find("field_note").setPlainText("The ward does.")
    opened.press("save")
    opened.wait(lambda: len(opened.written("answer")) == 1)
    assert opened.written("answer")[0].details == {"question": question.id}


def typed_into(form: QWidget, name: str, text: str) -> None:
    """Type into a field of a form that isn't on the window."""
    line = form.findChild(QLineEdit, name)
    assert isinstance(line, QLineEdit)
    line.setText(text)


def test_a_gap_asks_since_when_and_takes_only_a_time_before_its_own(opened: Opened) -> None:
    form = form_for(opened.window.desk, "gap", lambda _entry: None)
    today = Home(ZONE).day(NOW)
    form.save()
    assert "Since is missing" in form._message.text()
    typed_into(form, "field_since", today.isoformat())
    typed_into(form, "field_since_clock", "23:59")
    form.save()
    assert "must lie before" in form._message.text()
    typed_into(form, "field_since", (today - timedelta(days=1)).isoformat())
    since = Moment.read(form.details()["since"])
    assert NOW - 48 * HOUR < since.instant < NOW
    form.deleteLater()


def test_a_checklist_takes_one_line_each_commas_and_all(opened: Opened) -> None:
    form = form_for(opened.window.desk, "checklist", lambda _entry: None)
    lines = form.findChild(QPlainTextEdit, "field_items")
    assert isinstance(lines, QPlainTextEdit)
    lines.setPlainText("charger, black\n\n  spare batteries \n")
    assert form.details() == {"items": ["charger, black", "spare batteries"]}
    form.deleteLater()


def test_a_day_is_taken_as_people_write_it_and_the_form_says_how_it_was_read(opened: Opened) -> None:
    opened.rest.ways.open_form("order")
    fill(opened, item="HME", count="30", expected="28 Nov 2026")
    said = opened.find("read_as_expected").text().replace("\N{NO-BREAK SPACE}", " ")
    assert said == "read as Sat 28 November 2026"
    opened.press("save")
    opened.wait(lambda: bool(opened.written("order")))
    assert opened.written("order")[-1].details["expected"] == "2026-11-28"


def test_a_day_that_can_be_read_in_two_ways_is_refused_with_both(opened: Opened) -> None:
    opened.rest.ways.open_form("order")
    fill(opened, item="HME", count="30", expected="3/4/26")
    assert opened.find("read_as_expected").text() == ""
    opened.press("save")
    words = str(opened.find("form_order")._message.text()).replace("\N{NO-BREAK SPACE}", " ")
    assert "“3/4/26” could be Fri 3 April 2026 or Wed 4 March 2026. Write the month as a word." in words
    assert not opened.written("order")


def test_nobody_asks_a_real_household_whether_it_is_made_up_and_what_is_recorded_stays(
    opened: Opened,
) -> None:
    opened.rest.ways.open_form("person")
    form = opened.find("form_person")
    assert "invented" not in form.controls
    assert not any("invented" in each.objectName() for each in form.findChildren(QPushButton))


def test_what_is_typed_goes_into_the_form_that_is_shown_and_into_no_half_filled_one_behind_it(
    opened: Opened,
) -> None:
    opened.press("tile_observations")
    hidden = opened.window.focusWidget()
    waiting = next(line for line in opened.window.findChildren(QLineEdit) if line.isVisible())
    waiting.setFocus()
    QTest.keyClicks(waiting, "37")
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.window.page() == "board"
    opened.press("tile_note")
    focused = opened.window.focusWidget()
    assert focused.isVisible()
    assert focused not in (hidden, waiting)
    QTest.keyClicks(focused, "9")
    assert waiting.text() == "37"


@pytest.mark.parametrize("width", [1366, 1920])
def test_in_a_wide_window_rows_lie_abreast_and_a_high_one_makes_no_gap_beside_it(
    opened: Opened, width: int
) -> None:
    opened.window.resize(width, 768)
    opened.rest.ways.open_form("suction")
    opened.come_to_rest()
    tops = {
        name: opened.find(f"field_{name}").mapTo(opened.window, QPoint(0, 0)).y()
        for name in ("blood", "smell", "food_seen", "catheter_fr")
    }
    assert tops["food_seen"] - tops["smell"] == tops["smell"] - tops["blood"]
    assert tops["catheter_fr"] < tops["blood"]


def test_the_change_of_a_reading_is_held_against_the_plan_of_its_time(opener: Opener) -> None:
    record = readings("cmH2O")
    old = record.entries[-1]
    since = old.at.instant + HOUR
    limits = {"cuff_pressure": {"low": 22, "high": 28, "unit": "cmH2O"}}
    details = {"set_by": "NT", "tasks": [], "limits": limits}
    record.entries.append(
        Entry("40000000-0000-7000-8000-0000000000ff", "plan", Moment(since), since, ZONE, "NT", details)
    )
    opened = opener(record)
    opened.press("tile_cuff_pressure")
    assert "The plan says 22 to 28 cmH2O." in gauge(opened)
    opened.press("throw_away")
    (held,) = [each for each in Reading(record.entries).of("cuff_pressure") if each.entry.id == old.id]
    opened.rest.ways.open_change("cuff_pressure", held)
    assert "The plan says 20 to 30 cmH2O. So it was when this was read" in gauge(opened)


def test_the_reason_is_asked_for_where_it_is_said_that_it_is_missing(opener: Opener) -> None:
    record = readings("cmH2O")
    old = record.entries[-1]
    opened = opener(record)
    (held,) = [each for each in Reading(record.entries).of("cuff_pressure") if each.entry.id == old.id]
    opened.rest.ways.open_change("cuff_pressure", held)
    form = opened.rest.shelf.keeper.form(old.id)
    assert form is not None
    assert any("Why it is changed (needed)" in each.text() for each in form.findChildren(Words))
    count = len(record.entries)
    opened.press("save")
    assert "Nothing is changed yet." in form._message.text()
    fill(opened, value="27")
    opened.press("save")
    opened.wait(lambda: "Say why it is changed." in form._message.text())
    assert "page Days" not in form._message.text()
    assert opened.window.focusWidget() is opened.find("reason")
    assert len(record.entries) == count
