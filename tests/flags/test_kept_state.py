"""A kept state that doesn't fit this version costs a whole reading, never the flags."""

import pytest

from carelog.analysis.flags.frozen import freeze, thaw
from carelog.analysis.flags.watch import Watch
from carelog.app.demo import demo_entries
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, Moment

NOW = Moment.read("2026-11-22T12:00:00+00:00").instant
ENTRIES = [entry for entry in demo_entries(NOW) if entry.recorded_at < NOW - 40 * DAY_24_H]
END = ENTRIES[-1].recorded_at + 1


def kept(is_spoiled: bool) -> bytes:
    watch = Watch(lambda: ENTRIES)
    watch.at(END)
    saved = watch.save(len(ENTRIES))
    assert saved is not None
    found = thaw(saved)
    if is_spoiled:
        found["base"]["memory"] = {key: {} for key in found["base"]["memory"]}
    return freeze(found)


@pytest.mark.parametrize("is_spoiled", [False, True])
def test_what_was_kept_in_another_form_is_worked_out_anew(is_spoiled: bool) -> None:
    readings: list[int] = []

    def everything() -> list[Entry]:
        readings.append(1)
        return ENTRIES

    def chains(ids: object) -> list[Entry]:
        return ENTRIES

    watch = Watch.begin(kept(is_spoiled), everything, chains)
    assert watch.at(END) == Watch(lambda: ENTRIES).at(END)
    assert len(readings) == is_spoiled
