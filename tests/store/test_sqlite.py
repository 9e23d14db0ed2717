"""An SQLite that is too old is refused before anything is opened."""

import sqlite3

import pytest

from carelog.domain.trouble import Trouble
from carelog.store.opening import LOWEST_SQLITE, check_sqlite


def test_one_that_is_too_old_is_refused_with_both_numbers() -> None:
    with pytest.raises(Trouble, match=r"is 3\.36\.0\. A record needs 3\.37\.0"):
        check_sqlite((3, 36, 0))


def test_the_lowest_and_this_one_are_taken() -> None:
    check_sqlite(LOWEST_SQLITE)
    check_sqlite()
    assert sqlite3.sqlite_version_info >= LOWEST_SQLITE
