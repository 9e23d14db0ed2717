"""A command says in one line on standard error that this computer's clock can't be right."""

import json
from contextlib import closing
from pathlib import Path

import pytest

from carelog.app.clock import SystemClock
from carelog.app.reckoning import Reckoning, this_boot
from carelog.domain.moment import DAY_24_H, HOUR
from carelog.paths import default_places
from tests.journeys.household import carelog
from tests.store.making import opened


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record, on a computer of its own: no other test sees its clock."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    found = tmp_path / "a.carelog"
    words = ["person", "name=Odette Farrow", "home_zone=Europe/London", "--by", "LR"]
    assert carelog("add", "--record", str(found), *words).status == 0
    return found


def set_back(days: int) -> None:
    """As if something had been written here so many days from now: the clock was set back since."""
    file = default_places().clock
    kept = json.loads(file.read_text())
    file.write_text(json.dumps({**kept, "written": SystemClock().now() + days * DAY_24_H}))


@pytest.mark.parametrize("command", [["due"], ["flags", "--json"], ["check"], ["add", "mouth_care"]])
def test_a_clock_before_what_was_written_here_is_named_in_one_line(record: Path, command: list[str]) -> None:
    name, *rest = command
    right = carelog(name, "--record", str(record), *rest)
    assert right.err == ""
    set_back(365)
    answer = carelog(name, "--record", str(record), *rest)
    assert answer.status == 0
    assert len(answer.err.splitlines()) == 1
    assert "check the computer's date" in answer.err


def test_an_entry_by_a_command_stands_where_the_time_was_last_known_and_is_asked_about(record: Path) -> None:
    shown = SystemClock().now()
    set_back(365)
    answer = carelog("add", "--record", str(record), "mouth_care")
    assert "The window will ask for the time and move it." in answer.err
    kept = json.loads(default_places().clock.read_text())
    assert list(kept["owed"]) == [answer.out.strip()]
    with closing(opened(record)) as found:
        saved = found.newest("mouth_care", 1)[0]
    assert abs(saved.at.instant - shown - 365 * DAY_24_H) < HOUR
    reckoning = Reckoning(SystemClock(), default_places().clock, boot=this_boot())
    reckoning.settle(SystemClock().now())
    ((_, moved),) = reckoning.owed().items()
    assert abs(saved.at.instant + moved - shown) < HOUR


def test_flags_are_read_as_of_what_was_last_written_where_the_clock_is_behind_it(record: Path) -> None:
    """By the clock alone nothing was written yet, and nothing would be flagged."""
    words = ["suction", "blood=fresh", "route=tracheal", "colour=red", "amount=small", "--by", "LR"]
    assert carelog("add", "--record", str(record), *words).status == 0
    right = json.loads(carelog("flags", "--record", str(record), "--json").out)
    assert [each["rule"] for each in right] == ["blood"]
    file = default_places().clock
    kept = json.loads(file.read_text())
    shift = 365 * DAY_24_H  # the clock shows a year less than what is reckoned with
    file.write_text(json.dumps({**kept, "offset": -shift, "shown": SystemClock().now()}))
    behind = carelog("flags", "--record", str(record), "--json")
    assert "check the computer's date" in behind.err
    assert [each["rule"] for each in json.loads(behind.out)] == ["blood"]


def test_an_import_of_what_a_fast_clock_wrote_is_no_reason_to_doubt(record: Path, tmp_path: Path) -> None:
    out, other = tmp_path / "out.jsonl", tmp_path / "other.carelog"
    assert carelog("export", str(out), "--record", str(record)).status == 0
    heading, *lines = out.read_text().splitlines()
    ahead = json.loads(lines[0]) | {"id": "", "recorded_at": "2090-01-01T00:00:00+00:00"}
    ahead.pop("id")
    out.write_text("\n".join([heading, *lines, json.dumps(ahead)]) + "\n")
    assert carelog("import", str(out), "--record", str(other)).status == 0
    assert carelog("due", "--record", str(other)).err == ""
