"""Any week can be printed: empty, single, long, with changes in it, unfinished, written about later."""

import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from carelog.domain.entry import content_hash, paper_mark
from carelog.domain.moment import HOUR, MINUTE, Home, Moment, Week, utc_text
from carelog.domain.paper import Cancelled, SheetRequest
from carelog.domain.trouble import WrongUse
from carelog.sheet import make
from tests.sheet.pages import day_sheet, entry, listed, no_flags, running, sheet, texts

W47 = Week(2026, 47)
MONDAY = "2026-11-16T"
TUBE = {"id_mm": 8, "cuff": "air", "inner_tube": "reusable"}
PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
    "tasks": [{"kind": "cuff_pressure", "times": ["08:00", "20:00"]}, {"kind": "ties", "every_h": 24}],
}


def at(day: int, clock: str) -> str:
    return f"2026-11-{day:02}T{clock}:00Z"


def test_a_record_without_entries_prints_the_files_name_and_says_that_it_holds_none() -> None:
    text = running(sheet([], W47, "Tobias Fennimore"))
    assert "Week 2026-W47 · Tobias Fennimore" in text
    assert "Holds no entries yet." in text
    assert "no tube recorded" in text
    assert "no plan recorded: nothing is asked for, no limits are set" in text
    assert "no contact recorded" in text
    assert "done" not in text.replace("neither done nor known", "")


def test_a_week_without_entries_between_others_says_that_nothing_was_recorded() -> None:
    found = [entry(1, at(2, "08:00")), entry(2, at(30, "08:00"))]
    text = running(sheet(found, W47))
    assert text.count("Nothing recorded.") == 7
    assert "Mon 16 00:00 to Mon 23 Nov 00:00: no entry for 7 days" in text


def test_of_days_without_any_entry_not_even_0_is_known() -> None:
    found = [
        entry(1, at(2, "08:00")),
        entry(2, at(17, "08:00"), "mouth_care"),
        entry(4, at(18, "08:00"), "note", note="no care was written down"),
        entry(3, at(30, "08:00")),
    ]
    page = sheet(found, W47, html=True).decode()
    row = re.sub(r"<[^>]+>", " ", page.split("Suction a day")[1].split("</tr>")[0]).split()
    assert row == ["–", "0", "–", "–", "–", "–", "–"]


def test_of_a_record_that_holds_nothing_about_the_days_no_hours_are_called_covered() -> None:
    text = running(sheet([], W47))
    assert "Nothing at all is recorded yet that reaches into these days." in text
    assert "The 21 days before hold no entries to compare with." in text
    assert "No stretch of 6 hours" not in text
    hours = [entry(n, at(17 + n // 8, f"{n % 8 * 3:02}:00")) for n in range(24)]
    assert "No stretch of 6 hours" in running(day_sheet(hours, date(2026, 11, 18)))


def test_a_plan_is_listed_with_its_beginning_in_words() -> None:
    details = PLAN | {"from": at(18, "08:00")}
    text = listed(sheet([entry(1, at(18, "08:00"), "plan", details=details)], W47, html=True))
    assert "from Wed 18 November 2026, 08:00" in text
    assert "2026-11-18" not in text


def test_which_flag_was_looked_at_is_said_by_the_name_of_its_rule() -> None:
    found = [entry(1, at(18, "08:00"), "seen", details={"rule": "suction_more", "told": "the ward"})]
    text = running(sheet(found, W47))
    assert "More suctions than usual, told the ward" in text
    assert "suction_more" not in text


def test_a_single_entry_is_printed() -> None:
    assert "10:07 Suction AB" in listed(sheet([entry(1, at(18, "10:07"))], W47, html=True))
    assert "Wed 18 Nov by AB Suction 10:07" in running(sheet([entry(1, at(18, "10:07"))], W47))


def test_what_nobody_recorded_is_never_drawn_as_done() -> None:
    found = [
        entry(1, at(2, "06:00"), "plan", details=PLAN),
        entry(2, at(16, "08:05"), "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        entry(3, at(16, "21:40"), "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
        entry(4, at(23, "09:00"), "note", note="back"),
    ]
    text = running(sheet(found, W47))
    assert "overdue, done 21:40" in text
    assert text.count("not recorded 08:00, 20:00") == 0
    assert "how often: Cuff pressure 12, Ties" in text
    page = sheet(found, W47, html=True).decode()
    row = page.split('<th scope="row">Cuff pressure</th>')[1].split("</tr>")[0].split("</td>")
    assert "1× done, 1× overdue: overdue, done 21:40" in row[0]
    assert all("done" not in cell and "2× not recorded" in cell for cell in row[1:7])


def test_an_unfinished_week_says_so_and_judges_nothing_that_is_still_to_come() -> None:
    found = [
        entry(1, at(2, "06:00"), "plan", details=PLAN),
        entry(2, at(16, "08:05"), "cuff_pressure", details={"value": 25, "unit": "cmH2O"}),
    ]
    text = running(sheet(found, W47, at=Moment.read(at(16, "12:00")).instant))
    assert "UNFINISHED" in text
    assert text.count("not yet") >= 6
    assert "asked for and not recorded: Tue" not in text


def test_two_plans_and_two_tubes_in_one_week_are_both_told() -> None:
    other = {
        **PLAN,
        "set_by": "another nurse",
        "limits": {"cuff_pressure": {"low": 18, "high": 25, "unit": "mmHg"}},
    }
    found = [
        entry(1, at(2, "06:00"), "plan", details=PLAN),
        entry(2, at(2, "06:05"), "tube_change", details=TUBE),
        entry(3, at(18, "12:00"), "plan", details=other),
        entry(4, at(19, "09:00"), "tube_change", details={**TUBE, "id_mm": 7}),
        entry(5, at(18, "08:00"), "cuff_pressure", details={"value": 32, "unit": "cmH2O"}),
        entry(6, at(18, "20:00"), "cuff_pressure", details={"value": 32, "unit": "cmH2O"}),
    ]
    text = running(sheet(found, W47))
    rows = listed(sheet(found, W47, html=True))
    assert "Plan changed: Wed 18 Nov 12:00: cuff 20–30 cmH2O › 18–25 mmHg" in text
    assert text.count("limit set for") == 1
    assert "set by another nurse, from Wed 18 November 2026, 12:00" in text
    assert "Tube in place: ID 7 mm" in text
    assert "Thu 19 Nov 09:00 Tube change, ID 7 mm" in text
    assert "08:00 Cuff pressure 32 cmH2O AB [above 30 cmH2O]" in rows
    assert "20:00 Cuff pressure 32 cmH2O AB\n" in rows


def test_what_was_written_after_the_week_is_on_it_and_marked() -> None:
    found = [entry(1, at(18, "10:07")), entry(2, at(22, "23:50"), recorded=at(23, "00:20"))]
    text = listed(sheet(found, W47, html=True))
    assert "23:50 Suction AB [written after these days, Mon 23 00:20]" in text


def test_an_entry_of_a_clock_ahead_stands_where_it_was_written_and_says_so() -> None:
    found = [entry(1, "2031-01-01T08:00:00Z", recorded=at(18, "10:07"))]
    text = listed(sheet(found, W47, html=True))
    assert "10:07 Suction AB [doubtful time: given as 1 January 2031 08:00, written 10:07]" in text


def test_an_entry_moved_to_another_week_is_struck_where_it_was() -> None:
    first = entry(1, at(18, "10:07"))
    moved = replace(
        first, id=entry(2, at(2, "08:00")).id, at=Moment.read(at(2, "08:00")), amends=first.id, reason="x"
    )
    text = listed(sheet([first, moved], W47, html=True))
    assert "10:07 Suction AB [moved to Mon 2 Nov 08:00]" in text
    assert "08:00 Suction" not in text


def test_a_change_whose_target_is_not_here_is_shown_as_without_effect() -> None:
    stray = replace(entry(1, at(18, "10:07")), amends="00000000-0000-4000-8000-00000000ffff", reason="x")
    rows = listed(sheet([stray], W47, html=True))
    assert "10:07 Suction AB [a change of an entry that isn't here; it counts for nothing]" in rows


def test_the_time_of_an_entry_away_from_home_has_its_offset_and_the_time_at_home() -> None:
    person = entry(1, at(2, "08:00"), "person", details={"name": "A", "home_zone": "Europe/London"})
    away = entry(2, "2026-11-18T10:07:00-05:00", zone="America/New_York")
    assert "10:07 (-05:00; 15:07 at home) Suction AB" in listed(sheet([person, away], W47, html=True))


@pytest.mark.parametrize(("week", "hours"), [(Week(2026, 13), "23"), (Week(2026, 43), "25")])
def test_days_on_which_the_clocks_change_say_how_long_they_are(week: Week, hours: str) -> None:
    home = Home("Europe/London")
    sunday = week.days()[-1]
    person = entry(1, "2026-01-01T08:00:00Z", "person", details={"name": "A", "home_zone": home.name})
    start = home.start_of(sunday)
    found = [entry(10 + n, utc_text(start + n * HOUR), zone=home.name) for n in range(int(hours))]
    assert listed(sheet([person, *found], week, html=True)).count(" Suction AB") == int(hours)
    text = running(sheet([person, *found], week))
    assert f"has {hours} h, the clocks change" in text
    assert f"Sun {sunday.day} {sunday:%b}, {hours} h" in text


@pytest.mark.parametrize(
    ("length", "words"),
    [(1900, "(whole in the list, Wed 18 Nov 10:07)"), (20_000, "(whole on the day's sheet)")],
)
def test_a_long_note_is_whole_where_the_first_page_says(length: int, words: str) -> None:
    note = " ".join(f"word{n}" for n in range(2600))[:length]
    found = [entry(1, at(18, "10:07"), "note", note=note)]
    text = running(sheet(found, W47))
    first, spread = text.split("Every entry")
    assert words in first
    assert all(word in spread for word in note.split()[:200:17])
    day = " ".join(running(day_sheet(found, date(2026, 11, 18))).split())
    assert all(word in day for word in note.split()[:-1:97])
    assert day.count(note.split()[-2]) == 1


def test_one_word_of_20000_letters_breaks_anywhere_and_loses_nothing() -> None:
    note = entry(1, at(18, "10:07"), "note", note="x" * 20_000)
    pdf = day_sheet([note], date(2026, 11, 18))
    assert "".join(texts(pdf)).count("x") >= 20_000


def test_four_thousand_entries_are_all_there_over_as_many_pages_as_needed() -> None:
    start = Home("UTC").week(W47)[0]
    found = [entry(n, utc_text(start + n * MINUTE)) for n in range(4_000)]
    pages: list[int] = []
    pdf = make(SheetRequest(week=W47), found, progress=pages.append, find_flags=no_flags)
    made = texts(pdf)
    assert pages == list(range(1, len(made) + 1))
    assert sum(len(re.findall(r"\b\d\d:\d\d\b", text)) for text in made) > 4_000
    assert f"page {len(made)} of {len(made)}" in made[-1]


def test_a_sheet_can_be_stopped_while_it_is_made() -> None:
    start = Home("UTC").week(W47)[0]
    found = [entry(n, utc_text(start + n * MINUTE)) for n in range(1_500)]
    pages: list[int] = []
    with pytest.raises(Cancelled, match="stopped"):
        make(
            SheetRequest(week=W47),
            found,
            progress=pages.append,
            is_cancelled=lambda: len(pages) >= 2,
            find_flags=no_flags,
        )
    assert pages == [1, 2]


def test_a_made_up_household_says_so_on_every_page_and_a_real_one_on_none() -> None:
    def pages(invented: bool) -> list[str]:
        person = entry(1, at(2, "08:00"), "person", details={"name": "A", "invented": invented})
        many = [
            entry(10 + n, utc_text(Moment.read(at(17, "00:00")).instant + n * MINUTE)) for n in range(1200)
        ]
        return texts(sheet([person, *many], W47))

    assert len(pages(True)) > 2
    assert all("MADE-UP HOUSEHOLD" in page for page in pages(True))
    assert not any("MADE-UP HOUSEHOLD" in page for page in pages(False))


def test_the_mark_covers_the_periods_entries_with_their_chains_and_the_headings() -> None:
    person = entry(1, at(2, "08:00"), "person", details={"name": "A"})
    first = entry(2, at(18, "10:07"))
    outside = entry(3, at(25, "10:07"))
    change = replace(
        first, id=entry(4, at(18, "10:07")).id, at=Moment.read(at(25, "11:00")), amends=first.id, reason="x"
    )
    found = [person, first, outside, change]
    mark = paper_mark(map(content_hash, (person, first, change)))
    assert f"Check code {mark}." in running(sheet(found, W47))


@pytest.mark.parametrize(
    ("wanted", "sentence"),
    [
        (SheetRequest(name="poster", week=W47), "There is no sheet “poster”"),
        (SheetRequest(), "Say which week"),
        (SheetRequest(name="day"), "Say which day"),
        (SheetRequest(week=W47, paper="a3"), "There is no paper “a3”"),
    ],
)
def test_a_request_without_meaning_is_refused_in_one_sentence(wanted: SheetRequest, sentence: str) -> None:
    with pytest.raises(WrongUse, match=sentence):
        make(wanted, [], find_flags=no_flags)


@pytest.mark.parametrize("more", [{"paper": "letter"}, {"large": True}, {"large": True, "paper": "letter"}])
def test_papers_hold_the_same_entries_and_large_letters_those_that_say_more(more: dict[str, Any]) -> None:
    start = Moment.read(at(17, "08:00")).instant
    found = [entry(n, utc_text(start + n * 7 * MINUTE)) for n in range(60)]
    found.append(entry(99, at(18, "10:00"), "valve", details={"action": "on"}, note="for the visitors"))
    text = running(sheet(found, W47, **more))
    if "large" in more:
        assert "Entries that say more the others, with their times, are on the sheet in normal print" in text
        assert "Wed 18 Nov by AB · 10:00 Valve on “for the visitors”" in text
    else:
        assert all(f"{8 + n * 7 // 60:02}:{n * 7 % 60:02}" in text for n in range(60))
        assert "10:00 Valve on (note above)" in text
    assert "Suction a day" in text
    assert "not a monitor." in text


def test_a_prescribed_catheter_larger_than_the_tubes_size_suggests_is_remarked_on_without_judgement() -> None:
    def head(size: int) -> str:
        plan = entry(1, at(2, "06:00"), "plan", details={**PLAN, "catheter_fr": size})
        tube = entry(2, at(2, "06:05"), "tube_change", details={**TUBE, "inner_id_mm": 6.5})
        return running(sheet([plan, tube, entry(3, at(18, "10:07"))], W47))

    assert "Suction catheter: 12 Fr in the plan; by the tube's size 8 Fr" in head(12)
    assert "Suction catheter: 8 Fr in the plan" in head(8)
    assert "by the tube's size" not in head(8)


def test_limits_that_the_plan_does_not_set_are_named() -> None:
    text = running(sheet([entry(1, at(2, "06:00"), "plan", details=PLAN)], W47))
    assert (
        "cuff pressure 20 to 30 cmH2O; temperature at least 35 °C and below 38 °C (not in the plan)" in text
    )
    assert "no limit set for vacuum, SpO2, breathing rate, pulse, oxygen" in text


def test_every_page_says_first_that_no_air_passes_by_mouth_and_nose_where_that_is_recorded() -> None:
    def pages(**airway: str) -> list[str]:
        person = entry(1, at(2, "08:00"), "person", details={"name": "A", **airway})
        start = Moment.read(at(17, "00:00")).instant
        many = [entry(10 + n, utc_text(start + n * MINUTE)) for n in range(1200)]
        made = [*texts(sheet([person, *many], W47)), *texts(day_sheet([person, *many], date(2026, 11, 17)))]
        return [sheet([person], W47, html=True).decode(), *made]

    assert len(pages(upper_airway="none")) > 4
    assert all("NO AIR PASSES BY MOUTH AND NOSE" in page for page in pages(upper_airway="none"))
    for airway in ({}, {"upper_airway": "partly"}, {"upper_airway": "open"}):
        assert not any("NO AIR" in page for page in pages(**airway))
