"""The inner tube, the tube itself and its date."""

from tests.flags.cases.case import Case

TUBE = "tube_change id_mm=8 cuff=air inner_tube=reusable"

CASES: dict[str, Case] = {
    # stuck
    "a stuck inner tube calls until it is out": (
        "stuck_inner_tube",
        [
            "2 08:00 inner_tube outcome=stuck",
            "2 08:10 seen rule=stuck_inner_tube told=Nell",
            "2 08:30 inner_tube outcome=clear",
        ],
        ["call 2 08:00..2 08:30 entry"],
    ),
    "it never ends by time": ("stuck_inner_tube", ["2 08:00 inner_tube outcome=stuck"], ["call 2 08:00.."]),
    "an inner tube that is out shows nothing": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=replaced"],
        [],
    ),
    "a tube change frees it, a failed one doesn't": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=stuck", f"2 09:00 {TUBE} ease=failed", f"2 10:00 {TUBE}"],
        ["call 2 08:00..2 10:00 entry"],
    ),
    "out before it, written down later, ends nothing": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=stuck", "2 07:00 > 2 09:00 inner_tube outcome=cleaned"],
        ["call 2 08:00.."],
    ),
    "a tight catheter exactly 2 h later makes it urgent": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=stuck", "2 10:00 suction catheter_passed=tight"],
        ["urgent 2 08:00.."],
    ),
    "a second later it doesn't": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=stuck", "2 10:00:01 suction catheter_passed=no"],
        ["call 2 08:00.."],
    ),
    "harder breathing 2 h before makes it urgent at once": (
        "stuck_inner_tube",
        ["2 06:00 suction breathing_after=harder", "2 08:00 inner_tube outcome=stuck"],
        ["urgent 2 08:00.."],
    ),
    "a catheter that passed freely, or about which nothing is said, doesn't": (
        "stuck_inner_tube",
        [
            "2 07:50 suction catheter_passed=freely breathing_after=same",
            "2 08:00 inner_tube outcome=stuck",
            "2 08:10 suction amount=small",
        ],
        ["call 2 08:00.."],
    ),
    "when the tight catheter was a slip, the urgent flag ends and a call begins": (
        "stuck_inner_tube",
        [
            "2 08:00 inner_tube outcome=stuck",
            "a: 2 08:10 suction catheter_passed=tight",
            "2 09:00 withdraw a",
            "2 10:00 inner_tube outcome=cleaned",
        ],
        ["urgent 2 08:00..2 09:00 entry", "call 2 09:00..2 10:00 entry"],
    ),
    # blocking
    "an inner tube found blocked calls for 24 h": (
        "inner_tube_blocking",
        ["2 08:00 inner_tube outcome=cleaned found=blocked"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "found crusted shows nothing": (
        "inner_tube_blocking",
        ["2 08:00 inner_tube outcome=cleaned found=crusted"],
        [],
    ),
    # fenestrated
    "suction through a fenestrated one is a note until a plain one is fitted": (
        "fenestrated",
        [
            "2 07:00 inner_tube outcome=cleaned fitted=fenestrated",
            "2 08:00 suction route=tracheal",
            "2 08:30 inner_tube outcome=cleaned",
            "2 09:00 inner_tube outcome=cleaned fitted=plain",
        ],
        ["note 2 08:00..2 09:00 entry"],
    ),
    "suction by mouth or above the cuff shows nothing": (
        "fenestrated",
        [
            "2 07:00 inner_tube outcome=cleaned fitted=fenestrated",
            "2 08:00 suction route=oral",
            "2 09:00 suction route=subglottic",
        ],
        [],
    ),
    "suction before it was fitted shows nothing": (
        "fenestrated",
        ["2 07:00 suction", "2 08:00 inner_tube outcome=cleaned fitted=fenestrated"],
        [],
    ),
    "a plain one shows nothing": (
        "fenestrated",
        ["2 07:00 inner_tube outcome=cleaned fitted=plain", "2 08:00 suction"],
        [],
    ),
    "the start of the quiet hours shows it": (
        "fenestrated",
        [
            '1 00:00 plan set_by=nurse quiet=["23:00","06:00"]',
            "2 07:00 inner_tube outcome=cleaned fitted=fenestrated",
        ],
        ["note 2 23:00.."],
    ),
    "fitted within the quiet hours it is the next start": (
        "fenestrated",
        [
            '1 00:00 plan set_by=nurse quiet=["23:00","06:00"]',
            "2 23:30 inner_tube outcome=cleaned fitted=fenestrated",
            f"4 12:00 {TUBE}",
        ],
        ["note 3 23:00..4 12:00 entry"],
    ),
    "without quiet hours no night shows it": (
        "fenestrated",
        ["1 00:00 plan set_by=nurse", "2 07:00 inner_tube outcome=cleaned fitted=fenestrated"],
        [],
    ),
    # a change that failed
    "a failed tube change is urgent until one succeeds": (
        "tube_change_failed",
        [f"2 08:00 {TUBE} ease=failed", f"2 09:00 {TUBE} ease=hard"],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "or until somebody is told": (
        "tube_change_failed",
        [f"2 08:00 {TUBE} ease=failed", "2 08:20 seen rule=tube_change_failed told=Nell"],
        ["urgent 2 08:00..2 08:20 entry"],
    ),
    "a change that was hard shows nothing": ("tube_change_failed", [f"2 08:00 {TUBE} ease=hard"], []),
    "a success before it, written down later, ends nothing": (
        "tube_change_failed",
        [f"2 08:00 {TUBE} ease=failed", f"2 07:00 > 2 09:00 {TUBE}"],
        ["urgent 2 08:00.."],
    ),
    # the date
    "3 days before its date the tube is a note, on the day it calls": (
        "tube_age",
        [f"1 00:00 {TUBE} next_due=2026-11-10"],
        ["call 7 00:00.."],
    ),
    "until the day before, a note": (
        "tube_age",
        [f"1 00:00 {TUBE} next_due=2026-11-10", f"9 23:00 {TUBE} next_due=2026-12-08"],
        ["note 7 00:00..9 23:00 entry", "call 35 00:00.."],
    ),
    "a tube without a date shows nothing": ("tube_age", [f"1 00:00 {TUBE}"], []),
    "a failed change doesn't move the date": (
        "tube_age",
        [f"1 00:00 {TUBE} next_due=2026-11-10", f"11 10:00 {TUBE} ease=failed"],
        ["call 7 00:00.."],
    ),
    "a new date near by ends the call and begins a note": (
        "tube_age",
        [
            f"a: 1 00:00 {TUBE} next_due=2026-11-10",
            '10 09:00 amend a id_mm=8 cuff="air" inner_tube="reusable" next_due="2026-11-12"',
        ],
        ["call 7 00:00..10 09:00 entry", "call 10 09:00.."],
    ),
    "a new date far off ends it": (
        "tube_age",
        [
            f"a: 1 00:00 {TUBE} next_due=2026-11-10",
            '8 09:00 amend a id_mm=8 cuff="air" inner_tube="reusable" next_due="2026-11-20"',
        ],
        ["note 7 00:00..8 09:00 entry", "call 17 00:00.."],
    ),
    "a change of last month written down late isn't the tube in place": (
        "tube_age",
        [
            f"3 00:00 {TUBE} next_due=2026-11-20",
            f"1 00:00 > 4 00:00 {TUBE} next_due=2026-11-04",
        ],
        ["call 17 00:00.."],
    ),
}
