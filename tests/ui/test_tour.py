"""The tour of the made-up household: five things, none of which is in the way of anything else."""

from dataclasses import replace
from pathlib import Path

import pytest

from carelog.commands import display, household
from carelog.ui import application
from carelog.ui.parts import Parts
from carelog.ui.tour.stops import STOPS
from tests.journeys.household import carelog
from tests.ui.conftest import Opened


def said(opened: Opened) -> str:
    """What the tour says now; empty once it is left."""
    return opened.rest.tour.band.words()


def test_it_leads_through_five_things_and_follows_what_is_pressed(opened: Opened) -> None:
    opened.rest.tour.want()
    seen = []
    for press in ("tile_suction", "undo", "go_flags", "go_sheet", "go_emergency"):
        seen.append(said(opened))
        before = said(opened)
        opened.press(press)
        opened.wait(lambda words=before: said(opened) != words)  # type: ignore[misc]
    assert [words[:6] for words in seen] == [f"{number} of 5" for number in range(1, 6)]
    assert "That was all." in said(opened)
    assert [entry.withdrawn for entry in opened.record.entries[-2:]] == [False, True]
    opened.press("tour_leave")
    assert said(opened) == ""


def test_it_points_at_what_it_speaks_of_and_takes_no_press_away(opened: Opened) -> None:
    opened.rest.tour.want()
    pointer, tile = opened.rest.tour._pointer, opened.find("tile_suction")
    opened.wait(lambda: pointer.isVisible())
    body = opened.window.centralWidget()
    assert body is not None
    middle = tile.mapTo(body, tile.rect().center())
    assert pointer.geometry().contains(middle)
    assert body.childAt(middle) is tile
    opened.press("tile_ties")
    opened.wait(lambda: "Ties" in opened.receipt())
    assert opened.written("ties")


def test_next_passes_over_a_thing_and_leaving_ends_it_at_once(opened: Opened) -> None:
    opened.rest.tour.want()
    opened.press("tour_next")
    assert said(opened).startswith("2 of 5")
    opened.press("tour_leave")
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert said(opened) == ""
    assert len(STOPS) == 5


def test_on_the_emergency_page_nothing_of_it_stands_above_the_numbers_before_the_end(opened: Opened) -> None:
    opened.rest.tour.want()
    assert opened.rest.tour.band.isVisible()
    opened.press("go_emergency")
    assert not opened.rest.tour.band.isVisible()
    opened.press("go_board")
    assert opened.rest.tour.band.isVisible()


def test_a_real_household_is_never_led_about(opened: Opened) -> None:
    """The control: the same wish, about a record that doesn't say it is made up."""
    picture = opened.picture()
    real = {name: value for name, value in picture.person.details.items() if name != "invented"}
    opened.window.desk.present.picture = replace(picture, person=replace(picture.person, details=real))
    opened.rest.tour.want()
    assert said(opened) == ""


def test_the_demo_begins_with_the_tour_and_no_other_start_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []

    def run(parts: Parts) -> int:
        seen.append(parts.begins_tour)
        return 0

    monkeypatch.setattr(application, "run", run)
    for name in ("is_there", "can_open"):
        monkeypatch.setattr(display, name, lambda *_given: True)
    for name in ("keep_or_make", "_sheet"):
        monkeypatch.setattr(household, name, lambda *_given: tmp_path)
    record = str(tmp_path / "demo.carelog")
    assert carelog("demo", "--record", record).status == 0
    assert carelog("--record", record).status == 0
    assert seen == [True, False]
