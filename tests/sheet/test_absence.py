"""A stay or a gap is told as what it is, on every sheet, and no comparison counts the days it touches."""

from datetime import date
from typing import Any

from carelog.analysis.compare import WeeksBefore, differences
from carelog.analysis.in_force import Reading
from carelog.analysis.period import known_by, period
from carelog.analysis.plans import plans
from carelog.analysis.rounds import RoundState, asked
from carelog.analysis.week import Review
from carelog.domain.entry import Entry
from carelog.domain.moment import Week, utc_text
from tests.sheet.pages import day_sheet, entry, running, sheet

W47 = Week(2026, 47)
EVERY_8: dict[str, Any] = {"set_by": "a nurse", "tasks": [{"kind": "ties", "every_h": 8}]}
SLOTS: dict[str, Any] = {"set_by": "a nurse", "tasks": [{"kind": "ties", "times": ["08:00", "20:00"]}]}


class Diary:
    """Entries written one after another."""

    def __init__(self, plan: dict[str, Any]) -> None:
        self.entries = [entry(1, "2026-10-01T06:00:00Z", "plan", details=plan)]

    def write(self, when: str, kind: str, **details: Any) -> "Diary":
        day, clock = when.split()
        at = f"2026-11-{int(day):02}T{clock}:00Z"
        self.entries.append(entry(len(self.entries) + 1, at, kind, details=details))
        return self

    def ties(self, *whens: str) -> "Diary":
        for when in whens:
            self.write(when, "ties", action="checked")
        return self

    def hospital(self, start: str, end: str | None = None) -> "Diary":
        self.write(start, "stay", action="start", where="hospital")
        return self.write(end, "stay", action="end") if end else self

    def review(self) -> Review:
        after = entry(9999, "2026-11-23T12:00:00Z", "note", note="after")
        found: list[Entry] = [*self.entries, after]
        reading = Reading(found)
        return Review(reading, found, period(reading, W47.days(), known_by(found, None)), plans(reading))

    def rounds(self) -> list[str]:
        found = sorted(asked(self.review())[0].rounds, key=lambda each: each.at)
        return [f"{utc_text(each.at)[8:16].replace('T', ' ')} {each.state.value}" for each in found]


def test_a_stay_is_told_with_where_and_from_when_to_when_and_is_no_stretch_without_entry() -> None:
    diary = Diary(SLOTS).ties("16 08:00", "16 20:00").hospital("17 05:00", "20 16:00")
    text = running(sheet(diary.ties("20 20:00").entries, W47))
    assert "Away: hospital Tue 17 05:00 to Fri 20 16:00" in text
    assert "no entry for 4 days" not in text
    assert "Mon 16 20:00 to Tue 17 05:00: no entry for 9 h" in text
    assert "Wed" not in text.split("asked for and not recorded")[1].split("Questions")[0]


def test_a_stay_that_goes_on_is_told_since_when() -> None:
    text = running(sheet(Diary(SLOTS).ties("16 08:00").hospital("17 05:00").entries, W47))
    assert "Away: hospital since Tue 17 Nov 05:00" in text
    assert "Tue 17 05:00 to" not in text
    assert "asked for and not recorded: Mon 16 20:00 Questions" in text


def test_a_gap_is_told_as_not_written_down() -> None:
    diary = Diary(SLOTS).ties("16 08:00", "16 20:00")
    diary.write("20 16:00", "gap", since="2026-11-16T21:00:00+00:00")
    text = running(sheet(diary.entries, W47))
    assert "Not written down: Mon 16 21:00 to Fri 20 16:00" in text
    assert "no entry for 4 days" not in text
    assert "Ties, asked for and not recorded: Fri 20 20:00, Sat 21 08:00" in text


def test_the_days_row_says_which_days_it_touches() -> None:
    diary = Diary(SLOTS).ties("16 08:00", "16 20:00").hospital("17 05:00", "18 16:00")
    diary.write("20 16:00", "gap", since="2026-11-20T09:00:00+00:00")
    page = sheet(diary.ties("18 20:00", "19 08:00").entries, W47, html=True).decode()
    row = page.split("Away, or nothing written")[1].split("</tr>")[0]
    cells = [cell.split(">")[-1] for cell in row.split("</td>")[:-1]]
    assert cells == ["", "away", "away", "", "not written down", "", ""]
    ties = page.split('<th scope="row">Ties</th>')[1].split("</tr>")[0].split("</td>")
    assert ["not recorded" in cell for cell in ties[:7]] == [False, False, False, True, True, True, True]
    assert "away" in ties[1]
    assert "done, away" in ties[2].replace("<br>", " ")


def test_a_day_away_on_which_nothing_was_counted_has_no_0() -> None:
    diary = Diary(SLOTS).ties("16 08:00").write("16 09:00", "suction").hospital("17 05:00", "19 16:00")
    diary.write("17 04:00", "note").write("19 18:00", "suction").ties("20 08:00", "21 08:00", "22 08:00")
    page = sheet(diary.entries, W47, html=True).decode()
    row = page.split('<th scope="row">Suction a day')[1].split("</tr>")[0]
    cells = [cell.split(">")[-1] for cell in row.split("</td>")[:-1]]
    assert cells == ["1", "–", "–", "1", "0", "0", "0"]


def test_the_days_sheet_tells_it_too() -> None:
    diary = Diary(SLOTS).ties("16 08:00").hospital("17 05:00", "20 16:00")
    text = running(day_sheet(diary.entries, date(2026, 11, 18)))
    assert "Away: hospital Tue 17 05:00 to Fri 20 16:00" in text
    assert "no entry for" not in text
    assert "asked for and not recorded" not in text


def test_by_hours_a_stays_end_counts_as_done_and_makes_no_round() -> None:
    diary = Diary(EVERY_8).ties("15 20:00", "16 04:00", "16 12:00").hospital("16 14:00", "18 06:00")
    found = diary.ties("18 14:30", "18 22:30").rounds()
    assert found[:4] == ["16 04:00 done", "16 12:00 done", "18 14:30 done", "18 22:30 done"]


def test_what_would_have_got_late_in_a_stay_or_a_gap_is_neither_late_nor_missed() -> None:
    diary = Diary(EVERY_8).ties("15 22:00", "16 06:00").hospital("16 14:30", "17 06:00")
    assert diary.ties("17 14:00").rounds()[:2] == ["16 06:00 done", "17 14:00 done"]


def test_what_was_done_inside_a_stay_counts() -> None:
    for plan in (EVERY_8, SLOTS):
        diary = Diary(plan).ties("16 04:00").hospital("16 06:00", "18 06:00").ties("17 08:00")
        assert "17 08:00 done" in diary.rounds()


def test_without_a_tube_nothing_of_the_tube_is_asked_for_and_it_comes_back_with_one() -> None:
    diary = Diary(SLOTS).ties("16 08:00").write("16 18:00", "decannulation")
    assert diary.rounds() == ["16 08:00 done"]
    diary.write("19 09:00", "tube_change", id_mm=8, cuff="none", inner_tube="none")
    assert diary.rounds()[:2] == ["16 08:00 done", "19 20:00 not recorded"]
    diary = Diary(EVERY_8).ties("15 16:00", "16 00:00", "16 08:00").write("16 12:00", "decannulation")
    diary.write("19 09:00", "tube_change", id_mm=8, cuff="none", inner_tube="none").ties("19 17:00")
    assert diary.rounds()[:3] == ["16 00:00 done", "16 08:00 done", "19 17:00 done"]


def test_days_that_a_stay_touches_are_compared_with_nothing() -> None:
    diary = Diary(SLOTS)
    for day in range(1, 17):
        for hour in range(8, 16):
            diary.write(f"{day} {hour:02}:00", "suction")
    diary.write("17 08:00", "suction").hospital("17 09:00", "22 23:30")
    review = diary.review()
    assert not [line for line in differences(review, WeeksBefore(review)) if line.title == "Suction"]
    diary.entries = [each for each in diary.entries if each.kind != "stay"]
    review = diary.review()
    assert not differences(review, WeeksBefore(review))  # nothing was written from 08:00 on
    for when in ("16 20:00", "17 02:00", "17 07:00", "17 13:00", "17 18:00", "17 23:50"):
        diary.write(when, "mouth_care")
    review = diary.review()
    assert "1 on Tue\N{NO-BREAK SPACE}17" in " ".join(
        each.words for each in differences(review, WeeksBefore(review))
    )


def test_nor_are_those_of_the_weeks_before() -> None:
    diary = Diary(SLOTS)
    for day in range(1, 23):
        for hour in range(8, 10 if day in (5, 6) else 16):
            diary.write(f"{day} {hour:02}:00", "suction")
    review = diary.review()
    assert len(WeeksBefore(review).days) == 15
    assert min(WeeksBefore(review).counts("suction")) == 2
    diary.hospital("5 07:00", "6 20:00")
    review = diary.review()
    assert len(WeeksBefore(review).days) == 13
    assert min(WeeksBefore(review).counts("suction")) == 8


def test_a_week_of_a_stay_has_no_round_at_all() -> None:
    for plan in (EVERY_8, SLOTS):
        assert Diary(plan).hospital("15 09:00", "24 09:00").rounds() == []
    assert RoundState.MISSED.value not in Diary(SLOTS).hospital("15 09:00").rounds()


def test_a_described_kind_says_away_and_not_that_nothing_was_recorded() -> None:
    diary = (
        Diary(SLOTS)
        .ties("16 08:00")
        .write("16 09:00", "stoma", skin="whole")
        .hospital("17 05:00", "18 16:00")
    )
    page = sheet(diary.ties("19 08:00").entries, W47, html=True).decode()
    row = page.split('<th scope="row">Stoma</th>')[1].split("</tr>")[0]
    cells = [cell.split(">")[-1] for cell in row.split("</td>")[:-1]]
    assert cells[1:4] == ["away", "away", "nothing recorded"]
    ties = page.split('<th scope="row">Ties</th>')[1].split("</tr>")[0]
    assert "away" in ties
