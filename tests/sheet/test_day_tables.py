"""A day's suctions stand in a table, one under another; what there are few of stands among the others."""

from datetime import date

from carelog.domain.entry import Entry
from tests.sheet.pages import day_sheet, entry, running
from tests.sheet.weeks import HOME, UNTIL, WEEKS

DAY = date(2026, 11, 18)


def suctions(count: int) -> list[Entry]:
    return [
        entry(
            n,
            f"2026-11-18T{8 + n:02}:07:00Z",
            details={"colour": "yellow", "amount": "large", "vacuum": 25, "vacuum_unit": "kPa"},
            note="coughing" if n == 1 else "",
        )
        for n in range(count)
    ]


def test_suctions_of_a_day_are_a_table_with_a_column_for_each_thing_said() -> None:
    text = running(day_sheet(suctions(4), DAY))
    assert "Suction Time Colour Amount Vacuum By" in text
    assert "09:07 Suction yellow large 25 kPa AB “coughing”" in text
    assert text.count("Suction yellow large") == 4
    assert "All other entries" in text


def test_what_was_struck_out_stands_among_the_others_with_its_reason() -> None:
    found = suctions(4)
    gone = entry(90, "2026-11-18T09:07:00Z", amends=found[1].id, withdrawn=True, reason="pressed twice")
    text = running(day_sheet([*found, gone], DAY))
    table, others = text.split("All other entries")
    assert table.count("Suction yellow") == 3
    assert "[struck out 09:07 AB: pressed twice]" in others


def test_two_suctions_are_rows_like_all_else() -> None:
    text = running(day_sheet(suctions(2), DAY))
    assert "Time Colour" not in text
    assert "Every entry" in text


def test_the_page_has_the_same_table() -> None:
    page = day_sheet(suctions(3), DAY, html=True).decode()
    assert '<th scope="col">Colour</th>' in page


def test_in_large_print_no_word_of_a_table_is_broken() -> None:
    found = [each for each in WEEKS["usual"]().entries() if each.recorded_at < HOME.end_of(UNTIL)]
    text = running(day_sheet(found, UNTIL, large=True))
    assert "Time Route Colour Thickness Amount Blood Passes Catheter By" in text
