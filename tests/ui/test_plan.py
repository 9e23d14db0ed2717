"""The plan is changed by pressing its sentences: few actions, the change said, and nothing lost."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton

from carelog.analysis.in_force import Reading
from carelog.kinds.plan import PLAN
from carelog.ui.plan.defaults import DEFAULTS, INNER
from carelog.ui.plan.form import PlanForm
from carelog.ui.sheet.page import SheetPage
from tests.ui.conftest import Opened, Opener
from tests.ui.household import Memory, household
from tests.ui.test_board import texts


def without_plan() -> Memory:
    record = household()
    record.entries = [each for each in record.entries if each.kind != "plan"]
    return record


def form(opened: Opened) -> PlanForm:
    found = opened.window.findChild(PlanForm)
    assert found is not None
    return found


def change(opened: Opened) -> str:
    """What the editor says that it changes."""
    return plain(opened.find("plan_change_words", QLabel).text())


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def open_line(opened: Opened, name: str) -> None:
    """From the plan's page to the editor, with one sentence open."""
    opened.press("go_plan")
    opened.wait(lambda: "Nour Bakker" in texts(opened.shown()))
    opened.press(name)


def test_a_plan_of_six_tasks_takes_at_most_ten_actions(opener: Opener) -> None:
    opened = opener(without_plan())
    opened.window.desk.recorder.choose("LR")
    actions = [
        "go_plan",
        "plan_change",
        "ask_inner_tube_8",
        "ask_cuff_pressure_12",
        "ask_stoma_24",
        "ask_ties_24",
        "ask_humidity_hme_24",
        "ask_mouth_care_6",
        "set_by_0",
        "save",
    ]
    for name in actions:
        opened.press(name)
    opened.wait(lambda: len(opened.written("plan")) == 1)
    assert len(actions) <= 10
    (plan,) = opened.written("plan")
    assert plan.details == {
        "set_by": "Nour",
        "tasks": [
            {"kind": "inner_tube", "every_h": 8},
            {"kind": "cuff_pressure", "every_h": 12},
            {"kind": "stoma", "every_h": 24},
            {"kind": "ties", "every_h": 24},
            {"kind": "humidity", "where": {"device": "hme"}, "every_h": 24},
            {"kind": "mouth_care", "every_h": 6},
        ],
    }
    opened.wait(lambda: opened.window.page() == "plan")
    opened.wait(lambda: "Inner tube every 8 hours" in plain(texts(opened.shown())))


def test_a_sentence_is_pressed_and_changed_in_place_and_the_rest_stays(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    assert change(opened) == "Nothing is changed yet."
    opened.press("pick_inner_tube_rhythm_6")
    assert change(opened) == "What changes: inner tube 8 → 6 h."
    button = opened.find("task_inner_tube", QPushButton)
    assert plain(button.accessibleName()) == "Inner tube every 6 hours, not between 23:00 and 06:00"
    opened.press("pick_inner_tube_quiet_none")
    opened.find("field_inner_tube_grace").setText("30")
    words = "Inner tube every 6 hours, also in the quiet hours, overdue after 30 min"
    assert plain(button.accessibleName()) == words
    opened.press("set_by_0")
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    old, new = opened.written("plan")
    task = {"kind": "inner_tube", "every_h": 6, "quiet": None, "grace_min": 30}
    assert new.details == {**old.details, "tasks": [task, *old.details["tasks"][1:]]}
    assert new.amends is None


def test_what_changed_is_said_after_saving_too_and_undo_is_one_press_away(opened: Opened) -> None:
    open_line(opened, "plan_limits_cuff_pressure")
    opened.find("field_limits_cuff_pressure_high").setText("28")
    opened.press("set_by_0")
    opened.press("save")
    opened.wait(lambda: opened.window.page() == "plan")
    said = "The plan is saved: cuff 20–30 → 20–28 cmH2O."
    opened.wait(lambda: said in plain(texts(opened.shown())))
    opened.press("plan_undo")
    opened.wait(lambda: any(each.withdrawn for each in opened.written("plan")))
    opened.wait(lambda: said not in plain(texts(opened.shown())))
    opened.wait(lambda: "Cuff pressure: 20 to 30 cmH2O" in plain(texts(opened.shown())))


def test_a_limit_beyond_what_is_published_is_asked_about_once_and_not_refused(opened: Opened) -> None:
    open_line(opened, "plan_limits_cuff_pressure")
    opened.find("field_limits_cuff_pressure_high").setText("34")
    opened.press("set_by_0")
    opened.press("save")
    assert "that range for adults" in form(opened)._message.text()
    assert len(opened.written("plan")) == 1
    opened.pause()
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    assert opened.written("plan")[1].details["limits"]["cuff_pressure"]["high"] == 34


def test_a_plan_that_counts_from_a_day_long_past_is_asked_about_once(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_6")
    opened.press("set_by_0")
    opened.press("say_from")
    opened.find("field_from").setText("2026-11-12")
    opened.find("field_from_clock").setText("08:00")
    opened.press("save")
    assert "It counts from Thursday 12 November" in plain(form(opened)._message.text())
    assert len(opened.written("plan")) == 1
    opened.pause()
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    assert opened.written("plan")[1].details["from"] == "2026-11-12T08:00:00+00:00"


def test_suggestions_stay_offered_to_an_adult_with_their_source_and_to_nobody_else(opener: Opener) -> None:
    opened = opener(without_plan())
    opened.press("go_plan")
    opened.press("plan_change")
    shown = texts(opened.shown())
    assert "Suggested: every 24 hours. Johns Hopkins" in plain(shown)
    assert "suggested: 20 to 30 cmH2O" in plain(shown)
    opened.press("say_cuff_pressure")
    opened.press("take_cuff_pressure")
    assert (
        plain(opened.find("say_cuff_pressure", QPushButton).accessibleName())
        == "Cuff pressure: 20 to 30 cmH2O"
    )


def test_every_suggestion_has_a_source() -> None:
    assert all(default.source for default in (*DEFAULTS, INNER))


def test_a_child_is_offered_no_value(opener: Opener) -> None:
    record = household()
    record.entries = [each for each in record.entries if each.kind not in ("plan", "person")]
    opened = opener(record)
    opened.press("go_plan")
    opened.press("plan_change")
    shown = texts(opened.shown())
    assert "suggested" not in shown
    assert "Johns Hopkins" not in shown
    opened.press("ask_ties_12")
    assert change(opened) == "What changes: the first plan: ties every 12 h."


def test_what_it_would_have_meant_is_a_sentence_and_a_table_and_grows_old_with_the_next_change(
    opened: Opened,
) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_4")
    opened.press("plan_meant")
    panel = opened.find("plan_meant_panel")
    opened.wait(lambda: "under this plan" in texts(panel))
    shown = texts(panel)
    assert "inner tube asked for" in shown
    assert "in the last 14 days" in shown
    assert "Inner tube" in shown
    assert len(opened.written("plan")) == 1
    opened.press("pick_inner_tube_rhythm_6")
    assert "Ask again" in texts(panel)


def test_what_cannot_be_read_is_opened_and_said_and_nothing_is_saved(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.find("task_times_inner_tube").setText("8 in the morning")
    QTest.keyClicks(opened.find("task_times_inner_tube"), "x")
    opened.press("task_cuff_pressure")
    opened.press("save")
    assert len(opened.written("plan")) == 1
    assert "Inner tube" in form(opened)._message.text()
    assert opened.find("task_every_inner_tube").isVisible()


def test_a_half_changed_plan_waits_and_is_gone_on_with(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_12")
    opened.press("task_add")
    opened.press("ask_ties_24")
    kept = form(opened).typed()
    opened.press("go_board")
    opened.wait(lambda: "Care plan" in opened.rest.shelf.band.words())
    again = PlanForm(
        opened.window.desk.access,
        opened.window.desk.present,
        opened.window.desk.recorder,
        PLAN,
        done=lambda _entry: None,
    )
    again.restore(kept, "", "")
    assert again.details()["tasks"][0] == {"kind": "inner_tube", "every_h": 12}
    assert again.details()["tasks"][4:] == [{"kind": "ties", "every_h": 24}]
    again.deleteLater()


def test_two_plans_stand_side_by_side_and_a_new_one_begins_with_an_earlier_one(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("task_out_inner_tube")
    opened.press("set_by_0")
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    opened.wait(lambda: opened.window.page() == "plan")
    opened.wait(lambda: "plan_1" in {each.objectName() for each in opened.shown().findChildren(QPushButton)})
    opened.press("plan_0")
    shown = texts(opened.shown())
    assert "No longer: inner tube." in shown
    assert "gone" in shown
    opened.press("plan_back")
    opened.press("plan_1")
    opened.press("plan_begin_with")
    assert change(opened) == "What changes: new: inner tube every 8 h."


def test_the_plan_is_changed_by_keyboard_alone(opened: Opened) -> None:
    opened.press("go_plan")
    opened.come_to_rest()
    opened.wait(lambda: "Nour Bakker" in texts(opened.shown()))
    sentence = opened.find("plan_tasks_inner_tube")
    sentence.setFocus()
    QTest.keyClick(sentence, Qt.Key.Key_Return)
    widget = opened.window.focusWidget()
    assert widget is not None
    assert widget.objectName() == "pick_inner_tube_rhythm_8"
    QTest.keyClick(opened.find("pick_inner_tube_rhythm_12"), Qt.Key.Key_Space)
    assert change(opened) == "What changes: inner tube 8 → 12 h."


def test_the_plan_is_printed_on_the_page_for_paper(opener: Opener, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(SheetPage, "show_sheet", lambda _page, name: asked.append(name))
    opened = opener()
    opened.press("go_plan")
    opened.press("plan_print")
    assert (opened.window.page(), asked) == ("sheet", ["plan"])


def test_each_sentence_of_the_page_opens_its_own_in_the_editor(opened: Opened) -> None:
    open_line(opened, "plan_tasks_humidity_nebuliser")
    assert opened.find("task_humidity_nebuliser", QPushButton).isChecked()
    assert opened.find("task_times_humidity_nebuliser").text() == "03:00, 15:00"
    opened.press("say_quiet")
    assert not opened.find("task_humidity_nebuliser", QPushButton).isChecked()
    opened.find("field_quiet").setText("22:30")
    assert "not between 22:30 and 06:00" in opened.find("task_inner_tube", QPushButton).accessibleName()
    opened.find("field_quiet").setText("")
    opened.find("field_quiet_to").setText("")
    assert plain(opened.find("task_inner_tube", QPushButton).accessibleName()) == "Inner tube every 8 hours"
    assert change(opened) == "What changes: quiet hours 23:00–06:00 → none."


def test_a_plan_that_was_mistyped_is_put_right_in_the_same_editor_with_the_reason(opened: Opened) -> None:
    (plan,) = opened.written("plan")
    ways, chain = opened.rest.ways, Reading(opened.record.entries)
    ways.open_change("plan", chain.get(plan.id))
    opened.press("say_cuff_pressure")
    opened.find("field_limits_cuff_pressure_low").setText("22")
    opened.press("save")
    opened.wait(lambda: "Say why" in form(opened)._message.text())
    opened.find("reason").setText("Read wrongly from the paper")
    opened.pause()
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    changed = opened.written("plan")[1]
    assert changed.amends == plan.id
    assert changed.details == {
        **plan.details,
        "limits": {"cuff_pressure": {"low": 22, "high": 30, "unit": "cmH2O"}},
    }


def test_a_plan_that_the_disk_does_not_take_stays_in_the_editor_and_is_saved_once_it_does(
    opened: Opened,
) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_6")
    opened.press("set_by_0")
    opened.record.trouble = "The disk is full."
    opened.press("save")
    opened.wait(lambda: "The disk is full." in form(opened)._message.text())
    assert change(opened) == "What changes: inner tube 8 → 6 h."
    opened.record.trouble = ""
    opened.pause()
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)


def test_a_plan_that_came_from_elsewhere_meanwhile_is_not_taken_back_unseen(opened: Opened) -> None:
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_6")
    opened.press("set_by_0")
    (old,) = opened.written("plan")
    limits = {"cuff_pressure": {"low": 22, "high": 28, "unit": "cmH2O"}}
    now = opened.clock.now()
    other = replace(
        old,
        id="20000000-0000-7000-8000-0000000000ff",
        at=replace(old.at, instant=now),
        recorded_at=now,
        details={**old.details, "limits": limits},
    )
    opened.record.append([other])
    opened.window.desk.present.read_anew()
    opened.wait(lambda: other.id in {plan.entry for plan in opened.picture().plans})
    opened.press("save")
    assert "Another plan came meanwhile." in form(opened)._message.text()
    assert change(opened) == "What changes: cuff 22–28 → 20–30 cmH2O; inner tube 8 → 6 h."
    assert len(opened.written("plan")) == 2
    opened.pause()
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 3)


def test_what_began_to_be_learnt_anew_is_not_begun_again_by_the_next_plan(opener: Opener) -> None:
    record = household()
    old = next(each for each in record.entries if each.kind == "plan")
    begun = replace(old, details={**old.details, "restarts": ["cuff"], "from": "2026-11-01T00:00:00+00:00"})
    record.entries[record.entries.index(old)] = begun
    opened = opener(record)
    open_line(opened, "plan_tasks_inner_tube")
    opened.press("pick_inner_tube_rhythm_6")
    opened.press("set_by_0")
    opened.press("save")
    opened.wait(lambda: len(opened.written("plan")) == 2)
    assert not {"restarts", "from"} & set(opened.written("plan")[1].details)


@pytest.mark.parametrize("initials", ["NB", "LR"])
def test_a_nurse_who_records_need_not_type_her_name(opened: Opened, initials: str) -> None:
    opened.window.desk.recorder.choose(initials)
    open_line(opened, "plan_tasks_inner_tube")
    assert opened.find("field_set_by").text() == ("Nour" if initials == "NB" else "")
