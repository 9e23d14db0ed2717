"""The flags' page: the last weeks beside the usual, and what isn't compared now."""

from typing import Any

import pytest

from carelog.domain.moment import Instant
from carelog.ui.drawing import Drawn
from carelog.ui.palette import INK
from carelog.ui.words import Words
from tests.detection.steady import Steady, moment
from tests.ui.conftest import Opened, Opener
from tests.ui.household import Memory, StandingClock


def even(days: int) -> Steady:
    household = Steady()
    household.days(0, days)
    return household


def flags_page(opener: Opener, household: Steady, now: Instant) -> Opened:
    """The flags' page of a household at a moment."""
    record = Memory(entries=[entry for entry in household.in_order() if entry.recorded_at < now])
    opened = opener(record, StandingClock(now, "UTC"))
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    opened.press("go_flags")
    return opened


def days_shown(opened: Opened) -> int:
    return str(opened.find("weeks_suction_more", Drawn).accessibleName()).count("; ") + 1


def sentences(opened: Opened) -> str:
    return "\n".join(each.text() for each in opened.window.findChildren(Words) if each.isVisible())


def test_a_flag_by_statistics_shows_the_last_weeks_with_the_usual_range(opener: Opener) -> None:
    household = even(30)
    household.days(30, 34, suctions=20)
    opened = flags_page(opener, household, moment(33.99))
    drawn = opened.find("weeks_suction_more", Drawn)
    words = drawn.accessibleName()
    assert "Each day: suctions. Dotted: usual, " in words
    assert [int(count) > 18 for count in words.split("; ")[-5:]] == [False, True, True, True, True]
    assert drawn.height() == drawn.sizeHint().height() > 60
    said = sentences(opened)
    assert said.index("Call: ") < said.index("A comparison with your own record, not a diagnosis.")


def test_the_picture_is_drawn_in_the_colours_of_day_and_night(opener: Opener) -> None:
    household = even(30)
    household.days(30, 34, suctions=20)
    opened = flags_page(opener, household, moment(33.99))
    drawn = opened.find("weeks_suction_more", Drawn)
    for palette in ("day", "night"):
        opened.window.preferences.change(palette=palette)
        image = drawn.grab().toImage()
        seen = {image.pixel(x, y) for x in range(image.width()) for y in range(image.height())}
        assert drawn.palette().color(INK).rgb() in seen


def test_the_cuffs_losses_are_shown_in_their_unit(opener: Opener) -> None:
    household = even(30)
    for day in range(30, 34):
        household.suctioned(day, 10)
        household.care(day, loss=1.1)
    opened = flags_page(opener, household, moment(33.99))
    words = opened.find("weeks_cuff_leak", Drawn).accessibleName()
    assert "cmH2O lost an hour" in words
    assert "1.1" in words


def test_fewer_days_are_shown_where_letters_are_large(opener: Opener) -> None:
    household = even(30)
    household.days(30, 34, suctions=20)
    opened = flags_page(opener, household, moment(33.99))
    assert days_shown(opened) == 28
    opened.window.preferences.change(text_percent=200)
    opened.wait(lambda: days_shown(opened) < 28)
    assert days_shown(opened) >= 14


def test_what_was_written_alone_shows_no_weeks(opener: Opener) -> None:
    household = even(20)
    household.write(20.1, "suction", breathing_after="harder")
    opened = flags_page(opener, household, moment(20.2))
    assert not opened.window.findChildren(Drawn)


def test_before_the_14th_day_the_page_says_that_the_usual_is_still_being_learnt(opener: Opener) -> None:
    opened = flags_page(opener, even(9), moment(9))
    assert "still being learnt: 9 of 14 days with entries" in sentences(opened)


@pytest.mark.parametrize(("days", "words"), [(31, "Nothing is compared before"), (40, "less is noticed")])
def test_after_a_new_tube_the_page_says_what_is_learnt_anew(opener: Opener, days: int, words: str) -> None:
    household = even(30)
    tube: dict[str, Any] = {
        "id_mm": 7,
        "cuff": "air",
        "inner_tube": "reusable",
        "ease": "easy",
        "reason": "planned",
    }
    household.write(30.4, "tube_change", **tube)
    household.days(30, days)
    found = sentences(flags_page(opener, household, moment(days)))
    assert "Still learning since Sat\N{NO-BREAK SPACE}31" in found
    assert words in found
    assert "suctions, secretions, the cuff, the inner tube" in found


def test_a_settled_household_is_compared_in_everything(opener: Opener) -> None:
    found = sentences(flags_page(opener, even(40), moment(40)))
    assert "Not compared" not in found
