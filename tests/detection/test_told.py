"""A flag's numbers, read by themselves, look different: or it says that several things took part."""

import re
from statistics import NormalDist

import pytest
from scipy.stats import binomtest

from carelog.analysis.usual.channel import ALL_CHANNELS, READINGS
from carelog.analysis.usual.threshold import thresholds
from carelog.analysis.usual.told import CLEAR, CLEAR_OFF, upper_tail, words_from
from carelog.analysis.usual.weeks import weeks
from carelog.domain.flag import Flag
from tests.detection.people import changed, notice, unchanged
from tests.detection.simulator import World
from tests.detection.steady import Steady, moment

SHARE = re.compile(r"(\d+) of (\d+) [^;.]+?, usually (\d+) of (\d+)")
RANGE = re.compile(
    r"(?:: |the cuff lost |at |SpO2 |pulse )(-?[\d.]+) [^,;]*?, usually (-?[\d.]+)(?: to (-?[\d.]+))?"
)
CHANGES = ("infection x2", "infection x1.5", "drying", "bleeding", "cuff leak", "count x2", "pulse rising")


def homes() -> list[Flag]:
    """The flags of made-up homes with a change, and of some without at the setting that flags most."""
    found: list[Flag] = []
    for number, change in enumerate(CHANGES):
        found += notice(changed(40_000 + number, change, World(readings=1)).entries(), thresholds()).flags()
    for number in range(3):
        found += notice(unchanged(41_000 + number, World(readings=2), 4).entries(), thresholds()).flags()
    return found


def looks_different(sentence: str) -> bool:
    """Whether the first numbers of a sentence would come about by chance in one of twenty cases at most."""
    share = SHARE.search(sentence)
    if share:
        count, whole, usual, _ = map(int, share.groups())
        test = binomtest(count, whole, max(usual, 0.5) / whole, alternative="greater")
        return float(test.pvalue) <= 0.05
    read = RANGE.search(sentence)
    assert read, sentence
    value, low = float(read[1]), float(read[2])
    high = float(read[3] or read[2])
    return not low <= value <= high


def test_the_told_difference_alone_looks_different_in_made_up_homes() -> None:
    found = [flag for flag in homes() if not flag.why.startswith("In the 14 days to ")]
    told = [flag for flag in found if not flag.headline.startswith("Several ")]
    assert len(told) > 10
    for flag in found:
        first = flag.why.split(". ")[0]
        if flag in told:
            assert looks_different(first), flag.why
        else:
            assert flag.why.count(", usually ") >= 2, flag.why


def test_a_difference_too_small_to_see_does_not_look_different() -> None:
    assert not looks_different(
        "Since Tue 3 Mar 06:00: 20 of 24 inner tubes coated or worse, usually 17 of 24"
    )
    assert not looks_different("Since Tue 3 Mar 06:00: 14 suctions in 24 h, usually 12 to 18")
    assert looks_different("Since Tue 3 Mar 06:00: 9 of 31 yellow, green or brown, usually 2 of 31")


def test_the_level_is_one_of_twenty_one_sided() -> None:
    assert NormalDist().cdf(CLEAR_OFF) == pytest.approx(1 - CLEAR, abs=1e-4)


@pytest.mark.parametrize(
    ("count", "whole", "share"),
    [
        (9, 31, 0.07),
        (20, 24, 17 / 24),
        (3, 3, 0.1),
        (0, 5, 0.2),
        (5, 5, 1.0),
        (640, 1_500, 0.4),  # three weeks of an illness with 70 suctions a day
        (1_400, 1_500, 0.5),
        (30, 20_000, 0.001),
    ],
)
def test_the_upper_tail_is_the_binomials_as_scipy_has_it(count: int, whole: int, share: float) -> None:
    expected = binomtest(count, whole, share, alternative="greater").pvalue
    assert upper_tail(count, whole, share) == pytest.approx(expected)


def test_the_picture_counts_what_the_sentence_tells() -> None:
    household = Steady()
    household.days(0, 30)
    for day in range(30, 33):
        household.suctioned(day, 10)
        household.care(day, found="crusted")
    noticing = household.noticing(until=32.99)
    (flag,) = noticing.flags()
    shown = weeks(noticing, "inner_tube_blocking")
    assert shown is not None
    assert words_from("found", 2) == shown.words
    assert f" {shown.words}, usually 0 of " in flag.why
    assert shown.counts[-1] == 3


def test_a_range_of_one_value_is_said_as_one() -> None:
    household = Steady(suctions=10)
    household.days(0, 30)
    household.days(30, 33, blood="streaks")
    shown = weeks(household.noticing(until=32.99), "secretions_colour")
    assert shown is not None
    assert "0 to 0" not in shown.caption()
    flags = household.flags(until=32.99)
    assert all("0 to 0" not in flag.why for each in flags.values() for flag in each)
    assert moment(30) <= flags["secretions_colour"][0].raised_at


def test_a_fall_of_spo2_over_days_is_raised_and_told() -> None:
    household, steady = Steady(), Steady()
    for day in range(40):
        for each, fall in ((household, max(0, day - 30)), (steady, 0)):
            each.suctioned(day, 10)
            each.care(day)
            if day <= 37:
                each.write(day + 0.4, "observations", spo2_percent=99 - min(fall, 7) - day % 2)
    (flag,) = household.flags()["spo2_falling"]
    assert moment(32) < flag.raised_at < moment(36)
    assert re.search(r"SpO2 9\d(\.5)? %, usually 9[78] to \d+ %", flag.why)
    assert "If breathing is hard: emergency plan." in flag.why
    assert "spo2_falling" not in steady.flags()


def test_a_pulse_that_goes_up_is_raised_one_wrong_reading_is_not() -> None:
    rising, wrong = Steady(), Steady()
    for day in range(36):
        for each, up in ((rising, max(0, 7 * (day - 30))), (wrong, 70 if day == 32 else 0)):
            each.suctioned(day, 10)
            each.care(day)
            each.write(day + 0.4, "observations", pulse_per_min=80 + up + 4 * (day % 3))
    assert "pulse_rising" in rising.flags()
    assert "pulse_rising" not in wrong.flags()


def test_readings_too_seldom_are_not_compared() -> None:
    household = Steady()
    for day in range(40):
        household.suctioned(day, 10)
        household.care(day)
        if day % 4 == 0:
            household.write(day + 0.4, "observations", spo2_percent=99 if day < 32 else 90)
    assert "spo2_falling" not in household.flags()


def test_a_plan_that_says_so_begins_the_readings_anew() -> None:
    household = Steady()
    for day in range(40):
        household.suctioned(day, 10)
        household.care(day)
        household.write(day + 0.4, "observations", pulse_per_min=80 + 4 * (day % 3) + 25 * (day > 30))
    before = household.flags()
    household.write(30.9, "plan", set_by="NN", tasks=[], restarts=["readings"])
    assert "pulse_rising" in before
    assert "pulse_rising" not in household.flags()


@pytest.mark.parametrize("readings", [(), ("pulse",), ("spo2", "pulse")])
def test_all_channels_that_are_compared_share_one_budget(readings: tuple[str, ...]) -> None:
    tables = thresholds()
    compared = [channel for channel in ALL_CHANNELS if channel not in READINGS or channel.name in readings]
    whole = sum(tables.yearly(channel.name, 2, readings) for channel in compared)
    assert whole == pytest.approx(2 * tables.scales[2.0])
