"""The hand-over tells a stranger what matters at once, and says of the rest that it isn't recorded."""

import re
import subprocess
import sys
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import Moment
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import entry, no_flags, running, sizes, texts
from tests.sheet.weeks import HOME, UNTIL, WEEKS

DAY = date(2026, 11, 20)
TUBE: dict[str, Any] = {
    "id_mm": 7.5,
    "od_mm": 10.5,
    "cuff": "air",
    "inner_tube": "reusable",
    "ease": "hard",
    "done_by": "Nell Tarrowby",
    "reason": "planned",
    "next_due": "2026-12-01",
}
PERSON: dict[str, Any] = {
    "name": "Odette Farrow",
    "born": "1961-05-09",
    "allergies": "latex",
    "upper_airway": "none",
    "helped_by": "ventilator_at_night",
    "communication": "writes",
    "swallow": "thickened drinks",
    "emergency_plan": "Ring the ward. Keep the box by the bed.",
}
PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "tasks": [{"kind": "ties", "every_h": 24}],
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
    "catheter_fr": 10,
}


def at(day: int, clock: str = "08:00") -> str:
    return f"2026-11-{day:02}T{clock}:00Z"


def household() -> list[Entry]:
    """A made-up household that wrote something of everything."""
    suction = {"colour": "yellow", "consistency": "thick", "vacuum": 20, "vacuum_unit": "kPa"}
    return [
        entry(1, at(1), "person", details=PERSON),
        entry(2, at(1), "contact", details={"role": "ward", "phone": "01632 960 118", "for": "team"}),
        entry(
            3, at(1), "contact", details={"role": "ambulance", "phone": "01632 960 999", "for": "emergency"}
        ),
        entry(4, at(1), "plan", details=PLAN),
        entry(5, at(2), "tube_change", details=TUBE, by="NT"),
        entry(6, at(3), "incident", details={"what": "tube_blocked", "called": "team"}),
        entry(7, at(4), "inner_tube", details={"outcome": "stuck"}),
        entry(8, at(10), "suction", details={"colour": "white"}),
        entry(9, at(19), "cuff_pressure", details={"value": 34, "unit": "cmH2O"}, by="CD"),
        entry(10, at(19), "suction", details=suction),
        entry(11, at(20), "suction", details={"colour": "yellow", "catheter_fr": 10}, by="CD"),
        entry(12, at(20), "stoma", details={"skin": "red"}),
        entry(13, at(20), "humidity", details={"device": "hme", "action": "changed"}),
        entry(14, at(20), "equipment_check", details={"device": "suction_machine", "works": True}),
        entry(15, at(20), "observations", details={"spo2_percent": 93}),
        entry(16, at(20), "question", note="Who orders the ties?"),
        entry(17, at(20), "valve", details={"action": "off"}),
        entry(18, at(20), "box_check", details={"missing": ["scissors"], "spare_same": {"id_mm": 7.5}}),
        entry(19, at(20), "note", details={"for_next": True}, note="Slept badly."),
        entry(20, at(21), "stoma", details={"skin": "broken"}),
    ]


def handover(entries: list[Entry], day: date = DAY, **more: Any) -> bytes:
    return make(SheetRequest(name="handover", day=day, **more), entries, find_flags=no_flags)


@cache
def whole() -> str:
    """All that the household's hand-over says."""
    return running(handover(household()))


def told(entries: list[Entry], **more: Any) -> str:
    return running(handover(entries, **more))


@pytest.mark.parametrize(
    "fact",
    [
        "Name Odette Farrow",
        "9 May 1961 age 65",
        "Allergies latex",
        "Can air pass by mouth and nose? No",
        "Helped by: a ventilator at night",
        "ID 7.5 mm, cuff air",
        "OD 10.5 mm",
        "Ring the ward. Keep the box by the bed.",
        "ambulance: 01632 960 999 ward: 01632 960 118 (the team)",
        "Inner tube: reusable; last: stuck, could not be removed, Wed 4 Nov 08:00, AB",
        "Cuff: air; found at 34 cmH2O, above 30 cmH2O, Thu 19 Nov 08:00, CD",
        "Speaking valve or cap: off, Fri 20 Nov 08:00, AB",
        "Last tube change: Mon 2 Nov 08:00; reason planned, ease hard, done by Nell Tarrowby",
        "Next change: due 1 December 2026",
        "spare of the same size ID 7.5 mm",
        "missing: ",
        "round-ended scissors",
        "Communication: writes",
        "Swallowing: thickened drinks",
        "Reason for the tracheostomy: not recorded",
        "Now: suctions Thu 19 Nov 1, Fri 20 Nov 1; colour yellow 2; thickness thick 1, not recorded 1",
        "rated by AB 1, CD 1",
        "As usual: 1 in all on one recorded day from Thu 5 Nov to Wed 18 Nov",
        "10 Fr in the plan; last used 10 Fr, Fri 20 Nov 08:00, CD",
        "Vacuum: 20 kPa, Thu 19 Nov 08:00, AB",
        "HME, changed Fri 20 Nov 08:00, AB",
        "skin red, Fri 20 Nov 08:00, AB",
        "SpO2 93 %",
        "Tube change: reason planned, ease hard",
        "Incident: tube blocked, called the team, AB",
        "Inner tube: stuck, could not be removed, AB",
        "cuff pressure 20 to 30 cmH2O",
        "Suction machine: works, Fri 20 Nov 08:00, AB",
        "Who orders the ties?",
        "Fri 20 Nov 08:00 AB: Slept badly.",
        "Came along (tick by hand)",
        "as at the end of 20 November 2026",
    ],
)
def test_each_fact_stands_on_it_with_when_and_by_whom(fact: str) -> None:
    assert fact in whole()


def test_a_day_of_the_past_shows_things_as_at_its_end() -> None:
    assert "skin broken" not in told(household())
    assert "skin broken, Sat 21 Nov 08:00, AB" in running(handover(household(), date(2026, 11, 21)))


def test_what_must_be_seen_first_is_in_the_largest_letters_and_in_the_first_third_of_the_page() -> None:
    pdf = handover(household())
    assert max(sizes(pdf)) > 2.5 * min(sizes(pdf))
    first = texts(pdf)[0]
    places = [
        first.index(words) for words in ("Odette", "latex", "No\n", "ID 7.5 mm", "Ring the ward", "Inner")
    ]
    assert places == sorted(places)


@pytest.mark.parametrize(("value", "words"), [("open", "Yes"), ("partly", "Partly"), ("none", "No")])
def test_the_airway_is_told_in_one_word(value: str, words: str) -> None:
    found = [entry(1, at(1), "person", details={"name": "O", "upper_airway": value})]
    assert f"Can air pass by mouth and nose? {words} Helped by: not recorded" in told(found)


def test_of_an_empty_record_everything_is_not_recorded_and_nothing_is_guessed() -> None:
    text = told([])
    for name in ("Born", "Allergies", "Can air pass by mouth and nose?", "Helped by:", "Tube in place"):
        assert f"{name} not recorded" in text
    for name in (
        "Cuff",
        "Inner tube",
        "Last tube change",
        "Now",
        "As usual",
        "Vacuum",
        "Machines",
    ):
        assert f"{name}: not recorded" in text
    assert "Catheter: size in the plan: not recorded" in text
    assert "your country's emergency number" in text
    assert "no contact recorded" in text
    assert re.search(r"\b(normal|well|fine|stable|clear)\b", text) is None


def test_a_tube_taken_out_for_good_a_foam_cuff_and_none_are_told_as_what_they_are() -> None:
    out = [*household(), entry(30, at(20, "09:00"), "decannulation")]
    assert "no tube: taken out for good Fri 20 Nov 09:00, AB" in told(out)
    foam = [entry(1, at(2), "tube_change", details=TUBE | {"cuff": "foam"})]
    assert "Cuff: foam; up or down: not recorded" in told(foam)
    assert "pressure not recorded" not in told(foam)
    none = [entry(1, at(2), "tube_change", details=TUBE | {"cuff": "none"})]
    assert "Cuff: no cuff" in told(none)


def test_of_a_tube_change_it_says_what_nobody_wrote_down_about_it() -> None:
    short = {name: TUBE[name] for name in ("id_mm", "cuff", "inner_tube")}
    text = told([entry(1, at(2), "tube_change", details=short)])
    assert "how hard it was: not recorded; by whom: not recorded" in text
    assert "Next change: not recorded" in text


def test_a_pressure_of_the_tube_before_isnt_told_as_this_tubes() -> None:
    found = [
        entry(1, at(2), "tube_change", details=TUBE),
        entry(2, at(3), "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        entry(3, at(4), "tube_change", details=TUBE),
    ]
    assert "Cuff: air; pressure not recorded; up or down: not recorded" in told(found)


def test_only_flags_that_are_still_there_are_told_with_who_was_told() -> None:
    def find(_entries: object, _start: int, _end: int) -> list[Flag]:
        seen = ("00000000-0000-4000-8000-000000000040",)
        still = _flag("Cuff above its limit", None, seen)
        return [still, _flag("Blood by suction", Moment.read(at(20, "09:00")).instant, ())]

    found = [*household(), entry(40, at(20), "seen", details={"rule": "cuff", "told": "the ward"})]
    pdf = make(SheetRequest(name="handover", day=DAY), found, find_flags=find)
    assert "Cuff above its limit" in running(pdf)
    assert "told the ward" in running(pdf)
    assert "Blood by suction" not in running(pdf)


def _flag(headline: str, cleared: int | None, seen: tuple[str, ...]) -> Flag:
    from carelog.domain.flag import Level

    return Flag(
        rule="cuff",
        subject=headline,
        level=Level.CALL,
        raised_at=Moment.read(at(20)).instant,
        cleared_at=cleared,
        cleared_by=None,
        headline=headline,
        why="",
        entries=(),
        seen=seen,
    )


def test_many_earlier_problems_are_counted_where_they_arent_told() -> None:
    many = [entry(n, at(1 + n % 19), "incident", details={"what": "tube_out"}) for n in range(1, 31)]
    assert "18 more before" in told(many)


def test_a_long_plan_goes_on_where_the_box_says_and_is_nowhere_cut_silently() -> None:
    plan = " ".join(f"step-{number}" for number in range(200))
    text = told([entry(1, at(1), "person", details={"name": "O", "emergency_plan": plan})])
    assert "whole further down: “Emergency plan, whole”" in text
    assert plan in text.split("Emergency plan, whole:")[1]


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_stands_on_two_pages_at_most_in_normal_print(paper: str, large: bool) -> None:
    pages = texts(handover(household(), paper=paper, large=large))
    assert len(pages) <= (5 if large else 2)
    assert min(sizes(handover(household(), paper=paper, large=large))) >= (16 if large else 8)


def test_beside_a_number_to_call_stands_what_it_is_for() -> None:
    details = {"role": "line", "phone": "01632 960 118", "for": "night", "when": "22 to 7"}
    assert "line: 01632 960 118 (the night)" in told([entry(1, at(1), "contact", details=details)])


def test_a_catheters_size_that_the_plan_doesnt_say_isnt_taken_from_the_last_one_used() -> None:
    used = [entry(1, at(20), "suction", details={"catheter_fr": 10})]
    assert "size in the plan: not recorded; last used 10 Fr" in told(used)


def test_its_letters_are_as_large_as_lets_all_stand_on_one_side() -> None:
    assert min(sizes(handover([]))) > 10
    much = [entry(100 + n, at(20), "question", note=f"Question {n}, and more " * 9) for n in range(40)]
    pages = texts(handover([*household(), *much]))
    assert len(pages) == 2
    assert min(sizes(handover([*household(), *much]))) == 8


NAMES = ("Wolfeschlegelsteinhausenbergerdorff " * 4, "Świętosława Brzęczyszczykiewicz", "ليلى الحداد")


@pytest.mark.parametrize("name", NAMES)
def test_every_name_in_every_script_is_whole(name: str) -> None:
    found = [entry(1, at(1), "person", details={"name": name.strip()})]
    page = make(SheetRequest(name="handover", day=DAY, html=True), found, find_flags=no_flags).decode()
    assert f"<strong>{name.strip()}</strong>" in page
    if not name.startswith("ل"):
        assert name.replace(" ", "") in told(found).replace(" ", "")
    assert "Characters not printed" not in told(found)


def test_a_child_is_told_by_its_age() -> None:
    found = [entry(1, at(1), "person", details={"name": "O", "born": "2023-12-24"})]
    assert "24 December 2023 age 2" in told(found)


def test_the_page_for_a_browser_says_the_same() -> None:
    page = handover(household(), html=True).decode()
    assert "<dt>Can air pass by mouth and nose?</dt>" in page
    assert re.search(r"<strong>No</strong>", page)
    assert "☐ spare-tube box" in page


def test_the_same_entries_give_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom tests.sheet.test_handover import handover, household\n"
        "sys.stdout.buffer.write(handover(household()))"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert made == {handover(household())}


def test_as_was_known_before_its_day_it_tells_the_flags_that_stood_then() -> None:
    entries = [each for each in WEEKS["ill"]().entries() if each.recorded_at < HOME.start_of(UNTIL)]
    known = HOME.start_of(UNTIL) - 1
    text = running(make(SheetRequest(name="handover", day=UNTIL + timedelta(days=3), at=known), entries))
    assert "Secretions thicker than usual" in text
    assert "nothing can be flagged" not in text
