"""What the board says of copies: the truth, also after the window was closed."""

from collections.abc import Callable
from pathlib import Path
from threading import Event
from time import monotonic

import pytest
from PySide6.QtWidgets import QLabel

from carelog.app import medium
from carelog.app.backups import kept_in
from carelog.domain.moment import DAY_24_H, HOUR, MINUTE, Instant
from carelog.domain.trouble import Trouble
from carelog.domain.turn import give_way
from carelog.store.backup import examine
from carelog.ui.access import PATIENCE, Stage
from carelog.ui.media import STUCK
from tests.ui.conftest import Opened
from tests.ui.test_guard import record_in

Opens = Callable[[Path], Opened]
FAILED = "The last copy failed. The disk is full."


def full(_record: Path, _target: Path) -> None:
    raise Trouble("The disk is full.")


def board(opened: Opened) -> str:
    """All texts of the board."""
    found = opened.window.board.findChildren(QLabel)
    return " ".join(label.text() for label in found).replace("\u200a", "")


def page(opened: Opened) -> str:
    """All texts of the pages that were made."""
    found = opened.window.stack.findChildren(QLabel)
    return " ".join(label.text() for label in found).replace("\u200a", "")


def says(opened: Opened, words: str) -> None:
    """Wait until the board says these words."""
    opened.wait(lambda: words in board(opened))


def at_rest(opened: Opened) -> Opened:
    """Once the flags are read: nothing else has the board look anew."""
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    return opened


def given(opened: Opened, **parts: object) -> None:
    """Give the copies another part of the program."""
    copies = opened.rest.copies
    copies._parts = copies._parts._replace(**parts)  # type: ignore[arg-type]


def test_a_copy_that_failed_is_said_on_the_board_until_one_succeeds_also_after_closing(
    on_disk: Opens, tmp_path: Path
) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    assert FAILED not in board(opened)  # the control
    given(opened, back_up=full)
    opened.window.close()
    opened = on_disk(path)
    opened.wait(lambda: FAILED in board(opened))
    opened.rest.copies.make()
    opened.wait(lambda: opened.rest.copies.newest is not None)
    opened.wait(lambda: FAILED not in board(opened))
    opened.window.close()
    assert FAILED not in board(on_disk(path))


def test_after_a_failure_an_hour_passes_before_the_next_try(on_disk: Opens, tmp_path: Path) -> None:
    opened = on_disk(record_in(tmp_path))
    tries: list[Path] = []

    def failing(record: Path, target: Path) -> None:
        tries.append(target)
        full(record, target)

    given(opened, back_up=failing)
    opened.clock.instant += DAY_24_H
    for minutes, count in ((0, 1), (1, 1), (30, 1), (30, 2)):
        opened.clock.instant += minutes * MINUTE
        opened.rest.copies.look()
        opened.wait(lambda: not opened.rest.copies.is_asked)
        assert len(tries) == count


def test_a_window_left_alone_looks_at_its_copies_four_times_an_hour_and_writes_nothing_that_it_knew(
    on_disk: Opens, tmp_path: Path
) -> None:
    opened = at_rest(on_disk(record_in(tmp_path)))
    copies = opened.rest.copies
    opened.wait(lambda: opened.window.preferences.now.drilled_at > 0)  # the copy of the start was tried
    opened.clock.instant += HOUR
    copies.look()
    opened.wait(lambda: copies.newest is not None and not copies.is_asked)
    settings = opened.window.desk.parts.places.settings
    written, looks, held = settings.stat().st_ino, list[Path](), copies._parts.held_up_to

    def looked(copy: Path, now: Instant) -> Instant:
        looks.append(copy)
        return held(copy, now)

    given(opened, held_up_to=looked)
    for _ in range(120):
        opened.clock.instant += MINUTE // 2
        opened.window.tick()
        opened.wait(lambda: not copies.is_asked)
    assert len(looks) == 4
    assert settings.stat().st_ino == written  # it is replaced as a whole where it is written


def test_a_medium_that_is_plugged_in_is_looked_at_with_the_next_tick(on_disk: Opens, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    opened = at_rest(on_disk(record_in(tmp_path)))
    opened.window.preferences.change(second_medium=medium.choose(stick))
    opened.clock.instant += HOUR
    opened.window.tick()
    opened.wait(lambda: opened.rest.copies.newest is not None and not opened.rest.copies.is_asked)
    assert opened.rest.copies.outside() == []
    given(opened, media=lambda: [stick])
    opened.clock.instant += MINUTE // 2
    opened.window.tick()
    opened.wait(lambda: len(opened.rest.copies.outside()) == 1)


def test_a_medium_that_hangs_stops_no_dues_no_saving_and_no_copy_here_and_is_said_after_a_minute(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("carelog.ui.media.AWAITED", 0.2)
    stick, hangs = tmp_path / "stick", Event()
    stick.mkdir()
    opened = at_rest(on_disk(record_in(tmp_path)))
    copies, present = opened.rest.copies, opened.window.desk.present

    def mounted() -> list[Path]:
        hangs.wait(60)
        return [stick]

    try:
        opened.window.preferences.change(second_medium=medium.choose(stick))
        given(opened, media=mounted)
        opened.clock.instant += HOUR
        opened.window.tick()
        opened.wait(lambda: present.picture is not None and present.picture.now == opened.clock.instant)
        opened.press("tile_suction")
        opened.wait(lambda: "saved" in opened.receipt())
        opened.wait(lambda: copies.newest is not None and not copies.is_asked)
        assert "can't be looked for" not in board(opened)
        copies.media._looked_at -= STUCK
        opened.clock.instant += MINUTE
        opened.window.tick()
        says(opened, "Sticks can't be looked for")
        opened.window.go("copies")
        shown = " ".join(each.text() for each in opened.shown().findChildren(QLabel))
        assert "Sticks can't be looked for" in shown
        assert "No stick or disk" not in shown
    finally:
        hangs.set()
    opened.wait(lambda: copies.media.chosen == stick)
    opened.clock.instant += MINUTE
    opened.window.tick()
    opened.wait(lambda: "can't be looked for" not in board(opened))


def test_the_board_says_what_the_copy_outside_holds_and_no_more_than_is_known(
    on_disk: Opens, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    for is_outside, words in (
        (True, "The last copy outside this computer holds all up to 03:11."),
        (None, "Whether it lies outside this computer can't be told."),
        (False, "No copy outside this computer is known."),
    ):
        monkeypatch.setattr("carelog.app.copying.is_outside", lambda *_given, found=is_outside: found)
        path = record_in(tmp_path) if is_outside else tmp_path / "data" / "record.carelog"
        opened = at_rest(on_disk(path))
        given(opened, media=lambda: [stick])
        opened.window.preferences.change(second_medium=medium.choose(stick))
        opened.clock.instant += HOUR
        opened.rest.copies.make()
        says(opened, words)
        opened.window.close()


def test_a_window_closes_at_once_while_coming_back_is_tried(on_disk: Opens, tmp_path: Path) -> None:
    begun, opened = Event(), on_disk(record_in(tmp_path))

    def for_ever(_copy: Path, _target: Path) -> int:
        begun.set()
        while True:
            give_way()

    given(opened, restore=for_ever)
    opened.rest.copies.make()
    opened.wait(begun.is_set)
    patient = opened.window.desk.access.patient
    before = monotonic()
    opened.window.close()
    assert monotonic() - before < PATIENCE
    assert not patient._thread.is_alive()


def test_what_is_pressed_while_a_copy_is_made_is_saved_at_once(on_disk: Opens, tmp_path: Path) -> None:
    opened, begun, may_end = at_rest(on_disk(record_in(tmp_path))), Event(), Event()

    def slow(_record: Path, _target: Path) -> None:
        begun.set()
        assert may_end.wait(60)
        raise Trouble("Enough.")

    given(opened, back_up=slow)
    opened.rest.copies.make()
    assert begun.wait(10)
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    assert opened.rest.copies.is_asked  # the copy isn't done
    may_end.set()
    says(opened, "Enough.")


def test_a_copy_that_takes_long_is_said_to_be_made_until_it_is(on_disk: Opens, tmp_path: Path) -> None:
    opened, may_end = at_rest(on_disk(record_in(tmp_path))), Event()
    make = opened.rest.copies._parts.back_up
    assert make is not None

    targets: list[Path] = []

    def slow(record: Path, target: Path) -> object:
        targets.append(target)
        assert may_end.wait(60)
        return make(record, target)

    given(opened, back_up=slow)
    assert opened.window.do("copies")
    opened.wait(lambda: not opened.rest.copies.is_asked)
    opened.clock.instant += MINUTE  # a copy of another second
    opened.press("copy_now")
    opened.wait(lambda: "A copy is being made" in page(opened))
    opened.clock.instant += MINUTE
    opened.press("copy_now")  # once is enough
    may_end.set()
    opened.wait(lambda: "A copy is being made" not in page(opened))
    assert "The last copy on this computer holds all up to" in page(opened)
    assert len(targets) == 1


def test_a_copy_that_somebody_waits_for_is_said_until_it_is_made_also_behind_another(
    on_disk: Opens, tmp_path: Path
) -> None:
    opened, may_look, may_end = at_rest(on_disk(record_in(tmp_path))), Event(), Event()
    copies = opened.rest.copies
    opened.wait(lambda: not copies.is_asked)
    make, held = copies._parts.back_up, copies._parts.held_up_to
    assert make is not None

    def looked(copy: Path, now: Instant) -> Instant:
        assert may_look.wait(60)
        return held(copy, now)

    def slow(record: Path, target: Path) -> object:
        assert may_end.wait(60)
        return make(record, target)

    given(opened, back_up=slow, held_up_to=looked)
    copies.newest_up_to = 0
    opened.clock.instant += HOUR
    assert copies.look()
    copies.make()
    may_look.set()
    opened.wait(lambda: copies.newest_up_to > 0)  # what was looked for is found
    assert copies.said.startswith("A copy is being made")
    assert copies.is_asked
    may_end.set()
    opened.wait(lambda: not copies.is_asked)
    assert copies.said == ""


def test_a_window_closes_while_a_copy_is_read_back_and_leaves_one_that_is_whole(
    on_disk: Opens, tmp_path: Path
) -> None:
    opened, begun = at_rest(on_disk(record_in(tmp_path))), Event()
    make = opened.rest.copies._parts.back_up
    assert make is not None

    def held_up(record: Path, target: Path) -> object:
        if not begun.is_set():
            begun.set()
            while True:
                give_way()
        return make(record, target)

    given(opened, back_up=held_up)
    opened.rest.copies.make()
    assert begun.wait(10)
    before = monotonic()
    opened.window.close()
    assert monotonic() - before < PATIENCE
    assert not opened.window.desk.access.copier._thread.is_alive()
    newest = kept_in(opened.rest.copies._parts.places.backups)[0]
    assert examine(newest.path).count
    assert not examine(newest.path).damage


def test_no_other_file_takes_the_records_place_while_it_is_copied(on_disk: Opens, tmp_path: Path) -> None:
    opened, begun, may_end = at_rest(on_disk(record_in(tmp_path))), Event(), Event()
    order: list[str] = []

    def slow(_record: Path, _target: Path) -> None:
        begun.set()
        assert may_end.wait(60)
        order.append("copied")
        raise Trouble("Enough.")

    given(opened, back_up=slow)
    opened.rest.copies.make()
    assert begun.wait(10)
    access = opened.window.desk.access
    access.begin_anew(lambda: order.append("another"))
    assert access.stage is Stage.OPENING
    assert order == []
    may_end.set()
    opened.wait(access.is_open)
    assert order == ["copied", "another"]
