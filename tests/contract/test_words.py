"""The kinds, their fields and values as the exchange file fixes them."""

import pytest

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.field import (
    Choice,
    Date,
    Field,
    Group,
    ListOf,
    Number,
    Reference,
    Text,
    Type,
    When,
    YesNo,
)
from carelog.domain.moment import Moment
from carelog.kinds import ALL, kind_named

ITEMS = (
    "spare_same spare_smaller inner_tubes syringe ties dressing mask gel gloves scissors catheters "
    "tube_details portable_suction contacts"
)
SPARE = "{id_mm:number cuff:none|air|water|foam expiry:month}"
LIMITS = (
    "{cuff_pressure:{low:number high:number unit*:cmH2O|mmHg|kPa} vacuum:{high:number unit*:kPa|mmHg} "
    "temperature_c:{low:number high:number urgent_low:number urgent_high:number} "
    "spo2_percent:{low:number urgent_low:number} "
    "breaths_per_min:{low:number high:number urgent_low:number urgent_high:number} "
    "pulse_per_min:{low:number high:number urgent_low:number urgent_high:number} "
    "oxygen_l_min:{high:number urgent_high:number}}"
)
TASK = "{kind*:text where:{} every_h:number times:[text] quiet:[text] grace_min:number early_min:number}"
KINDS = {
    "inner_tube": "outcome*:clear|cleaned|replaced|stuck found:clear|coated|crusted|blocked "
    "fitted:plain|fenestrated",
    "suction": "route:tracheal|oral|subglottic colour:clear|white|cream|yellow|green|brown|pink|red "
    "consistency:thin|thick|sticky|crusts|plug frothy:yes amount:small|moderate|large "
    "blood:none|streaks|fresh smell:none|usual|new food_seen:yes passes:whole(1..20) catheter_fr:number "
    "catheter_passed:freely|tight|no vacuum:number vacuum_unit:kPa|mmHg saline:yes "
    "breathing_after:easier|same|harder",
    "cuff_pressure": "value*:number unit*:cmH2O|mmHg|kPa value_after:number",
    "cuff_state": "state*:up|down voice_heard:yes",
    "stoma": "skin:whole|red|broken|overgrown redness_fades:yes fluid:none|clear|coloured|blood "
    "fluid_from:tube|skin_edge crust:none|wipes_off|stuck swelling:yes heat:yes smell:yes crackling:yes "
    "pain:whole(0..10) cleaned:yes dressing:changed|unchanged|none_worn barrier_cream:yes",
    "ties": "action*:checked|changed fit:one_finger|loose|tight",
    "humidity": "device*:hme|stoma_cover|nebuliser|humidifier action*:changed|given|started|stopped",
    "valve": "what:valve|cap action*:on|off cuff_down:yes",
    "observations": "temperature_c:number temperature_f:number spo2_percent:number breaths_per_min:number "
    "pulse_per_min:number oxygen_l_min:number",
    "mouth_care": "",
    "tube_change": "id_mm*:number od_mm:number length_mm:number cuff*:none|air|water|foam fenestrated:yes "
    "inner_tube*:none|disposable|reusable inner_id_mm:number size_mark:text lot:text expiry:month "
    "reason:planned|blocked|displaced|damaged|first_entry ease:easy|hard|failed bleeding:none|streaks|fresh "
    "done_by:text next_due:date",
    "incident": "what*:tube_out|tube_blocked|bleeding|breathing|power_cut|equipment|other "
    "called:nobody|team|emergency outcome:text ends:id(incident)",
    "note": "for_next:yes",
    "question": "",
    "answer": "question*:id(question)",
    "seen": "rule*:text subject:text told:text",
    "box_check": "present:[item] missing:[item] opened:[item] expiries:{item:month} "
    f"spare_same:{SPARE} spare_smaller:{SPARE}",
    "equipment_check": "device*:suction_machine|suction_backup|nebuliser|humidifier|other name:text "
    "works*:yes vacuum:number vacuum_unit:kPa|mmHg on_battery_min:number charged:yes canister:emptied|full "
    "filter_changed:yes next_service:date given_back:yes",
    "stock": "item*:text count:number delta:number reason:count|delivery|waste pack_size:number "
    "expiry:month per_day:number",
    "order": "item*:text count*:number supplier:text expected:date",
    "outing": "action*:leaving|back packed:[text] missing:[text] hours:number",
    "stay": "action*:start|end where:hospital|respite|other",
    "gap": "since*:moment",
    "decannulation": "done_by:text planned:yes",
    "checklist": "list*:going_out|car|hospital_bag|power_cut|other items*:[text]",
    "shift": "action*:start|end nothing_needed:[text]",
    "ill": "action*:start|end",
    "phrase": "text*:text",
    "phrase_card": "text*:text place:whole page:text also:text",
    "training": "task*:text who*:text shown_by:text done_alone:yes again_by:date",
    "arrangement": "what*:text who:text by:date done:yes",
    "registration": "what*:electricity_priority|ambulance|supplier|other since:date renew_by:date "
    "reference:text",
    "plan": f"from:moment set_by*:text tasks:[{TASK}] quiet:[text] limits:{LIMITS} "
    "restarts:[suction|secretions|cuff|inner_tube|readings] false_flags_a_year:1|2|4 catheter_fr:number "
    "spare_step_mm:number cuffed_spare:yes valve_at_night:yes cuff_down_at_night:yes lead_days:number "
    "reserve_days:number instructions:text",
    "person": "name*:text born:date home_zone:text invented:yes upper_airway:open|partly|none "
    "helped_by:nothing|oxygen|ventilator_at_night|ventilator_always allergies:text swallow:text "
    "communication:text reason:text emergency_plan:text",
    "contact": "role*:text name:text phone*:text when:text for:emergency|night|team|supplies|power|family",
    "recorder": "initials*:text name:text role:self|relative|carer|nurse",
    "visit": "nurse*:text week:text until:date signed:yes",
}


def shape(type_: Type) -> str:
    """What a value may be, as the tables above write it."""
    if isinstance(type_, Choice):
        values = [str(option.value) for option in type_.options]
        return "item" if values == ITEMS.split() else "|".join(values)
    if isinstance(type_, ListOf):
        return f"[{shape(type_.item)}]"
    if isinstance(type_, OrNone):
        return shape(type_.type)
    if isinstance(type_, Group):
        return f"{{{written(type_.fields, sort=False)}}}"
    if isinstance(type_, Number):
        limits = f"({type_.low}..{type_.high})" if type_.high is not None else ""
        return f"{'whole' if type_.whole else 'number'}{limits}"
    if isinstance(type_, Reference):
        return f"id({type_.kind})"
    if isinstance(type_, Date):
        return "month" if type_.month else "date"
    names = {YesNo: "yes", When: "moment", Text: "text", ChoiceOrText: "text"}
    return names.get(type(type_)) or "{item:month}"


def written(fields: tuple[Field, ...], *, sort: bool) -> str:
    """Fields as the tables above write them: in their order there it says nothing, so it is sorted."""
    found = [f"{each.name}{'*' if each.required else ''}:{shape(each.type)}" for each in fields]
    return " ".join(sorted(found) if sort else found)


def in_parts(table: str) -> list[str]:
    """The fields of a table's row, each whole, sorted."""
    parts, depth = [""], 0
    for letter in table:
        depth += (letter in "{[") - (letter in "}]")
        if letter == " " and depth == 0:
            parts.append("")
        else:
            parts[-1] += letter
    return sorted(part for part in parts if part)


def test_the_kinds_are_those_of_the_format() -> None:
    assert sorted(kind.name for kind in ALL) == sorted(KINDS)


@pytest.mark.parametrize("name", KINDS)
def test_a_kind_has_the_fields_and_values_of_the_format_and_no_others(name: str) -> None:
    kind = kind_named(name)
    assert kind is not None
    assert written(kind.fields, sort=True) == " ".join(in_parts(KINDS[name]))


def problem(name: str, details: dict[str, object], at: str = "2026-11-22T10:00:00Z") -> str:
    """What is wrong with details at a time, as one text; empty when nothing is."""
    kind = kind_named(name)
    assert kind is not None
    found = kind.problems(details, Moment.read(at).instant)
    return "; ".join(f"{each.field} {each.words}" for each in found)


def test_a_gap_begins_before_the_entry_that_ends_it() -> None:
    assert problem("gap", {"since": "2026-11-22T09:59:59Z"}) == ""
    assert problem("gap", {"since": "2026-11-22T11:59:59+02:00"}) == ""
    assert "since must lie before" in problem("gap", {"since": "2026-11-22T10:00:00Z"})
    assert "since must lie before" in problem("gap", {"since": "2026-11-22T10:00:00-01:00"})
    assert "since is missing" in problem("gap", {})


def test_a_signature_says_what_was_signed() -> None:
    assert "signed needs" in problem("visit", {"nurse": "N", "signed": True})
    assert problem("visit", {"nurse": "N", "signed": True, "week": "2026-W47"}) == ""
    assert problem("visit", {"nurse": "N", "signed": True, "until": "2026-11-22"}) == ""
    assert problem("visit", {"nurse": "N"}) == ""


@pytest.mark.parametrize(
    ("tasks", "is_taken"),
    [
        ([{"kind": "ties", "every_h": 8}, {"kind": "stoma", "every_h": 8}], True),
        ([{"kind": "ties", "every_h": 8}, {"kind": "ties", "times": ["08:00"]}], False),
        ([{"kind": "ties", "every_h": 8}, {"kind": "ties", "every_h": 8, "where": {}}], False),
        (
            [
                {"kind": "humidity", "every_h": 8, "where": {"device": "hme"}},
                {"kind": "humidity", "every_h": 8, "where": {"device": "nebuliser"}},
            ],
            True,
        ),
        ([{"kind": "ties"}], False),
        ([{"kind": "ties", "every_h": 8, "times": ["08:00"]}], False),
        ([{"kind": "ties", "every_h": 8, "quiet": None}], True),
        ([{"kind": "ties", "every_h": 0}], False),
    ],
)
def test_a_plan_asks_once_for_a_kind_with_the_same_details_by_one_rhythm(
    tasks: list[object], is_taken: bool
) -> None:
    assert (problem("plan", {"set_by": "N", "tasks": tasks}) == "") is is_taken


def test_a_plan_may_give_urgent_ends_without_the_others() -> None:
    limits = {"spo2_percent": {"urgent_low": 85}, "oxygen_l_min": {"urgent_high": 6}}
    assert problem("plan", {"set_by": "N", "limits": limits}) == ""
    assert "limits" in problem("plan", {"set_by": "N", "limits": {"oxygen_l_min": {"high": "6"}}})


def test_lines_of_a_checklist_may_be_packed_beside_items_of_the_box() -> None:
    details = {"action": "leaving", "packed": ["gel", "charger, black"], "missing": [], "hours": 3}
    assert problem("outing", details) == ""
    kind = kind_named("outing")
    assert kind is not None
    assert "water-based gel, charger, black" in kind.line(details)
    assert "packed" in problem("outing", {"action": "leaving", "packed": [3]})
