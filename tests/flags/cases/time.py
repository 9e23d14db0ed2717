"""Tasks that are overdue, and silence."""

from tests.flags.cases.case import Case


def plan(*tasks: str, at: str = "1 00:00", more: str = "") -> str:
    """A plan of tasks."""
    return f"{at} plan set_by=nurse tasks=[{','.join(tasks)}] {more}".strip()


MOUTH = '{"kind":"mouth_care","every_h":8}'
INNER = '{"kind":"inner_tube","every_h":8}'
CUFF = '{"kind":"cuff_pressure","every_h":12}'
TIMES = '{"kind":"mouth_care","times":["08:00","20:00"]}'
INNER_TIMES = '{"kind":"inner_tube","times":["08:00","20:00"]}'
QUIET = 'quiet=["23:00","06:00"]'
MACHINE = '{"kind":"equipment_check","every_h":24,"where":{"device":"suction_machine"}}'
CLEAN = "inner_tube outcome=cleaned"
AIR = "1 00:00 tube_change id_mm=8 cuff=air inner_tube=none"

CASES: dict[str, Case] = {
    "late from due and grace on, until the next doing": (
        "overdue",
        [plan(MOUTH), "1 08:00 mouth_care", "1 19:00 mouth_care"],
        ["mouth_care note 1 17:00..1 19:00 entry", "mouth_care note 2 04:00.."],
    ),
    "done a second before it isn't late": (
        "overdue",
        [plan(MOUTH), "1 08:00 mouth_care", "1 16:59:59 mouth_care", "2 00:00 plan set_by=nurse"],
        [],
    ),
    "done at the very moment it isn't late": (
        "overdue",
        [plan(MOUTH), "1 08:00 mouth_care", "1 17:00 mouth_care", "2 00:00 plan set_by=nurse"],
        [],
    ),
    "never done counts as done at the start": ("overdue", [plan(MOUTH)], ["mouth_care note 1 09:00.."]),
    "its own grace counts": (
        "overdue",
        [plan('{"kind":"mouth_care","every_h":8,"grace_min":0}')],
        ["mouth_care note 1 08:00.."],
    ),
    "another kind doesn't do it": (
        "overdue",
        [plan(MOUTH), "1 08:30 suction"],
        ["mouth_care note 1 09:00.."],
    ),
    "a doing written down late ends it when it is known": (
        "overdue",
        [plan(MOUTH), "1 08:00 > 1 12:00 mouth_care", "1 16:00 plan set_by=nurse"],
        ["mouth_care note 1 09:00..1 12:00 entry"],
    ),
    "a doing so old that it is late again goes on": (
        "overdue",
        [plan(MOUTH), "1 02:00 > 1 12:00 mouth_care"],
        ["mouth_care note 1 09:00.."],
    ),
    "a doing that was a slip makes it late again": (
        "overdue",
        [plan(MOUTH), "a: 1 08:00 mouth_care", "1 12:00 withdraw a"],
        ["mouth_care note 1 12:00.."],
    ),
    "a stuck inner tube isn't a doing": (
        "overdue",
        [plan(INNER), "1 07:00 inner_tube outcome=stuck"],
        ["inner_tube call 1 09:00.."],
    ),
    "an inner tube calls one more interval after it got late": (
        "overdue",
        [plan(INNER), f"1 08:00 {CLEAN}", f"2 00:59:59 {CLEAN}", "2 08:00 plan set_by=nurse"],
        ["inner_tube note 1 17:00..2 00:59:59 entry"],
    ),
    "at that interval it calls": (
        "overdue",
        [plan(INNER), f"1 08:00 {CLEAN}", f"2 01:00:01 {CLEAN}", "2 08:00 plan set_by=nurse"],
        ["inner_tube call 1 17:00..2 01:00:01 entry"],
    ),
    "mouth care never calls": ("overdue", [plan(MOUTH)], ["mouth_care note 1 09:00.."]),
    "an equipment check calls, and its subject names the device": (
        "overdue",
        [plan(MACHINE), "1 06:00 equipment_check device=nebuliser works=true"],
        ["equipment_check:suction_machine call 2 01:00.."],
    ),
    "the old plan's interval makes it call, whatever a new plan says": (
        "overdue",
        [
            plan(INNER),
            f"1 08:00 {CLEAN}",
            plan('{"kind":"inner_tube","every_h":2}', at="1 18:00"),
            plan('{"kind":"inner_tube","every_h":48}', at="1 19:00"),
            f"2 00:30 {CLEAN}",
            "2 03:00 plan set_by=nurse",
        ],
        ["inner_tube note 1 17:00..2 00:30 entry"],
    ),
    "a new plan's task starts anew": (
        "overdue",
        [plan(MOUTH), plan('{"kind":"mouth_care","every_h":4}', at="1 07:00")],
        ["mouth_care note 1 12:00.."],
    ),
    "a new plan with the same task doesn't": (
        "overdue",
        [plan(MOUTH), plan('{"kind":"mouth_care","every_h":8,"grace_min":60}', at="1 07:00")],
        ["mouth_care note 1 09:00.."],
    ),
    "a plan without the task ends it": (
        "overdue",
        [plan(MOUTH), "1 12:00 plan set_by=nurse"],
        ["mouth_care note 1 09:00..1 12:00 entry"],
    ),
    "a plan without the task that begins later ends it by time": (
        "overdue",
        [plan(MOUTH), '1 10:00 plan set_by=nurse from="2026-11-01T12:00:00Z"'],
        ["mouth_care note 1 09:00..1 12:00 time"],
    ),
    "a stay ends it, and it starts again when the stay is over": (
        "overdue",
        [
            plan(MOUTH),
            "1 08:00 mouth_care",
            "1 18:00 stay action=start",
            "5 10:00 stay action=end",
            "5 10:30 suction",
            "6 10:00 plan set_by=nurse",
        ],
        ["mouth_care note 1 17:00..1 18:00 entry", "mouth_care note 5 19:00..6 10:00 entry"],
    ),
    "an end without a start isn't a stay": (
        "overdue",
        [plan(MOUTH), "1 08:30 stay action=end"],
        ["mouth_care note 1 09:00.."],
    ),
    "in the quiet span it gets late at its end": (
        "overdue",
        [plan(MOUTH, more=QUIET, at="1 14:00"), "1 14:30 mouth_care"],
        ["mouth_care note 2 06:00.."],
    ),
    "a due inside the quiet span moves to its start": (
        "overdue",
        [
            plan('{"kind":"mouth_care","every_h":8,"grace_min":0}', more=QUIET, at="1 14:00"),
            "1 16:00 mouth_care",
        ],
        ["mouth_care note 2 06:00.."],
    ),
    "done too near to it the due moves to its end": (
        "overdue",
        [plan(MOUTH, more=QUIET, at="1 19:00"), "1 20:00 mouth_care"],
        ["mouth_care note 2 07:00.."],
    ),
    "a task without quiet of its own isn't held back": (
        "overdue",
        [
            plan('{"kind":"mouth_care","every_h":8,"quiet":null}', more=QUIET, at="1 14:00"),
            "1 14:30 mouth_care",
        ],
        ["mouth_care note 1 23:30.."],
    ),
    # clock times
    "a slot is late after its grace, until a doing": (
        "overdue",
        [
            plan(TIMES),
            "1 07:00 mouth_care",
            "1 21:30 mouth_care",
            "2 07:00 mouth_care",
            "2 12:00 plan set_by=nurse",
        ],
        ["mouth_care note 1 21:00..1 21:30 entry"],
    ),
    "a doing before the slot opens doesn't do it": (
        "overdue",
        [plan(TIMES), "1 06:59:59 mouth_care", "1 12:00 plan set_by=nurse"],
        ["mouth_care note 1 09:00..1 12:00 entry"],
    ),
    "it stays though the due moves on to the next slot": (
        "overdue",
        [plan(TIMES), "1 19:30 mouth_care", "2 07:00 mouth_care", "2 12:00 plan set_by=nurse"],
        ["mouth_care note 1 09:00..1 19:30 entry"],
    ),
    "slots before the start aren't asked for": (
        "overdue",
        [plan(TIMES, at="1 08:01"), "2 00:00 plan set_by=nurse"],
        ["mouth_care note 1 21:00..2 00:00 entry"],
    ),
    "the second slot in a row makes it call": (
        "overdue",
        [plan(INNER_TIMES), f"1 20:59:59 {CLEAN}", f"2 07:00 {CLEAN}", "2 12:00 plan set_by=nurse"],
        ["inner_tube note 1 09:00..1 20:59:59 entry"],
    ),
    "at the second slot's grace it calls": (
        "overdue",
        [plan(INNER_TIMES), f"1 21:00:01 {CLEAN}", f"2 07:00 {CLEAN}", "2 12:00 plan set_by=nurse"],
        ["inner_tube call 1 09:00..1 21:00:01 entry"],
    ),
    "asked for in the quiet hours by times, it is late in them": (
        "overdue",
        [
            plan('{"kind":"mouth_care","times":["00:30"]}', more=QUIET),
            "2 02:00 mouth_care",
            "2 12:00 plan set_by=nurse",
        ],
        ["mouth_care note 1 01:30..2 02:00 entry"],
    ),
    # the cuff's pressure
    "the cuff let down ends it, put up it starts anew": (
        "overdue",
        [
            plan(CUFF),
            AIR,
            "1 14:00 cuff_state state=down",
            "2 10:00 cuff_state state=up",
            "2 22:00 cuff_pressure value=25 unit=cmH2O",
            "3 00:00 plan set_by=nurse",
        ],
        ["cuff_pressure note 1 13:00..1 14:00 entry"],
    ),
    "after the cuff is put up nothing is late before its grace": (
        "overdue",
        [
            plan(CUFF),
            AIR,
            "1 01:00 cuff_pressure value=25 unit=cmH2O",
            "1 02:00 cuff_state state=down",
            "2 10:00 cuff_state state=up",
            "2 12:00 plan set_by=nurse",
        ],
        ["cuff_pressure note 2 11:00..2 12:00 entry"],
    ),
    "with a tube without an air cuff there is no task": (
        "overdue",
        [plan(CUFF), "1 00:00 tube_change id_mm=8 cuff=water inner_tube=none"],
        [],
    ),
    # silence
    "12 h after the last entry silence is a note": (
        "nothing_recorded",
        ["2 08:00 mouth_care", "2 22:00 mouth_care"],
        ["note 2 20:00..2 22:00 entry", "note 3 10:00.."],
    ),
    "an entry at the very moment prevents it": (
        "nothing_recorded",
        ["2 08:00 mouth_care", "2 20:00 mouth_care", "3 07:00 stay action=start"],
        [],
    ),
    "what counts is when it became known": (
        "nothing_recorded",
        ["2 08:00 > 2 10:00 mouth_care"],
        ["note 2 22:00.."],
    ),
    "a change counts as an entry": (
        "nothing_recorded",
        ["a: 2 08:00 mouth_care", "2 19:00 withdraw a"],
        ["note 3 07:00.."],
    ),
    "quiet hours aren't counted": (
        "nothing_recorded",
        [plan(more=QUIET, at="2 00:00"), "2 18:00 mouth_care"],
        ["note 3 13:00.."],
    ),
    "written within the quiet hours, they are counted from their end": (
        "nothing_recorded",
        [plan(more=QUIET, at="2 13:00"), "2 23:30 mouth_care"],
        ["note 3 18:00.."],
    ),
    "not during a stay": ("nothing_recorded", ["2 08:00 stay action=start"], []),
    "but after it": (
        "nothing_recorded",
        ["2 08:00 stay action=start", "4 08:00 stay action=end"],
        ["note 4 20:00.."],
    ),
    "a plan amended while it is late keeps the flag, at the level that it has": (
        "overdue",
        [
            f"p: {plan(INNER)}",
            f"1 08:00 {CLEAN}",
            f'2 02:00 amend p set_by=nurse tasks=[{INNER},{{"kind":"ties","every_h":96}}]',
            f"2 03:00 {CLEAN}",
            "2 10:00 plan set_by=nurse",
        ],
        ["inner_tube call 1 17:00..2 03:00 entry"],
    ),
    "a plan amended so that it wasn't late ends it": (
        "overdue",
        [f"p: {plan(MOUTH)}", '1 12:00 amend p set_by=nurse tasks=[{"kind":"mouth_care","every_h":96}]'],
        ["mouth_care note 1 09:00..1 12:00 entry", "mouth_care note 5 01:00.."],
    ),
    "a doing amended to a later time makes the call a new note": (
        "overdue",
        [
            plan(INNER),
            f"a: 1 08:00 {CLEAN}",
            f"1 14:00 > 2 02:00 amend a {CLEAN[len('inner_tube ') :]}",
            f"2 03:00 {CLEAN}",
            "2 10:00 plan set_by=nurse",
        ],
        ["inner_tube call 1 17:00..2 02:00 entry", "inner_tube note 2 02:00..2 03:00 entry"],
    ),
    "a doing before the stay doesn't make it late after it": (
        "overdue",
        [
            plan(MOUTH),
            "1 08:00 mouth_care",
            "1 12:00 stay action=start",
            "2 12:00 stay action=end",
            "2 21:30 mouth_care",
            "2 22:00 plan set_by=nurse",
        ],
        ["mouth_care note 2 21:00..2 21:30 entry"],
    ),
    "a gap ends it, and it gets late again an interval after the gap's end": (
        "overdue",
        [
            plan(MOUTH),
            "1 08:00 mouth_care",
            "3 10:00 gap since=2026-11-01T09:00:00Z",
            "3 20:00 mouth_care",
            "3 22:00 plan set_by=nurse",
        ],
        ["mouth_care note 1 17:00..3 10:00 entry", "mouth_care note 3 19:00..3 20:00 entry"],
    ),
    "a tube taken out for good ends what is asked of the tube, and it comes back with a tube": (
        "overdue",
        [
            plan('{"kind":"ties","every_h":8}'),
            "1 08:00 ties action=checked",
            "2 10:00 decannulation",
            "4 10:00 tube_change id_mm=8 cuff=air inner_tube=none",
            "4 20:00 ties action=checked",
            "4 22:00 plan set_by=nurse",
        ],
        ["ties note 1 17:00..2 10:00 entry", "ties note 4 19:00..4 20:00 entry"],
    ),
    "a stay written down late ends what it covers": (
        "overdue",
        [
            plan(MOUTH),
            "1 07:00 > 1 12:00 stay action=start",
            "2 08:00 stay action=end",
            "2 08:30 plan set_by=nurse",
        ],
        ["mouth_care note 1 09:00..1 12:00 entry"],
    ),
}
