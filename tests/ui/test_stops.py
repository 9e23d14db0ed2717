"""Walking the stops of Tab asks no layout for its items."""

import pytest
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from carelog.ui.flow import Flow
from carelog.ui.stops import stops
from tests.architecture.tree import modules, name_of
from tests.ui.conftest import Opened
from tests.ui.items import left_items


@pytest.mark.usefixtures("qapp")
def test_stops_are_walked_in_the_order_of_the_layouts_also_where_one_lies_in_another() -> None:
    page = QWidget()
    outer, inner, flow = QVBoxLayout(page), QHBoxLayout(), Flow()
    buttons = [QPushButton(str(number)) for number in range(6)]
    for layout, own in ((flow, (3, 2)), (inner, (1, 5)), (outer, (4,))):
        for number in own:
            layout.addWidget(buttons[number])
    inner.insertLayout(1, flow)
    outer.insertLayout(0, inner)
    outer.insertWidget(0, buttons[0])
    page.show()
    assert [each.text() for each in stops(page) if isinstance(each, QPushButton)] == list("013254")


@pytest.mark.parametrize("page", ["board", "flags", "kit", "settings", "due", "help", "form_observations"])
def test_walking_them_leaves_no_item_that_could_be_mistaken_for_a_widget(opened: Opened, page: str) -> None:
    """PySide6 takes what Qt makes in the place of such an item, once it is gone, for the item."""
    opened.window.preferences.change(has_scanning=True)
    if page.startswith("form_"):
        opened.rest.ways.open_form(page.removeprefix("form_"))
    else:
        assert opened.window.do(page)
    assert list(stops(opened.window))
    scanner = opened.rest.inputs.scanner
    assert scanner is not None
    scanner.begin()
    assert left_items() == []


def test_nothing_asks_a_layout_for_its_items_but_layouts_of_ours() -> None:
    asking = [name_of(each) for each in modules() if "itemAt" in each.read_text(encoding="utf-8")]
    assert asking == ["carelog.ui.flow"]
