"""Incidents, the spare-tube box, dates that run out, equipment."""

import json

from tests.flags.cases.case import Case

TUBE = "tube_change id_mm=8 cuff=air inner_tube=none"
ITEMS = ["syringe", "ties", "dressing", "mask", "gel", "gloves", "scissors", "catheters", "tube_details"]


def box(lacking: str = "", more: str = "", same: str = "", smaller: str = "") -> str:
    """A box check: `lacking` is left out, `more` are other details, `same` and `smaller` of the spares."""
    present = json.dumps([item for item in ITEMS if item != lacking]).replace(" ", "")
    spares = {
        "spare_same": '{"id_mm":8,"cuff":"air"' + same + "}",
        "spare_smaller": '{"id_mm":7,"cuff":"air"' + smaller + "}",
    }
    shown = " ".join(f"{name}={details}" for name, details in spares.items() if name != lacking)
    return f"box_check present={present} {shown} {more}".strip()


CASES: dict[str, Case] = {
    # who was called about an incident
    "with the emergency number called an urgent incident is a call, with the team it stays urgent": (
        "incident",
        ["2 08:00 incident what=bleeding called=emergency", "2 09:00 incident what=tube_out called=team"],
        ["bleeding call 2 08:00..3 08:00 time", "tube_out urgent 2 09:00.."],
    ),
    "with anybody called a call is a note": (
        "incident",
        ["2 08:00 incident what=equipment called=team", "2 09:00 incident what=power_cut called=emergency"],
        ["equipment note 2 08:00..3 08:00 time", "power_cut note 2 09:00..3 09:00 time"],
    ),
    "nobody called is no difference": (
        "incident",
        ["2 08:00 incident what=equipment called=nobody"],
        ["equipment call 2 08:00..3 08:00 time"],
    ),
    "a power cut is urgent for who is helped by a ventilator always, at that time": (
        "incident",
        [
            "1 00:00 person name=Odette helped_by=ventilator_always",
            "2 08:00 incident what=power_cut",
            "2 09:00 person name=Odette helped_by=nothing",
        ],
        ["power_cut urgent 2 08:00.."],
    ),
    "at night only it is a call": (
        "incident",
        ["1 00:00 person name=Odette helped_by=ventilator_at_night", "2 08:00 incident what=power_cut"],
        ["power_cut call 2 08:00..3 08:00 time"],
    ),
    "who is helped, written down later, makes it urgent from then on": (
        "incident",
        [
            "2 08:00 incident what=power_cut",
            "1 00:00 > 2 10:00 person name=Odette helped_by=ventilator_always",
        ],
        ["power_cut urgent 2 08:00.."],
    ),
    "once the urgent one's end is recorded, what is left begins anew": (
        "incident",
        [
            "first: 2 08:00 incident what=bleeding",
            "2 09:00 incident what=bleeding called=emergency",
            "2 10:00 incident what=bleeding ends=@first",
        ],
        ["bleeding urgent 2 08:00..2 10:00 entry", "bleeding call 2 10:00..3 09:00 time"],
    ),
    # machines by their names
    "two machines of a sort are told apart by name, one without is a third": (
        "equipment",
        [
            "2 08:00 equipment_check device=nebuliser works=false",
            "2 09:00 equipment_check device=nebuliser name=small works=false",
            "2 10:00 equipment_check device=nebuliser works=true",
        ],
        ["nebuliser call 2 08:00..2 10:00 entry", "nebuliser:small call 2 09:00.."],
    ),
    "one that isn't charged is a note, until the newest that gives it says so": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_backup works=true charged=false",
            "2 09:00 equipment_check device=suction_backup works=true",
            "2 10:00 equipment_check device=suction_backup works=true charged=true",
        ],
        ["suction_backup note 2 08:00..2 10:00 entry"],
    ),
    "given back, it isn't asked about": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_backup works=true charged=false",
            "2 10:00 equipment_check device=suction_backup works=true given_back=true",
            "2 11:00 equipment_check device=suction_backup works=true",
        ],
        ["suction_backup note 2 08:00..2 10:00 entry"],
    ),
    "any one suction of any name is enough": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_machine name=old works=false given_back=true",
            "2 09:00 equipment_check device=suction_machine name=new works=false",
            "2 10:00 equipment_check device=suction_machine name=spare works=true",
        ],
        [
            "suction urgent 2 09:00..2 10:00 entry",
            "suction_machine:new call 2 09:00..",
        ],
    ),
    # the tube's own date
    "the tube in place expires": (
        "expiry",
        ["1 08:00 tube_change id_mm=8 cuff=air inner_tube=none expiry=2026-11-20"],
        ["tube call 1 08:00.."],
    ),
    "another tube mends it": (
        "expiry",
        [
            "1 08:00 tube_change id_mm=8 cuff=air inner_tube=none expiry=2026-11",
            "3 08:00 tube_change id_mm=8 cuff=air inner_tube=none expiry=2028-11",
        ],
        ["tube note 1 08:00..3 08:00 entry"],
    ),
    "the tube taken out for good ends it, and what the box held": (
        "expiry",
        [
            "1 08:00 tube_change id_mm=8 cuff=air inner_tube=none expiry=2026-11-20",
            '1 09:00 box_check expiries={"gel":"2026-11-22"}',
            "2 08:00 decannulation",
            "3 08:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["tube note 1 08:00..2 08:00 entry", "gel note 1 09:00..2 08:00 entry"],
    ),
    "the box isn't asked about after that, and needs a check for a later tube": (
        "box_incomplete",
        [
            "1 08:00 tube_change id_mm=8 cuff=air inner_tube=none",
            "2 08:00 decannulation",
            "3 08:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["note 1 08:00..2 08:00 entry", "note 3 08:00.."],
    ),
    # incidents
    "a power cut calls until its end": (
        "incident",
        ["a: 2 08:00 incident what=power_cut", "2 11:00 incident what=power_cut ends=@a"],
        ["power_cut call 2 08:00..2 11:00 entry"],
    ),
    "an end that says another thing ends what it points at": (
        "incident",
        ["a: 2 08:00 incident what=equipment", "2 11:00 incident what=other ends=@a"],
        ["equipment call 2 08:00..2 11:00 entry"],
    ),
    "an end of an amended incident ends what stands in its place": (
        "incident",
        [
            "a: 2 08:00 incident what=power_cut",
            "b: 2 09:00 amend a what=power_cut called=nobody",
            "2 11:00 incident what=power_cut ends=@a",
        ],
        ["power_cut call 2 08:00..2 11:00 entry"],
    ),
    "an end that points at the amendment does so too": (
        "incident",
        [
            "a: 2 08:00 incident what=power_cut",
            "b: 2 09:00 amend a what=power_cut called=nobody",
            "2 11:00 incident what=power_cut ends=@b",
        ],
        ["power_cut call 2 08:00..2 11:00 entry"],
    ),
    "the end of one doesn't end another": (
        "incident",
        [
            "a: 2 08:00 incident what=power_cut",
            "2 10:00 incident what=power_cut",
            "2 11:00 incident what=power_cut ends=@a",
        ],
        ["power_cut call 2 08:00..3 10:00 time"],
    ),
    "a call ends after 24 h": (
        "incident",
        ["2 08:00 incident what=equipment"],
        ["equipment call 2 08:00..3 08:00 time"],
    ),
    "another incident is a note for 24 h": (
        "incident",
        ["2 08:00 incident what=other"],
        ["other note 2 08:00..3 08:00 time"],
    ),
    "the tube out is urgent until told, with its subject": (
        "incident",
        [
            "2 08:00 incident what=tube_out",
            "2 08:10 seen rule=incident told=Nell",
            "2 08:20 seen rule=incident subject=bleeding told=Nell",
            "2 08:30 seen rule=incident subject=tube_out told=Nell",
        ],
        ["tube_out urgent 2 08:00..2 08:30 entry"],
    ),
    "each kind of incident is a flag of its own": (
        "incident",
        [
            "2 08:00 incident what=tube_blocked",
            "2 09:00 incident what=bleeding",
            "2 10:00 incident what=breathing",
        ],
        ["tube_blocked urgent 2 08:00..", "bleeding urgent 2 09:00..", "breathing urgent 2 10:00.."],
    ),
    "an entry that ends something raises nothing, even if that isn't here": (
        "incident",
        ['2 08:00 incident what=tube_out ends="11111111-2222-4333-8444-555555555555"'],
        [],
    ),
    "when the end was a slip it isn't over": (
        "incident",
        [
            "a: 2 08:00 incident what=tube_out",
            "e: 2 09:00 incident what=tube_out ends=@a",
            "2 10:00 withdraw e",
        ],
        ["tube_out urgent 2 08:00..2 09:00 entry", "tube_out urgent 2 10:00.."],
    ),
    # the box
    "a box not checked since the tube was placed is a note until a whole check": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"2 08:00 {box()}"],
        ["note 1 00:00..2 08:00 entry"],
    ),
    "without a tube and without a check nothing is said": ("box_incomplete", ["1 00:00 mouth_care"], []),
    "a whole box shows nothing even without a tube": ("box_incomplete", [f"2 08:00 {box()}"], []),
    "a failed change leaves the check as it is": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box()}", f"2 08:00 {TUBE} ease=failed"],
        [],
    ),
    "a missing item is a note": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box(lacking='gloves')}", f"2 08:00 {box()}"],
        ["note 1 00:00..2 08:00 entry"],
    ),
    "an item listed as missing is missing": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"""2 08:00 {box(more='missing=["contacts"]')}"""],
        ["note 1 00:00.."],
    ),
    "an opened item is a note": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"""1 00:00 {box(more='opened=["ties"]')}"""],
        ["note 1 00:00.."],
    ),
    "a missing spare tube calls": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box(lacking='spare_smaller')}"],
        ["call 1 00:00.."],
    ),
    "a spare of the wrong size calls": (
        "box_incomplete",
        ["1 00:00 tube_change id_mm=7.5 cuff=air inner_tube=none", f"1 00:00 {box()}"],
        ["call 1 00:00.."],
    ),
    "another tube makes the spares wrong at that moment": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box()}", "5 10:00 tube_change id_mm=9 cuff=air inner_tube=none"],
        ["call 5 10:00.."],
    ),
    "the same tube anew makes it a note": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box()}", f"5 10:00 {TUBE}"],
        ["note 5 10:00.."],
    ),
    "a spare tube is good on its last day and calls from the day after": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", "1 00:00 " + box(smaller=',"expiry":"2026-11-05"')],
        ["call 6 00:00.."],
    ),
    "another item that has expired isn't the box's": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", "1 00:00 " + box(more='expiries={"gel":"2026-11-05"}')],
        [],
    ),
    "a box that gets its spare tube but lacks gloves starts a new, lower flag": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box(lacking='spare_same')}", f"3 08:00 {box(lacking='gloves')}"],
        ["call 1 00:00..3 08:00 entry", "note 3 08:00.."],
    ),
    "a later check that still lacks the same goes on": (
        "box_incomplete",
        [f"1 00:00 {TUBE}", f"1 00:00 {box(lacking='ties')}", f"3 08:00 {box(lacking='gloves')}"],
        ["note 1 00:00.."],
    ),
    # dates
    "30 days before its last day an item is a note, the day after it calls": (
        "expiry",
        ['1 08:00 box_check expiries={"gel":"2026-12-11"}'],
        ["gel call 11 00:00.."],
    ),
    "31 days before it nothing is said": (
        "expiry",
        ['1 08:00 box_check expiries={"gel":"2026-12-31"}', '30 23:59 box_check expiries={"gel":"2027-12"}'],
        [],
    ),
    "until its last day is over, a note": (
        "expiry",
        ['1 08:00 box_check expiries={"gel":"2026-11-20"}', '20 23:59 box_check expiries={"gel":"2027-06"}'],
        ["gel note 1 08:00..20 23:59 entry"],
    ),
    "a month is good to its end": (
        "expiry",
        ['1 08:00 box_check expiries={"gel":"2026-11"}'],
        ["gel call 1 08:00.."],
    ),
    "a check without dates drops them": (
        "expiry",
        ['1 08:00 box_check expiries={"gel":"2026-11-20"}', "2 08:00 box_check"],
        ["gel note 1 08:00..2 08:00 entry"],
    ),
    "a date further off is another date": (
        "expiry",
        [
            '1 08:00 box_check expiries={"gel":"2026-11-03"}',
            '10 08:00 box_check expiries={"gel":"2026-12-01"}',
            '11 08:00 box_check expiries={"gel":"2027-12-01"}',
        ],
        ["gel call 1 08:00..10 08:00 entry", "gel note 10 08:00..11 08:00 entry"],
    ),
    "a spare's own date counts": (
        "expiry",
        ['1 08:00 box_check spare_same={"id_mm":8,"cuff":"air","expiry":"2026-11-20"}', "2 08:00 box_check"],
        ["spare_same note 1 08:00..2 08:00 entry"],
    ),
    "stock has dates too, and counted 0 has none": (
        "expiry",
        ["1 08:00 stock item=gel~tubes count=5 expiry=2026-11-20", "2 08:00 stock item=gel~tubes count=0"],
        ["gel tubes note 1 08:00..2 08:00 entry"],
    ),
    "a later count without a date keeps the date": (
        "expiry",
        ["1 08:00 stock item=HME count=5 expiry=2026-11-20", "2 08:00 stock item=HME count=4"],
        ["HME call 1 08:00.."],
    ),
    "of one name in box and stock the earlier date counts": (
        "expiry",
        [
            '1 08:00 box_check expiries={"gel":"2026-12-20"}',
            "1 09:00 stock item=gel count=5 expiry=2026-12-05",
        ],
        ["gel call 5 00:00.."],
    ),
    # equipment
    "a device that doesn't work calls until it does": (
        "equipment",
        [
            "2 08:00 equipment_check device=nebuliser works=false",
            "2 09:00 equipment_check device=nebuliser works=true",
        ],
        ["nebuliser call 2 08:00..2 09:00 entry"],
    ),
    "a device that works shows nothing": (
        "equipment",
        ["2 08:00 equipment_check device=nebuliser works=true"],
        [],
    ),
    "a full canister calls until it is emptied, whatever other checks say": (
        "equipment",
        [
            "2 07:00 equipment_check device=suction_backup works=true",
            "2 08:00 equipment_check device=suction_machine works=true canister=full",
            "2 09:00 equipment_check device=suction_machine works=true",
            "2 10:00 equipment_check device=suction_machine works=true canister=emptied",
        ],
        ["suction_machine call 2 08:00..2 10:00 entry"],
    ),
    "the service is good on its day and a note from the day after": (
        "equipment",
        [
            "1 08:00 equipment_check device=nebuliser works=true next_service=2026-11-05",
            "3 08:00 equipment_check device=nebuliser works=true",
            "7 08:00 equipment_check device=nebuliser works=true next_service=2027-11-05",
        ],
        ["nebuliser note 6 00:00..7 08:00 entry"],
    ),
    "a device that works again but is due for service falls to a note": (
        "equipment",
        [
            "6 08:00 equipment_check device=nebuliser works=false next_service=2026-11-05",
            "7 08:00 equipment_check device=nebuliser works=true",
        ],
        ["nebuliser call 6 08:00..7 08:00 entry", "nebuliser note 7 08:00.."],
    ),
    "given back it shows nothing, and what was said before doesn't return": (
        "equipment",
        [
            "2 08:00 equipment_check device=nebuliser works=false next_service=2026-11-05",
            "3 08:00 equipment_check device=nebuliser works=false given_back=true",
            "6 08:00 equipment_check device=nebuliser works=true",
        ],
        ["nebuliser call 2 08:00..3 08:00 entry"],
    ),
    "where no suction works it is urgent, until one does": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_machine works=false",
            "2 09:00 equipment_check device=suction_backup works=false",
            "2 10:00 equipment_check device=suction_backup works=true",
        ],
        [
            "suction urgent 2 08:00..2 10:00 entry",
            "suction_machine call 2 08:00..",
            "suction_backup call 2 09:00..2 10:00 entry",
        ],
    ),
    "with a backup that works it isn't": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_backup works=true",
            "2 09:00 equipment_check device=suction_machine works=false",
        ],
        ["suction_machine call 2 09:00.."],
    ),
    "a backup with a full canister doesn't count as working": (
        "equipment",
        [
            "2 08:00 equipment_check device=suction_backup works=true canister=full",
            "2 08:30 equipment_check device=suction_backup works=true canister=emptied",
        ],
        ["suction urgent 2 08:00..2 08:30 entry", "suction_backup call 2 08:00..2 08:30 entry"],
    ),
    "given back, a machine that doesn't work isn't missed": (
        "equipment",
        ["2 08:00 equipment_check device=suction_machine works=false given_back=true"],
        [],
    ),
}
