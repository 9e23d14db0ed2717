"""The quick choices after a press: what is usual for this person, and never less near what is not."""

from datetime import timedelta

import pytest

from carelog.analysis.quick import ENOUGH, asked_yesterday, quick_picks
from carelog.domain.due import Due, DueState
from carelog.domain.moment import HOUR, Home, Instant
from carelog.kinds import ALL
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from tests.analysis.notebook import Notebook
from tests.ui.household import NOW, ZONE

HOME = Home(ZONE)


def offered(colours: list[str]) -> list[object]:
    """The values offered of a suction's colour after suctions of these colours."""
    book = Notebook()
    for number, colour in enumerate(colours):
        book.write(f"20 {number:02}:00", "suction", colour=colour)
    newest = book.read().of("suction")
    return [pick.value for pick in quick_picks(SUCTION, newest) if pick.field == "colour"]


def test_without_enough_entries_the_declared_choices_are_offered() -> None:
    assert offered([]) == ["white", "yellow"]
    assert offered(["cream"] * (ENOUGH - 1)) == ["white", "yellow"]


def test_what_is_usual_takes_the_place_of_the_first_and_what_is_unlike_it_stays() -> None:
    assert offered(["cream"] * ENOUGH) == ["cream", "yellow"]
    assert offered(["green"] * ENOUGH) == ["yellow", "green"]
    assert offered(["yellow"] * 8 + ["white"]) == ["white", "yellow"]


@pytest.mark.parametrize("kind", [kind for kind in ALL if kind.picks], ids=lambda kind: kind.name)
def test_what_is_rare_and_weighs_much_is_always_offered_and_each_choice_is_a_value_of_its_field(
    kind: object,
) -> None:
    for each in ALL:
        if each is kind:
            found = quick_picks(each, [])
            assert found[: len(each.rare_picks)] == each.rare_picks
            assert set(found) == {*each.rare_picks, *each.picks}
            for pick in found:
                field = each.field(pick.field)
                assert field is not None
                assert field.type.problem(pick.value) is None


def test_stuck_is_one_press_away_in_one_word() -> None:
    assert [INNER_TUBE.pick_label(pick) for pick in INNER_TUBE.rare_picks] == ["stuck"]
    assert [SUCTION.pick_label(pick) for pick in SUCTION.rare_picks] == ["blood streaks"]


def late(kind: str, due_at: Instant, state: DueState = DueState.LATE) -> Due:
    return Due(kind, {}, due_at, state, None, "", "", due_at + HOUR)


def test_only_what_was_asked_for_yesterday_and_is_overdue_since_may_have_been_yesterday() -> None:
    yesterday = HOME.start_of(HOME.day(NOW) - timedelta(days=1)) + 20 * HOUR
    today, before = yesterday + 6 * HOUR, yesterday - 24 * HOUR
    assert asked_yesterday([late("ties", yesterday)], "ties", {}, HOME, NOW) == yesterday
    assert asked_yesterday([late("ties", yesterday)], "stoma", {}, HOME, NOW) is None
    assert asked_yesterday([late("ties", yesterday, DueState.DUE)], "ties", {}, HOME, NOW) is None
    assert asked_yesterday([late("ties", today)], "ties", {}, HOME, NOW) is None
    assert asked_yesterday([late("ties", before)], "ties", {}, HOME, NOW) is None
