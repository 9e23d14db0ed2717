"""The flags of four weeks and of each rule, as they are read: headline and reason together."""

import contextlib
import io
import json
from pathlib import Path

import pytest

from carelog.analysis.rules.table import RULES
from carelog.main import main
from tests.flags.story import Story
from tests.flags.test_rules import CASES
from tests.words.grade import grade, hardest

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "four-weeks.jsonl"
HIGHEST = 6.0
CASES_A_RULE = 4


@pytest.fixture(scope="module")
def texts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """What each rule said in the example's weeks."""
    record = str(tmp_path_factory.mktemp("record") / "four-weeks.carelog")
    assert main(["import", str(EXAMPLE), "--record", record]) == 0
    with contextlib.redirect_stdout(io.StringIO()) as answer:
        span = ["--from", "2026-09-01T00:00+00:00", "--to", "2027-01-01T00:00+00:00"]
        assert main(["flags", "--record", record, *span, "--json"]) == 0
    found: dict[str, list[str]] = {}
    for flag in json.loads(answer.getvalue()):
        found.setdefault(flag["rule"], []).append(f"{flag['headline']} {flag['why']}".strip())
    return found


def test_every_flag_is_easy_to_read(texts: dict[str, list[str]]) -> None:
    assert len(texts) > 10
    hard = [
        f"{rule} ({grade(each):.1f}): {each} {hardest(each, 1)}"
        for rule, said in texts.items()
        for each in said
        if grade(each) > HIGHEST
    ]
    assert not hard, "\n".join(["", *hard])


def test_the_flags_of_every_rule_are_easy_to_read() -> None:
    households: dict[str, list[list[str]]] = {}
    for rule, lines, expected in CASES.values():
        told = households.setdefault(rule, [])
        if expected and len(told) < CASES_A_RULE:
            told.append(lines)
    assert set(households) >= {rule.name for rule in RULES if not rule.by_statistics}
    hard = [
        f"{rule} ({grade(words):.1f}): {words}"
        for rule, told in households.items()
        for lines in told
        for flag in Story().tell(*lines).flags(rule)
        if grade(words := f"{flag.headline} {flag.why}") > HIGHEST
    ]
    assert not hard, "\n".join(["", *hard])


def test_a_headline_and_its_reason_are_sentences(texts: dict[str, list[str]]) -> None:
    assert [each for said in texts.values() for each in said if not each.endswith((".", "?", "”"))] == []


def test_no_flag_says_that_it_is_over_or_what_to_do(texts: dict[str, list[str]]) -> None:
    said = " ".join(each for rule in texts.values() for each in rule).casefold()
    assert not [words for words in ("cleared", "all is well", "you should", "add air") if words in said]
