"""From a press or a form into the record, and back by undo."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from carelog.analysis.in_force import Reading
from carelog.app.logbook import DEEPEST, check, settled
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Home, Moment
from carelog.domain.trouble import Refused, Trouble
from tests.app.books import START, Desk, desk_in


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with desk_in(tmp_path) as desk:
        yield desk


def test_a_press_is_saved_as_of_now_and_told_once(desk: Desk) -> None:
    entry = desk.book.record("mouth_care", {}, "AB")
    assert desk.record.everything() == [entry]
    assert desk.told == [[entry]]
    assert (entry.at, entry.recorded_at, entry.zone) == (Moment(START, 0), START, "Europe/London")
    assert (entry.by, entry.source, entry.amends) == ("AB", "live", None)


def test_a_time_still_to_come_is_not_refused(desk: Desk) -> None:
    entry = desk.book.record("mouth_care", {}, "AB", at=Moment(START + 9999 * DAY_24_H))
    assert desk.record.everything() == [entry]


def test_numbers_are_kept_in_one_form(desk: Desk) -> None:
    entry = desk.book.record("cuff_pressure", {"value": 25.0, "unit": "cmH2O"}, "AB")
    assert repr(entry.details["value"]) == "25"
    assert desk.record.everything() == [entry]


REFUSED = [
    ("suction", {"colour": "blue"}, "colour must be one of"),
    ("cuff_pressure", {"value": 25}, "unit is missing"),
    ("suction", {"sparkle": "\ud800"}, "can't be saved"),
    ("suction", {"sparkle": float("nan")}, "isn't a number"),
    ("suction", {"sparkle": "x" * 5_000_000}, "too long"),
]


@pytest.mark.parametrize(("kind", "details", "words"), REFUSED)
def test_what_cannot_be_recorded_is_refused_and_nothing_is_told(
    kind: str, details: dict[str, object], words: str, desk: Desk
) -> None:
    with pytest.raises(Refused, match=words):
        desk.book.record(kind, details, "AB")
    assert desk.told == []
    assert desk.record.everything() == []


def test_details_nested_too_deep_are_refused() -> None:
    def nested(levels: int) -> object:
        value: object = 0
        for _ in range(levels):
            value = [value]
        return value

    assert settled({"a": nested(DEEPEST - 2)})
    with pytest.raises(Refused, match="too deep"):
        settled({"a": nested(DEEPEST - 1)})


def test_a_quick_choice_completes_and_is_no_correction(desk: Desk) -> None:
    entry = desk.book.record("suction", {}, "AB")
    desk.clock.instant += MINUTE
    desk.book.complete(desk.held(entry), {"colour": "white"})
    held = desk.held(entry)
    assert held.entry.details == {"colour": "white"}
    assert held.completed
    assert not held.corrected
    desk.book.complete(held, {}, at=Moment(START - 20 * MINUTE), by="LR")
    assert desk.held(entry).completed
    assert desk.held(entry).entry.by == "LR"


def test_a_choice_that_changes_what_was_given_needs_a_reason(desk: Desk) -> None:
    entry = desk.book.record("suction", {"colour": "white"}, "AB")
    with pytest.raises(Refused, match="why"):
        desk.book.complete(desk.held(entry), {"colour": "green"})
    with pytest.raises(Refused, match="why"):
        desk.book.amend(desk.held(entry), {"colour": "green"}, reason=" ")
    desk.book.amend(desk.held(entry), {"colour": "green"}, reason="looked again", by="LR")
    held = desk.held(entry)
    assert held.corrected
    assert (held.entry.details, held.entry.by, held.first.by) == ({"colour": "green"}, "LR", "AB")
    assert desk.told[-1] == [held.entry]


def test_another_time_after_ten_minutes_is_an_amendment(desk: Desk) -> None:
    entry = desk.book.record("suction", {}, "AB")
    desk.clock.instant += 11 * MINUTE
    with pytest.raises(Refused, match="why"):
        desk.book.complete(desk.held(entry), {}, at=Moment(START - MINUTE))
    desk.book.complete(desk.held(entry), {"amount": "small"})
    assert desk.held(entry).completed


def test_fields_this_version_does_not_know_survive_an_amendment(desk: Desk) -> None:
    entry = desk.book.record("suction", {"sparkle": {"b": 1}}, "AB")
    held = desk.held(entry)
    desk.book.amend(held, {**held.entry.details, "colour": "white"}, reason="forgot")
    assert desk.held(entry).entry.details == {"sparkle": {"b": 1}, "colour": "white"}


def test_striking_out_needs_a_reason_and_keeps_the_entry_readable(desk: Desk) -> None:
    entry = desk.book.record("suction", {"colour": "white"}, "AB", note="quick")
    with pytest.raises(Refused, match="why"):
        desk.book.withdraw(desk.held(entry), "", "AB")
    struck = desk.book.withdraw(desk.held(entry), "wrong person", "LR")
    assert (struck.withdrawn, struck.at, struck.details, struck.note) == (True, entry.at, {}, "")
    assert desk.reading().held == ()
    assert desk.reading().withdrawn[0].entry == entry


def test_undo_and_redo_give_back_what_was(desk: Desk) -> None:
    entry = desk.book.record("suction", {}, "AB")
    desk.book.complete(desk.held(entry), {"colour": "white"})
    desk.book.undo("AB")
    assert desk.held(entry).entry == entry
    desk.book.undo("AB")
    assert desk.reading().held == ()
    desk.book.redo("AB")
    assert desk.held(entry).entry == entry
    desk.book.redo("AB")
    assert desk.held(entry).entry.details == {"colour": "white"}
    desk.book.undo("AB")
    desk.book.undo("AB")
    assert desk.reading().held == ()


def test_undo_of_one_entry_takes_back_what_was_done_to_it_and_nothing_that_was_saved_later(
    desk: Desk,
) -> None:
    suction = desk.book.record("suction", {}, "AB")
    added = desk.book.complete(desk.held(suction), {"colour": "white"})
    care = desk.book.record("mouth_care", {}, "AB")
    assert desk.book.undo("AB", [suction.id]).amends == added.id
    assert desk.book.undo("AB", [suction.id]).amends == suction.id
    with pytest.raises(Refused, match="Nothing was done"):
        desk.book.undo("AB", [suction.id])
    assert [held.entry for held in desk.reading().held] == [care]


def test_an_entry_that_is_saved_twice_is_one_act(desk: Desk) -> None:
    entry = desk.book.draft("suction", {}, "AB")
    assert desk.book.save(entry) == desk.book.save(entry) == entry
    desk.book.undo("AB")
    with pytest.raises(Refused, match="Nothing was done"):
        desk.book.undo("AB")
    assert len(desk.record.everything()) == 2


def test_undoing_a_withdrawal_gives_the_entry_back(desk: Desk) -> None:
    entry = desk.book.record("mouth_care", {}, "AB")
    desk.book.withdraw(desk.held(entry), "slip", "AB")
    desk.book.undo("AB")
    assert desk.held(entry).entry == entry
    desk.book.redo("AB")
    assert desk.reading().held == ()


def test_what_was_saved_before_goes_as_it_was_into_the_file_that_took_the_place_and_can_be_undone(
    desk: Desk, tmp_path: Path
) -> None:
    undone = desk.book.record("mouth_care", {}, "AB")
    struck = desk.book.undo("AB")
    entry = desk.book.record("suction", {}, "AB")
    added = desk.book.complete(desk.held(entry), {"colour": "white"})
    (tmp_path / "copy").mkdir()
    with desk_in(tmp_path / "copy") as other:
        other.ids.last = desk.ids.last
        for _ in range(2):
            other.book.again([undone, struck, entry, added])
        assert other.record.everything() == desk.record.everything()
        other.book.undo("AB")
        assert other.held(entry).entry == entry
        other.book.undo("AB")
        assert other.reading().held == ()


def test_a_new_act_ends_redo(desk: Desk) -> None:
    desk.book.record("mouth_care", {}, "AB")
    desk.book.undo("AB")
    desk.book.record("mouth_care", {}, "AB")
    with pytest.raises(Refused, match="Nothing was undone"):
        desk.book.redo("AB")


def test_undo_never_takes_back_what_somebody_else_changed(desk: Desk) -> None:
    entry = desk.book.record("suction", {}, "AB")
    other = replace(entry, id=desk.ids(START), recorded_at=START + 5, amends=entry.id, reason="seen")
    desk.record.append([other])
    with pytest.raises(Refused, match="Somebody has changed"):
        desk.book.undo("AB")
    assert desk.held(entry).entry == other
    with pytest.raises(Refused, match="Nothing was done"):
        Desk(desk.record).book.undo("AB")


@pytest.mark.parametrize("later", [0, HOUR], ids=["a clock behind", "a clock ahead"])
@pytest.mark.parametrize("kept", [0, 1])
def test_of_rivals_one_is_kept_and_the_others_struck(kept: int, later: int, desk: Desk) -> None:
    entry = desk.book.record("suction", {}, "AB")
    first = replace(entry, id=desk.ids(START), recorded_at=START + 5, amends=entry.id, by="LR", reason="a")
    second = replace(first, id=desk.ids(START), recorded_at=START + 6, by="MO", reason="b")
    deeper = replace(second, id=desk.ids(START), recorded_at=START + 7, amends=second.id, reason="c")
    desk.record.append([first, second, deeper])
    held = desk.held(entry)
    assert [each.id for each in held.rivals] == [deeper.id, first.id]
    desk.clock.instant += later
    desk.book.keep(held, held.rivals[kept], "AB")
    now = desk.held(entry)
    assert (now.entry, now.rivals) == (held.rivals[kept], ())
    with pytest.raises(Refused, match="Nothing stands beside"):
        desk.book.keep(now, now.entry, "AB")


# Saves that fail ----------------------------------------------------------------------------------


class Failing:
    """A record whose next save fails, before or after it was written."""

    def __init__(self, desk: Desk) -> None:
        self._append: Callable[[list[Entry]], None] = desk.record.append
        self.is_written = False
        self.fails = True

    def __call__(self, entries: list[Entry]) -> None:
        if self.is_written or not self.fails:
            self._append(entries)
        if self.fails:
            self.fails = False
            raise Trouble("The disk failed.")


@pytest.mark.parametrize("is_written", [False, True])
def test_a_failed_save_is_saved_again_as_it_was(
    is_written: bool, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing = Failing(desk)
    failing.is_written = is_written
    monkeypatch.setattr(desk.record, "append", failing)
    entry = desk.book.draft("suction", {"colour": "white"}, "AB")
    with pytest.raises(Trouble, match="failed"):
        desk.book.save(entry)
    assert desk.told == []
    assert desk.book.last_act() is None
    desk.clock.instant += HOUR
    assert desk.book.save(entry, tried=entry) == entry
    assert desk.record.everything() == [entry]
    assert desk.told == [[entry]]


def test_a_form_changed_after_a_failure_keeps_its_id_and_times(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk.record, "append", Failing(desk))
    tried = desk.book.draft("suction", {}, "AB")
    with pytest.raises(Trouble):
        desk.book.save(tried)
    desk.clock.instant += HOUR
    changed = desk.book.draft("suction", {"colour": "white"}, "AB", at=tried.at)
    saved = desk.book.save(changed, tried=tried)
    assert (saved.id, saved.recorded_at, saved.at) == (tried.id, tried.recorded_at, tried.at)
    assert desk.record.everything() == [saved]


def test_a_form_changed_after_a_save_that_arrived_is_its_amendment(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing = Failing(desk)
    failing.is_written = True
    monkeypatch.setattr(desk.record, "append", failing)
    tried = desk.book.draft("suction", {"colour": "white"}, "AB")
    with pytest.raises(Trouble):
        desk.book.save(tried)
    desk.clock.instant += MINUTE
    changed = desk.book.draft("suction", {"colour": "green"}, "AB", at=tried.at)
    saved = desk.book.save(changed, tried=tried)
    assert saved.amends == tried.id
    assert saved.reason
    assert desk.held(tried).entry == saved
    assert desk.record.everything()[0] == tried


def test_a_withdrawal_is_checked_like_any_entry(desk: Desk) -> None:
    entry = desk.book.record("mouth_care", {}, "AB")
    with pytest.raises(Refused, match="can't be saved"):
        desk.book.withdraw(desk.held(entry), "\udfff", "AB")
    check(entry)
    assert desk.held(entry).entry == entry


def test_whoever_puts_right_within_ten_minutes_what_they_wrote_is_not_asked_why(desk: Desk) -> None:
    held = desk.held(desk.book.record("suction", {"colour": "white"}, "AB"))
    desk.clock.instant += 10 * MINUTE
    changed = desk.book.amend(held, {"colour": "yellow"}, by="AB")
    assert changed.reason == "put right at once"


def test_later_or_by_another_they_are(desk: Desk) -> None:
    held = desk.held(desk.book.record("suction", {"colour": "white"}, "AB"))
    with pytest.raises(Refused):
        desk.book.amend(held, {"colour": "yellow"}, by="CD")
    desk.clock.instant += 10 * MINUTE + 1
    with pytest.raises(Refused):
        desk.book.amend(held, {"colour": "yellow"}, by="AB")


@pytest.mark.parametrize("is_signed", [True, False])
def test_on_a_day_that_a_nurse_signed_a_change_within_ten_minutes_needs_its_reason_too(
    is_signed: bool, desk: Desk
) -> None:
    entry = desk.book.record("suction", {"colour": "white"}, "AB", at=Moment(START - HOUR))
    day = Home("Europe/London").day(START - HOUR).isoformat()
    desk.clock.instant += MINUTE
    if is_signed:
        desk.book.record("visit", {"nurse": "Nell", "until": day, "signed": True}, "NT")
    desk.clock.instant += MINUTE
    (held,) = Reading(desk.record.chain([entry.id])).held
    if not is_signed:
        assert desk.book.amend(held, {"colour": "green"}, by="AB").reason == "put right at once"
        return
    for reason in ("", "put right at once", "chosen again after it was saved"):
        with pytest.raises(Refused, match="signed this day"):
            desk.book.amend(held, {"colour": "green"}, by="AB", reason=reason)
    assert desk.book.amend(held, {"colour": "green"}, by="AB", reason="it was dark").reason == "it was dark"


@pytest.mark.parametrize(("at", "by"), [(Moment(START - 2 * HOUR), "AB"), (None, "CD")])
@pytest.mark.parametrize("is_corrected", [False, True])
def test_what_a_nurse_signed_is_not_moved_or_given_another_name_without_a_reason(
    at: Moment | None, by: str, is_corrected: bool, desk: Desk
) -> None:
    entry = desk.book.record("suction", {"colour": "white"}, "AB", at=Moment(START - HOUR))
    day = Home("Europe/London").day(START - HOUR).isoformat()
    desk.clock.instant += MINUTE
    desk.book.record("visit", {"nurse": "Nell", "until": day, "signed": True}, "NT")
    desk.clock.instant += MINUTE
    if is_corrected:  # just now, with its reason
        desk.book.amend(desk.held(entry), {"colour": "green"}, by="AB", reason="it was dark")
        desk.clock.instant += MINUTE
    before = desk.held(entry).entry
    with pytest.raises(Refused, match="signed this day"):
        desk.book.complete(desk.held(entry), {}, at=at, by=by)
    with pytest.raises(Refused, match="signed this day"):
        desk.book.amend(desk.held(entry), before.details, at=at, by=by)
    assert desk.held(entry).entry == before
    assert desk.book.complete(desk.held(entry), {"blood": "none"}).details["blood"] == "none"


def test_what_was_pressed_after_the_signature_can_still_be_put_before_it(desk: Desk) -> None:
    day = Home("Europe/London").day(START).isoformat()
    desk.book.record("visit", {"nurse": "Nell", "until": day, "signed": True}, "NT")
    desk.clock.instant += MINUTE
    entry = desk.book.record("suction", {}, "AB")
    moved = desk.book.complete(desk.held(entry), {}, at=Moment(START - 5 * MINUTE))
    assert moved.at.instant == START - 5 * MINUTE


def test_a_version_that_says_the_same_is_never_written(desk: Desk) -> None:
    entry = desk.book.record("suction", {"colour": "white"}, "AB", note="by day")
    desk.clock.instant += MINUTE
    assert desk.book.complete(desk.held(entry), {}, at=entry.at) == entry
    assert desk.book.amend(desk.held(entry), {"colour": "white"}, by="AB", reason="looked again") == entry
    assert desk.record.everything() == [entry]
