"""After a time in which nobody wrote anything down one block asks about it, beneath what cannot wait."""

from dataclasses import replace

from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from carelog.domain.flag import Level, Matter
from carelog.domain.moment import DAY_24_H, HOUR, Instant, Moment
from carelog.ui.band import Band
from tests.ui.conftest import Opened, Opener
from tests.ui.household import StandingClock, household

LAST = max(entry.recorded_at for entry in household().entries)


def after(opener: Opener, length: Instant) -> Opened:
    """The board, so long after the last entry."""
    clock = StandingClock()
    clock.instant = LAST + length
    opened = opener(household(), clock)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    return opened


def texts(opened: Opened) -> str:
    aside = opened.window.board.aside
    shown: list[QLabel | QPushButton] = [*aside.findChildren(QLabel), *aside.findChildren(QPushButton)]
    return "\n".join(each.text() for each in shown if each.isVisibleTo(aside)).replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_within_a_day_nothing_is_asked(opener: Opener) -> None:
    assert "Nobody wrote anything down" not in texts(after(opener, DAY_24_H - 1))


def test_after_a_day_it_is_asked_first_and_the_rest_is_folded(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    shown = texts(opened)
    assert "Nobody wrote anything down from" in shown
    assert "to now, 33 days. Were you away?" in shown
    assert "Asked for by the plan" not in shown
    band = opened.window.findChild(Band, "reminder_band")
    assert band is not None
    assert band.words() == "4 overdue"
    opened.press("aside_unfold")
    assert "overdue since" in band.words()
    assert "Asked for by the plan" in texts(opened)


def test_that_the_date_is_wrong_is_one_press_away_after_days_of_silence(opener: Opener) -> None:
    opened = after(opener, 3 * DAY_24_H)
    opened.press("silence_date_wrong")
    assert opened.window.page() == "clock"


def test_that_nothing_was_written_down_is_one_press_and_can_be_undone(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    opened.press("silence_gap")
    opened.wait(lambda: bool(opened.written("gap")))
    (gap,) = opened.written("gap")
    assert gap.at.instant == opened.clock.instant
    assert Moment.read(gap.details["since"]).instant == LAST
    opened.wait(lambda: "Nobody wrote anything down" not in texts(opened))
    assert "Asked for by the plan" in texts(opened)
    opened.wait(lambda: "saved" in opened.receipt())
    assert "Nothing was written down" in opened.receipt()
    opened.press("undo")
    opened.wait(lambda: "undone" in opened.receipt())


def test_a_stay_is_two_presses_and_ends_now(opener: Opener) -> None:
    opened = after(opener, 3 * DAY_24_H)
    opened.press("silence_stay")
    opened.press("silence_stay_hospital")
    opened.wait(lambda: len(opened.written("stay")) == 2)
    start, end = sorted(opened.written("stay"), key=lambda each: each.at.instant)
    assert (start.details, end.details) == ({"action": "start", "where": "hospital"}, {"action": "end"})
    assert (start.at.instant, end.at.instant) == (LAST, opened.clock.instant)
    assert {start.by, end.by} == {"LR"}
    opened.wait(lambda: "Nobody wrote anything down" not in texts(opened))


def test_left_it_is_not_asked_again_and_writes_nothing(opener: Opener) -> None:
    opened = after(opener, 3 * DAY_24_H)
    count = len(opened.record.everything())
    opened.press("silence_leave")
    assert "Nobody wrote anything down" not in texts(opened)
    opened.clock.instant += HOUR
    opened.window.tick()
    assert "Nobody wrote anything down" not in texts(opened)
    assert len(opened.record.everything()) == count


def test_during_a_stay_nothing_is_asked(opener: Opener) -> None:
    opened = after(opener, DAY_24_H)
    opened.press("silence_leave")
    opened.window.desk.slips.press("stay", {"action": "start", "where": "hospital"})
    opened.wait(lambda: bool(opened.written("stay")))
    opened.clock.instant += 20 * DAY_24_H
    opened.window.tick()
    opened.come_to_rest()
    assert "Nobody wrote anything down" not in texts(opened)


def test_after_sixty_days_the_computers_date_is_asked_about_first(opener: Opener) -> None:
    opened = after(opener, 61 * DAY_24_H)
    shown = texts(opened)
    assert "The last entry is 61 days old. This computer says that today is" in shown
    assert "Were you away?" not in shown
    opened.press("silence_date_right")
    assert "Were you away?" in texts(opened)
    assert "This computer says" not in texts(opened)


def test_a_date_that_is_wrong_leads_to_the_page_that_sets_the_time(opener: Opener) -> None:
    opened = after(opener, 61 * DAY_24_H)
    opened.press("silence_date_wrong")
    assert opened.window.page() == "clock"


def test_while_flags_are_folded_no_line_says_that_nothing_else_is_flagged(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    assert opened.window.desk.present.flags
    shown = texts(opened)
    assert "is flagged in what was recorded" not in shown
    assert "Last entry" in shown
    opened.press("aside_unfold")
    assert "Nothing else is flagged in what was recorded" in texts(opened)


def on_flags(opened: Opened) -> str:
    """What the page of flags shows."""
    opened.window.go("flags")
    page = opened.shown()
    shown: list[QLabel | QPushButton] = [*page.findChildren(QLabel), *page.findChildren(QPushButton)]
    return "\n".join(each.text() for each in shown if each.isVisibleTo(page)).replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_the_page_of_flags_asks_first_too_and_folds_all_that_can_wait(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    shown = on_flags(opened)
    assert "to now, 33 days. Were you away?" in shown
    assert shown.count("Flagged since") == 1  # a call about the cuff, which can't wait
    assert "flagged in what was recorded" not in shown
    opened.press("flags_unfold")
    assert on_flags(opened).count("Flagged since") > 1
    opened.window.go("board")
    assert "Asked for by the plan" in texts(opened)  # unfolded in one place is unfolded in both


def test_what_cannot_wait_stands_above_the_question_on_both_pages(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    for shown in (texts(opened), on_flags(opened)):
        assert "Were you away?" in shown
    board, question = opened.window.board, "Were you away?"
    opened.window.go("board")
    assert _top_of(board, "Speak to the team today") < _top_of(board, question)
    opened.window.go("flags")
    assert _top_of(opened.shown(), "Cuff 34 cmH2O") < _top_of(opened.shown(), question)


def _top_of(page: QWidget, words: str) -> int:
    """How far down the page the label with these words stands."""
    labels = (each for each in page.findChildren(QLabel) if each.isVisibleTo(page))
    label = next(each for each in labels if words in each.text().replace("\N{NO-BREAK SPACE}", " "))
    return label.mapTo(page, label.rect().topLeft()).y()


def test_the_button_of_the_folded_flags_says_how_many_of_them_ask_for_a_call(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    on_flags(opened)
    flags = [flag for flag in opened.window.desk.present.flags or () if flag.cleared_at is None]
    calls = [flag for flag in flags if flag.level is Level.CALL and flag.rule != "cuff_high"]
    words = opened.find("flags_unfold").text()
    assert words == f"Show {len(flags) - 1} flags, {len(calls)} of them “Speak to the team today”"


def test_after_sixty_days_the_page_of_flags_asks_about_the_computers_date_first(opener: Opener) -> None:
    opened = after(opener, 61 * DAY_24_H)
    shown = on_flags(opened)
    assert "The last entry is 61 days old. This computer says that today is" in shown
    assert "Were you away?" not in shown
    opened.press("silence_date_right")
    assert "Were you away?" in on_flags(opened)


def test_answered_on_the_page_of_flags_it_is_not_asked_on_the_board(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    on_flags(opened)
    opened.press("silence_gap")
    opened.wait(lambda: bool(opened.written("gap")))
    assert "Were you away?" not in on_flags(opened)
    opened.window.go("board")
    assert "Were you away?" not in texts(opened)


def test_a_call_about_the_body_stands_open_on_both_pages_and_lateness_of_the_silence_folds(
    opener: Opener,
) -> None:
    opened = after(opener, 33 * DAY_24_H)
    flags = opened.window.desk.present.flags or ()
    of_body = [flag for flag in flags if flag.level is Level.CALL and flag.matter is Matter.BODY]
    assert [flag.rule for flag in of_body] == ["cuff_high"]
    assert {flag.rule for flag in flags if flag.level is Level.CALL} > {"cuff_high"}  # and some lateness
    for shown in (texts(opened), on_flags(opened)):
        assert "Were you away?" in shown
        assert "Speak to the team today" in shown
        assert "Cuff 34 cmH2O" in shown
        assert "Inner tube: overdue" not in shown
        assert "Spare-tube box" not in shown


def test_lateness_that_stood_before_the_silence_and_calls_is_not_folded(opener: Opener) -> None:
    opened = after(opener, 33 * DAY_24_H)
    silence, now = opened.window.board.aside.silence, opened.clock.instant
    (late,) = (flag for flag in opened.window.desk.present.flags or () if flag.subject == "inner_tube")
    assert silence.left_open([late], now) == []
    before = replace(late, raised_at=LAST - HOUR)
    assert silence.left_open([before], now) == [before]
    assert silence.left_open([replace(before, level=Level.NOTE)], now) == []
    assert silence.left_open([replace(late, level=Level.URGENT)], now) != []


def test_an_urgent_flag_stands_unfolded_with_what_it_offers(opener: Opener) -> None:
    record = household()
    last = max(record.entries, key=lambda entry: entry.recorded_at)
    tube_out = replace(
        last, id="30000000-0000-7000-8000-000000000001", kind="incident", details={"what": "tube_out"}
    )
    record.entries.append(tube_out)
    clock = StandingClock()
    clock.instant = LAST + 33 * DAY_24_H
    opened = opener(record, clock)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    shown = on_flags(opened)
    assert "Were you away?" in shown
    assert shown.count("Flagged since") == 2  # beside it the call about the cuff
    assert shown.index("Tube out") < shown.index("Cuff 34")
    assert opened.find("tell_0").isVisible()
