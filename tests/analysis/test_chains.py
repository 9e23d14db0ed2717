"""Chains of changes in sentences: what fits, who wins, when an entry counts as known, the home zone."""

from dataclasses import replace

import pytest

from carelog.analysis.in_force import Reading, is_completion, same_value
from carelog.domain.entry import Entry
from tests.analysis.notebook import Notebook, at


def ids(reading: Reading) -> list[str]:
    return [held.entry.id for held in reading.held]


def test_a_change_is_never_known_before_its_target() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    changed = book.amend(first, "3 07:00", action="changed")
    assert book.read("3 07:59").held == ()
    (held,) = book.read("3 08:00").held
    assert (held.entry, held.known) == (changed, at("3 08:00"))


def test_what_became_known_at_the_same_moment_is_read_together() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    book.withdraw(first, "3 08:00")
    assert book.read("3 08:00").held == ()
    assert len(book.read("3 08:00").withdrawn) == 1


def test_a_change_without_its_target_is_kept_without_effect_until_the_target_comes() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    changed = book.amend(first, "3 08:10", action="changed")
    alone = Reading([changed])
    assert (alone.held, alone.withdrawn, alone.get(changed.id)) == ((), (), None)
    assert ids(Reading([changed, first])) == [changed.id]


def test_a_change_of_another_kind_has_no_effect() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    odd = Entry("00000000-0000-4000-8000-00000000000f", "stoma", first.at, at("3 09:00"), amends=first.id)
    reading = Reading([odd, first])
    (held,) = reading.held
    assert (held.entry, held.chain, held.corrected) == (first, (first,), False)
    assert reading.get(odd.id) is None


def test_a_ring_of_changes_is_never_in_force() -> None:
    book = Notebook()
    one, other = book.write("3 08:00", "note"), book.write("3 08:00", "note")
    assert ids(Reading([one, other])) == [one.id, other.id]
    assert Reading([replace(one, amends=other.id), replace(other, amends=one.id)]).held == ()
    assert Reading([replace(one, amends=one.id)]).held == ()


def test_of_two_sides_the_one_whose_place_was_recorded_last_wins_then_the_greater_id() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    one = book.amend(first, "3 09:00", action="changed", fit="loose")
    other = book.amend(first, "3 09:05", action="changed", fit="tight")
    assert ids(book.read()) == [other.id]
    newer = book.amend(one, "3 09:10", action="changed", fit="one_finger")
    (held,) = book.read().held
    assert (held.entry, held.rivals) == (newer, (newer, other))
    same = book.amend(other, "3 09:10", action="checked", fit="tight")
    assert ids(book.read()) == [same.id]


def test_rivals_are_shown_until_one_side_is_left() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    one = book.amend(first, "3 09:00", action="changed", fit="loose")
    other = book.amend(first, "3 09:05", action="changed", fit="tight")
    assert [e.id for e in book.read().held[0].rivals] == [other.id, one.id]
    book.withdraw(other, "3 09:20")
    (held,) = book.read().held
    assert (held.entry, held.rivals) == (one, ())


def test_an_amendment_against_a_withdrawal_is_a_conflict_whichever_wins() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    changed = book.amend(first, "3 09:00", action="changed")
    struck = book.withdraw(first, "3 09:05")
    reading = book.read()
    assert reading.held == ()
    (found,) = reading.withdrawn
    assert (found.entry, found.withdrawal, found.rivals) == (first, struck, (struck, changed))


def test_undo_and_redo_leave_the_entry_as_it_was() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    undone = book.withdraw(first, "3 08:01")
    assert book.read().held == ()
    book.withdraw(undone, "3 08:02")
    (held,) = book.read().held
    assert (held.entry, held.corrected, held.completed, held.rivals) == (first, False, False, ())
    assert len(held.chain) == 3


def test_late_is_judged_by_the_first_entry_of_the_chain() -> None:
    book = Notebook()
    early = book.write("3 08:00", "ties", known="3 09:00", action="checked")
    late = book.write("3 08:00", "ties", known="3 09:01", action="checked")
    book.amend(early, "3 12:00", action="changed")
    book.amend(late, "3 12:00", when="3 11:59", action="changed")
    assert [held.written_late for held in book.read().held] == [False, True]


def test_a_completion_may_add_inside_an_object_but_changes_nothing_there() -> None:
    book = Notebook()
    first = book.write("3 08:00", "box_check", spare_same={"id_mm": 8}, present=["gel"])
    added = book.amend(first, "3 10:00", spare_same={"id_mm": 8, "cuff": "air"}, present=["gel"])
    other = book.amend(first, "3 10:00", spare_same={"id_mm": 7, "cuff": "air"}, present=["gel"])
    longer = book.amend(first, "3 10:00", spare_same={"id_mm": 8}, present=["gel", "ties"])
    assert [is_completion(first, each) for each in (added, other, longer)] == [True, False, False]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [(1, 1, True), (1, True, False), ([1], [True], False), ({"a": 1}, {"a": 1}, True)],
)
def test_true_is_not_the_number_one(one: object, other: object, same: bool) -> None:
    assert same_value(one, other) is same


def test_a_completion_of_a_correction_is_still_marked_as_corrected() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    changed = book.amend(first, "3 08:05", action="changed")
    book.amend(changed, "3 08:06", action="changed", fit="loose")
    (held,) = book.read().held
    assert (held.corrected, held.completed) == (True, False)


def test_a_live_reading_takes_what_is_recorded_in_time_to_come_as_recorded_now_and_doubtful() -> None:
    book = Notebook()
    ahead = book.write("4 20:00", "ties", action="checked")
    here = book.write("3 08:00", "ties", action="checked")
    changed = book.amend(ahead, "3 07:00", action="changed")
    live = {held.first.id: held for held in book.read(live_now="3 08:30").held}
    assert (live[ahead.id].time, live[ahead.id].known) == (at("3 08:30"), at("3 08:30"))
    assert live[ahead.id].doubtful
    assert live[ahead.id].entry == changed
    assert (live[here.id].time, live[here.id].doubtful) == (at("3 08:00"), False)
    assert [held.entry for held in book.read("3 08:30").held] == [here]


def test_an_entry_whose_own_record_is_still_to_come_is_doubtful_though_it_happened_before() -> None:
    book = Notebook()
    book.write("3 08:00", "ties", known="4 09:00", action="checked")
    (held,) = book.read(live_now="3 08:30").held
    assert (held.doubtful, held.time, held.known) == (True, at("3 08:30"), at("3 08:30"))
    (later,) = book.read(live_now="4 09:00").held
    assert (later.doubtful, later.time) == (False, at("3 08:00"))


def test_a_doubtful_change_is_judged_by_its_own_known_moment() -> None:
    book = Notebook()
    first = book.write("3 08:00", "ties", action="checked")
    book.amend(first, "3 08:10", when="3 08:26", action="checked")
    (held,) = book.read().held
    assert (held.doubtful, held.time) == (True, at("3 08:10"))


def test_the_home_zone_is_the_persons_newest_then_the_first_entrys_then_utc() -> None:
    book = Notebook()
    assert book.read().home.name == "UTC"
    first = book.write("3 08:00", "note")
    tokyo = Entry("f" * 8 + first.id[8:], "note", first.at, at("3 09:00"), zone="Asia/Tokyo")
    assert Reading([*book.entries, tokyo]).home.name == "Asia/Tokyo"
    book.write("4 08:00", "person", name="Odette", home_zone="Europe/Paris")
    book.write("5 08:00", "person", name="Odette")
    assert Reading([*book.entries, tokyo]).home.name == "Europe/Paris"
    written_later = book.write("2 08:00", "person", known="6 08:00", name="Odette", home_zone="Europe/Rome")
    assert Reading([*book.entries, tokyo]).home.name == "Europe/Paris"
    book.withdraw(written_later, "6 09:00")
    assert Reading([*book.entries, tokyo]).home.name == "Europe/Paris"


def test_written_down_late_comes_into_its_own_place_in_the_order() -> None:
    book = Notebook()
    new = book.write("3 08:00", "tube_change", id_mm=8, cuff="air", inner_tube="none")
    old = book.write("1 08:00", "tube_change", known="3 09:00", id_mm=9, cuff="air", inner_tube="none")
    assert [held.entry for held in book.read().of("tube_change")] == [old, new]
