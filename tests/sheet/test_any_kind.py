"""Any kind of entry, known or not, gives a row of the sheet, from its declaration alone."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.domain.entry import Entry
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, Moment, Week
from carelog.kinds import ALL
from tests.sheet.pages import day_sheet, entry, listed, running, sheet
from tests.strategies import details, entries

every_kind = pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)
AT = "2026-11-18T10:07:00Z"
WEEK = Week(2026, 47)
DAY = Home("UTC").day(Moment.read(AT).instant)


@every_kind
@settings(max_examples=8)
@given(data=st.data())
def test_a_kind_gives_a_row_on_the_week_and_on_the_day(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    if kind.name == "person":
        found = {**found, "home_zone": "UTC"}
    one = entry(1, AT, kind.name, details=found)
    week, day = listed(sheet([one], WEEK, html=True)), running(day_sheet([one], DAY))
    line = kind.line(found)
    told = f"{line[:1].upper()}{line[1:]}" if kind.told_by in found else kind.title
    for text in (week, day):
        assert f"10:07 {told}" in re.sub(r"\s+", " ", text), kind.name


def test_a_kind_of_a_newer_version_is_shown_under_its_own_name_as_it_is() -> None:
    one = entry(1, AT, "lung_sound", details={"side": "left"})
    assert "10:07 lung_sound side: left AB" in listed(sheet([one], WEEK, html=True))
    assert "10:07 lung_sound side: left" in running(sheet([one], WEEK))


def test_a_week_lists_of_readings_what_has_no_row_of_its_own() -> None:
    one = entry(1, AT, "observations", details={"pulse_per_min": 72, "taken_by": "wrist"})
    text = running(sheet([one], WEEK))
    assert "10:07 Observations taken_by: wrist" in text
    assert "72" in text.partition("10:07 Observations")[0]


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(entries, max_size=12, unique_by=lambda each: each.id))
def test_a_sheet_can_be_made_of_any_entries(found: list[Entry]) -> None:
    days = [Home("UTC").day(each.at.instant) for each in found] or [DAY]
    made = sheet(found, Week.of(days[0]))
    assert made.startswith(b"%PDF")
    assert sheet(list(reversed(found)), Week.of(days[0])) == made
    assert b"<h1>" in sheet(found, Week.of(days[0]), html=True)
