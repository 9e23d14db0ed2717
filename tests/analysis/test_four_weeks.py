"""What must be found in four weeks of an invented household, flags apart."""

from carelog.analysis.due import dues
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.kit import kit
from carelog.analysis.people import contacts, person, recorders
from carelog.domain.moment import HOUR, Moment
from tests.loading import expected, load

ENTRIES = load("four-weeks.jsonl")
READING = Reading(ENTRIES)
FACTS = expected("four-weeks.expected.json")["facts"]
END = Moment.read("2026-10-26T09:00:00Z").instant


def held(identity: str) -> Held:
    found = READING.get(identity)
    assert found is not None
    return found


def test_every_entry_that_a_fact_names_is_here() -> None:
    known = {entry.id for entry in ENTRIES}
    names = [
        value
        for fact in FACTS.values()
        for value in (fact.values() if isinstance(fact, dict) else [fact])
        if len(value) == 36 and value.count("-") == 4
    ]
    assert len(names) > 25
    assert set(names) <= known


def test_two_entries_at_the_same_local_time_are_an_hour_apart() -> None:
    summer, winter = held(FACTS["fold_summer"]), held(FACTS["fold_winter"])
    clocks = [f"{READING.home.local(each.time):%d %H:%M}" for each in (summer, winter)]
    assert clocks == ["25 01:30", "25 01:30"]
    assert winter.time - summer.time == HOUR


def test_a_reading_amended_from_52_to_25_is_known_as_each_in_its_time() -> None:
    fact = FACTS["amended_high"]
    raised, cleared = (Moment.read(fact[name]).instant for name in ("raised_by", "cleared_by"))
    before, after = Reading(ENTRIES, raised).get(fact["first"]), held(fact["first"])
    assert before is not None
    assert (before.entry.details["value"], before.corrected) == (52, False)
    assert (after.entry.details["value"], after.corrected) == (25, True)
    assert raised < after.known <= cleared


def test_hostile_words_stay_as_they_were_typed() -> None:
    assert FACTS["hostile_text"] in held(FACTS["hostile_note"]).entry.note


def test_an_entry_from_paper_is_late_by_its_own_time() -> None:
    paper = held(FACTS["paper"])
    home = READING.home
    assert (paper.entry.source, paper.written_late) == ("paper", True)
    assert [f"{home.local(each):%H:%M}" for each in (paper.time, paper.known)] == ["22:40", "08:20"]


def test_the_household_is_who_it_says_it_is() -> None:
    assert READING.home.name == "Europe/London"
    assert person(READING).name == "Tobias Fennimore"
    roles = {each.entry.details.get("for") for each in contacts(READING)}
    assert roles == {"team", "supplies", "emergency", "power", "family", "night"}
    assert {"MO", "LR", "ID"} <= {each.entry.details["initials"] for each in recorders(READING)}


def test_the_kit_at_the_end_is_counted_by_hand() -> None:
    found = kit(READING, END).json()
    assert (found["tube"]["age_days"], found["tube"]["next_due"]) == (28, "2026-10-23")
    assert found["catheter_fr"] == {"rule_a": 8, "rule_b": 8, "suggested": 8, "prescribed": None}
    used = [each.entry for each in READING.of("suction") if each.entry.details.get("catheter_fr") == 10]
    counts = [each for each in READING.of("stock") if each.entry.details["item"] == "suction catheter 10 Fr"]
    last = counts[-1]
    assert "count" in last.entry.details
    since = sum(entry.details.get("passes", 1) for entry in used if entry.at.instant > last.time)
    shown = {each["item"]: each for each in found["supplies"]}
    assert shown["suction catheter 10 Fr"]["count"] == last.entry.details["count"] - since


def test_the_dues_at_the_end_are_those_of_the_plan() -> None:
    found = dues(READING, END)
    plan = READING.of("plan")[-1].entry.details
    assert {due.kind for due in found} == {task["kind"] for task in plan["tasks"]}
    for due in found:
        doings = [
            each.time
            for each in READING.of(due.kind)
            if each.entry.details.get("outcome") != "stuck"
            and all(each.entry.details.get(name) == value for name, value in due.where.items())
        ]
        assert due.last_at == max(doings)
