"""The help pages: plain words, a simple form, and what each must say."""

import re
from pathlib import Path

import pytest

from carelog.ui.help.paragraphs import HEADING, ITEM, PLAIN, paragraphs
from carelog.ui.help.rules import rules
from carelog.ui.help.topics import INTRODUCTION, WORDS_HERE, every_topic, topic_text
from carelog.ui.keys import KEYS
from catalogue import sayings
from tests.words.grade import grade, hardest, sentences

FOLDER = Path(__file__).resolve().parents[2] / "resources" / "help"
PAGES = sorted(FOLDER.rglob("*.md"))
HIGHEST = 6.0
DEFERS = ("what_it_is_not", "board", "flags", "rules", "emergency", "help")
"""Pages on which somebody may look for help in an emergency."""


TYPED = (
    "10",
    "?",
    "written twice",
    "when was the last cuff pressure",
    "not done",
    "needed",
    "100 % of 160 h",
)
"""What pages quote that isn't by itself a text of the program: what is typed or read into it, a key."""


def name(page: Path) -> str:
    return page.relative_to(FOLDER).with_suffix("").as_posix()


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_a_page_is_easy_to_read(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert sentences(text)
    assert grade(text) <= HIGHEST, f"{page.name}: {grade(text):.1f}, hardest {hardest(text)}"


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_no_sentence_of_a_page_is_very_hard(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    found = [each for each in hardest(text, 10) if float(each.split(":")[0]) > HIGHEST + 4]
    assert not found, f"{page.name}: {found}"


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_a_page_keeps_to_headings_paragraphs_and_lists(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    found = paragraphs(text)
    assert found
    assert found[0][0] == PLAIN  # the title above it is the window's
    assert {sign for sign, _words in found} <= {HEADING, ITEM, PLAIN}
    assert not re.search(r"\*\*|`|\]\(|https?:|^ |^#{2,}|^[*+] |\t", text, re.MULTILINE)
    assert all(words.endswith((".", "?")) for sign, words in found if sign != HEADING)
    assert not [words for sign, words in found if sign == HEADING and words.endswith(".")]


def test_a_page_in_hard_words_is_found_out() -> None:
    hard = (
        "# Documentation\n\nComprehensive contemporaneous documentation facilitates interdisciplinary "
        "communication and continuity of individualised tracheostomy management.\n"
    )
    assert grade(hard) > HIGHEST


def test_every_page_is_in_the_list_of_topics() -> None:
    listed = [topic.name for topic in every_topic()]
    assert len(listed) == len(set(listed))
    assert {name(page) for page in PAGES} == {*listed, INTRODUCTION, WORDS_HERE}


@pytest.mark.parametrize("topic", DEFERS)
def test_where_it_matters_a_page_defers_to_plan_team_and_number(topic: str) -> None:
    text = topic_text(topic).casefold()
    assert "plan" in text
    assert "team" in text or topic == "emergency"
    assert "emergency number" in text


def test_it_says_what_it_is_not() -> None:
    text = topic_text("what_it_is_not")
    for words in ("no monitor and no alarm", "When the computer is off", "regulator", "somebody wrote down"):
        assert words in text


def test_privacy_begins_with_the_disk_encryption() -> None:
    protects, doesnt = topic_text("privacy").split("# What does not protect it")
    first = next(words for sign, words in paragraphs(protects) if sign == ITEM)
    assert "disk encryption" in first
    assert "not encrypted by carelog" in doesnt


def test_a_key_that_a_page_names_is_in_the_table_of_keys() -> None:
    pressed = {key.press for key in KEYS}
    named = {
        key.replace(" and ", "+")
        for page in PAGES
        for key in re.findall(r"\bF\d+\b|\bCtrl\+\w", page.read_text(encoding="utf-8"))
    }
    assert named
    assert named <= pressed


def test_the_page_of_rules_is_easy_to_read() -> None:
    # Names of publications are no sentences of ours.
    text = topic_text("rules") + "\n\n".join(
        "\n\n".join(line for line in words.splitlines() if not line.startswith("Source:"))
        for _heading, words in rules()
    )
    assert len(rules()) > 20
    assert grade(text) <= HIGHEST, f"{grade(text):.1f}, hardest {hardest(text, 12)}"


ABOUT = [page for page in PAGES if page.parent.name in ("kinds", "rules")]


@pytest.mark.parametrize("page", ABOUT, ids=name)
def test_a_page_about_a_kind_or_a_flag_says_what_to_look_at_and_what_to_write_down(page: Path) -> None:
    found = paragraphs(page.read_text(encoding="utf-8"))
    headings = [place for place, (sign, _words) in enumerate(found) if sign == HEADING]
    assert [found[place][1] for place in headings] == ["What to look at", "What to write down"]
    assert headings[0] > 0
    assert all(found[place + 1][0] == ITEM for place in headings)
    assert len(page.read_text(encoding="utf-8").split()) < 150


def test_what_a_page_quotes_is_said_by_the_program() -> None:
    said = [words.casefold() for each in sayings() for words in (each.words, each.many)]
    wrong = [
        f"{name(page)}: {quoted}"
        for page in PAGES
        for quoted in re.findall("“([^”]*)”", page.read_text(encoding="utf-8"))
        if quoted not in TYPED and not is_said(quoted.rstrip(" .…"), said)
    ]
    assert not wrong, "\n".join(["no button, page or word is called this:", *wrong])


def test_a_quoted_button_that_is_not_there_is_found_out() -> None:
    said = ["more …", "undo"]
    assert is_said("more", said)
    assert not is_said("mor", said)
    assert not is_said("Delete", said)


def is_said(quoted: str, said: list[str]) -> bool:
    """Whether a text of the program is this, or begins with it; three words and more may stand within one."""
    sought = re.compile(rf"(?<!\w){re.escape(quoted.casefold())}(?!\w)")
    look = sought.search if len(quoted.split()) > 2 else sought.match
    return any(look(words) for words in said)
