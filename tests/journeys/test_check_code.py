"""A sheet's check code, typed in later: which sheet it is of, and what of its days has changed since."""

from contextlib import closing
from pathlib import Path

import pytest

from carelog.app.visit.code import check_code
from carelog.domain.moment import Moment
from tests.journeys.household import DAY_PLAN, TUBE, Household, carelog
from tests.journeys.test_mark_on_a_sheet import printed
from tests.store.making import opened

SHEETS = (
    ("--week", "2026-W47"),
    ("--until", "2026-11-21"),
    ("--sheet", "day", "--date", "2026-11-18"),
    ("--sheet", "course", "--until", "2026-11-22", "--weeks", "4"),
)


@pytest.fixture
def home(tmp_path: Path) -> Household:
    """A household whose sheets show a heading, a change, and what was written late."""
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", born="1950-01-01")
    home.write("1 08:00", "contact", role="nurse", phone="01632 960 001")
    home.write("1 08:00", "plan", **DAY_PLAN)
    home.write("2 08:00", "tube_change", **TUBE)
    for day in range(10, 22):
        home.write(f"{day} 09:00", "suction", colour="white")
    home.change(home.write("18 08:00", "suction", colour="white"), "18 12:00", {"colour": "yellow"})
    return home


def of_the_18th(home: Household) -> str:
    return next(str(each["id"]) for each in home.lines if each["at"].startswith("2026-11-18T09"))


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_typed_code_says_that_the_sheet_is_what_the_record_held_and_how_much_changed_since(
    home: Household, sheet: tuple[str, ...]
) -> None:
    now = Moment.read("2026-11-25T12:00:00Z").instant
    (code,) = printed(home.record(), *sheet)
    home.change(of_the_18th(home), "24 09:00", {"colour": "green"})
    home.write("18 06:00", "suction", "24 10:00", colour="white")
    home.write("24 11:00", "suction", colour="white")
    with closing(opened(home.record())) as record:
        found = check_code(record, code, now)
        assert found is not None
        assert len(found.changed) == 2
        assert check_code(record, "0123 4567 89ab cdef", now) is None
    (newer,) = printed(home.record(), *sheet)
    with closing(opened(home.record())) as record:
        again = check_code(record, newer, now)
        assert again is not None
        assert (again.days, again.changed) == (found.days, ())


def test_a_code_is_known_too_where_older_entries_came_from_another_computer_since(home: Household) -> None:
    path = home.record()
    (code,) = printed(path, "--week", "2026-W47")
    home.write("18 06:00", "suction", colour="white")
    other = home.record()
    answer = carelog("export", str(other.with_suffix(".more")), "--record", str(other))
    assert answer.status == 0, answer.err
    assert carelog("import", str(other.with_suffix(".more")), "--record", str(path)).status == 0
    with closing(opened(path)) as record:
        found = check_code(record, code, Moment.read("2026-11-25T12:00:00Z").instant)
    assert found is not None
    assert len(found.changed) == 1
