"""No rule asks for entries of a longer span than it declares, whether or not there are any."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from carelog.analysis.flags import replay
from carelog.analysis.flags.ledger import Shelf
from carelog.analysis.flags.period import flags
from carelog.analysis.in_force import Held
from carelog.analysis.rules.table import ROWS
from carelog.analysis.rules.tracker import Row
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, Instant
from tests.flags.story import LONG_AGO, Story, clock
from tests.flags.test_past import LONG, row
from tests.flags.test_rules import CASES

BETWEEN = Shelf.between
ALWAYS = ("stoma_worse", "temperature", "nothing_recorded")
"""The replay doesn't go without these; they ask for no span."""


def longest(asking: Row, households: Sequence[Sequence[Entry]], monkeypatch: pytest.MonkeyPatch) -> Instant:
    """The longest span that a rule asks for in some households; 0 for none."""
    asked = [0]

    def between(shelf: Shelf, start: Instant, end: Instant) -> Sequence[Held]:
        asked.append(end - start)
        return BETWEEN(shelf, start, end)

    beside = [each for each in ROWS if each[0].name in ALWAYS and each[0] is not asking[0]]
    monkeypatch.setattr(replay, "ROWS", (*beside, asking))
    monkeypatch.setattr(Shelf, "between", between)
    for entries in households:
        flags(entries, LONG_AGO, clock("61 00:00"))
    monkeypatch.undo()
    return max(asked)


def test_no_rule_asks_for_a_longer_span_than_it_looks_back(monkeypatch: pytest.MonkeyPatch) -> None:
    found: dict[str, Instant] = {}
    for asking in ROWS:
        told = [Story().tell(*lines).entries for rule, lines, _ in CASES.values() if rule == asking[0].name]
        found[asking[0].name] = longest(asking, told, monkeypatch)
    assert any(found.values())
    assert [rule.name for rule, _ in ROWS if found[rule.name] > rule.looks_back] == []


def test_one_that_does_is_found_by_a_single_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: half a year asked for, a day declared."""
    entries = Story().tell("2 08:00 suction saline=true").entries
    assert longest(row(LONG), [entries], monkeypatch) <= LONG.looks_back
    short = replace(LONG, looks_back=DAY_24_H)
    assert longest(row(short), [entries], monkeypatch) > short.looks_back
