"""What stands in Python for layouts' items that Qt may delete unseen."""

from collections.abc import Iterator
from typing import Any
from weakref import WeakSet

import pytest
import shiboken6
from PySide6.QtWidgets import QLayout, QLayoutItem

from carelog.ui.flow import Laid

_OURS = WeakSet[Laid]()
_EARLIER = list[QLayoutItem]()
"""What was there before our layouts were known: other tests that were here before open windows too."""


def left_items() -> list[QLayoutItem]:
    """The objects that stand for items of Qt's own layouts; our own layouts know when theirs go."""
    known = shiboken6.getAllValidWrappers()
    items = [each for each in known if isinstance(each, QLayoutItem) and not isinstance(each, QLayout)]
    ours = {id(item) for each in _OURS for item in each._items} | {id(item) for item in _EARLIER}
    return [each for each in items if id(each) not in ours]


@pytest.fixture(autouse=True, scope="session")
def our_layouts() -> Iterator[None]:
    """Each of our own layouts is known here as long as there is one, also when Qt has let go of it."""
    make = Laid.__init__
    _EARLIER.extend(left_items())

    def made(self: Laid, *given: Any, **named: Any) -> None:
        make(self, *given, **named)
        _OURS.add(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Laid, "__init__", made)
        yield
