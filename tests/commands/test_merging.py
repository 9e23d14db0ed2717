"""An import says what it did: whose entries came, what changed through them, and what is to be chosen."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, Household, carelog


def ago(hours: float) -> str:
    """A time so many hours before now, as a household writes it down."""
    moment = datetime.now(UTC) - timedelta(hours=hours)
    return moment.isoformat(timespec="seconds")


def at(home: Household, hours: float, kind: str, **details: Any) -> str:
    """An entry of so many hours ago; its id."""
    identity = home.write("1 08:00", kind, **details)
    home.lines[-1].update(at=ago(hours), recorded_at=ago(hours))
    return identity


@pytest.fixture
def home(tmp_path: Path) -> Household:
    """A household with a record on this computer, and what another computer wrote since."""
    home = Household(tmp_path)
    at(home, 90, "person", name="Odette Farrow", home_zone="Europe/London")
    at(home, 80, "plan", **{**DAY_PLAN, "set_by": "Nell"})
    return home


def merged(home: Household, record: Path) -> str:
    """What the import of all that the household has answers."""
    file = home.folder / "more.jsonl"
    other = home.record()
    assert carelog("export", str(file), "--record", str(other)).status == 0
    answer = carelog("import", str(file), "--record", str(record))
    assert (answer.status, answer.err) == (0, "")
    return answer.out


def test_who_wrote_how_much_of_what_is_said(home: Household) -> None:
    record = home.record()
    for initials, kind in (("AB", "mouth_care"), ("AB", "mouth_care"), ("CD", "mouth_care"), ("AB", "note")):
        at(home, 5, kind, _by=initials, _note="x")
    out = merged(home, record)
    assert "4 entries were added, 2 already there." in out
    assert "3 entries by AB: Mouth care 2, Note 1.\n" in out
    assert "1 entry by CD: Mouth care 1.\n" in out


def test_a_plan_that_changed_through_it_is_said_from_whom_to_whom(home: Household) -> None:
    record = home.record()
    at(home, 5, "plan", **{**DAY_PLAN, "set_by": "Dr Amsel"})
    out = merged(home, record)
    assert "Set by Nell before, by Dr Amsel from " in out
    at(home, 4, "mouth_care")
    assert "care plan" not in merged(home, record)  # the control


def test_flags_that_began_and_ended_through_it_are_said(home: Household) -> None:
    at(home, 9, "cuff_pressure", value=40, unit="cmH2O")
    record = home.record()
    at(home, 5, "cuff_pressure", value=26, unit="cmH2O")
    at(home, 4, "suction", blood="fresh")
    out = merged(home, record)
    began, ended = (
        [line for line in out.splitlines() if line.startswith(start)]
        for start in ("Flag through it: ", "No flag any more through it: ")
    )
    assert any("red blood" in line for line in began)
    assert any("uff" in line for line in ended)
    at(home, 3, "mouth_care")
    assert "through it" not in merged(home, record)  # the control


def test_what_two_computers_changed_is_said(home: Household, tmp_path: Path) -> None:
    target = at(home, 9, "suction", colour="white")
    first = len(home.lines)
    home.change(target, "1 09:00", {"colour": "cream"}, at="1 08:00")
    home.lines[first].update(at=ago(9), recorded_at=ago(8))
    record = home.record()
    home.change(target, "1 09:00", {"colour": "yellow"}, at="1 08:00")
    home.lines[-1].update(at=ago(9), recorded_at=ago(7))
    out = merged(home, record)
    changed = datetime.now(UTC) - timedelta(hours=9)
    assert (
        f"Two computers changed Suction of {changed:%a}\N{NO-BREAK SPACE}{changed.day}\N{NO-BREAK SPACE}"
        in out
    )
    assert "Choose one on the page Two versions." in out


def test_another_computers_clock_that_is_hours_ahead_is_said(home: Household) -> None:
    record = home.record()
    at(home, -3, "mouth_care")
    assert "written 3 h ahead of this computer's clock" in merged(home, record)
    at(home, 1, "mouth_care")
    assert "clock" not in merged(home, record)  # the control


def test_a_first_import_says_only_whose_entries_came(home: Household, tmp_path: Path) -> None:
    at(home, 4, "suction", blood="fresh")
    out = merged(home, tmp_path / "new.carelog")
    assert "3 entries were added" in out
    assert "through it" not in out
