"""No Python object outlives the layout's item that it stands for.

Qt tells nobody when it deletes one, and PySide takes what is left for the next widget that comes to lie at
its address: an event filter is then called with a layout's item, and a change of colours ends in an error.
PySide makes such an object where an item is asked for, and where a layout is added that is filled already.
Each window of these tests is looked through when it is closed (see `conftest`).
"""

import gc
from collections.abc import Iterator

import pytest
import shiboken6
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from carelog.kinds import ALL
from tests.ui.conftest import Opened
from tests.ui.items import begin, left_items


@pytest.fixture
def layout(qapp: QApplication) -> Iterator[QVBoxLayout]:
    """The layout of a widget."""
    assert qapp
    begin()
    widget = QWidget()
    yield QVBoxLayout(widget)
    shiboken6.delete(widget)
    gc.collect()
    assert left_items() == []


def test_an_item_that_is_asked_for_and_a_layout_that_is_added_filled_leave_an_object(
    layout: QVBoxLayout,
) -> None:
    """The control."""
    inner = QHBoxLayout()
    layout.addLayout(inner)
    inner.addWidget(QLabel())
    assert left_items() == []
    assert inner.itemAt(0) is not None
    assert len(left_items()) == 1
    filled = QHBoxLayout()
    filled.addWidget(QLabel())
    layout.addLayout(filled)
    assert len(left_items()) == 2


@pytest.mark.parametrize("wide", [640, 1920])
def test_no_page_and_no_form_leaves_an_object_however_it_is_arranged(opened: Opened, wide: int) -> None:
    ways, found = opened.rest.ways, dict[str, int]()
    for width in (1024, wide):
        opened.window.resize(QSize(width, 600))
        for kind in ALL:
            if kind.name != "seen":
                ways.open_form(kind.name)
                opened.bot.wait(10)
                found[kind.name] = len(left_items())
    assert {each: count for each, count in found.items() if count} == {}
