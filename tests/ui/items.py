"""What stands in Python for layouts' items that Qt may delete unseen."""

from collections.abc import Iterator
from typing import Any

import pytest
import shiboken6
from PySide6.QtWidgets import QLayout, QLayoutItem

from carelog.ui.flow import Laid

_OURS = list[Laid]()
_EARLIER = list[QLayoutItem]()


def begin() -> None:
    """From now on count what is left: whatever there is already, other tests left."""
    _OURS.clear()
    _EARLIER[:] = _items()


def left_items() -> list[QLayoutItem]:
    """The objects that stand for items of Qt's own layouts; our own layouts know when theirs go."""
    known = {id(item) for each in _OURS for item in each._items} | {id(item) for item in _EARLIER}
    return [each for each in _items() if id(each) not in known]


def _items() -> list[QLayoutItem]:
    known = shiboken6.getAllValidWrappers()
    return [each for each in known if isinstance(each, QLayoutItem) and not isinstance(each, QLayout)]


@pytest.fixture(autouse=True, scope="session")
def our_layouts() -> Iterator[None]:
    """Each of our own layouts is known here until the next test begins to count."""
    make = Laid.__init__

    def made(self: Laid, *given: Any, **named: Any) -> None:
        make(self, *given, **named)
        _OURS.append(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Laid, "__init__", made)
        yield
