"""An entry beside those of its kind: the days before it, and how often its findings were there."""

from carelog.analysis.in_force import Held, Reading
from carelog.analysis.kin import MOST_A_DAY, Kin, kin
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Home, Moment
from tests.store.making import START, entry

HOME = Home("UTC")


def tube(number: int, days: int, found: str, hours: int = 0) -> Entry:
    """An inner tube that was looked at so many days and hours before."""
    at = START - days * DAY_24_H - hours * HOUR
    return entry(
        number,
        "inner_tube",
        details={"outcome": "cleaned", "found": found},
        at=Moment(at),
        recorded_at=at,
    )


def kin_of(entries: list[Entry]) -> Kin:
    """Of the newest of them."""
    held: list[Held] = list(Reading(entries).of("inner_tube"))
    return kin(held[-1], held, HOME)


def test_findings_are_counted_with_the_entry_and_held_against_the_weeks_before() -> None:
    near = [tube(1, 0, "crusted"), tube(2, 1, "crusted"), tube(3, 3, "coated")]
    before = [tube(4, 8, "coated"), tube(5, 20, "crusted"), tube(6, 25, "clear")]
    told = kin_of(near + before).told
    assert "found crusted: 2 of 3 in 7 days; in the 3 weeks before, 1 of 3" in told


def test_without_weeks_before_nothing_is_held_against_them() -> None:
    assert "found crusted: 1 of 1 in 7 days" in kin_of([tube(1, 0, "crusted")]).told


def test_what_was_always_the_same_is_left_out_and_a_unit_is_no_finding() -> None:
    told = kin_of([tube(1, 0, "crusted"), tube(2, 9, "clear")]).told
    assert [each.split(":")[0] for each in told] == ["found crusted"]
    at = {"at": Moment(START - 9 * DAY_24_H), "recorded_at": START - 9 * DAY_24_H}
    details = {"value": 25, "unit": "cmH2O"}
    cuffs = [entry(1, "cuff_pressure", details=details), entry(2, "cuff_pressure", details=details, **at)]
    held = list(Reading(cuffs).of("cuff_pressure"))
    assert kin(held[-1], held, HOME).told == ()


def test_the_days_before_are_told_newest_first_without_the_entry_itself() -> None:
    found = kin_of([tube(1, 0, "crusted"), tube(2, 0, "clear", 2), tube(3, 2, "coated"), tube(4, 9, "clear")])
    days = [HOME.day(START - back * DAY_24_H) for back in (0, 2, 9)]
    assert [each.day for each in found.days] == days
    assert found.days[0].entries == (("06:00", "cleaned, found clear"),)


def test_a_day_of_many_says_how_many_are_not_told() -> None:
    many = [tube(number, 1, "clear", number % 7) for number in range(2, MOST_A_DAY + 5)]
    (day,) = [each for each in kin_of([tube(1, 0, "clear"), *many]).days if each.more]
    assert day.more + len(day.entries) <= len(many)
    assert len(day.entries) == MOST_A_DAY
