"""Where two clauses of the reading rules meet on small households: changes, late entries, telling, cuffs."""

import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.household import DAY_PLAN, TUBE, Household

Flags = list[tuple[Any, ...]]
Case = tuple[str, Callable[[Household], None], Flags]
BLOOD = {"blood": "fresh"}
STREAKS = {"blood": "streaks"}
TOLD = {"rule": "blood", "told": "Nell"}


def id_of(number: int) -> str:
    """The id of the household's entry with this number, from 1."""
    return str(uuid.UUID(int=number))


def story(*lines: tuple[Any, ...]) -> Callable[[Household], None]:
    """Entries as (at, kind, details[, known]); changes as (number, known, details, or None to strike out)."""

    def build(home: Household) -> None:
        for line in lines:
            if isinstance(line[0], int):
                number, known, details = line
                home.change(id_of(number), known, details)
            else:
                at, kind, details, *rest = line
                home.write(at, kind, *rest, **details)

    return build


def cuff(*lines: tuple[Any, ...], tube: dict[str, Any] | None = None, plan: Any = None) -> Any:
    """A plan with limits and a tube (entries 1 and 2), then these lines."""
    return story(
        ("1 00:00", "plan", plan or DAY_PLAN), ("1 00:00", "tube_change", {**TUBE, **(tube or {})}), *lines
    )


def read(at: str, value: float, *known: str, unit: str = "cmH2O", **more: Any) -> tuple[Any, ...]:
    """A cuff pressure."""
    return (at, "cuff_pressure", {"value": value, "unit": unit, **more}, *known)


def suction(at: str, *known: str, **details: Any) -> tuple[Any, ...]:
    """A suction."""
    return (at, "suction", details, *known)


MMHG_PLAN = {**DAY_PLAN, "limits": {"cuff_pressure": {"low": 15, "high": 22, "unit": "mmHg"}}}
LOWER_PLAN = {**DAY_PLAN, "limits": {"cuff_pressure": {"low": 20, "high": 25, "unit": "cmH2O"}}}

CHANGES: dict[str, Case] = {
    "a withdrawal taken back raises it anew": (
        "blood",
        story(suction("2 08:00", **BLOOD), (1, "2 08:10", None), (2, "2 08:20", None)),
        [(None, "urgent", "2 08:00", "2 08:10", "entry"), (None, "urgent", "2 08:20", None, None)],
    ),
    "an amendment that shows the same is the same evidence": (
        "blood",
        story(suction("2 08:00", **BLOOD), (1, "2 08:30", {**BLOOD, "amount": "small"})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "amended streaks keep the moment from which 24 h count": (
        "blood",
        story(
            suction("2 08:00", **STREAKS),
            suction("2 10:00", **STREAKS),
            (2, "2 15:00", {**STREAKS, "passes": 1}),
        ),
        [(None, "call", "2 10:00", "3 10:00", "time")],
    ),
    "an amended withdrawal counts as the amendment": (
        "blood",
        story(suction("2 08:00", **BLOOD), (1, "2 08:10", None), (2, "2 08:20", BLOOD)),
        [(None, "urgent", "2 08:00", "2 08:10", "entry"), (None, "urgent", "2 08:20", None, None)],
    ),
    "of rivals the one recorded last wins": (
        "blood",
        story(
            suction("2 08:00", **BLOOD),
            (1, "2 09:00", {"blood": "none"}),
            (1, "2 09:30", {**BLOOD, "passes": 2}),
        ),
        [(None, "urgent", "2 08:00", "2 09:00", "entry"), (None, "urgent", "2 09:30", None, None)],
    ),
    "blood on one side of rivals stays flagged, whichever side wins": (
        "blood",
        story(
            suction("2 08:00", **BLOOD),
            (1, "2 09:30", {**BLOOD, "passes": 2}),
            (1, "2 10:00", {"blood": "none"}),
            (3, "2 11:00", None),
        ),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "an incident amended to another kind of it ends one flag and raises another": (
        "incident",
        story(("2 08:00", "incident", {"what": "other"}), (1, "2 09:00", {"what": "tube_out"})),
        [("other", "note", "2 08:00", "2 09:00", "entry"), ("tube_out", "urgent", "2 09:00", None, None)],
    ),
    "an end that names the amended incident ends it": (
        "incident",
        story(
            ("2 08:00", "incident", {"what": "tube_out"}),
            (1, "2 08:30", {"what": "tube_out", "called": "nobody"}),
            ("2 09:00", "incident", {"what": "tube_out", "ends": id_of(1)}),
        ),
        [("tube_out", "urgent", "2 08:00", "2 09:00", "entry")],
    ),
    "an end that names the amendment ends the incident, in capitals too": (
        "incident",
        story(
            ("2 08:00", "incident", {"what": "tube_out"}),
            (1, "2 08:30", {"what": "tube_out", "called": "nobody"}),
            ("2 09:00", "incident", {"what": "tube_out", "ends": id_of(2).upper()}),
        ),
        [("tube_out", "urgent", "2 08:00", "2 09:00", "entry")],
    ),
    "an end that is struck out gives the incident back, with what is left of its 24 h": (
        "incident",
        story(
            ("2 08:00", "incident", {"what": "power_cut"}),
            ("2 11:00", "incident", {"what": "power_cut", "ends": id_of(1)}),
            (2, "2 12:00", None),
        ),
        [
            ("power_cut", "call", "2 08:00", "2 11:00", "entry"),
            ("power_cut", "call", "2 12:00", "3 08:00", "time"),
        ],
    ),
    "tight amended to not passed grows within its episode": (
        "catheter_not_passed",
        story(suction("2 08:00", catheter_passed="tight"), (1, "2 09:00", {"catheter_passed": "no"})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "not passed amended to tight starts a new, lower one": (
        "catheter_not_passed",
        story(suction("2 08:00", catheter_passed="no"), (1, "2 09:00", {"catheter_passed": "tight"})),
        [(None, "urgent", "2 08:00", "2 09:00", "entry"), (None, "call", "2 09:00", "3 09:00", "time")],
    ),
    "a tube's new date, still within three days, goes on": (
        "tube_age",
        story(
            ("1 00:00", "tube_change", {**TUBE, "next_due": "2026-11-10"}),
            (1, "8 12:00", {**TUBE, "next_due": "2026-11-09"}),
        ),
        [(None, "call", "7 00:00", None, None)],
    ),
    "a later date for a tube that was due starts a lower one, which grows": (
        "tube_age",
        story(
            ("1 00:00", "tube_change", {**TUBE, "next_due": "2026-11-10"}),
            (1, "11 12:00", {**TUBE, "next_due": "2026-11-13"}),
        ),
        [(None, "call", "7 00:00", "11 12:00", "entry"), (None, "call", "11 12:00", None, None)],
    ),
    "a change counts as an entry made known": (
        "nothing_recorded",
        story(
            ("2 08:00", "mouth_care", {}),
            (1, "2 10:00", {"x": 1}),
            ("2 23:00", "mouth_care", {}),
            ("3 09:00", "stay", {"action": "start"}),
            ("5 08:00", "stay", {"action": "end"}),
            ("5 21:00", "mouth_care", {}),
            ("6 08:00", "stay", {"action": "start"}),
        ),
        [(None, "note", "2 22:00", "2 23:00", "entry"), (None, "note", "5 20:00", "5 21:00", "entry")],
    ),
}

TELLING: dict[str, Case] = {
    "one bleeding told of, another written down after the telling": (
        "blood",
        story(suction("2 08:00", **BLOOD), ("2 09:00", "seen", TOLD), suction("2 08:30", "2 09:10", **BLOOD)),
        [(None, "urgent", "2 08:00", "2 09:00", "entry"), (None, "urgent", "2 09:10", None, None)],
    ),
    "a telling of before the bleeding, written down after it, ends nothing": (
        "blood",
        story(suction("2 08:00", **BLOOD), ("2 07:00", "seen", TOLD, "2 09:00")),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "who was told, added later, ends it when it is added": (
        "blood",
        story(suction("2 08:00", **BLOOD), ("2 09:00", "seen", {"rule": "blood"}), (2, "2 10:00", TOLD)),
        [(None, "urgent", "2 08:00", "2 10:00", "entry")],
    ),
    "who was told, added later, doesn't settle what happened after the telling": (
        "blood",
        story(
            suction("2 08:00", **BLOOD),
            ("2 09:00", "seen", {"rule": "blood"}),
            suction("2 09:30", **BLOOD),
            (2, "2 10:00", TOLD),
        ),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "a corrected telling settles what was known when it first said so": (
        "blood",
        story(
            suction("2 08:00", **BLOOD),
            ("2 09:00", "seen", TOLD),
            suction("2 08:30", "2 09:10", **BLOOD),
            (2, "2 10:00", {**TOLD, "told": "Milo"}),
        ),
        [(None, "urgent", "2 08:00", "2 09:00", "entry"), (None, "urgent", "2 09:10", None, None)],
    ),
    "a telling that is struck out raises it anew": (
        "blood",
        story(suction("2 08:00", **BLOOD), ("2 09:00", "seen", TOLD), (2, "2 10:00", None)),
        [(None, "urgent", "2 08:00", "2 09:00", "entry"), (None, "urgent", "2 10:00", None, None)],
    ),
    "a telling ends the flag of its subject alone": (
        "incident",
        story(
            ("2 08:00", "incident", {"what": "tube_out"}),
            ("2 08:05", "incident", {"what": "bleeding"}),
            ("2 09:00", "seen", {"rule": "incident", "subject": "tube_out", "told": "Nell"}),
            ("2 10:00", "seen", {"rule": "incident", "told": "Nell"}),
        ),
        [
            ("tube_out", "urgent", "2 08:00", "2 09:00", "entry"),
            ("bleeding", "urgent", "2 08:05", None, None),
        ],
    ),
    "a telling of another rule ends nothing": (
        "blood",
        story(suction("2 08:00", **BLOOD), ("2 09:00", "seen", {**TOLD, "rule": "froth"})),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "an entry of doubtful time is flagged when it is known": (
        "blood",
        story(suction("2 10:00", "2 08:00", **BLOOD), ("2 08:30", "seen", TOLD)),
        [(None, "urgent", "2 08:00", "2 08:30", "entry")],
    ),
    "an entry a few minutes ahead hasn't happened by an earlier telling": (
        "blood",
        story(suction("2 08:10", "2 08:00", **BLOOD), ("2 08:05", "seen", TOLD)),
        [(None, "urgent", "2 08:00", None, None)],
    ),
    "fresh blood within an episode of streaks makes it urgent, and it no longer ends by time": (
        "blood",
        story(suction("2 08:00", **STREAKS), suction("2 10:00", **STREAKS), suction("2 12:00", **BLOOD)),
        [(None, "urgent", "2 10:00", None, None)],
    ),
    "a third streak counts the 24 h anew": (
        "blood",
        story(*(suction(f"2 {hour}:00", **STREAKS) for hour in ("08", "10", "20"))),
        [(None, "call", "2 10:00", "3 20:00", "time")],
    ),
    "streaks as often as usual show nothing more": (
        "blood",
        story(
            *(suction(f"{day} {hour}:00", **STREAKS) for day in (1, 2, 3) for hour in ("08", "09")),
            *((f"{day} 08:00", "mouth_care", {}) for day in (4, 5, 6)),
            suction("7 08:00", **STREAKS),
            suction("7 09:00", **STREAKS),
        ),
        [(None, "call", "1 09:00", "4 09:00", "time")],
    ),
}

CUFFS: dict[str, Case] = {
    "a second one outside in a row makes a note a call": (
        "cuff_high",
        cuff(read("2 08:00", 35, value_after=25), read("2 20:00", 36, value_after=25), read("3 08:00", 25)),
        [(None, "call", "2 08:00", "3 08:00", "entry")],
    ),
    "one inside between two outside keeps them apart": (
        "cuff_high",
        cuff(
            read("2 08:00", 35, value_after=25),
            read("2 20:00", 25),
            read("3 08:00", 36, value_after=25),
            read("3 20:00", 25),
        ),
        [(None, "note", "2 08:00", "2 20:00", "entry"), (None, "note", "3 08:00", "3 20:00", "entry")],
    ),
    "a low one that was up just before is judged": (
        "cuff_low",
        cuff(read("2 08:00", 4), read("2 09:00", 24)),
        [(None, "call", "2 08:00", "2 09:00", "entry")],
    ),
    "what is left in a cuff that was down is judged, what was found isn't": (
        "cuff_high",
        cuff(
            ("2 07:00", "cuff_state", {"state": "down"}),
            read("2 08:00", 0, value_after=35),
            read("2 09:00", 24),
        ),
        [(None, "call", "2 08:00", "2 09:00", "entry")],
    ),
    "what was found in a cuff that was down isn't too low": (
        "cuff_low",
        cuff(("2 07:00", "cuff_state", {"state": "down"}), read("2 08:00", 0, value_after=25)),
        [],
    ),
    "a cuff let down to 0 isn't left too low": ("cuff_low", cuff(read("2 08:00", 25, value_after=0)), []),
    "22.2 mmHg against 30 cmH2O is at the limit": ("cuff_high", cuff(read("2 08:00", 22.2, unit="mmHg")), []),
    "22.5 mmHg against 30 cmH2O is over it": (
        "cuff_high",
        cuff(read("2 08:00", 22.5, unit="mmHg")),
        [(None, "call", "2 08:00", None, None)],
    ),
    "30 cmH2O against 22 mmHg is at the limit": ("cuff_high", cuff(read("2 08:00", 30), plan=MMHG_PLAN), []),
    "31 cmH2O against 22 mmHg is over it": (
        "cuff_high",
        cuff(read("2 08:00", 31), plan=MMHG_PLAN),
        [(None, "call", "2 08:00", None, None)],
    ),
    "37 mmHg isn't above 50 cmH2O": (
        "cuff_high",
        cuff(read("2 08:00", 37, unit="mmHg", value_after=20)),
        [(None, "note", "2 08:00", None, None)],
    ),
    "37.5 mmHg is above 50 cmH2O": (
        "cuff_high",
        cuff(read("2 08:00", 37.5, unit="mmHg", value_after=20)),
        [(None, "call", "2 08:00", None, None)],
    ),
    "the limit is the plan's at the reading": (
        "cuff_high",
        cuff(("2 10:00", "plan", LOWER_PLAN), read("2 09:00", 28, "2 12:00"), read("2 13:00", 28)),
        [(None, "call", "2 13:00", None, None)],
    ),
    "a new tube ends what the old one's cuff showed": (
        "cuff_high",
        cuff(read("2 08:00", 35), ("2 12:00", "tube_change", TUBE)),
        [(None, "call", "2 08:00", "2 12:00", "entry")],
    ),
    "a tube placed before the reading, written down after it, ends nothing": (
        "cuff_high",
        cuff(read("2 08:00", 35), ("2 07:00", "tube_change", TUBE, "2 12:00")),
        [(None, "call", "2 08:00", None, None)],
    ),
    "a cuff said to be down before the reading ends nothing": (
        "cuff_high",
        cuff(read("2 08:00", 35), ("2 07:00", "cuff_state", {"state": "down"}, "2 09:00")),
        [(None, "call", "2 08:00", None, None)],
    ),
    "a cuff said to be down after the reading ends it when that is known": (
        "cuff_high",
        cuff(read("2 08:00", 35), ("2 08:30", "cuff_state", {"state": "down"}, "2 09:00")),
        [(None, "call", "2 08:00", "2 09:00", "entry")],
    ),
    "a foam cuff has no pressure to judge": (
        "cuff_high",
        cuff(read("2 08:00", 45), tube={"cuff": "foam"}),
        [],
    ),
    "with no tube recorded the cuff is judged": (
        "cuff_high",
        story(("1 00:00", "plan", DAY_PLAN), read("2 08:00", 35)),
        [(None, "call", "2 08:00", None, None)],
    ),
    "a cuff pumped up under a valve is urgent until the valve is off": (
        "valve_cuff_up",
        cuff(
            ("2 08:00", "valve", {"action": "on", "cuff_down": True}),
            read("2 09:00", 0, value_after=25),
            ("2 10:00", "valve", {"action": "off"}),
        ),
        [(None, "urgent", "2 09:00", "2 10:00", "entry")],
    ),
    "with a blocked upper airway a valve is urgent though the cuff is down": (
        "valve_cuff_up",
        cuff(
            ("1 01:00", "person", {"name": "Odette Farrow", "upper_airway": "none"}),
            ("2 08:00", "valve", {"action": "on", "cuff_down": True}),
            ("2 09:00", "cuff_state", {"state": "down"}),
            ("2 10:00", "tube_change", TUBE),
        ),
        [(None, "urgent", "2 08:00", "2 10:00", "entry")],
    ),
    "a cap on an air cuff about which nobody said a word is urgent until it is down": (
        "valve_cuff_up",
        cuff(
            ("2 08:00", "valve", {"what": "cap", "action": "on"}),
            ("2 08:30", "cuff_state", {"state": "down"}),
        ),
        [(None, "urgent", "2 08:00", "2 08:30", "entry")],
    ),
}
CASES = {**CHANGES, **TELLING, **CUFFS}


@pytest.mark.parametrize("case", CASES)
def test_where_clauses_meet(case: str, tmp_path: Path) -> None:
    rule, build, expected = CASES[case]
    home = Household(tmp_path)
    build(home)
    assert home.flags("1 00:00", "14 00:00", rule) == expected
