"""What the plan asks for, on the board's side: told in place, it reads and lies as if it were made anew."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QVBoxLayout, QWidget

from carelog.app.outlook import Picture
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details
from carelog.domain.moment import HOUR, MINUTE
from carelog.ui.board.asked import AskedFor
from carelog.ui.due.row import DueRows, Mark
from carelog.ui.stops import stops
from tests.ui.conftest import Opened
from tests.ui.household import NOW

TASKS: tuple[tuple[str, Details], ...] = (
    ("inner_tube", {}),
    ("cuff_pressure", {}),
    ("equipment_check", {"device": "suction_machine"}),
    ("stoma", {}),
    ("mouth_care", {}),
    ("tube_change", {}),
)
HOURS = 30
MADE = st.builds(
    lambda task, state, minutes: Due(
        task[0],
        task[1],
        NOW + minutes * MINUTE,
        state,
        None,
        "",
        "",
        NOW + minutes * MINUTE + HOUR,
    ),
    st.sampled_from(TASKS),
    st.sampled_from(list(DueState)),
    st.integers(-HOURS * 60, HOURS * 60),
)
DUES = st.lists(MADE, max_size=6)


class Told:
    """A part of the side in a place of its width, and what it was told last."""

    def __init__(self, width: int) -> None:
        self.place = QWidget()
        self.place.resize(width, 900)
        layout = QVBoxLayout(self.place)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)  # it keeps its width
        self.asked = AskedFor(str)
        layout.addWidget(self.asked)
        layout.addStretch(1)
        self.place.show()

    def tell(self, picture: Picture, dues: Sequence[Due]) -> "Told":
        self.asked.tell(replace(picture, dues=tuple(dues)), dues, NOW)
        for _ in range(3):  # a height that follows from a width is asked for after it
            QApplication.processEvents()
        return self

    def close(self) -> None:
        self.place.close()
        self.place.deleteLater()


def as_seen(told: Told) -> list[object]:
    """All that is seen, read aloud or reached of it, from the top to the bottom."""
    seen = [each for each in told.asked.findChildren(QWidget) if each.isVisibleTo(told.asked)]
    found = list[tuple[object, ...]]()
    for each in seen:
        corner = each.mapTo(told.asked, each.rect().topLeft())
        words = each.text() if isinstance(each, QLabel | QPushButton) else ""
        level = each.state if isinstance(each, Mark) else None
        letters = each.font().pixelSize(), each.font().weight()
        names = each.objectName(), each.accessibleName(), each.accessibleDescription()
        place = corner.y(), corner.x(), each.width(), each.height()
        found.append((place, type(each).__name__, words, names, level, letters, each.foregroundRole()))
    sizes = [told.asked.heightForWidth(width) for width in (200, 300, 420)]
    tabs = [each.objectName() for each in stops(told.place)]
    for button in told.asked.findChildren(QPushButton):
        button.clearFocus()  # which window is the active one is no matter of the part
    image = told.asked.grab().toImage()
    return [sorted(found, key=str), tabs, sizes, told.asked.sizeHint(), image]


def without(*parts: str) -> Callable[[Picture], Picture]:
    """A picture in which these aren't known."""
    return lambda picture: replace(picture, **dict.fromkeys(parts))  # type: ignore[arg-type]


PICTURES = st.sampled_from(
    [without(), without(), without("plan"), lambda picture: replace(picture, as_of=NOW)]
)


@pytest.mark.parametrize("percent", [100, 200])
def test_told_in_place_it_is_what_it_would_be_made_anew(opened: Opened, percent: int) -> None:
    opened.window.theme.set_percent(percent)
    picture = opened.picture()
    assert picture.plan is not None

    @settings(max_examples=60, deadline=None)
    @given(DUES, PICTURES, DUES, PICTURES)
    def holds(
        before: list[Due],
        first: Callable[[Picture], Picture],
        after: list[Due],
        then: Callable[[Picture], Picture],
    ) -> None:
        kept = Told(320).tell(first(picture), before).tell(then(picture), after)
        anew = Told(320).tell(then(picture), after)
        seen, wanted = as_seen(kept), as_seen(anew)
        kept.close()
        anew.close()
        assert seen == wanted

    holds()


def test_a_comparison_of_what_is_seen_tells_two_states_apart(opened: Opened) -> None:
    due = Due("stoma", {}, NOW + HOUR, DueState.SOON, None, "", "", NOW + 2 * HOUR)
    changed = [
        [replace(due, state=DueState.DUE)],
        [replace(due, due_at=NOW + HOUR + MINUTE)],
        [replace(due, kind="mouth_care")],
        [due, due],
        [],
    ]
    told = [as_seen(Told(320).tell(opened.picture(), dues)) for dues in ([due], *changed)]
    assert [each == told[0] for each in told] == [True, *[False] * len(changed)]


def test_rows_stay_whatever_they_tell_and_come_and_go_with_their_number(opened: Opened) -> None:
    told = Told(320)
    dues = [
        Due(kind, where, NOW + HOUR, DueState.LATER, None, "", "", NOW + 2 * HOUR) for kind, where in TASKS
    ]
    told.tell(opened.picture(), dues[:2])
    rows = told.asked.findChildren(DueRows)[0]
    before = set(rows.findChildren(QWidget))
    told.tell(opened.picture(), [replace(each, state=DueState.LATE) for each in reversed(dues[:2])])
    assert set(rows.findChildren(QWidget)) == before
    told.tell(opened.picture(), dues[:3])
    assert before < set(rows.findChildren(QWidget))
    told.tell(opened.picture(), dues[:2])
    assert set(rows.findChildren(QWidget)) == before


def test_a_button_that_goes_hands_the_focus_on_before(opened: Opened) -> None:
    aside, picture = opened.window.board.aside, opened.picture()
    due = Due("stoma", {}, NOW + HOUR, DueState.LATER, None, "", "", NOW + 2 * HOUR)
    asked = aside.findChildren(AskedFor)[0]
    asked.tell(replace(picture, dues=(due,) * 6), [due] * 6, NOW)
    more = opened.find("due_more", QPushButton)
    opened.window.activateWindow()
    more.setFocus()
    opened.wait(more.hasFocus)
    asked.tell(replace(picture, dues=(due,)), [due], NOW)
    focused = opened.window.focusWidget()
    assert focused is not None
    assert focused.isVisible()
    assert not focused.objectName().startswith("tile_")
