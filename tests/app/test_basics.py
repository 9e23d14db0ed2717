"""Answers about the basics become one entry a subject, amended, and never rivals of one another."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.analysis.in_force import Reading
from carelog.analysis.people import person
from carelog.analysis.plans import plans
from carelog.app.basics.answers import (
    Answer,
    say_again,
    say_new,
    say_person,
    say_plan,
    strike,
    with_limit,
    with_task,
    with_value,
)
from carelog.app.basics.questions import QUESTIONS, STEPS
from carelog.app.logbook import Logbook
from carelog.domain.entry import Entry, Json
from carelog.domain.moment import DAY_24_H, HOUR
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from tests.app.books import Desk, Hand, Ids, desk_in
from tests.ui.household import Memory

FACTS = st.fixed_dictionaries(
    {},
    optional={
        "born": st.sampled_from(["1961-02-03", "2019-02-03", None]),
        "upper_airway": st.sampled_from(["open", "none", None]),
        "helped_by": st.sampled_from(["nothing", "oxygen", None]),
    },
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with desk_in(tmp_path) as desk:
        yield desk


def said(desk: Desk, answer: Answer, by: str = "AM") -> list[Entry]:
    """An answer, saved."""
    return list(answer(desk.book, desk.record, by))


@given(st.lists(FACTS, max_size=6))
def test_what_was_said_last_about_the_person_counts_and_what_was_not_said_stays(
    answers: list[dict[str, Json]],
) -> None:
    record, expected = Memory(), dict[str, Json](name="Odile Marrow")
    book = Logbook(record, Hand(), Ids())
    say_person({"name": "Odile Marrow"})(book, record, "AM")
    for facts in answers:
        say_person(facts)(book, record, "AM")
        expected |= facts
    reading = Reading(record.everything())
    assert dict(person(reading).details) == {n: v for n, v in expected.items() if v is not None}
    assert len(reading.of("person")) == 1
    assert not [held for held in reading.held if held.rivals]


def test_a_fact_that_an_older_entry_gave_too_is_no_longer_told_once_it_is_taken_back(desk: Desk) -> None:
    desk.book.record("person", {"name": "Odile Marrow", "upper_airway": "open"}, "AM")
    desk.clock.instant += HOUR
    desk.book.record("person", {"name": "Odile Marrow", "upper_airway": "none", "born": "1961-02-03"}, "AM")
    said(desk, say_person({"upper_airway": None}))
    assert dict(person(desk.reading()).details) == {"name": "Odile Marrow", "born": "1961-02-03"}


def test_taking_a_number_out_takes_all_its_changes_along(desk: Desk) -> None:
    (first,) = said(desk, say_new("contact", {"role": "Team", "phone": "555-0100", "for": "team"}))
    (changed,) = said(desk, say_again(first.id, {"phone": "555-0101"}))
    assert desk.held(first).entry.details["phone"] == "555-0101"
    assert len(said(desk, strike(changed.id))) == 2
    assert list(desk.reading().of("contact")) == []
    with pytest.raises(Refused):
        said(desk, say_again(first.id, {"phone": "555-0102"}))


def test_a_sentence_changes_its_own_task_or_limit_and_nothing_else_of_the_plan(desk: Desk) -> None:
    task = {"kind": "humidity", "where": {"device": "hme"}}
    given_plan = {
        "tasks": [{**task, "times": ["08:00"], "grace_min": 30}, {"kind": "ties", "every_h": 24}],
        "limits": {
            "spo2_percent": {"low": 92, "urgent_low": 88},
            "cuff_pressure": {"high": 30, "unit": "cmH2O"},
        },
        "instructions": "as before",
    }
    said(desk, say_plan("Ward 4", lambda _plan: given_plan))
    said(desk, say_plan("Ward 4", with_task({**task, "every_h": 12})))
    said(desk, say_plan("Ward 4", with_limit("spo2_percent", {"low": 90})))
    said(desk, say_plan("Ward 4", with_limit("cuff_pressure", {"high": 22, "unit": "mmHg"})))
    said(desk, say_plan("Ward 4", with_value("catheter_fr", 12)))
    (plan,) = plans(desk.reading())
    assert plan.details == {
        "set_by": "Ward 4",
        "tasks": [{**task, "every_h": 12, "grace_min": 30}, {"kind": "ties", "every_h": 24}],
        "limits": {
            "spo2_percent": {"low": 90, "urgent_low": 88},
            "cuff_pressure": {"high": 22, "unit": "mmHg"},
        },
        "instructions": "as before",
        "catheter_fr": 12,
    }


def test_what_a_note_says_of_one_question_goes_alone_and_whole(desk: Desk) -> None:
    first, other = "Taken: the cuff 20 to 30", "Genommen: alle 8 h (Innenkanüle)"
    said(desk, say_plan("Ward 4", with_limit("cuff_pressure", {"high": 30, "unit": "cmH2O"}), first))
    said(desk, say_plan("Ward 4", with_task({"kind": "inner_tube", "every_h": 8}), other))
    said(desk, say_plan("Ward 4", with_value("catheter_fr", 12)))
    (plan,) = desk.reading().of("plan")
    assert plan.entry.note == f"{first}\n{other}"
    said(desk, say_plan("Ward 4", with_task({"kind": "inner_tube", "every_h": 6}), gone=[other]))
    (plan,) = desk.reading().of("plan")
    assert plan.entry.note == first


@pytest.mark.parametrize(("later", "by", "count"), [(HOUR, "AM", 1), (HOUR, "NB", 2), (DAY_24_H, "AM", 2)])
def test_only_what_one_person_says_within_a_day_makes_one_plan(
    desk: Desk, later: int, by: str, count: int
) -> None:
    said(desk, say_plan("Ward 4", with_value("catheter_fr", 12)))
    desk.clock.instant += later
    said(desk, say_plan("Ward 4", with_value("catheter_fr", 10)), by)
    found = plans(desk.reading())
    assert [each.details["catheter_fr"] for each in found] == [12, 10][-count:]


def test_each_question_asks_for_fields_that_its_kind_has_and_each_step_has_one() -> None:
    assert {each.step for each in QUESTIONS} == set(range(1, len(STEPS) + 1))
    for each in QUESTIONS:
        kind = named_or_unknown(each.kind)
        assert [name for name in each.fields if kind.field(name) is None] == []
