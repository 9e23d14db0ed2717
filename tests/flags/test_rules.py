"""Each rule of care on small households: raised when, how serious, ended when and by what."""

import pytest

from carelog.analysis.flags.period import flags
from carelog.analysis.rules.table import RULES
from tests.flags.cases import airway, cuff, kit, night, readings, rest, stock, stoma, time, tube
from tests.flags.cases.case import Case
from tests.flags.story import LONG_AGO, Story, told

TABLES = (airway, cuff, kit, night, readings, rest, stock, stoma, time, tube)
CASES: dict[str, Case] = {name: case for table in TABLES for name, case in table.CASES.items()}


@pytest.mark.parametrize("name", CASES)
def test_a_household_has_these_flags(name: str) -> None:
    rule, lines, expected = CASES[name]
    story = Story().tell(*lines)
    assert [told(flag) for flag in story.flags(rule)] == expected


@pytest.mark.parametrize("name", CASES)
def test_the_moment_before_at_and_after_raising_and_ending(name: str) -> None:
    rule, lines, expected = CASES[name]
    story = Story().tell(*lines)
    found = story.flags(rule)
    assert len(found) == len(expected)
    for number, flag in enumerate(found):
        for end in (flag.raised_at, flag.raised_at + 1):
            begun = sum(other.raised_at < end for other in found)
            assert len(story.flags(rule, until=end)) == begun
        if flag.cleared_at is None:
            continue
        at_its_end = story.flags(rule, until=flag.cleared_at)[number]
        assert (at_its_end.cleared_at, at_its_end.cleared_by, at_its_end.ended) == (None, None, "")
        just_after = story.flags(rule, until=flag.cleared_at + 1)[number]
        assert just_after.cleared_at == flag.cleared_at
        assert just_after.ended
        later = [(each.subject, each.raised_at) for each in story.flags(rule, since=flag.cleared_at)]
        sooner = [(each.subject, each.raised_at) for each in story.flags(rule, since=flag.cleared_at - 1)]
        assert (flag.subject, flag.raised_at) not in later
        assert (flag.subject, flag.raised_at) in sooner


def test_every_rule_on_what_was_written_is_raised_by_some_case() -> None:
    raised = {rule for rule, _, expected in CASES.values() if expected}
    quiet = {rule for rule, _, expected in CASES.values() if not expected}
    written = {rule.name for rule in RULES if not rule.by_statistics}
    assert written - raised == set()
    assert written - quiet - {"incident"} == set()


def test_a_household_is_looked_at_until_its_last_entry_is_over_however_late() -> None:
    story = Story().tell("200 08:00 observations temperature_c=39")
    assert [told(flag) for flag in story.flags("temperature")] == ["call 200 08:00.."]


def test_nothing_at_all_shows_nothing() -> None:
    assert flags([], LONG_AGO, LONG_AGO + 1) == []
