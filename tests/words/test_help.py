"""The help pages: plain words, a simple form, and what each must say."""

import re
from pathlib import Path

import pytest

from carelog.ui.help.page import INTRODUCTION, TOPICS, topic_text
from carelog.ui.help.paragraphs import HEADING, ITEM, PLAIN, paragraphs
from carelog.ui.help.rules import rules
from carelog.ui.keys import KEYS
from tests.words.grade import grade, hardest

FOLDER = Path(__file__).resolve().parents[2] / "resources" / "help"
PAGES = sorted(FOLDER.glob("*.md"))
HIGHEST = 6.0
DEFERS = ("what_it_is_not", "board", "flags", "rules", "emergency", "help")
"""Pages on which somebody may look for help in an emergency."""


def name(page: Path) -> str:
    return page.stem


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_a_page_is_easy_to_read(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert 0 < grade(text) <= HIGHEST, f"{page.name}: {grade(text):.1f}, hardest {hardest(text)}"


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
    assert {page.stem for page in PAGES} == {topic for topic, _words in TOPICS} | {INTRODUCTION}
    assert all(topic_text(topic) for topic, _words in TOPICS)


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
