"""A flag's words are those of the moment that is asked for."""

import pytest

from carelog.analysis.flags.once import said_once
from carelog.analysis.flags.period import flags
from carelog.domain.flag import Flag, Matter
from tests.flags.story import LONG_AGO, Story, clock


def words(rule: str, until: str, *lines: str) -> tuple[str, str, str]:
    """The headline, the reason and how it ended, of the newest flag as it is read at a moment."""
    flag = Story().tell(*lines).flags(rule, until=until)[-1]
    one, two, three = (
        each.replace("\N{NO-BREAK SPACE}", " ") for each in (flag.headline, flag.why, flag.ended)
    )
    return one, two, three


BLEEDING = "2 03:10 suction blood=fresh"


@pytest.mark.parametrize(
    ("until", "headline"),
    [
        ("2 23:00", "Fresh or red blood in the suction at 03:10."),
        ("3 08:00", "Fresh or red blood in the suction at Mon 2 03:10."),
        ("20 08:00", "Fresh or red blood in the suction at Mon 2 Nov 03:10."),
    ],
)
def test_a_time_has_its_day_where_that_is_not_today(until: str, headline: str) -> None:
    assert words("blood", until, BLEEDING)[0] == headline


def test_a_task_is_late_since_a_day_and_a_time() -> None:
    lines = ('1 00:00 plan set_by=nurse tasks=[{"kind":"mouth_care","every_h":6}]', "1 04:00 mouth_care")
    assert words("overdue", "1 20:00", *lines)[0] == "Mouth care: overdue since 11:00."
    assert words("overdue", "4 20:00", *lines)[0] == "Mouth care: overdue since Sun 1 11:00."


STOCK = [
    "1 08:00 stock item=dressing count=10",
    *(f"{day} 09:00 stoma dressing=changed" for day in range(1, 16)),
]


def test_stock_says_how_long_it_lasts_now_not_when_the_flag_was_raised() -> None:
    assert words("stock_low", "4 12:00", *STOCK[:5])[0] == "Dressing: about 6 days left."
    assert words("stock_low", "8 12:00", *STOCK[:9])[0] == "Dressing: about 2 days left."


def test_stock_below_nothing_says_that_more_was_used_than_counted() -> None:
    assert words("stock_low", "16 12:00", *STOCK)[0] == "Dressing: more used than counted. Count again."


def test_nothing_recorded_says_for_how_long() -> None:
    begun = words("nothing_recorded", "1 20:01", "1 08:00 mouth_care")[0]
    assert begun == "Nothing recorded for 12 h, since 08:00."
    assert words("nothing_recorded", "4 08:00", "1 08:00 mouth_care")[0] == (
        "Nothing recorded for 2 days, since Sun 1 08:00."
    )


def test_the_headline_of_a_flag_that_ended_holds_its_day() -> None:
    lines = (BLEEDING, "2 04:00 seen rule=blood told=Nell")
    headline, _, ended = words("blood", "9 08:00", *lines)
    assert headline == "Fresh or red blood in the suction at Mon 2 Nov 03:10."
    assert words("blood", "2 08:00", *lines)[0] == "Fresh or red blood in the suction at 03:10."
    assert ended == "told Nell 04:00"


def test_the_first_look_at_a_stoma_is_not_worse_than_anything() -> None:
    headline, why, _ = words("stoma_worse", "2 09:00", "2 08:00 stoma skin=red")
    assert headline == "Stoma at 08:00: skin red."
    assert "No look of the 7 days before tells of it" in why
    headline, why, _ = words("stoma_worse", "2 09:00", "1 08:00 stoma skin=whole", "2 08:00 stoma skin=red")
    assert headline == "Stoma worse at 08:00: skin red."
    assert "No look" not in why


def test_who_was_called_stands_in_the_incident_itself() -> None:
    line = "2 08:00 incident what=bleeding called=emergency"
    (flag,) = Story().tell(line).flags("incident", until="2 09:00")
    assert flag.called
    assert words("incident", "4 09:00", line)[2] == "not written again for 24 h"
    nobody = "2 08:00 incident what=power_cut called=nobody"
    assert not Story().tell(nobody).flags("incident", until="2 09:00")[0].called
    assert "nobody recorded telling anyone" in words("incident", "4 09:00", nobody)[2]


def all_flags(until: str, *lines: str) -> list[Flag]:
    return flags(Story().tell(*lines).entries, LONG_AGO, clock(until))


def test_an_expired_spare_is_said_once_and_the_box_says_it() -> None:
    check = (
        '2 08:00 box_check present=["inner_tubes","ties","dressing","mask","gel","gloves","scissors",'
        '"catheters","tube_details","syringe","spare_smaller"] '
        'spare_same={"id_mm":8,"cuff":"air","expiry":"2026-11-10"}'
    )
    found = all_flags("12 08:00", check)
    assert {flag.rule for flag in found} == {"box_incomplete", "expiry", "nothing_recorded"}
    assert {flag.rule for flag in said_once(found)} == {"box_incomplete", "nothing_recorded"}
    assert {flag.rule for flag in said_once(all_flags("9 08:00", check))} == {"expiry", "nothing_recorded"}


def test_within_a_level_the_body_comes_first_then_the_kit_then_lateness() -> None:
    lines = (
        "2 08:00 equipment_check device=nebuliser works=false",
        '1 00:00 plan set_by=nurse tasks=[{"kind":"inner_tube","every_h":4}]',
        "1 08:00 suction food_seen=true",
        "2 10:00 suction consistency=plug",
    )
    found = sorted((f for f in all_flags("2 12:00", *lines) if f.level.word == "call"), key=lambda f: f.place)
    assert [flag.rule for flag in found] == ["plug", "food_seen", "equipment", "overdue"]
    assert [flag.matter for flag in found] == [Matter.BODY, Matter.BODY, Matter.KIT, Matter.LATENESS]
