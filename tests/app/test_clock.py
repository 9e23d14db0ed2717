"""The computer's own clock and zone, and ids in their order."""

import os

import pytest

from carelog.app.clock import SystemClock, moment_in, new_ids
from carelog.domain import moment
from carelog.domain.entry import is_uuid
from carelog.domain.moment import SECOND


def test_now_goes_on_and_lies_in_this_century() -> None:
    first = SystemClock().now()
    assert 1_700_000_000 * SECOND < first <= SystemClock().now() < 4_100_000_000 * SECOND


def test_the_zone_is_a_known_one_or_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(os.environ, "TZ", "Europe/London")
    assert SystemClock().zone() == "Europe/London"
    monkeypatch.setattr(moment, "known_zone", lambda _name: None)
    assert SystemClock().zone() == ""


def test_ids_are_of_version_7_in_the_order_of_time() -> None:
    now = SystemClock().now()
    ids = [new_ids(now + n * SECOND) for n in range(5)]
    assert all(is_uuid(each) and each[14] == "7" for each in ids)
    assert ids == sorted(ids)
    assert len({new_ids(now) for _ in range(50)}) == 50


def test_a_moment_carries_its_zones_offset() -> None:
    summer = 1_750_000_000 * SECOND
    assert moment_in("Europe/London", summer).offset == 60
    assert moment_in("", summer).offset == 0
