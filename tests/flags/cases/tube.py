"""The inner tube, the tube itself and its date."""

from tests.flags.cases.case import Case

TUBE = "tube_change id_mm=8 cuff=air inner_tube=reusable"

CASES: dict[str, Case] = {
    "nothing is stuck, blocked or fenestrated once the tube was taken out for good": (
        "stuck_inner_tube",
        ["2 08:00 inner_tube outcome=stuck", "2 09:00 decannulation", f"2 10:00 {TUBE}"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "what was blocked is over with the tube": (
        "inner_tube_blocking",
        ["2 08:00 inner_tube outcome=cleaned found=blocked", "2 09:00 decannulation"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "what was fitted is over with the tube": (
        "fenestrated",
        [
            "2 08:00 inner_tube outcome=replaced fitted=fenestrated",
            "2 08:30 suction amount=small",
            "2 09:00 decannulation",
        ],
        ["note 2 08:30..2 09:00 entry"],
    ),
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
    "a tube without a date is a note after 30 days": (
        "tube_age",
        [f"1 08:00 {TUBE}"],
        ["note 31 08:00.."],
    ),
    "a date that is written down ends the note without one": (
        "tube_age",
        [f"1 08:00 {TUBE}", f"31 08:00 {TUBE}"],
        [],
    ),
    "a failed change places nothing": (
        "tube_age",
        [f"1 08:00 {TUBE}", f"20 08:00 {TUBE} ease=failed", f"33 08:00 {TUBE}"],
        ["note 31 08:00..33 08:00 entry"],
    ),
    "no tube has no age once it was taken out for good": (
        "tube_age",
        [f"1 08:00 {TUBE} next_due=2026-11-10", "8 08:00 decannulation"],
        ["note 7 00:00..8 08:00 entry"],
    ),
    # a hard change
    "a hard change is a note for 7 days after it happened": (
        "tube_change_hard",
        [f"2 08:00 > 2 10:00 {TUBE} ease=hard"],
        ["note 2 10:00..9 08:00 time"],
    ),
    "an easy one later ends it, one that wasn't described doesn't": (
        "tube_change_hard",
        [f"2 08:00 {TUBE} ease=hard", f"3 08:00 {TUBE}", f"4 08:00 {TUBE} ease=easy"],
        ["note 2 08:00..4 08:00 entry"],
    ),
    "an easy one before it ends nothing": (
        "tube_change_hard",
        [f"2 08:00 {TUBE} ease=hard", f"1 08:00 > 2 09:00 {TUBE} ease=easy"],
        ["note 2 08:00..9 08:00 time"],
    ),
    "telling ends the note of a hard change": (
        "tube_change_hard",
        [f"2 08:00 {TUBE} ease=hard", "2 09:00 seen rule=tube_change_hard told=Nell"],
        ["note 2 08:00..2 09:00 entry"],
    ),
    "an easy change is no note": ("tube_change_hard", [f"2 08:00 {TUBE} ease=easy"], []),
    "a hard change is over once the tube was taken out for good": (
        "tube_change_hard",
        [f"2 08:00 {TUBE} ease=hard", "3 08:00 decannulation", f"4 08:00 {TUBE}"],
        ["note 2 08:00..3 08:00 entry"],
    ),
    # swelling
    "swelling within 24 h after a change calls for 24 h": (
        "swelling_after_change",
        [f"2 08:00 {TUBE}", "3 08:00 stoma swelling=true"],
        ["call 3 08:00..4 08:00 time"],
    ),
    "a second later it doesn't call": (
        "swelling_after_change",
        [f"2 08:00 {TUBE}", "3 08:00:01 stoma swelling=true"],
        [],
    ),
    "a change that failed counts, the first entry about a tube doesn't": (
        "swelling_after_change",
        [
            f"2 08:00 {TUBE} reason=first_entry",
            "2 09:00 stoma swelling=true",
            f"2 10:00 {TUBE} ease=failed",
            "2 11:00 stoma swelling=true",
        ],
        ["call 2 11:00..3 11:00 time"],
    ),
    "swelling before the change isn't after it": (
        "swelling_after_change",
        ["2 07:00 stoma swelling=true", f"2 08:00 {TUBE}", "2 09:00 stoma swelling=false"],
        [],
    ),
    "a change written down later makes it call from then on": (
        "swelling_after_change",
        ["2 09:00 stoma swelling=true", f"2 08:00 > 2 12:00 {TUBE}"],
        ["call 2 12:00..3 12:00 time"],
    ),
    "telling ends it": (
        "swelling_after_change",
        [
            f"2 08:00 {TUBE}",
            "2 09:00 stoma swelling=true",
            "2 10:00 seen rule=swelling_after_change told=Nell",
        ],
        ["call 2 09:00..2 10:00 entry"],
    ),
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
