"""The strip of the day: what it shows, in rows and words, and where its marks lie."""

from datetime import time

from carelog.analysis.drawing import Dot, Fill, Rectangle
from carelog.analysis.in_force import Reading
from carelog.analysis.strip import AHEAD, BACK, Strip, drawn, strip, words
from carelog.domain.due import Due, DueState
from carelog.domain.moment import HOUR, MINUTE, Home
from tests.ui.household import NOW, ZONE, household

QUIET = (time(23), time(6))
DUES = (
    Due("inner_tube", {}, NOW + 3 * HOUR, DueState.LATER, None, "", "", NOW + 4 * HOUR),
    Due("cuff_pressure", {}, NOW - HOUR, DueState.LATE, None, "", "", NOW),
    Due("stoma", {}, NOW + 20 * HOUR, DueState.LATER, None, "", "", NOW + 21 * HOUR),
)


def of_now() -> Strip:
    return strip(Reading(household().entries), DUES, QUIET, Home(ZONE), NOW)


def test_it_spans_a_day_by_whole_hours_with_the_evening_before_and_the_morning_after() -> None:
    found = of_now()
    assert found.end - found.start == BACK + AHEAD == 24 * HOUR
    assert found.start % HOUR == 0
    assert found.start <= NOW - 15 * HOUR
    assert found.end >= NOW + 7 * HOUR


def test_what_is_counted_comes_first_then_what_is_asked_for_and_all_else_in_one_row() -> None:
    rows = of_now().rows
    assert [row.title for row in rows] == ["Suction", "Inner tube", "Cuff pressure", "The rest"]
    shown = [held.entry.kind for row in rows for held in row.entries]
    assert sorted(shown) == ["cuff_pressure", "inner_tube", "mouth_care", "suction"]


def test_every_entry_has_one_mark_at_its_time_and_dues_ahead_have_squares() -> None:
    found = of_now()
    drawing, marks = drawn(found, 1000, 14)
    assert len(marks) == 4
    by_time = sorted(marks, key=lambda each: each.held.time)
    assert [each.x for each in by_time] == sorted(each.x for each in marks)
    squares = [p for p in drawing.parts if isinstance(p, Rectangle) and p.weight == 1.6]
    assert sorted(each.fill.value for each in squares) == sorted([Fill.PAPER.value, Fill.INK.value])
    assert sum(isinstance(part, Dot) for part in drawing.parts) == 1
    assert all(0 <= each.x <= 1000 for each in marks)


def test_quiet_hours_are_shaded_within_the_day_shown() -> None:
    found = of_now()
    assert len(found.quiet) == 1
    (begins, ends) = found.quiet[0]
    assert found.start <= begins < ends <= found.end
    assert ends - begins == 7 * HOUR
    assert strip(Reading([]), (), None, Home(ZONE), NOW).quiet == ()


def test_its_words_say_each_time_and_never_that_nothing_happened_where_nobody_wrote() -> None:
    told = words(strip(Reading([]), DUES, QUIET, Home(ZONE), NOW))
    assert "Suction: not recorded" in told
    assert "Cuff pressure: 20:12; due 02:12" in words(of_now())


def test_a_day_that_the_clocks_change_is_drawn_by_hours_that_go_by() -> None:
    autumn = Home(ZONE)
    now = NOW - 31 * 24 * HOUR - 20 * HOUR - 12 * MINUTE
    found = strip(Reading([]), (), QUIET, autumn, now)
    assert found.end - found.start == 24 * HOUR
    assert all(found.start <= a < b <= found.end for a, b in found.quiet)
