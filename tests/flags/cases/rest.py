"""Ties, outings, registrations, oxygen, plugs, urgent limits."""

from tests.flags.cases.case import Case
from tests.flags.cases.readings import plan

URGENT = plan('{"spo2_percent":{"low":92,"urgent_low":88}}')
HELPED = "1 00:00 person name=Odette helped_by=ventilator_always"

CASES: dict[str, Case] = {
    # ties
    "loose ties are a note until one finger fits": (
        "ties_fit",
        ["2 08:00 ties action=checked fit=loose", "3 08:00 ties action=changed fit=one_finger"],
        ["note 2 08:00..3 08:00 entry"],
    ),
    "tight ties are one too, and an entry that says nothing of the fit ends nothing": (
        "ties_fit",
        ["2 08:00 ties action=checked fit=tight", "3 08:00 ties action=changed", "3 09:00 decannulation"],
        ["note 2 08:00..3 09:00 entry"],
    ),
    "one finger is no note": ("ties_fit", ["2 08:00 ties action=checked fit=one_finger"], []),
    "one finger before, written down later, ends nothing": (
        "ties_fit",
        ["2 08:00 ties action=checked fit=loose", "2 07:00 > 2 09:00 ties action=checked fit=one_finger"],
        ["note 2 08:00.."],
    ),
    # outings
    "left without the portable suction calls until somebody is back": (
        "left_without",
        ['2 08:00 outing action=leaving missing=["portable_suction"]', "2 12:00 outing action=back"],
        ["call 2 08:00..2 12:00 entry"],
    ),
    "a later outing with all of it ends it, one without doesn't": (
        "left_without",
        [
            '2 08:00 outing action=leaving missing=["spare_same"]',
            '3 08:00 outing action=leaving missing=["catheters"]',
            '4 08:00 outing action=leaving missing=["gloves"]',
        ],
        ["call 2 08:00..4 08:00 entry"],
    ),
    "gloves, or a line of the household's own list, aren't called about": (
        "left_without",
        ['2 08:00 outing action=leaving missing=["gloves"]'],
        [],
    ),
    "what was missing on coming back is no flag": (
        "left_without",
        ['2 08:00 outing action=back missing=["spare_smaller"]'],
        [],
    ),
    # registrations
    "30 days before it is a note, from the day after a call with a ventilator": (
        "registration",
        [HELPED, "1 08:00 registration what=electricity_priority renew_by=2026-12-05"],
        ["electricity_priority call 5 00:00.."],
    ),
    "it is a note only, where nobody is helped by a ventilator": (
        "registration",
        ["1 08:00 registration what=ambulance renew_by=2026-11-05"],
        ["ambulance note 1 08:00.."],
    ),
    "or where it is another sort": (
        "registration",
        [HELPED, "1 08:00 registration what=supplier renew_by=2026-11-05"],
        ["supplier note 1 08:00.."],
    ),
    "a newer one of its sort ends it, of another sort doesn't": (
        "registration",
        [
            "1 08:00 registration what=ambulance renew_by=2026-11-05",
            "2 08:00 registration what=supplier renew_by=2027-11-05",
            "3 08:00 registration what=ambulance renew_by=2027-11-05",
        ],
        ["ambulance note 1 08:00..3 08:00 entry"],
    ),
    "one without a date asks for none": ("registration", ["1 08:00 registration what=other"], []),
    "a newer one that runs out later begins anew": (
        "registration",
        [
            HELPED,
            "1 08:00 registration what=ambulance renew_by=2026-10-20",
            "2 08:00 registration what=ambulance renew_by=2026-11-20",
        ],
        ["ambulance call 1 08:00..2 08:00 entry", "ambulance call 2 08:00.."],
    ),
    # oxygen
    "more oxygen than the plan's limit calls until it is inside": (
        "oxygen",
        [
            plan('{"oxygen_l_min":{"high":2}}'),
            "2 08:00 observations oxygen_l_min=2.5",
            "2 09:00 observations oxygen_l_min=2",
        ],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "an urgent limit may stand alone": (
        "oxygen",
        [
            plan('{"oxygen_l_min":{"urgent_high":5}}'),
            "2 08:00 observations oxygen_l_min=5",
            "2 09:00 observations oxygen_l_min=5.5",
        ],
        ["urgent 2 09:00.."],
    ),
    "oxygen with no limit shows nothing": ("oxygen", ["2 08:00 observations oxygen_l_min=9"], []),
    # urgent limits
    "under the urgent limit it is urgent, at it a call": (
        "spo2",
        [URGENT, "2 08:00 observations spo2_percent=88", "2 09:00 observations spo2_percent=87"],
        ["urgent 2 08:00.."],
    ),
    "a call isn't ended by telling": (
        "spo2",
        [URGENT, "2 08:00 observations spo2_percent=90", "2 09:00 seen rule=spo2 told=Nell"],
        ["call 2 08:00.."],
    ),
    "an urgent one is, with every reading known then": (
        "spo2",
        [
            URGENT,
            "2 08:00 observations spo2_percent=90",
            "2 08:10 observations spo2_percent=85",
            "2 08:20 observations spo2_percent=90",
            "2 09:00 seen rule=spo2 told=Nell",
        ],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "after that a call begins anew and isn't ended by telling": (
        "spo2",
        [
            URGENT,
            "2 08:00 observations spo2_percent=85",
            "2 09:00 seen rule=spo2 told=Nell",
            "2 10:00 observations spo2_percent=90",
            "2 11:00 seen rule=spo2 told=Nell",
            "2 12:00 observations spo2_percent=95",
        ],
        ["urgent 2 08:00..2 09:00 entry", "call 2 10:00..2 12:00 entry"],
    ),
    "a telling that was a slip brings it back": (
        "spo2",
        [
            URGENT,
            "2 08:00 observations spo2_percent=85",
            "told: 2 09:00 seen rule=spo2 told=Nell",
            "2 09:00 > 2 10:00 withdraw told",
        ],
        ["urgent 2 08:00..2 09:00 entry", "urgent 2 10:00.."],
    ),
    "an urgent reading that was completed was told of already": (
        "spo2",
        [
            URGENT,
            "low: 2 08:00 observations spo2_percent=85",
            "2 09:00 seen rule=spo2 told=Nell",
            "2 08:00 > 2 10:00 amend low spo2_percent=85 pulse_per_min=80",
        ],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "a temperature over the urgent limit is urgent, though 38 counts below it": (
        "temperature",
        [
            plan('{"temperature_c":{"urgent_high":39.5}}'),
            "2 08:00 observations temperature_c=39.5",
            "2 09:00 observations temperature_c=39.6",
        ],
        ["urgent 2 08:00.."],
    ),
    "34.9 °C calls without any plan, 35.0 °C doesn't": (
        "temperature",
        ["2 08:00 observations temperature_c=34.9", "2 09:00 observations temperature_c=35"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "the plan's low number wins over 35.0 °C": (
        "temperature",
        [
            plan('{"temperature_c":{"low":36}}'),
            "2 08:00 observations temperature_c=36",
            "2 09:00 observations temperature_c=35.9",
        ],
        ["call 2 09:00.."],
    ),
    "94.9 °F is 34.9 °C": ("temperature", ["2 08:00 observations temperature_f=94.9"], ["call 2 08:00.."]),
    # plugs
    "a plug calls for 24 h": ("plug", ["2 08:00 suction consistency=plug"], ["call 2 08:00..3 08:00 time"]),
    "crusts are no plug": ("plug", ["2 08:00 suction consistency=crusts"], []),
    # blood
    "blood from the edge of the stoma calls, for 24 h": (
        "blood",
        ["2 08:00 stoma fluid=blood fluid_from=skin_edge"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "blood at the stoma of which nobody says from where is urgent": (
        "blood",
        ["2 08:00 stoma fluid=blood"],
        ["urgent 2 08:00.."],
    ),
    "a large amount with streaks calls by itself": (
        "blood",
        ["2 08:00 suction blood=streaks amount=large"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "a large amount without blood, or a small one with, doesn't": (
        "blood",
        ["2 08:00 suction amount=large", "3 09:00 suction colour=pink amount=moderate"],
        [],
    ),
    "fresh bleeding at a nurse's planned change calls": (
        "blood",
        [
            "1 00:00 recorder initials=AB role=nurse",
            "2 08:00 tube_change id_mm=8 cuff=air inner_tube=none reason=planned bleeding=fresh",
        ],
        ["call 2 08:00..3 08:00 time"],
    ),
    "a relative's is urgent": (
        "blood",
        [
            "1 00:00 recorder initials=AB role=relative",
            "2 08:00 tube_change id_mm=8 cuff=air inner_tube=none reason=planned bleeding=fresh",
        ],
        ["urgent 2 08:00.."],
    ),
    "and a nurse's is urgent where the change wasn't planned": (
        "blood",
        [
            "1 00:00 recorder initials=AB role=nurse",
            "2 08:00 tube_change id_mm=8 cuff=air inner_tube=none reason=blocked bleeding=fresh",
        ],
        ["urgent 2 08:00.."],
    ),
    "who became a nurse later was none then": (
        "blood",
        [
            "1 00:00 recorder initials=AB role=relative",
            "2 08:00 tube_change id_mm=8 cuff=air inner_tube=none reason=planned bleeding=fresh",
            "2 09:00 recorder initials=AB role=nurse",
        ],
        ["urgent 2 08:00.."],
    ),
}
