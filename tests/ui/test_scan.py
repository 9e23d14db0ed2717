"""The window by one switch or two: what is reached in how many steps, and what a switch does and doesn't."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QApplication, QWidget

from carelog.ui.scan.bar import ScanBar
from carelog.ui.scan.ring import RingShape, draw_scan_ring
from carelog.ui.scan.scanner import Scanner
from carelog.ui.scan.stop import Deed, Stop
from carelog.ui.scan.switch import Manner, SwitchReader, switch_words
from carelog.ui.scan.walk import MOST, Node, Walk, group, steps_to
from tests.ui.conftest import Opened

SPACE, RETURN, F9 = Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_F9
PRESS, RELEASE = QEvent.Type.KeyPress, QEvent.Type.KeyRelease
FORMS = ("suction", "cuff_pressure", "stoma", "observations", "inner_tube", "valve", "incident", "stock")
ENOUGH = 12  # steps
SHARE = 0.95


@pytest.fixture
def scanned(opened: Opened) -> Opened:
    """A window that is scanned, its ring moved by the test alone."""
    opened.window.preferences.change(has_scanning=True, scan_pause=0, scan_bounce=0)
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    return opened


def scanner(opened: Opened) -> Scanner:
    """What moves the ring."""
    found = opened.rest.inputs.scanner
    assert found is not None
    found._timer.stop()
    return found


def ring_of(opened: Opened) -> QWidget:
    """The scan's ring."""
    found: QWidget | None = opened.window.findChild(QWidget, "scan_ring")
    assert found is not None
    return found


def switch(target: QWidget, key: Qt.Key = SPACE) -> None:
    """Press a key and let it go."""
    for kind in (PRESS, RELEASE):
        QApplication.sendEvent(target, QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier))


def reach(opened: Opened, name: str) -> int:
    """Press the switch along the shortest way until this is pressed; how many steps it took."""
    found, steps = scanner(opened), 0
    while steps < 60:
        found._timer.stop()
        node = found.walk.now
        assert node is not None
        is_within = any(stop.widget.objectName() == name for stop in node.stops())
        steps += 1
        if not is_within or found.walk.is_at_way_out:
            found.step()
            continue
        switch(opened.window)
        if node.stop is not None:
            return steps
    pytest.fail(f"{name} wasn't reached")


def acts(opened: Opened, page: str) -> Iterator[tuple[str, int]]:
    """Everything on a page, each with its steps from where the scan begins there."""
    root = scanner(opened)._tree()
    for stop in root.stops():
        steps = steps_to(root, stop.name)
        assert steps is not None
        yield f"{page}: {stop.name}", steps


def counted(opened: Opened) -> dict[str, int]:
    """All usual acts: tiles, quick choices, forms with their digits, the emergency page, the pages."""
    found = dict(acts(opened, "board"))
    opened.press("tile_suction")
    opened.wait(lambda: "saved" in opened.receipt())
    found.update(acts(opened, "saved"))
    for kind in FORMS:
        opened.rest.ways.open_form(kind)
        found.update(acts(opened, kind))
    opened.rest.ways.open_form("cuff_pressure")
    scanner(opened)._open_pad(Stop(opened.find("field_value"), Deed.TYPE))
    found.update(acts(opened, "digits"))
    scanner(opened)._close_pad()
    for page in ("cards", "kit", "emergency"):
        opened.window.go(page)
        found.update(acts(opened, page))
    return found


def test_95_of_100_usual_acts_take_12_steps_at_most(scanned: Opened) -> None:
    found = counted(scanned)
    far = {name: steps for name, steps in found.items() if steps > ENOUGH}
    assert len(found) > 250
    assert len(far) <= (1 - SHARE) * len(found), far
    assert max(found.values()) <= 16


def test_one_long_row_for_all_would_not_be_near_enough(scanned: Opened) -> None:
    """The control: without groups most of it is further away."""
    stops = list(scanner(scanned)._tree().stops())
    row = Node(members=tuple(Node(stop) for stop in stops))
    far = [stop for stop in stops if (steps_to(row, stop.name) or 0) > ENOUGH]
    assert len(far) > len(stops) / 2


def test_every_stop_of_tab_is_one_of_the_scans(scanned: Opened) -> None:
    """Buttons and fields: none is left out on any page."""
    from PySide6.QtWidgets import QAbstractButton, QLineEdit

    from carelog.ui.stops import stops

    for page in ("board", "timeline", "flags", "due", "settings", "emergency", "typed", "form"):
        scanned.window.do(page) if page != "form" else scanned.rest.ways.open_form("suction")
        body = scanned.window.body
        reached = {id(stop.widget) for stop in scanner(scanned)._tree().stops()}
        for each in stops(body):
            assert not isinstance(each, QAbstractButton | QLineEdit) or id(each) in reached, each.objectName()


def test_the_ring_alone_saves_opens_and_changes_nothing(scanned: Opened) -> None:
    before = list(scanned.record.entries)
    for page in ("board", "cards", "flags", "due", "kit", "timeline", "settings", "emergency", "first"):
        scanned.window.do(page)
        opened_page = scanned.window.page()
        for _ in range(30):
            scanner(scanned).step()
        assert scanned.window.page() == opened_page
    assert scanned.record.entries == before
    assert scanned.window.desk.slips.all == []


def test_a_suction_with_its_findings_and_undo_one_step_away_by_a_single_key(scanned: Opened) -> None:
    assert reach(scanned, "tile_suction") <= ENOUGH
    scanned.wait(lambda: "Suction saved" in scanned.receipt())
    scanned.come_to_rest()
    assert reach(scanned, "pick_consistency_thick") <= ENOUGH
    scanned.wait(lambda: "thick) saved" in scanned.receipt())
    scanned.come_to_rest()
    found = scanner(scanned)
    found.step()
    assert found.walk.now is not None
    assert [stop.widget.objectName() for stop in found.walk.now.stops()] == ["undo"]
    switch(scanned.window)
    scanned.wait(lambda: "undone" in scanned.receipt())


def test_a_hard_hour_by_a_single_switch_takes_no_act_of_more_than_12_steps(scanned: Opened) -> None:
    """Suction with what was found, its undo, where it hurts and how much, a call, and no scan any more."""

    def saved(words: str) -> None:
        scanned.wait(lambda: words in scanned.receipt())
        scanned.come_to_rest()

    steps = [reach(scanned, "tile_suction")]
    saved("Suction saved")
    steps.append(reach(scanned, "pick_consistency_thick"))
    saved("thick) saved")
    steps.append(reach(scanned, "pick_colour_yellow"))
    saved("(yellow, thick) saved")
    scanner(scanned).step()
    assert scanner(scanned)._ringed == "Undo: Suction (yellow, thick)"
    steps.append(reach(scanned, "undo"))
    saved("undone")
    steps.append(reach(scanned, "go_cards"))
    steps += [reach(scanned, name) for name in ("card_3", "shown_where")]
    scanned.pause()
    steps += [reach(scanned, name) for name in ("card_4", "pain_7")]
    scanned.pause()
    steps += [reach(scanned, name) for name in ("shown_close", "cards_call", "call_stop", "go_board")]
    assert scanned.window.page() == "board"
    steps.append(reach(scanned, "scan_stop"))
    assert not scanner(scanned).is_running
    assert max(steps) <= ENOUGH, steps
    assert scanned.written("phrase") == []


@pytest.mark.parametrize("page", ["board", "form", "timeline", "settings"])
def test_somebody_is_called_by_the_switch_from_any_page(scanned: Opened, page: str) -> None:
    if page == "form":
        scanned.rest.ways.open_form("suction")
    else:
        scanned.window.do(page)
    scanner(scanned).begin()
    assert reach(scanned, "scan_call") <= ENOUGH
    assert scanned.find("call_stop").isVisible()
    assert not scanned.find("scan_bar").findChild(QWidget, "scan_call").isVisible()
    assert reach(scanned, "call_stop") <= ENOUGH
    assert scanned.find("card_1").isVisible()


def test_a_card_is_shown_and_put_away_by_the_switch_alone(scanned: Opened) -> None:
    scanned.window.go("cards")
    scanner(scanned).begin()
    assert reach(scanned, "card_2") <= ENOUGH
    assert scanned.find("shown_close").isVisible()
    scanned.pause()
    assert reach(scanned, "shown_close") <= ENOUGH
    assert scanned.find("card_2").isVisible()


def test_a_pressure_is_typed_digit_by_digit_with_its_unit(scanned: Opened) -> None:
    reach(scanned, "tile_cuff_pressure")
    reach(scanned, "field_value")
    for name in ("scan_2", "scan_9", "scan_delete", "scan_6", "scan_done"):
        assert reach(scanned, name) <= ENOUGH
    if not scanned.find("pick_unit_cmH2O").isChecked():
        reach(scanned, "pick_unit_cmH2O")
    assert reach(scanned, "save") <= ENOUGH
    scanned.wait(lambda: bool(scanned.written("cuff_pressure")))
    scanned.wait(lambda: scanned.window.page() == "board")
    assert scanned.written("cuff_pressure")[-1].details == {"value": 26, "unit": "cmH2O"}


def test_after_a_save_on_another_page_undo_stands_in_the_bar(scanned: Opened) -> None:
    scanned.window.go("flags")
    scanned.window.desk.slips.press("mouth_care", {})
    scanned.wait(lambda: bool(scanned.written("mouth_care")))
    scanned.wait(lambda: scanned.find("scan_undo").isVisible())
    assert reach(scanned, "scan_undo") <= 2
    scanned.wait(lambda: scanned.written("mouth_care")[-1].withdrawn)


def test_in_huge_letters_undo_takes_the_place_of_calling_and_the_window_keeps_its_width(
    scanned: Opened,
) -> None:
    scanned.window.preferences.change(text_percent=300)
    scanned.window.go("flags")
    scanned.wait(lambda: (scanned.window.width(), scanned.window.height()) == (1024, 600))
    bar = scanned.find("scan_bar", ScanBar)
    undo, call = bar.undo, bar.call
    assert call.isVisible()
    scanned.window.desk.slips.press("mouth_care", {})
    scanned.wait(undo.isVisible)
    assert scanned.window.width() == 1024
    assert not call.isVisible()
    scanned.window.preferences.change(text_percent=100)
    scanned.wait(call.isVisible)
    assert undo.isVisible()


def test_the_ring_moves_by_itself_at_its_pace_and_waits_while_the_switch_is_held(scanned: Opened) -> None:
    scanned.window.preferences.change(scan_pace=300, scan_hold=2000)
    found = scanned.rest.inputs.scanner
    assert found is not None
    found.begin()
    first = found.walk.now
    scanned.wait(lambda: found.walk.now is not first)
    QApplication.sendEvent(scanned.window, QKeyEvent(PRESS, SPACE, Qt.KeyboardModifier.NoModifier))
    assert not found._timer.isActive()
    QApplication.sendEvent(scanned.window, QKeyEvent(RELEASE, SPACE, Qt.KeyboardModifier.NoModifier))
    assert found._timer.isActive()


def test_what_came_under_the_ring_by_itself_is_not_pressed_unseen(scanned: Opened) -> None:
    scanned.window.preferences.change(scan_second=f"key {int(F9)}")
    while (node := scanner(scanned).walk.now) is None or node.stop is None:
        scanner(scanned).step()
    scanned.window.do("first")
    before = scanned.window.page()
    switch(scanned.window)
    assert (scanned.window.page(), scanned.window.desk.slips.all) == (before, [])
    assert scanner(scanned).walk.outermost == 0


def test_where_what_was_ringed_is_gone_the_ring_starts_anew_at_the_first_stop(scanned: Opened) -> None:
    scanned.window.go("timeline")
    table = scanned.find("timeline_list")
    scanned.wait(lambda: table.model().rowCount() > 1)
    scanned.come_to_rest()
    scanner(scanned).begin()
    reach(scanned, "timeline_list")
    scanned.wait(lambda: any(each.isVisible() for each in scanned.window.findChildren(QWidget, "amend")))
    scanned.wait(ring_of(scanned).isVisible)
    assert scanner(scanned).walk.outermost == 0


def test_only_one_ring_is_seen_at_a_time(scanned: Opened) -> None:
    scanned.find("go_flags").setFocus()
    scanner(scanned).step()
    assert not scanned.find("go_flags").hasFocus()
    scanned.rest.ways.open_form("note")
    scanned.find("field_note").setFocus()
    scanner(scanned).step()
    assert scanned.window.focusWidget() is scanned.find("field_note")


def test_two_switches_one_moves_the_other_chooses(scanned: Opened) -> None:
    scanned.window.preferences.change(scan_second=f"key {int(F9)}")
    found = scanner(scanned)
    before = found.walk.now
    switch(scanned.window, F9)
    assert found.walk.now is not before
    assert not found._timer.isActive()
    assert scanned.window.desk.slips.all == []


def test_stop_scanning_gives_the_keys_back_and_a_long_press_goes_on(scanned: Opened) -> None:
    reach(scanned, "scan_stop")
    found = scanner(scanned)
    assert not found.is_running
    assert not ring_of(scanned).isVisible()
    scanned.find("go_flags").setFocus()
    switch(scanned.find("go_flags"))
    assert scanned.window.page() == "flags"
    QApplication.sendEvent(scanned.window, QKeyEvent(PRESS, SPACE, Qt.KeyboardModifier.NoModifier))
    found.reader._timer.setInterval(1)
    scanned.wait(lambda: found.is_running)


def test_any_key_or_mouse_button_can_be_the_switch(opened: Opened) -> None:
    opened.press("go_settings")
    opened.press("choose_scan_switch")
    place = QPointF(5, 5)
    right = Qt.MouseButton.RightButton
    press = QMouseEvent(
        QEvent.Type.MouseButtonPress, place, place, right, right, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(opened.window, press)
    opened.wait(lambda: opened.window.preferences.now.scan_switch == f"button {right.value}")
    opened.press("choose_scan_second")
    switch(opened.window, RETURN)
    opened.wait(lambda: opened.window.preferences.now.scan_second == f"key {int(RETURN)}")
    assert switch_words("button 2") == "the right mouse button"
    assert switch_words("key 32") == "the key Space"


class Presses:
    """A reader of one switch on a clock that the test moves.

    The reader knows nothing of it, so that it goes with its timer when the test ends: left for the garbage,
    it could be taken apart by a thread of a later window, and its timer would go on without it.
    """

    def __init__(self, hold: int = 0, bounce: int = 0) -> None:
        now, chosen = [0], list[int]()
        self._now, self._chosen = now, chosen
        self.target = QWidget()
        self.reader = SwitchReader(lambda: now[0])
        self.reader.when_chosen = lambda: chosen.append(now[0])
        self.reader.read(Manner(f"key {int(SPACE)}", hold=hold, bounce=bounce))

    @property
    def count(self) -> int:
        """How many presses counted."""
        return len(self._chosen)

    def send(self, kind: QEvent.Type, at: int, *, repeats: bool = False) -> bool:
        """The key goes down or up at a time; whether nobody else sees it."""
        self._now[0] = at
        event = QKeyEvent(kind, SPACE, Qt.KeyboardModifier.NoModifier, "", repeats)
        return self.reader.eventFilter(self.target, event)


def test_a_bouncing_switch_counts_once_and_a_held_key_does_not_repeat(qapp: QApplication) -> None:
    presses = Presses(bounce=300)
    for at in (0, 40, 90):
        assert presses.send(PRESS, at)
        presses.send(PRESS, at + 5, repeats=True)
        presses.send(RELEASE, at + 20)
    assert presses.count == 1
    presses.send(PRESS, 500)
    assert presses.count == 2


def test_a_press_counts_only_once_it_was_held_long_enough(qapp: QApplication) -> None:
    presses = Presses(hold=500)
    presses.send(PRESS, 0)
    assert presses.reader._timer.interval() == 500
    presses.send(RELEASE, 200)
    assert (presses.count, presses.reader._timer.isActive()) == (0, False)
    presses.send(PRESS, 1000)
    presses.reader._timer.timeout.emit()
    assert presses.count == 1


def test_no_press_counts_in_the_pause_after_a_choice(qapp: QApplication) -> None:
    presses = Presses()
    presses.reader.rest(1000)
    presses.send(PRESS, 400)
    presses.send(RELEASE, 450)
    assert presses.count == 0
    presses.send(PRESS, 1100)
    assert presses.count == 1


# A pointer that rests -----------------------------------------------------------------------------------


def point(opened: Opened, name: str, off: QPoint | int = 0) -> None:
    """Move the pointer onto something, so far off its middle."""
    found = opened.find(name)
    slide = QPoint(off, 0) if isinstance(off, int) else off
    place = QPointF(found.mapTo(opened.window, found.rect().center()) + slide)
    none = Qt.MouseButton.NoButton
    away = opened.window.mapToGlobal(place)
    held = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(opened.window, QMouseEvent(QEvent.Type.MouseMove, place, away, none, none, held))


def rest(opened: Opened) -> None:
    """Leave it there."""
    dwell = opened.rest.inputs._dwell
    assert dwell is not None
    if dwell._timer.isActive():
        dwell._timer.timeout.emit()


def test_a_resting_pointer_presses_once_and_what_opens_beneath_it_is_not_pressed(opened: Opened) -> None:
    opened.window.preferences.change(dwell=1000)
    point(opened, "go_flags")
    assert opened.window.page() == "board"
    point(opened, "go_flags", 3)
    rest(opened)
    assert opened.window.page() == "flags"
    for slide in (0, 4, -4):
        point(opened, "go_flags", slide)
        rest(opened)
    opened.window.go("board")
    point(opened, "go_flags", 2)
    rest(opened)
    assert opened.window.page() == "board"
    point(opened, "tile_mouth_care")
    rest(opened)
    opened.wait(lambda: bool(opened.written("mouth_care")))


def test_a_pointer_that_rests_on_a_row_of_the_days_opens_its_entry(opened: Opened) -> None:
    opened.press("go_timeline")
    table = opened.find("timeline_list")
    opened.wait(lambda: table.model().rowCount() > 1)
    opened.come_to_rest()
    opened.window.preferences.change(dwell=1000)
    row = table.visualRect(table.model().index(1, 0)).center()
    point(opened, "timeline_list", table.viewport().mapTo(table, row) - table.rect().center())
    amends = [each for each in opened.window.findChildren(QWidget, "amend") if each.isVisible()]
    assert amends == []
    rest(opened)
    opened.wait(lambda: any(each.isVisible() for each in opened.window.findChildren(QWidget, "amend")))


def test_a_pointer_that_moves_on_in_time_presses_nothing(opened: Opened) -> None:
    opened.window.preferences.change(dwell=1000)
    point(opened, "go_flags")
    point(opened, "go_plan")
    rest(opened)
    assert opened.window.page() == "plan"
    opened.window.preferences.change(dwell=0)
    point(opened, "go_board")
    rest(opened)
    assert opened.window.page() == "plan"


# The way through the tree -----------------------------------------------------------------------------


def leaves(count: int) -> list[Node]:
    """So many things to press."""
    return [Node(Stop(QWidget(), Deed.PRESS, number)) for number in range(count)]


@pytest.mark.parametrize("count", [1, 6, 7, 13, 36, 37, 200])
def test_no_group_is_larger_than_six_and_none_of_its_members_is_lost(qapp: QApplication, count: int) -> None:
    held = leaves(count)
    whole = group(held)
    assert [stop.row for stop in whole.stops()] == list(range(count))
    waiting = [whole]
    while waiting:
        node = waiting.pop()
        assert len(node.members) <= MOST
        waiting += node.members


def test_a_group_is_left_at_its_end_or_by_itself_after_two_rounds(qapp: QApplication) -> None:
    walk = Walk()
    walk.begin(Node(members=(group(leaves(2)), group(leaves(3)))))
    walk.choose()
    walk.step()
    walk.step()
    assert walk.is_at_way_out
    assert walk.choose() is None
    assert (walk.outermost, walk.is_at_way_out) == (0, False)
    walk.choose()
    for _ in range(6):
        walk.step()
    assert walk.now is not None
    assert len(walk.now.members) == 2


# What it looks like -----------------------------------------------------------------------------------


def drawn(shape: RingShape) -> QImage:
    """A ring in black and white alone."""
    image = QImage(200, 100, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    draw_scan_ring(painter, QRect(0, 0, 200, 100), shape, QPen(Qt.GlobalColor.black, 6))
    painter.end()
    return image.convertToFormat(QImage.Format.Format_Mono)


def dark(image: QImage, places: list[QPoint]) -> list[bool]:
    """Whether there is a line at each place."""
    return [image.pixelColor(place).lightness() < 128 for place in places]


def test_what_the_switch_would_do_is_told_by_the_rings_shape(qapp: QApplication) -> None:
    images = {shape: drawn(shape) for shape in RingShape}
    for one in RingShape:
        for other in RingShape:
            assert (images[one] == images[other]) == (one is other)
    arrow, side = QPoint(8, 50), QPoint(100, 5)
    assert dark(images[RingShape.PRESS], [arrow, side]) == [True, True]
    assert dark(images[RingShape.GROUP], [arrow, side]) == [False, False]


def test_the_ring_is_six_pixels_wide(scanned: Opened) -> None:
    ring = ring_of(scanned)
    assert ring.isVisible()
    colour = scanned.window.palette().color(scanned.window.palette().ColorRole.Highlight).name()
    image = scanned.window.body.grab(ring.geometry()).toImage()
    row = [image.pixelColor(30, y).name() for y in range(14)]
    assert sum(each == colour for each in row) >= 6
