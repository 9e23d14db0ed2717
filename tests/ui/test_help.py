"""The help where it is needed: a page for each kind and flag, ten worries, words, a search."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from carelog.analysis.rules.table import RULES
from carelog.analysis.usual.explain import SEVERAL, SMALL
from carelog.domain.flag import Level, Matter
from carelog.kinds import ALL
from carelog.text import say
from carelog.ui.help.explained import Explained
from carelog.ui.help.page import Help
from carelog.ui.help.seek import seek
from carelog.ui.help.topics import every_topic, kind_topic, of_kinds, of_rules, rule_topic
from carelog.ui.help.whereabouts import topic_of
from carelog.ui.help.words import places, terms
from carelog.ui.help.worries import WORRIES
from carelog.ui.pages import PAGES
from tests.ui.conftest import Opened, Opener
from tests.ui.household import Memory
from tests.ui.test_board import texts
from tests.ui.test_pages import flag, raise_flags


def help_page(opened: Opened) -> Help:
    """The help's page, opened."""
    page = opened.window.show_page("help")
    assert isinstance(page, Help)
    return page


def in_force(opened: Opened, rule: str) -> bool:
    """Whether a flag of this rule is shown."""
    return any(
        each.rule == rule and each.cleared_at is None for each in opened.window.desk.present.flags or ()
    )


# A page for each kind and each flag ---------------------------------------------------------------------


def test_every_kind_and_every_rule_has_a_page_with_whom_to_call_and_its_source(opened: Opened) -> None:
    names = {topic.name for topic in every_topic()}
    assert names >= {kind_topic(kind.name) for kind in ALL} | {rule_topic(rule.name) for rule in RULES}
    page = help_page(opened)
    for topic in (*of_kinds(), *of_rules()):
        page.show_topic(topic.name)
        shown = texts(page)
        assert topic.title in shown, topic
        assert "What to look at" in shown, topic
        assert "What to write down" in shown, topic
        assert "Emergency plan now: emergency, 555-0100" in shown, topic
        assert "Imke Dorsett, 555-0142" in shown, topic
        is_of_the_body = any(
            rule_topic(each.name) == topic.name and each.matter is Matter.BODY for each in RULES
        )
        assert ("If breathing is hard: emergency plan." in shown) is is_of_the_body, topic
        assert "Source: " in shown or "Where this comes from" in shown, topic


def test_a_flag_leads_to_its_page_and_from_there_back(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL, rule="stuck_inner_tube"))
    opened.press("go_flags")
    opened.press("about_0")
    assert "The inner tube could not be taken out." in texts(opened.shown())
    opened.press("help_back")
    assert opened.window.page() == "flags"


def test_a_form_leads_to_its_page_and_back_and_keeps_what_was_typed(opened: Opened) -> None:
    opened.rest.ways.open_form("stoma")
    opened.press("pick_crust_wipes_off")
    opened.press("form_about")
    assert "You need not know what it is." in texts(opened.shown())
    opened.press("help_worries/mucus_or_scab")
    assert "whatever the answers are" in texts(opened.shown())
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.window.page() == "form"
    assert opened.find("pick_crust_wipes_off").isChecked()


def test_in_large_letters_the_way_to_the_page_gives_its_room_to_why_nothing_was_saved(opened: Opened) -> None:
    opened.window.preferences.change(text_percent=200)
    opened.rest.ways.open_form("cuff_pressure")
    assert opened.find("form_about").isVisible()
    opened.press("save")
    assert [each for each in opened.window.findChildren(QWidget, "form_about") if each.isVisible()] == []
    assert "is missing" in texts(opened.shown())


# Ten worries --------------------------------------------------------------------------------------------

WORRIED: dict[str, tuple[str, Callable[[Opened], None]]] = {}
"""What each worry's page must say, and what is done as it says, which then is so."""


def done_as(name: str, says: str) -> Callable[[Callable[[Opened], None]], Callable[[Opened], None]]:
    """Keeps what is done as the page of a worry says."""

    def keep(act: Callable[[Opened], None]) -> Callable[[Opened], None]:
        WORRIED[name] = says, act
        return act

    return keep


@done_as("tube_came_out", "First act by the emergency plan, and call.")
def _tube_out(opened: Opened) -> None:
    opened.press("help_form_incident")
    opened.press("pick_what_tube_out")
    assert "another time" in texts_of_buttons(opened.shown())
    opened.press("pick_called_nobody")
    opened.press("save")
    opened.wait(lambda: in_force(opened, "incident"))
    assert opened.written("incident")[-1].details == {"what": "tube_out", "called": "nobody"}
    assert "Emergency plan now" in texts(opened.window)


@done_as("inner_tube_stuck", "press “stuck, could not be removed”")
def _stuck(opened: Opened) -> None:
    opened.press("help_form_inner_tube")
    opened.press("pick_outcome_stuck")
    opened.press("save")
    opened.wait(lambda: in_force(opened, "stuck_inner_tube"))


@done_as("forgot_to_write", "“another time”")
def _forgot(opened: Opened) -> None:
    opened.press("help_page_typed")
    assert opened.window.page() == "typed"
    opened.press("go_board")
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    wanted = {"5 min ago", "10", "1 h", "more …"}  # which come once “saved” is painted
    opened.wait(lambda: wanted <= texts_of_buttons(opened.window.board.receipt))


@done_as("wrong_press", "Each press can be put right")
def _wrong(opened: Opened) -> None:
    opened.press("help_page_timeline")
    opened.press("go_board")
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    opened.press("undo")
    opened.wait(lambda: "undone" in opened.receipt())
    assert opened.find("undo").words == "Redo"
    opened.rest.ways.open_entry(opened.record.entries[0].id)
    opened.wait(lambda: {"Change it", "Strike it out"} <= texts_of_buttons(opened.shown()))


@done_as("there_is_a_flag", "No flag is no good news.")
def _flagged(opened: Opened) -> None:
    raise_flags(opened, flag(Level.CALL, entries=("x",)))
    opened.press("help_page_flags")
    wanted = {"Who was told …", "I have seen it", "Show the entry", "About this flag"}
    assert wanted <= texts_of_buttons(opened.shown())


@done_as("mucus_or_scab", "They are no reason to put off a call.")
def _scab(opened: Opened) -> None:
    opened.press("help_form_stoma")
    asked = texts(opened.shown())
    questions = ("wipe off with saline?", "skin beneath whole?", "from the skin edge itself?")
    assert [asked.index(each) for each in questions] == sorted(asked.index(each) for each in questions)
    assert "not tried" in texts_of_buttons(opened.shown())


@done_as("power_is_off", "act by the emergency plan and call.")
def _power(opened: Opened) -> None:
    opened.press("help_form_checklist")
    assert opened.find("pick_list_power_cut").isVisible()
    opened.rest.ways.open_help("worries/power_is_off")
    opened.press("help_page_kit")
    opened.wait(lambda: "Power is off" in texts_of_buttons(opened.shown()))
    opened.press("power_off")
    opened.wait(lambda: in_force(opened, "incident"))
    opened.wait(lambda: "Power is on again" in texts_of_buttons(opened.shown()))


@done_as("record_back", "press “Open a record or a copy …”")
def _back(opened: Opened) -> None:
    opened.press("help_page_copies")
    assert opened.window.page() == "copies"


@done_as("second_computer", "then “From another computer …”")
def _second(opened: Opened) -> None:
    opened.press("help_page_copies")
    assert "A second medium" in texts(opened.shown())


@done_as("nurse_comes", "The last seven days are shown first.")
def _nurse(opened: Opened) -> None:
    opened.press("help_page_visit")
    assert opened.window.page() == "visit"
    assert {"Course", "Days", "Flags", "Paper"} <= {
        each.words for each in opened.window.rail.buttons.values()
    }


def texts_of_buttons(widget: QWidget) -> set[str]:
    """The words on all buttons that a widget shows."""
    from carelog.ui.button import Button

    return {each.words for each in widget.findChildren(Button) if each.isVisibleTo(widget)}


@pytest.mark.parametrize("worry", WORRIES, ids=lambda worry: worry.name)
def test_a_worry_is_answered_within_two_presses_and_the_answer_holds(opened: Opened, worry: object) -> None:
    name = getattr(worry, "name", "")
    says, act = WORRIED[name]
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    assert opened.window.page() == "board"
    opened.find("go_help").click()
    opened.find(f"help_worries/{name}").click()
    shown = texts(opened.shown())
    assert says in shown
    assert "555-0100" in shown
    act(opened)


def test_there_are_ten_worries() -> None:
    assert len(WORRIES) == 10
    assert set(WORRIED) == {worry.name for worry in WORRIES}


def test_what_is_said_of_a_new_computer_is_on_its_first_page(opener: Opener) -> None:
    opened = opener(Memory(), is_missing=True)
    shown = opened.shown()
    assert "Go on" in texts_of_buttons(shown)
    opened.press("welcome_on")
    assert {
        opened.find(name).accessibleName().partition(",")[0] for name in ("open_other", "take_up_other")
    } == {
        "Open a record or a copy …",
        "From another computer …",
    }


# Words --------------------------------------------------------------------------------------------------


def test_each_word_of_the_trade_is_told_on_one_page_in_a_sentence() -> None:
    names = [name.casefold() for term in terms() for name in term.names]
    assert len(names) == len(set(names)) > 40
    assert all(term.meaning.endswith(".") and len(term.meaning.split()) < 30 for term in terms())


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Cuff pressure", ["cuff"]),
        ("Inner tube ID", ["inner tube", "ID"]),
        ("HME changed", ["HME"]),
        ("a lot of cuffs and a cuffed tube", ["lot", "cuff"]),
        ("idea, scuff, shiftless", []),
    ],
)
def test_words_are_found_whole_and_once(text: str, found: list[str]) -> None:
    assert [place.term.name for place in places(text)] == found


def test_a_form_tells_a_word_by_a_press_on_it_and_by_its_key(opened: Opened) -> None:
    opened.rest.ways.open_form("suction")
    label = next(
        each for each in opened.shown().findChildren(Explained) if each.text().startswith("Catheter passed")
    )
    QTest.mouseClick(label, Qt.MouseButton.LeftButton)
    band = opened.find("meaning_band")
    assert "The thin soft tube that is used for suction." in band.words()
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert not band.isVisible()
    assert opened.window.page() == "form"
    opened.find("pick_saline_true").setFocus()
    QTest.keyClick(opened.find("pick_saline_true"), Qt.Key.Key_Question, Qt.KeyboardModifier.ShiftModifier)
    assert "Salt water" in band.words()
    opened.press("meaning_words")
    assert "What the words mean" in texts(opened.shown())
    assert not band.isVisible()
    opened.press("help_back")
    assert opened.window.page() == "form"


def test_the_key_leads_to_the_page_about_a_tile_and_about_the_open_page(opened: Opened) -> None:
    opened.find("tile_mouth_care").setFocus()
    QTest.keyClick(opened.find("tile_mouth_care"), Qt.Key.Key_Question)
    assert "Teeth, tongue and mouth are cleaned as the plan says." in texts(opened.shown())
    opened.window.go("copies")
    opened.window.setFocus()
    assert opened.window.do("meaning")
    assert opened.window.page() == "help"


def test_every_page_of_the_window_has_one_in_the_help() -> None:
    names = {topic.name for topic in every_topic()}
    assert {page.name for page in PAGES if topic_of(page.name, None) not in names} == {"others", "help"}


def test_a_question_mark_in_a_text_is_typed(opened: Opened) -> None:
    opened.rest.ways.open_form("note")
    field = opened.find("field_note")
    QTest.keyClicks(field, "how?")
    assert opened.window.page() == "form"
    assert field.toPlainText() == "how?"


def test_the_dots_lie_beneath_their_word(opened: Opened) -> None:
    label = Explained(say("Catheter passed"))
    opened.bot.addWidget(label)
    label.resize(400, 44)
    (start, end), *others = label.underlines()
    metrics = label.fontMetrics()
    assert others == []
    assert start.x() == pytest.approx(0, abs=1)
    assert end.x() == pytest.approx(metrics.horizontalAdvance("Catheter"), abs=1.5)
    assert start.y() == pytest.approx(22 - metrics.height() / 2 + metrics.ascent() + 2, abs=1.5)
    label.resize(metrics.horizontalAdvance("Catheter "), 100)
    label.say("passed a catheter")
    (start, _end), *_others = label.underlines()
    assert start.x() < 2 * metrics.horizontalAdvance("a ")
    assert start.y() > 50


# Looking for something ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("pulled out", "The tube came out: how do I write it?"),
        ("forgot", "I forgot to write something down"),
        ("restore", "How do I get the record back?"),
        ("HME", "HME"),
        ("tube out", "The tube came out: how do I write it?"),
        ("how do I write that I forgot it", "I forgot to write something down"),
        ("phone number", "Contact"),
        ("scab", "Is it dried mucus, or a scab?"),
        ("catheter pass", "Catheter didn't pass"),
    ],
)
def test_looking_for_words_finds_the_page_first(typed: str, first: str) -> None:
    found = seek(typed)[0]
    assert (found.term.name if found.term else found.topic.title) == first


def test_what_is_typed_is_found_while_it_is_typed_and_opens_its_page(opened: Opened) -> None:
    opened.press("go_help")
    QTest.keyClicks(opened.find("help_find"), "slipped")
    assert opened.find("help_find").text() == "slipped"
    opened.press("help_found_0")
    assert "First act by the emergency plan, and call." in texts(opened.shown())
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    opened.find("help_find").setText("foam cuff")
    opened.press("help_found_0")
    assert "It has no pressure to read." in texts(opened.shown())


def test_words_that_no_page_has_are_said_not_to_be_found_and_esc_leads_back(opened: Opened) -> None:
    opened.press("go_help")
    opened.find("help_find").setText("zebra")
    assert "No page of the help has all these words." in texts(opened.shown())
    QTest.keyClick(opened.window, Qt.Key.Key_Escape)
    assert opened.find("help_find").text() == ""
    assert opened.window.page() == "help"


@pytest.mark.parametrize("words", [SEVERAL, SMALL])
def test_a_flag_of_several_changes_leads_to_a_page_about_all_of_them(words: str, opened: Opened) -> None:
    told = {"headline": words, "by_statistics": True, "several": True}
    raise_flags(opened, flag(Level.CALL, rule="secretions_colour", **told))
    opened.press("go_flags")
    opened.press("about_0")
    shown = texts(opened.shown())
    assert "Several changes together" in shown
    assert "thicker secretions" in shown
    assert "Another colour than usual" not in shown
    assert "If breathing is hard" in shown
    assert "Emergency plan now: " in shown
