"""What a tile tells at a glance, and that a late task is told in one place."""

from carelog.analysis.glance import as_told, by_urgency, glance, told_by_flag, without_late
from carelog.analysis.in_force import Reading
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import HOUR, Moment
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from tests.ui.household import NOW, household

DAY = Moment.read("2026-11-25T00:00:00+00:00").instant


def due(kind: str, state: DueState, after: int = 0, where: Details | None = None) -> Due:
    return Due(kind, where or {}, NOW + after * HOUR, state, None, "", "", NOW + HOUR)


def late(subject: str, level: Level) -> Flag:
    return Flag("overdue", subject, level, NOW - HOUR, None, None, "Late.", "", ())


def test_a_tile_tells_the_newest_entry_that_its_words_are_true_of_and_how_often_today() -> None:
    seen = glance(SUCTION, {}, Reading(household().entries), [], DAY)
    assert seen.held is not None
    assert seen.said == ("white", "amount small")
    assert seen.today == 1
    assert glance(SUCTION, {}, Reading(household().entries), [], NOW - HOUR).today == 0


def test_a_day_that_is_not_read_yet_is_not_counted_as_none() -> None:
    assert glance(SUCTION, {}, Reading(household().entries), [], None).today is None
    assert glance(INNER_TUBE, {"outcome": "cleaned"}, Reading(household().entries), [], DAY).today is None


def test_a_value_is_said_bare_and_what_the_tile_says_itself_is_not_said_again() -> None:
    reading = Reading(household().entries)
    assert glance(CUFF_PRESSURE, None, reading, [], None).said == ("34\N{NO-BREAK SPACE}cmH2O",)
    assert glance(INNER_TUBE, {"outcome": "cleaned"}, reading, [], None).said == ()
    assert glance(HUMIDITY, {"device": "nebuliser", "action": "given"}, reading, [], None).held is None


def test_what_was_not_there_is_not_said() -> None:
    assert SUCTION.brief({"blood": "none", "colour": "red"}, {}) == ("red",)
    assert SUCTION.brief({"blood": "fresh", "colour": "red"}, {}) == ("red", "blood fresh")


def test_a_tile_shows_the_task_that_it_does_and_the_worst_of_several() -> None:
    dues = [
        due("humidity", DueState.LATER, 3, {"device": "hme"}),
        due("humidity", DueState.LATE, -3, {"device": "nebuliser"}),
    ]
    reading = Reading(household().entries)
    hme = glance(HUMIDITY, {"device": "hme", "action": "changed"}, reading, dues, None)
    assert hme.due == dues[0]
    assert glance(HUMIDITY, None, reading, dues, None).due == dues[1]
    assert glance(SUCTION, {}, reading, dues, None).due is None


def test_what_is_late_comes_before_what_is_due_and_that_before_what_comes_later() -> None:
    dues = [due("ties", DueState.LATER, 1), due("stoma", DueState.DUE, -1), due("mouth_care", DueState.LATE)]
    assert [each.kind for each in by_urgency(dues)] == ["mouth_care", "stoma", "ties"]


def test_a_late_task_is_told_as_a_due_until_its_flag_asks_for_a_call() -> None:
    dues = [due("inner_tube", DueState.LATE), due("mouth_care", DueState.LATE), due("ties", DueState.LATER)]
    note, call = late("mouth_care", Level.NOTE), late("inner_tube", Level.CALL)
    other = Flag("cuff_high", None, Level.NOTE, NOW, None, None, "High.", "", ())
    assert without_late([note, call, other], dues) == [call, other]
    assert told_by_flag(dues, [note, call, other]) == {"inner_tube"}
    assert without_late([late("ties", Level.NOTE)], dues) == [late("ties", Level.NOTE)]


def test_what_was_missed_stays_overdue_since_it_was_flagged_though_the_next_time_has_come_near() -> None:
    dues = [due("mouth_care", DueState.DUE, 1), due("ties", DueState.LATER, 3)]
    told = as_told(dues, [late("mouth_care", Level.NOTE)])
    assert [(each.kind, each.state, each.late_at) for each in told] == [
        ("mouth_care", DueState.LATE, NOW - HOUR),
        ("ties", DueState.LATER, NOW + HOUR),
    ]
    assert without_late([late("mouth_care", Level.NOTE)], told) == []
    ended = Flag("overdue", "mouth_care", Level.NOTE, NOW - HOUR, NOW, "entry", "Late.", "", ())
    assert as_told(dues, [ended]) == tuple(dues)
