"""The start of the night: a valve or cap still on, a cuff down with a ventilator."""

from tests.flags.cases.case import Case

QUIET = '1 00:00 plan set_by=nurse quiet=["23:00","06:00"]'
AIR = "1 06:00 tube_change id_mm=8 cuff=air inner_tube=none"
HELPED = "1 00:00 person name=Odette helped_by=ventilator_at_night"
ON = "2 20:00 valve action=on cuff_down=true"
DOWN = "2 20:00 cuff_state state=down"


def allowing(word: str) -> str:
    """A plan that allows it."""
    return f'1 00:00 plan set_by=nurse quiet=["23:00","06:00"] {word}=true'


CASES: dict[str, Case] = {
    "a valve on at the start of the night calls until it is off": (
        "valve_at_night",
        [QUIET, ON, "3 07:00 valve action=off"],
        ["call 2 23:00..3 07:00 entry"],
    ),
    "put on exactly then it calls, a second later only the next night": (
        "valve_at_night",
        [QUIET, "2 23:00 valve action=on", "3 07:00 valve action=off", "3 23:00:01 valve action=on"],
        ["call 2 23:00..3 07:00 entry", "call 4 23:00.."],
    ),
    "off just before it shows nothing": ("valve_at_night", [QUIET, ON, "2 22:59 valve action=off"], []),
    "a cap counts too": ("valve_at_night", [QUIET, "2 20:00 valve what=cap action=on"], ["call 2 23:00.."]),
    "without quiet hours there is no night": ("valve_at_night", ["1 00:00 plan set_by=nurse", ON], []),
    "without a plan there is no night": ("valve_at_night", [ON], []),
    "the plan may allow it": ("valve_at_night", [allowing("valve_at_night"), ON], []),
    "not during a stay": (
        "valve_at_night",
        [QUIET, ON, "2 21:00 stay action=start", "5 12:00 stay action=end"],
        ["call 5 23:00.."],
    ),
    "once told it is quiet until the next night": (
        "valve_at_night",
        [QUIET, ON, "3 00:00 seen rule=valve_at_night told=Nell", "4 12:00 valve action=off"],
        ["call 2 23:00..3 00:00 entry", "call 3 23:00..4 12:00 entry"],
    ),
    "a flag in force goes on over the next night": (
        "valve_at_night",
        [QUIET, ON, "4 12:00 valve action=off"],
        ["call 2 23:00..4 12:00 entry"],
    ),
    "a tube change takes it off, a failed one doesn't": (
        "valve_at_night",
        [
            QUIET,
            ON,
            "3 08:00 tube_change id_mm=8 cuff=air inner_tube=none ease=failed",
            "3 09:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["call 2 23:00..3 09:00 entry"],
    ),
    "written down after its night it shows nothing for that night": (
        "valve_at_night",
        [QUIET, "2 20:00 > 3 02:00 valve action=on", "3 07:00 valve action=off"],
        [],
    ),
    "off before the night, written down later, ends it": (
        "valve_at_night",
        [QUIET, ON, "2 22:00 > 3 02:00 valve action=off"],
        ["call 2 23:00..3 02:00 entry"],
    ),
    "an entry that was a slip ends it": (
        "valve_at_night",
        [QUIET, f"on: {ON}", "2 20:00 > 3 02:00 withdraw on"],
        ["call 2 23:00..3 02:00 entry"],
    ),
    "the tube taken out for good ends it": (
        "valve_at_night",
        [QUIET, ON, "3 02:00 decannulation", "4 08:00 tube_change id_mm=8 cuff=air inner_tube=none"],
        ["call 2 23:00..3 02:00 entry"],
    ),
    "a later plan with other quiet hours has other nights": (
        "valve_at_night",
        [
            QUIET,
            '2 22:00 plan set_by=nurse quiet=["22:30","06:00"]',
            "2 22:45 valve action=on",
            "3 22:29 valve action=off",
            "3 22:30 valve action=on",
        ],
        ["call 3 22:30.."],
    ),
    # the cuff
    "a cuff down at the start of the night calls with a ventilator": (
        "cuff_at_night",
        [QUIET, HELPED, AIR, DOWN, "3 01:00 cuff_state state=up"],
        ["call 2 23:00..3 01:00 entry"],
    ),
    "always helped counts as well": (
        "cuff_at_night",
        [QUIET, HELPED.replace("at_night", "always"), AIR, DOWN],
        ["call 2 23:00.."],
    ),
    "with oxygen, or nobody's word, it shows nothing": (
        "cuff_at_night",
        [QUIET, "1 00:00 person name=Odette helped_by=oxygen", AIR, DOWN],
        [],
    ),
    "what helps is what helped then": (
        "cuff_at_night",
        [QUIET, "3 12:00 person name=Odette helped_by=ventilator_always", AIR, DOWN],
        ["call 3 23:00.."],
    ),
    "with no tube recorded there is no flag": ("cuff_at_night", [QUIET, HELPED, DOWN], []),
    "nothing recorded since the tube counts as up": (
        "cuff_at_night",
        [QUIET, HELPED, "1 05:00 cuff_state state=down", AIR],
        [],
    ),
    "only an air cuff": ("cuff_at_night", [QUIET, HELPED, AIR.replace("air", "foam"), DOWN], []),
    "the plan may allow it down": ("cuff_at_night", [allowing("cuff_down_at_night"), HELPED, AIR, DOWN], []),
    "a pressure left at 25 is the cuff up": (
        "cuff_at_night",
        [QUIET, HELPED, AIR, DOWN, "3 00:10 cuff_pressure value=25 unit=cmH2O"],
        ["call 2 23:00..3 00:10 entry"],
    ),
    "a new tube ends it, and telling until the next night": (
        "cuff_at_night",
        [
            QUIET,
            HELPED,
            AIR,
            DOWN,
            "2 23:30 seen rule=cuff_at_night told=Nell",
            "4 08:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["call 2 23:00..2 23:30 entry", "call 3 23:00..4 08:00 entry"],
    ),
}
