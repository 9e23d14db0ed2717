"""Tells which test let go of a connection to a database without closing it.

CPython warns of it from 3.13 on, without saying where it was opened; older ones say nothing.
"""

import os
import sqlite3
import warnings
from collections.abc import Iterator
from typing import Any

import pytest


class Watched(sqlite3.Connection):
    """A connection that knows the test it was opened in."""

    opened_in: str | None = None
    """None: it isn't open."""

    def close(self) -> None:
        super().close()
        self.opened_in = None

    def __del__(self) -> None:
        if self.opened_in is not None:
            where = self.opened_in
            self.close()
            warnings.warn(f"unclosed database, opened in {where}", ResourceWarning, stacklevel=1)


@pytest.fixture(autouse=True, scope="session")
def connections_watched() -> Iterator[None]:
    """Every connection of the standard driver that is opened in a test is watched."""
    connect = sqlite3.connect

    def watched(*given: Any, **named: Any) -> Watched:
        connection: Watched = connect(*given, factory=Watched, **named)
        connection.opened_in = os.environ.get("PYTEST_CURRENT_TEST", "no test")
        return connection

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sqlite3, "connect", watched)
        yield
