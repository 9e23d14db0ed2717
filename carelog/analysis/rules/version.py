"""The version of the rules: the day since which they say what they say, and what each version changed."""

from dataclasses import dataclass
from datetime import date

from carelog.text import mark, say


@dataclass(frozen=True, slots=True)
class Version:
    """One version: the day it is named for, and in sentences what it changed for who reads the flags."""

    day: date
    changes: tuple[str, ...]


VERSIONS: tuple[Version, ...] = (
    Version(
        date(2026, 11, 28),
        (
            mark("New: a valve or cap on at night. A cuff down at night with a ventilator."),
            mark("New: ties that don't fit. Swelling after a tube change. A hard tube change. A mucus plug."),
            mark("New: left home without a spare tube, suction or catheters. A registration that runs out."),
            mark("New: urgent limits in the plan, a limit for oxygen. A temperature under 35.0 °C."),
            mark("New: the tube's own expiry date. A tube without a date for its change, after 30 days."),
            mark(
                "Only a call: blood from the edge of the stoma. Fresh bleeding at a planned change that a "
                "nurse recorded. An incident about which the emergency number was called."
            ),
            mark("A power cut is urgent for somebody who is helped by a ventilator always."),
        ),
    ),
)
"""The newest is the last; `tests/flags/test_version.py` holds that no rule changes without a new one."""


def newest() -> Version:
    """The version in use."""
    return VERSIONS[-1]


def changed_since(seen: str) -> list[str]:
    """What changed after a version, named by its day (YYYY-MM-DD), in sentences, the oldest first."""
    return [say(words) for each in VERSIONS if str(each.day) > seen for words in each.changes]
