"""The computer's own clock and zone, and ids in their order."""

import itertools
import os
from pathlib import Path

import pytest

from carelog.app import clock
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


def test_the_zone_is_read_anew_where_what_says_it_has_changed_or_nothing_says_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link, file, zones = tmp_path / "localtime", tmp_path / "timezone", [tmp_path / name for name in "ab"]
    read, minutes = list[str](), itertools.count(1)

    def look() -> int:
        """How often the zone was read after a further minute."""
        shown = next(minutes) * 61 * SECOND * 1000
        monkeypatch.setattr("time.time_ns", lambda: shown)
        assert kept.zone() == read[-1]
        return len(read)

    def name() -> str:
        read.append(str(len(read)))
        return read[-1]

    monkeypatch.delenv("TZ", raising=False)
    monkeypatch.setattr(clock, "_zone_name", name)
    monkeypatch.setattr(clock, "_SAID_IN", (str(link), str(file)))
    kept = SystemClock()
    assert [look(), look()] == [1, 2]  # nothing here says it, as on Windows
    for each in zones:
        each.write_text(each.name)
    link.symlink_to(zones[0])
    assert [look(), look(), look()] == [3, 3, 3]
    other = tmp_path / "other"
    other.symlink_to(zones[1])
    other.replace(link)
    assert [look(), look()] == [4, 4]
    file.write_text("Europe/Paris")
    assert [look(), look()] == [5, 5]
    new = tmp_path / "new"
    new.write_text("Europe/Oslo!")
    new.replace(file)
    assert [look(), look()] == [6, 6]
    monkeypatch.setenv("TZ", "Europe/London")
    assert [look(), look()] == [7, 7]
    file.unlink()
    assert [look(), look()] == [8, 8]
    kept.zone()
    assert len(read) == 8
    link.unlink()
    assert [look(), look(), look()] == [
        9,
        10,
        11,
    ]  # TZ alone may say a zone that isn't taken: no word on others


def test_a_zone_that_could_not_be_told_is_asked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    read, minutes = iter(("", "Europe/Oslo")), itertools.count(1)
    monkeypatch.setattr(clock, "_zone_name", lambda: next(read))
    monkeypatch.setattr(clock, "_said", lambda: "always the same")
    monkeypatch.setattr("time.time_ns", lambda: next(minutes) * 61 * SECOND * 1000)
    kept = SystemClock()
    assert [kept.zone() for _ in range(3)] == ["", "Europe/Oslo", "Europe/Oslo"]


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
