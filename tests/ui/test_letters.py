"""Three made-up discharge letters, typed in as they stand: what is recorded, in how many actions.

An action is a press, or a field that is typed into. The letters hold different things: one gives the cuff in
cmH2O and every size; one in mmHg, with nothing but Fr on the tube; one is for a child and gives no limits.
"""

from dataclasses import dataclass
from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.plans import plans
from carelog.ui.first.page import First
from tests.ui.conftest import Opened
from tests.ui.evening import asks

SAVE = "basics_save"
Line = tuple[str, dict[str, str], tuple[str, ...]]
"""A question's first words, what is typed, what is pressed."""
PEOPLE: tuple[Line, ...] = (
    ("Which number", {"phone": "555-0112"}, (SAVE,)),
    ("Who records", {"name": "Anna Marrow"}, ("pick_role_relative", "basics_more")),
    ("Who records", {"name": "Bela Toth"}, ("pick_role_carer", SAVE)),
)
TEAM: tuple[Line, ...] = (
    ("Who gave", {"set_by": "Northgate Hospital, ward 4"}, (SAVE,)),
    ("Is there a time", {}, ("quiet_23_06",)),
)
CALLS: tuple[Line, ...] = (
    ("Whom do you call by day", {"phone": "555-0142", "name": "Imke Dorsett"}, (SAVE,)),
    ("Whom do you call at night", {"phone": "555-0143"}, (SAVE,)),
    ("What is in the house?", {}, ("basics_later",)),
    ("Print these", {}, ("first_ready",)),
)
SKIN: tuple[Line, ...] = (
    ("How often is the stoma", {}, ("every_24",)),
    ("How often are the ties", {}, ("every_24",)),
    ("How often is the HME", {}, ("every_24",)),
)
SKIN_TASKS = [
    {"kind": "stoma", "every_h": 24},
    {"kind": "ties", "every_h": 24},
    {"kind": "humidity", "where": {"device": "hme"}, "every_h": 24},
]


def person(born: str) -> Line:
    """Whom the letter is about."""
    return ("Whom is this", {"name": "Odile Marrow", "born": born}, (SAVE,))


@dataclass
class Letter:
    """What it says, in the order of the questions, and what the record then holds."""

    lines: tuple[Line, ...]
    tube: dict[str, Any] | None
    plan: dict[str, Any]
    still: list[str]
    actions: int
    """That typing it in takes at the most."""
    note: str = ""


LETTERS = {
    "cmH2O": Letter(
        (
            person("3 Feb 1961"),
            *PEOPLE,
            (
                "What stands",
                {"id_mm": "8", "od_mm": "11", "length_mm": "76", "inner_id_mm": "6.5"},
                ("pick_cuff_air", "pick_inner_tube_disposable", "pick_fenestrated_false", SAVE),
            ),
            ("When was", {"put_in": "3 Nov", "next_due": "1 Dec", "done_by": "Northgate, ward 4"}, (SAVE,)),
            ("Can air", {}, ("pick_upper_airway_partly",)),
            ("What helps", {}, ("pick_helped_by_oxygen",)),
            *TEAM,
            ("How often is the inner", {}, ("every_8",)),
            ("Between which", {}, ("take_proposed",)),
            ("How often is the cuff", {}, ("every_12",)),
            *SKIN,
            ("Which size", {"catheter_fr": "12"}, (SAVE,)),
            ("How strong", {}, ("take_proposed",)),
            ("From which SpO2", {"low": "90"}, (SAVE,)),
            *CALLS,
        ),
        tube={
            "id_mm": 8,
            "od_mm": 11,
            "length_mm": 76,
            "inner_id_mm": 6.5,
            "cuff": "air",
            "inner_tube": "disposable",
            "fenestrated": False,
            "next_due": "2026-12-01",
            "done_by": "Northgate, ward 4",
            "reason": "first_entry",
        },
        plan={
            "tasks": [
                {"kind": "inner_tube", "every_h": 8},
                {"kind": "cuff_pressure", "every_h": 12},
                *SKIN_TASKS,
            ],
            "limits": {
                "cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"},
                "vacuum": {"high": 20, "unit": "kPa"},
                "spo2_percent": {"low": 90},
            },
            "catheter_fr": 12,
        },
        still=["kit"],
        actions=54,
    ),
    "mmHg, Fr only": Letter(
        (
            person("12 Aug 1948"),
            *PEOPLE,
            (
                "What stands",
                {"od_mm": "9", "size_mark": "27 Ch"},
                ("pick_cuff_air", "pick_inner_tube_reusable", "tube_note"),
            ),
            ("Can air", {}, ("pick_upper_airway_open",)),
            ("What helps", {}, ("pick_helped_by_nothing",)),
            *TEAM,
            ("How often is the inner", {}, ("every_8",)),
            ("Between which", {"low": "18", "high": "22"}, ("pick_unit_mmHg", SAVE)),
            ("How often is the cuff", {}, ("every_12",)),
            *SKIN,
            ("Which size", {"catheter_fr": "12"}, (SAVE,)),
            *CALLS,
        ),
        tube=None,
        plan={
            "tasks": [
                {"kind": "inner_tube", "every_h": 8},
                {"kind": "cuff_pressure", "every_h": 12},
                *SKIN_TASKS,
            ],
            "limits": {"cuff_pressure": {"low": 18, "high": 22, "unit": "mmHg"}},
            "catheter_fr": 12,
        },
        still=["tube", "kit"],
        actions=49,
        note="OD 9 mm, cuff air, inner tube reusable, on the flange 27 Ch",
    ),
    "a child, no limits": Letter(
        (
            person("9 Mar 2021"),
            *PEOPLE,
            ("What stands", {"id_mm": "4"}, ("pick_cuff_none", "pick_inner_tube_none", SAVE)),
            ("When was", {"put_in": "20 Nov"}, (SAVE,)),
            ("Can air", {}, ("pick_upper_airway_open",)),
            ("What helps", {}, ("pick_helped_by_ventilator_at_night",)),
            *TEAM,
            *SKIN,
            ("Which size", {"catheter_fr": "8"}, (SAVE,)),
            *CALLS,
        ),
        tube={"id_mm": 4, "cuff": "none", "inner_tube": "none", "reason": "first_entry"},
        plan={"tasks": SKIN_TASKS, "catheter_fr": 8},
        still=["kit"],
        actions=44,
    ),
}


class Relative:
    """Somebody who reads the letter out, and counts what it takes."""

    def __init__(self, opened: Opened) -> None:
        self.opened = opened
        self.actions = 2  # the size of the text, and that a record is begun

    def press(self, name: str) -> None:
        """One press."""
        self.actions += 1
        self.opened.press(name)

    def answer(self, line: Line) -> None:
        """Leave open what the letter doesn't say, then type and press what it does."""
        question, texts, presses = line
        self.opened.wait(lambda: self._is_settled())
        while not asks(self.opened).startswith(question):
            before = asks(self.opened)
            self.press("basics_unknown")
            self.opened.wait(lambda seen=before: asks(self.opened) != seen)  # type: ignore[misc]
        for name, text in texts.items():
            self.actions += 1
            self.opened.find(f"field_{name}").setText(text)
        for name in presses:
            self.press(name)

    def _is_settled(self) -> bool:
        """Whether the last answer is saved and the next question stands there."""
        page = self.opened.shown()
        return isinstance(page, First) and not page.run.is_saving


@pytest.mark.parametrize("name", LETTERS)
def test_a_letter_is_recorded_as_it_stands(evening: Opened, name: str) -> None:
    letter, relative = LETTERS[name], Relative(evening)
    for line in letter.lines:
        relative.answer(line)
    relative.press("tile_suction")
    evening.wait(lambda: "saved" in evening.receipt())
    reading = Reading(evening.record.everything())
    tubes = [held.entry.details for held in reading.of("tube_change")]
    assert tubes == ([] if letter.tube is None else [letter.tube])
    (plan,) = plans(reading)
    team = {"set_by": "Northgate Hospital, ward 4", "quiet": ["23:00", "06:00"]}
    assert plan.details == {**team, **letter.plan}
    notes = [held.entry.note.replace("\N{NO-BREAK SPACE}", " ") for held in reading.of("note")]
    assert [letter.note in note for note in notes] == ([True] if letter.note else [])
    assert (len(reading.of("recorder")), len(reading.of("contact"))) == (2, 3)
    assert [each.name for each in evening.rest.still.questions()] == letter.still
    assert not [held for held in reading.held if held.rivals]
    assert relative.actions <= letter.actions
