"""Temperature, oxygen, breaths, pulse, vacuum."""

from tests.flags.cases.case import Case

ADULT = "1 00:00 person name=Odette born=1960-01-01"
UNKNOWN = "1 00:00 person name=Odette"


def plan(limits: str) -> str:
    """A plan of limits alone."""
    return f"1 00:00 plan set_by=nurse limits={limits}"


SPO2 = plan('{"spo2_percent":{"low":92}}')
PULSE = plan('{"pulse_per_min":{"low":50,"high":110}}')
BREATHS = plan('{"breaths_per_min":{"low":10,"high":24}}')

CASES: dict[str, Case] = {
    "38.0 °C calls without any plan, until a reading below": (
        "temperature",
        ["2 08:00 observations temperature_c=38", "2 12:00 observations temperature_c=37.9"],
        ["call 2 08:00..2 12:00 entry"],
    ),
    "37.9 °C shows nothing": ("temperature", ["2 08:00 observations temperature_c=37.9"], []),
    "37.99 °C isn't 38.0 °C in its own unit": (
        "temperature",
        ["2 08:00 observations temperature_c=37.99"],
        [],
    ),
    "100.4 °F is 38.0 °C": ("temperature", ["2 08:00 observations temperature_f=100.4"], ["call 2 08:00.."]),
    "100.3 °F is 37.9 °C": ("temperature", ["2 08:00 observations temperature_f=100.3"], []),
    "100.32 °F is rounded to 38.0 °C": (
        "temperature",
        ["2 08:00 observations temperature_f=100.32"],
        ["call 2 08:00.."],
    ),
    "the plan's number wins over 38.0 °C": (
        "temperature",
        [
            plan('{"temperature_c":{"high":38.5}}'),
            "2 08:00 observations temperature_c=38.4",
            "2 09:00 observations temperature_c=38.5",
        ],
        ["call 2 09:00.."],
    ),
    "observations without a temperature end nothing, nor does telling": (
        "temperature",
        [
            "2 08:00 observations temperature_c=39",
            "2 09:00 observations spo2_percent=97",
            "2 09:30 seen rule=temperature told=Nell",
            "2 10:00 observations temperature_f=98",
        ],
        ["call 2 08:00..2 10:00 entry"],
    ),
    "oxygen below the limit calls until the next one inside": (
        "spo2",
        [SPO2, "2 08:00 observations spo2_percent=91", "2 09:00 observations spo2_percent=92"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "oxygen at the limit is inside": ("spo2", [SPO2, "2 08:00 observations spo2_percent=92"], []),
    "oxygen without a limit shows nothing": (
        "spo2",
        ["1 00:00 plan set_by=nurse", "2 08:00 observations spo2_percent=70"],
        [],
    ),
    "oxygen without a plan shows nothing": ("spo2", ["2 08:00 observations spo2_percent=70"], []),
    "a pulse over its limit calls": (
        "pulse",
        [PULSE, "2 08:00 observations pulse_per_min=111", "2 09:00 observations pulse_per_min=110"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "a pulse under its limit calls, and over it afterwards goes on": (
        "pulse",
        [PULSE, "2 08:00 observations pulse_per_min=49", "2 09:00 observations pulse_per_min=120"],
        ["call 2 08:00.."],
    ),
    "a pulse at its lower limit is inside": ("pulse", [PULSE, "2 08:00 observations pulse_per_min=50"], []),
    "breaths over their limit call": (
        "breaths",
        [BREATHS, "2 08:00 observations breaths_per_min=25", "2 09:00 observations breaths_per_min=24"],
        ["call 2 08:00..2 09:00 entry"],
    ),
    "breaths at their limits are inside": (
        "breaths",
        [BREATHS, "2 08:00 observations breaths_per_min=24", "2 09:00 observations breaths_per_min=10"],
        [],
    ),
    "an earlier reading written down later shows nothing": (
        "pulse",
        [PULSE, "2 09:00 observations pulse_per_min=80", "2 08:00 > 2 10:00 observations pulse_per_min=124"],
        [],
    ),
    "a plan of before the reading, written down later, judges it from then on": (
        "pulse",
        [
            "2 08:00 observations pulse_per_min=124",
            '1 00:00 > 2 10:00 plan set_by=nurse limits={"pulse_per_min":{"high":110}}',
        ],
        ["call 2 10:00.."],
    ),
    # vacuum
    "over 20 kPa is a note for an adult, until one inside": (
        "vacuum_high",
        [
            ADULT,
            "2 08:00 suction vacuum=20.1 vacuum_unit=kPa",
            "2 08:30 suction amount=small",
            "2 09:00 suction vacuum=20 vacuum_unit=kPa",
        ],
        ["note 2 08:00..2 09:00 entry"],
    ),
    "150 mmHg is at the limit": ("vacuum_high", [ADULT, "2 08:00 suction vacuum=150 vacuum_unit=mmHg"], []),
    "151 mmHg is over it": (
        "vacuum_high",
        [ADULT, "2 08:00 suction vacuum=151 vacuum_unit=mmHg"],
        ["note 2 08:00.."],
    ),
    "20 kPa against a plan of 150 mmHg is at the limit": (
        "vacuum_high",
        [
            plan('{"vacuum":{"high":150,"unit":"mmHg"}}'),
            "2 08:00 suction vacuum=20 vacuum_unit=kPa",
            "2 09:00 suction vacuum=20.1 vacuum_unit=kPa",
        ],
        ["note 2 09:00.."],
    ),
    "the plan's limit counts at every age": (
        "vacuum_high",
        [
            plan('{"vacuum":{"high":16,"unit":"kPa"}}'),
            "2 08:00 suction vacuum=16 vacuum_unit=kPa",
            "2 09:00 suction vacuum=120.6 vacuum_unit=mmHg",
        ],
        ["note 2 09:00.."],
    ),
    "without a birth date there is no other limit": (
        "vacuum_high",
        [UNKNOWN, "2 08:00 suction vacuum=40 vacuum_unit=kPa"],
        [],
    ),
    "nobody is recorded, so nobody is an adult": (
        "vacuum_high",
        ["2 08:00 suction vacuum=40 vacuum_unit=kPa"],
        [],
    ),
    "on the day before 18 there is no limit, on the birthday there is": (
        "vacuum_high",
        [
            "1 00:00 person name=Odette born=2008-11-03",
            "2 23:59 suction vacuum=40 vacuum_unit=kPa",
            "3 00:00 suction vacuum=40 vacuum_unit=kPa",
        ],
        ["note 3 00:00.."],
    ),
}
