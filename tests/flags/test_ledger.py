"""What is in force says the same, read of all entries at once or taken in as they become known."""

from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.replay import groups
from carelog.analysis.home import home_of
from carelog.analysis.in_force import Reading, order_of
from carelog.analysis.plans import plans
from carelog.analysis.recorded import recorded_days
from carelog.domain.entry import Entry
from carelog.kinds import ALL
from tests.flags.households import household
from tests.strategies import entries as every_kind
from tests.ui.household import Memory


def ledger_of(entries: list[Entry]) -> Ledger:
    """Everything taken in, moment by moment."""
    ledger = Ledger()
    for known, group in groups(entries):
        ledger.moves_home(ledger.take(group, known))
    return ledger


def check(entries: list[Entry]) -> None:
    """All that both say is the same, and so is the home zone that is found in the file."""
    ledger, reading = ledger_of(entries), Reading(entries)
    assert sorted(ledger.held.values(), key=order_of) == sorted(reading.held, key=order_of)
    assert all(list(ledger.of(kind.name)) == list(reading.of(kind.name)) for kind in ALL)
    assert ledger.plans == plans(reading)
    assert ledger.home.name == reading.home.name == home_of(Memory(entries=entries)).name
    assert ledger.days == sorted(recorded_days(reading.home, reading.held))


@pytest.mark.parametrize("seed", range(6))
def test_of_a_household(seed: int) -> None:
    entries = household(Random(seed), 150, 20)
    assert any(each.amends for each in entries)
    check(entries)


@settings(max_examples=25, suppress_health_check=list(HealthCheck))
@given(entries=st.lists(every_kind, max_size=8, unique_by=lambda each: each.id))
def test_of_whatever_is_written(entries: list[Entry]) -> None:
    check(entries)
