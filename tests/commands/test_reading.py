"""`due`, `flags`, `kit`: the shape of their answers, their periods, and another plan."""

import json
import pickle
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, TUBE, Household, carelog

LIMITS = DAY_PLAN["limits"]


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/Paris")
    home.write("1 08:01", "tube_change", **TUBE)
    tasks = [
        {"kind": "mouth_care", "every_h": 8},
        {"kind": "humidity", "where": {"device": "hme"}, "every_h": 2},
    ]
    home.write("1 08:02", "plan", set_by="a nurse", tasks=tasks, limits=LIMITS)
    home.write("2 08:00", "mouth_care", _by="AB")
    home.write("2 09:00", "cuff_pressure", value=40, unit="cmH2O")
    return home.record()


def ask(record: Path, *words: str) -> Any:
    """The JSON answer of a command."""
    answer = carelog(words[0], "--record", str(record), *words[1:], "--json")
    assert (answer.status, answer.err) == (0, "")
    return json.loads(answer.out)


def test_dues_have_their_keys_in_order_and_home_times(record: Path) -> None:
    found = ask(record, "due", "--at", "2026-11-02T09:30:00.9+00:00")
    assert [list(each) for each in found] == [["kind", "where", "due_at", "state", "last_at", "why"]] * 2
    assert [each["due_at"] for each in found] == ["2026-11-01T11:02:00+01:00", "2026-11-02T17:00:00+01:00"]
    assert found[0]["where"] == {"device": "hme"}
    assert (found[0]["state"], found[0]["last_at"]) == ("late", None)
    assert (found[1]["where"], found[1]["state"]) == ({}, "later")
    assert found[1]["last_at"] == "2026-11-02T09:00:00+01:00"


def test_a_moment_is_answered_by_what_was_known_then(record: Path) -> None:
    (_, mouth_care) = ask(record, "due", "--at", "2026-11-02T08:59:59")
    assert mouth_care["last_at"] is None
    assert ask(record, "due", "--at", "2026-11-01T08:00Z") == []
    assert ask(record, "kit", "--at", "2026-11-01T08:00Z")["tube"] is None
    assert ask(record, "kit", "--at", "2026-11-03")["tube"]["age_days"] == 2


def test_without_a_moment_it_is_now(record: Path) -> None:
    assert {each["kind"] for each in ask(record, "due")} == {"mouth_care", "humidity"}
    assert ask(record, "kit")["tube"]["id_mm"] == 8
    assert isinstance(ask(record, "flags"), list)


FLAG = [
    "rule",
    "subject",
    "level",
    "raised_at",
    "cleared_at",
    "cleared_by",
    "headline",
    "why",
    "entries",
    "seen",
]


def test_flags_have_their_keys_and_end_with_their_period(record: Path) -> None:
    found = ask(record, "flags", "--from", "2026-11-02", "--to", "2026-11-03")
    assert all(list(each) == FLAG for each in found)
    assert [each["raised_at"] for each in found] == sorted(each["raised_at"] for each in found)
    (cuff,) = [each for each in found if each["rule"] == "cuff_high"]
    assert (cuff["raised_at"], cuff["subject"], cuff["level"]) == ("2026-11-02T10:00:00+01:00", None, "call")
    assert (cuff["cleared_at"], cuff["cleared_by"], cuff["seen"]) == (None, None, [])
    assert len(cuff["entries"]) == 1
    late = {each["subject"] for each in found if each["rule"] == "overdue"}
    assert late == {"humidity:hme", "mouth_care"}
    before = ask(record, "flags", "--from", "2026-11-02", "--to", "2026-11-02T09:00Z")
    assert "cuff_high" not in [each["rule"] for each in before]
    after = ask(record, "flags", "--from", "2026-11-02", "--to", "2026-11-02T09:00:01Z")
    assert "cuff_high" in [each["rule"] for each in after]


def test_the_usual_period_is_the_last_seven_days(record: Path, tmp_path: Path) -> None:
    assert carelog("add", "--record", str(record), "suction", "blood=fresh").status == 0
    assert [each["rule"] for each in ask(record, "flags") if each["level"] == "urgent"] == ["blood"]
    ends = ask(record, "flags", "--to", "2026-11-03")
    assert "cuff_high" in [each["rule"] for each in ends]
    assert ask(record, "flags", "--to", "2026-10-31") == []


def plan(folder: Path, **details: Any) -> str:
    """A file with a plan's details."""
    file = folder / "plan.json"
    file.write_text(json.dumps(details), "utf-8")
    return str(file)


def test_another_plan_answers_what_it_would_have_meant(record: Path, tmp_path: Path) -> None:
    other = plan(tmp_path, set_by="what if", tasks=[{"kind": "mouth_care", "every_h": 1}])
    found = ask(record, "due", "--at", "2026-11-02T09:30Z", "--plan", other)
    assert [(each["kind"], each["due_at"], each["state"]) for each in found] == [
        ("mouth_care", "2026-11-02T10:00:00+01:00", "due")
    ]
    higher = {"cuff_pressure": {"low": 20, "high": 45, "unit": "cmH2O"}}
    period = ["--from", "2026-11-02", "--to", "2026-11-03"]
    found = ask(record, "flags", *period, "--plan", plan(tmp_path, set_by="what if", limits=higher))
    assert "cuff_high" in [each["rule"] for each in ask(record, "flags", *period)]
    assert "cuff_high" not in [each["rule"] for each in found]
    assert "overdue" not in [each["rule"] for each in found]


def test_a_plan_without_from_begins_where_the_one_it_replaces_began(record: Path, tmp_path: Path) -> None:
    task = {"kind": "box_check", "every_h": 12}
    at = ["--at", "2026-11-01T21:30Z"]
    (since_then,) = ask(record, "due", *at, "--plan", plan(tmp_path, set_by="x", tasks=[task]))
    assert (since_then["due_at"], since_then["state"]) == ("2026-11-01T21:02:00+01:00", "late")
    own = plan(tmp_path, set_by="x", tasks=[task], **{"from": "2026-11-01T20:00:00+00:00"})
    (later,) = ask(record, "due", *at, "--plan", own)
    assert later["due_at"] == "2026-11-02T09:00:00+01:00"


BAD_PLANS = {
    "not there": (None, 1, "can't be read"),
    "not JSON": ("{", 1, "isn't JSON"),
    "a list": ("[]", 2, "must hold the details of a plan"),
    "a name twice": ('{"set_by": "a", "set_by": "b"}', 1, "isn't JSON"),
    "no plan": ("{}", 1, "set_by is missing"),
    "two rhythms": (
        '{"set_by": "a", "tasks": [{"kind": "ties", "every_h": 1, "times": ["08:00"]}]}',
        1,
        "every_h or times",
    ),
    "not a number": ('{"set_by": "a", "lead_days": NaN}', 1, "isn't a number"),
}


@pytest.mark.parametrize(("content", "status", "words"), BAD_PLANS.values(), ids=BAD_PLANS)
def test_a_file_that_is_no_plan_is_one_sentence(
    content: str | None, status: int, words: str, record: Path, tmp_path: Path
) -> None:
    file = tmp_path / "bad.json"
    if content is not None:
        file.write_text(content, "utf-8")
    for command in ("due", "flags"):
        answer = carelog(command, "--record", str(record), "--plan", str(file))
        assert (answer.status, answer.out) == (status, "")
        assert words in answer.err
        assert answer.err.count("\n") == 1


@pytest.mark.parametrize("command", ["due", "flags", "kit"])
def test_an_empty_record_has_an_answer(command: str, tmp_path: Path) -> None:
    path = Household(tmp_path).record()
    answer = carelog(command, "--record", str(path), "--json")
    assert answer.status == 0
    assert json.loads(answer.out) is not None
    told = carelog(command, "--record", str(path))
    assert (told.status, told.err) == (0, "")
    assert told.out.strip()
    assert "all is well" not in told.out.lower()


def test_lines_for_people_say_states_and_levels_in_words(record: Path) -> None:
    dues = carelog("due", "--record", str(record), "--at", "2026-11-02T09:30Z").out.splitlines()
    assert dues[0].startswith("overdue ")
    assert "(HME)" in dues[0]
    flags = carelog("flags", "--record", str(record), "--from", "2026-11-02", "--to", "2026-11-03").out
    assert "Speak to the team today: 2026-11-02T10:00:00+01:00" in flags


def kit_lines(record: Path, at: str) -> list[tuple[str, str]]:
    """The lines for people: each one's state and what it is about."""
    answer = carelog("kit", "--record", str(record), "--at", at)
    assert (answer.status, answer.err) == (0, "")
    rows = answer.out.splitlines()
    column = max(len(row.split("  ")[0]) for row in rows)
    assert all(row[column : column + 2] == "  " and row[column + 2] != " " for row in rows)
    return [(row[:column].strip(), row[column + 2 :]) for row in rows]


def test_the_kit_tells_people_first_what_is_missing_then_what_is_not_known(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 08:00", "tube_change", **TUBE, next_due="2026-11-10")
    present = ["spare_same", "ties", "dressing", "mask", "gel", "gloves", "scissors", "tube_details"]
    home.write("1 09:00", "box_check", present=present, opened=["catheters"], expiries={"gel": "2026-10"})
    home.write("1 09:01", "stock", item="HME", count=0)
    home.write("1 09:02", "stock", item="ties", count=20)
    found = kit_lines(home.record(), "2026-11-02T08:00")
    assert [state for state, _ in found] == [
        *("missing", "expired", "opened", "low"),
        *("not known", "recorded", "recorded", "recorded", "recorded", "recorded"),
    ]
    assert found[0][1] == "Spare-tube box: spare tube, smaller, 10 mL syringe."
    assert found[3][1] == "HME: 0 left; no use recorded, so days left are not known."
    assert "the plan gives no size" in found[4][1]
    assert not any("{" in text or "_" in text or "null" in text for _, text in found)
    assert ("overdue", "Tube change: 10\N{NO-BREAK SPACE}November\N{NO-BREAK SPACE}2026.") in kit_lines(
        home.record(), "2026-11-11T08:00"
    )


def test_a_box_checked_before_the_tube_in_place_is_told_as_not_checked(tmp_path: Path) -> None:
    home = Household(tmp_path)
    home.write("1 08:00", "box_check", present=["ties"])
    home.write("1 09:00", "tube_change", **TUBE)
    states = dict(reversed(kit_lines(home.record(), "2026-11-02T08:00")))
    assert "no check since the tube in place was placed" in states["not checked"]
    assert not any("last check" in text and "nothing recorded" in text for text in states.values())


def test_of_an_empty_record_every_line_of_the_kit_says_not_known(tmp_path: Path) -> None:
    found = kit_lines(Household(tmp_path).record(), "2026-11-02T08:00")
    assert {state for state, _ in found} == {"not known"}
    assert len(found) == 5


def test_a_period_that_is_empty_is_refused(record: Path) -> None:
    answer = carelog("flags", "--record", str(record), "--from", "2026-11-03", "--to", "2026-11-02")
    assert answer.status == 2
    assert "before it begins" in answer.err


def test_an_unclear_time_is_refused_with_both_readings(record: Path) -> None:
    answer = carelog("due", "--record", str(record), "--at", "2026-10-25T02:30")
    assert answer.status == 2
    assert "2026-10-25T02:30:00+02:00" in answer.err
    assert "2026-10-25T02:30:00+01:00" in answer.err


def test_a_file_beside_the_record_is_neither_read_nor_touched(record: Path, tmp_path: Path) -> None:
    """What an earlier version kept there could name any class, and so empty any file."""
    victim, beside = tmp_path / "victim", record.with_name(f"{record.name}.flags")
    victim.write_text("still here")
    kept = b"1 x\n" + pickle.dumps(Emptying(str(victim)), protocol=4)
    beside.write_bytes(kept)
    before = ask(record, "flags")
    assert victim.read_text() == "still here"
    assert beside.read_bytes() == kept
    beside.unlink()
    assert ask(record, "flags") == before


class Emptying:
    """Pickled, it opens a file for writing when it is read."""

    def __init__(self, path: str) -> None:
        self.path = path

    def __reduce__(self) -> tuple[Any, ...]:
        return open, (self.path, "w")


def test_another_plan_is_told_in_a_sentence_and_what_differs_a_line_each(
    record: Path, tmp_path: Path
) -> None:
    other = plan(tmp_path, set_by="what if", tasks=[{"kind": "mouth_care", "every_h": 1}])
    answer = carelog("flags", "--record", str(record), "--plan", other)
    assert answer.status == 0, answer.err
    first, *lines = answer.out.splitlines()
    assert first.startswith("Under this plan, in the last 14 days: ")
    assert all("; as it was: " in line for line in lines[:-1])
    assert lines[-1].startswith("Worked out from what was recorded.")
