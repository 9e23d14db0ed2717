"""The cuff's pressure, a voice with the cuff up, a valve with the cuff not down."""

from tests.flags.cases.case import Case

LIMITS = '{"cuff_pressure":{"low":20,"high":30,"unit":"cmH2O"}}'
PLAN = f"1 00:00 plan set_by=nurse limits={LIMITS}"
MMHG_PLAN = '1 00:00 plan set_by=nurse limits={"cuff_pressure":{"low":15,"high":22,"unit":"mmHg"}}'
AIR = "1 00:00 tube_change id_mm=8 cuff=air inner_tube=none"
FOAM = "1 00:00 tube_change id_mm=8 cuff=foam inner_tube=none"
NONE = "1 00:00 tube_change id_mm=8 cuff=none inner_tube=none"
WATER = "1 00:00 tube_change id_mm=8 cuff=water inner_tube=none"
BASE = [PLAN, AIR]


def _read(rule: str, lines: list[str], flags: list[str]) -> Case:
    """Readings of an air cuff with limits 20 to 30 cmH2O."""
    return (rule, [*BASE, *lines], flags)


CASES: dict[str, Case] = {
    "a valve is off once the tube was taken out for good": (
        "valve_cuff_up",
        ["2 08:00 valve action=on", "2 09:00 decannulation", "2 10:00 valve action=on"],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "a cuff is none once the tube was taken out for good": (
        "cuff_high",
        [
            '1 00:00 plan set_by=nurse limits={"cuff_pressure":{"low":20,"high":30,"unit":"cmH2O"}}',
            "2 08:00 cuff_pressure value=38 unit=cmH2O",
            "2 09:00 decannulation",
            "2 10:00 cuff_pressure value=38 unit=cmH2O",
            "3 08:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "a voice heard before it doesn't come back with a later tube": (
        "cuff_leak",
        [
            "2 08:00 cuff_state state=up voice_heard=true",
            "2 09:00 decannulation",
            "2 10:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "a cuff found high calls until the next reading inside": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 20:00 cuff_pressure value=26 unit=cmH2O"],
        ["call 2 08:10..2 20:00 entry"],
    ),
    "both limits are inside": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=30 unit=cmH2O", "2 20:00 cuff_pressure value=20 unit=cmH2O"],
        [],
    ),
    "a fraction over is outside in the same unit": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=30.1 unit=cmH2O"], ["call 2 08:10.."]
    ),
    "a fraction under is outside in the same unit": _read(
        "cuff_low", ["2 08:10 cuff_pressure value=19.9 unit=cmH2O"], ["call 2 08:10.."]
    ),
    "22 mmHg is 29.9 cmH2O, so inside": _read("cuff_high", ["2 08:10 cuff_pressure value=22 unit=mmHg"], []),
    "22.4 mmHg is 30.5 cmH2O, rounded 30, so inside": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=22.4 unit=mmHg"], []
    ),
    "22.5 mmHg is 30.6 cmH2O, rounded 31, so outside": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=22.5 unit=mmHg"], ["call 2 08:10.."]
    ),
    "25 mmHg is 34 cmH2O": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=25 unit=mmHg"], ["call 2 08:10.."]
    ),
    "1.96 kPa is 20 cmH2O, so inside": _read("cuff_low", ["2 08:10 cuff_pressure value=1.96 unit=kPa"], []),
    "1.8 kPa is under": _read("cuff_low", ["2 08:10 cuff_pressure value=1.8 unit=kPa"], ["call 2 08:10.."]),
    "a limit in mmHg judges cmH2O rounded to 1 mmHg": (
        "cuff_high",
        [
            MMHG_PLAN,
            AIR,
            "2 08:00 cuff_pressure value=30 unit=cmH2O",
            "2 09:00 cuff_pressure value=31 unit=cmH2O",
        ],
        ["call 2 09:00.."],
    ),
    "found high and left inside is a note": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=34 unit=cmH2O value_after=26"], ["note 2 08:10.."]
    ),
    "found high and left at the limit is a note": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=34 unit=cmH2O value_after=30"], ["note 2 08:10.."]
    ),
    "found high and left high calls": _read(
        "cuff_high", ["2 08:10 cuff_pressure value=36 unit=cmH2O value_after=31"], ["call 2 08:10.."]
    ),
    "found high and left low calls, and low calls too": _read(
        "cuff_low", ["2 08:10 cuff_pressure value=36 unit=cmH2O value_after=18"], ["call 2 08:10.."]
    ),
    "found inside but left outside calls": _read(
        "cuff_high",
        [
            "2 08:00 cuff_pressure value=24 unit=cmH2O value_after=36",
            "2 20:00 cuff_pressure value=25 unit=cmH2O",
        ],
        ["call 2 08:00..2 20:00 entry"],
    ),
    "a reading found inside but left outside doesn't end it": _read(
        "cuff_high",
        [
            "2 08:00 cuff_pressure value=34 unit=cmH2O",
            "2 20:00 cuff_pressure value=25 unit=cmH2O value_after=19",
        ],
        ["call 2 08:00.."],
    ),
    "a second high reading in a row calls": _read(
        "cuff_high",
        [
            "2 08:00 cuff_pressure value=34 unit=cmH2O value_after=26",
            "2 20:00 cuff_pressure value=33 unit=cmH2O value_after=26",
        ],
        ["call 2 08:00.."],
    ),
    "two high readings with one inside between are two notes": _read(
        "cuff_high",
        [
            "2 08:00 cuff_pressure value=34 unit=cmH2O value_after=26",
            "2 14:00 cuff_pressure value=25 unit=cmH2O",
            "2 20:00 cuff_pressure value=33 unit=cmH2O value_after=26",
        ],
        ["note 2 08:00..2 14:00 entry", "note 2 20:00.."],
    ),
    "above 50 cmH2O calls although it was left inside": _read(
        "cuff_high", ["2 08:00 cuff_pressure value=51 unit=cmH2O value_after=25"], ["call 2 08:00.."]
    ),
    "50 cmH2O left inside is a note": _read(
        "cuff_high", ["2 08:00 cuff_pressure value=50 unit=cmH2O value_after=25"], ["note 2 08:00.."]
    ),
    "37 mmHg is 50 cmH2O, so a note": _read(
        "cuff_high", ["2 08:00 cuff_pressure value=37 unit=mmHg value_after=20"], ["note 2 08:00.."]
    ),
    "38 mmHg is 52 cmH2O, so a call": _read(
        "cuff_high", ["2 08:00 cuff_pressure value=38 unit=mmHg value_after=20"], ["call 2 08:00.."]
    ),
    "a cuff that is down isn't judged by a reading near nothing": _read(
        "cuff_low", ["2 07:00 cuff_state state=down", "2 08:00 cuff_pressure value=4 unit=cmH2O"], []
    ),
    "a cuff said to be down that holds 5 cmH2O is judged": _read(
        "cuff_low",
        ["2 07:00 cuff_state state=down", "2 08:00 cuff_pressure value=5 unit=cmH2O"],
        ["call 2 08:00.."],
    ),
    "a cuff put up by the reading is judged as left": _read(
        "cuff_high",
        ["2 07:00 cuff_state state=down", "2 08:00 cuff_pressure value=0 unit=cmH2O value_after=34"],
        ["call 2 08:00.."],
    ),
    "a cuff put up to the middle shows nothing": _read(
        "cuff_low",
        ["2 07:00 cuff_state state=down", "2 08:00 cuff_pressure value=0 unit=cmH2O value_after=25"],
        [],
    ),
    "an empty cuff that should be up is low": _read(
        "cuff_low", ["2 08:00 cuff_pressure value=0 unit=cmH2O"], ["call 2 08:00.."]
    ),
    "a cuff let down by the reading isn't judged as left": _read(
        "cuff_low", ["2 08:00 cuff_pressure value=25 unit=cmH2O value_after=0"], []
    ),
    "letting the cuff down ends what was shown before": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 09:00 cuff_state state=down"],
        ["call 2 08:10..2 09:00 entry"],
    ),
    "letting it down for the valve ends it as well": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 09:00 valve action=on cuff_down=true"],
        ["call 2 08:10..2 09:00 entry"],
    ),
    "letting it down in a later reading ends it as well": _read(
        "cuff_low",
        [
            "2 08:10 cuff_pressure value=18 unit=cmH2O",
            "2 09:00 cuff_pressure value=32 unit=cmH2O value_after=0",
        ],
        ["call 2 08:10..2 09:00 entry"],
    ),
    "being down before the reading ends nothing": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 07:00 > 2 09:00 cuff_state state=down"],
        ["call 2 08:10.."],
    ),
    "a tube change ends it": _read(
        "cuff_high",
        [
            "2 08:10 cuff_pressure value=34 unit=cmH2O",
            "2 09:00 tube_change id_mm=8 cuff=air inner_tube=none ease=failed",
            "2 10:00 tube_change id_mm=8 cuff=air inner_tube=none",
        ],
        ["call 2 08:10..2 10:00 entry"],
    ),
    "telling doesn't end it": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 09:00 seen rule=cuff_high told=Nell"],
        ["call 2 08:10.."],
    ),
    "a low reading doesn't end a high one": _read(
        "cuff_high",
        ["2 08:10 cuff_pressure value=34 unit=cmH2O", "2 20:00 cuff_pressure value=18 unit=cmH2O"],
        ["call 2 08:10.."],
    ),
    "no limit, no flag": ("cuff_high", [AIR, "2 08:10 cuff_pressure value=60 unit=cmH2O"], []),
    "a foam cuff has no pressure to judge": (
        "cuff_high",
        [PLAN, FOAM, "2 08:10 cuff_pressure value=60 unit=cmH2O"],
        [],
    ),
    "a water cuff has no pressure to judge": (
        "cuff_low",
        [PLAN, WATER, "2 08:10 cuff_pressure value=6 unit=cmH2O"],
        [],
    ),
    "without any tube recorded the cuff is judged": (
        "cuff_high",
        [PLAN, "2 08:10 cuff_pressure value=34 unit=cmH2O"],
        ["call 2 08:10.."],
    ),
    "the plan of the reading judges it": (
        "cuff_high",
        [
            AIR,
            "2 08:10 cuff_pressure value=28 unit=cmH2O",
            '2 12:00 plan set_by=nurse limits={"cuff_pressure":{"high":25,"unit":"cmH2O"}}',
            "2 20:00 cuff_pressure value=28 unit=cmH2O",
        ],
        ["call 2 20:00.."],
    ),
    "a high reading written down after a later one inside shows nothing": _read(
        "cuff_high",
        ["2 10:00 cuff_pressure value=26 unit=cmH2O", "2 08:10 > 2 12:00 cuff_pressure value=34 unit=cmH2O"],
        [],
    ),
    # cuff leak
    "a voice heard with the cuff up calls for 24 h": (
        "cuff_leak",
        [AIR, "2 08:00 cuff_state state=up voice_heard=true"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "a voice heard with the cuff down shows nothing": (
        "cuff_leak",
        [AIR, "2 08:00 cuff_state state=down voice_heard=true"],
        [],
    ),
    "no voice shows nothing": ("cuff_leak", [AIR, "2 08:00 cuff_state state=up voice_heard=false"], []),
    # the valve
    "a valve on while nobody said that the cuff is down is urgent until it is off": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on", "2 08:05 valve action=off"],
        ["urgent 2 08:00..2 08:05 entry"],
    ),
    "without any tube recorded it is urgent as well": (
        "valve_cuff_up",
        ["2 08:00 valve action=on"],
        ["urgent 2 08:00.."],
    ),
    "a cap is judged like a valve, and one off doesn't take the other off": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on what=cap", "2 08:05 valve action=off"],
        ["urgent 2 08:00.."],
    ),
    "a valve on with the cuff down shows nothing": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on cuff_down=true"],
        [],
    ),
    "a valve on after the cuff was let down shows nothing": (
        "valve_cuff_up",
        [AIR, "2 07:55 cuff_state state=down", "2 08:00 valve action=on"],
        [],
    ),
    "its own word counts more than the state before": (
        "valve_cuff_up",
        [AIR, "2 07:55 cuff_state state=down", "2 08:00 valve action=on cuff_down=false"],
        ["urgent 2 08:00.."],
    ),
    "what was said of the tube before doesn't count": (
        "valve_cuff_up",
        [
            AIR,
            "2 07:00 cuff_state state=down",
            "2 07:30 tube_change id_mm=8 cuff=air inner_tube=none",
            "2 08:00 valve action=on",
        ],
        ["urgent 2 08:00.."],
    ),
    "putting the cuff up under the valve is urgent until it is down": (
        "valve_cuff_up",
        [
            AIR,
            "2 08:00 valve action=on cuff_down=true",
            "2 09:00 cuff_state state=up",
            "2 09:10 cuff_state state=down",
        ],
        ["urgent 2 09:00..2 09:10 entry"],
    ),
    "a pressure left at 5 cmH2O puts the cuff up": (
        "valve_cuff_up",
        [
            AIR,
            "2 08:00 valve action=on cuff_down=true",
            "2 09:00 cuff_pressure value=0 unit=cmH2O value_after=4",
            "2 10:00 cuff_pressure value=0 unit=cmH2O value_after=5",
        ],
        ["urgent 2 10:00.."],
    ),
    "telling ends it until the cuff is put up again": (
        "valve_cuff_up",
        [
            AIR,
            "2 08:00 valve action=on",
            "2 08:02 seen rule=valve_cuff_up told=Nell",
            "2 08:30 cuff_state state=up",
            "2 09:00 cuff_state state=down",
            "2 10:00 cuff_state state=up",
        ],
        ["urgent 2 08:00..2 08:02 entry", "urgent 2 10:00.."],
    ),
    "a foam cuff is urgent even when it is said to be down": (
        "valve_cuff_up",
        [FOAM, "2 08:00 valve action=on cuff_down=true", "2 08:10 cuff_state state=down"],
        ["urgent 2 08:00.."],
    ),
    "no upper airway is urgent even without a cuff": (
        "valve_cuff_up",
        [NONE, "1 00:00 person name=Odette upper_airway=none", "2 08:00 valve action=on"],
        ["urgent 2 08:00.."],
    ),
    "a partly open upper airway is judged by the cuff": (
        "valve_cuff_up",
        [NONE, "1 00:00 person name=Odette upper_airway=partly", "2 08:00 valve action=on"],
        [],
    ),
    "a valve on a tube without a cuff shows nothing": (
        "valve_cuff_up",
        [NONE, "2 08:00 valve action=on"],
        [],
    ),
    "a tube change takes the valve off": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on", "2 09:00 tube_change id_mm=8 cuff=air inner_tube=none"],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "a failed tube change doesn't": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on", "2 09:00 tube_change id_mm=8 cuff=air inner_tube=none ease=failed"],
        ["urgent 2 08:00.."],
    ),
    "off written down late, of before it was put on, ends nothing": (
        "valve_cuff_up",
        [AIR, "2 08:00 valve action=on", "2 07:00 > 2 08:30 valve action=off"],
        ["urgent 2 08:00.."],
    ),
}
