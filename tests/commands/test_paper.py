"""`sheet`: what is asked for, and that it comes as a file or not at all."""

from pathlib import Path

import pytest

from carelog.analysis.times import full_day
from carelog.app.clock import SystemClock
from carelog.app.settings import Settings, SettingsFile
from carelog.domain.moment import Home, Week
from carelog.paths import default_places
from tests.journeys.household import Household, carelog


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("2 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("3 08:00", "suction", colour="white", _by="AB")
    home.write("4 08:00", "mouth_care")
    return home.record()


def test_the_same_record_makes_the_same_sheet(record: Path, tmp_path: Path) -> None:
    files = [tmp_path / "1.pdf", tmp_path / "2.pdf"]
    for file in files:
        answer = carelog("sheet", "--record", str(record), "--week", "2026-W45", "--out", str(file))
        assert (answer.status, answer.err) == (0, "")
        assert answer.out.strip() == str(file)
    first, second = (file.read_bytes() for file in files)
    assert first.startswith(b"%PDF-")
    assert first == second


def test_a_day_and_a_page_can_be_asked_for(record: Path, tmp_path: Path) -> None:
    out = tmp_path / "day.html"
    words = ["--sheet", "day", "--date", "2026-11-03", "--html", "--large", "--paper", "letter"]
    assert carelog("sheet", "--record", str(record), *words, "--out", str(out)).status == 0
    page = out.read_text("utf-8")
    assert "Odette Farrow" in page
    assert "white" in page


def test_what_was_not_known_yet_is_not_on_it(record: Path, tmp_path: Path) -> None:
    pages = []
    for at in ([], ["--at", "2026-11-03T12:00"]):
        out = tmp_path / "week.html"
        words = ["--week", "2026-W45", "--html", *at, "--out", str(out)]
        assert carelog("sheet", "--record", str(record), *words).status == 0
        pages.append(out.read_text("utf-8"))
    assert "white" in pages[0]
    assert "white" in pages[1]
    assert pages[0] != pages[1]


def page_of(record: Path, out: Path, *words: str) -> str:
    """A sheet as a page, made by the command."""
    answer = carelog("sheet", "--record", str(record), "--html", "--out", str(out), *words)
    assert answer.status == 0, answer.err
    return out.read_text("utf-8")


def test_what_isnt_said_is_this_week_or_today(record: Path, tmp_path: Path) -> None:
    home = Home("Europe/London")
    while True:
        today = home.day(SystemClock().now())
        week = page_of(record, tmp_path / "week.html")
        day = page_of(record, tmp_path / "day.html", "--sheet", "day")
        if home.day(SystemClock().now()) == today:
            break
    assert f"Week {Week.of(today).text()}" in week
    assert full_day(today).replace("\N{NO-BREAK SPACE}", " ") in day.replace("\N{NO-BREAK SPACE}", " ")


def test_until_asks_for_the_seven_days_that_end_with_a_day(record: Path, tmp_path: Path) -> None:
    page = page_of(record, tmp_path / "s.html", "--until", "2026-11-04").replace("\N{NO-BREAK SPACE}", " ")
    assert "Seven days to 4 November 2026" in page
    assert "Thu 29 Oct" in page
    assert "Mouth care" in page
    assert "Mouth care</" not in page_of(record, tmp_path / "s.html", "--until", "2026-11-03")


def test_a_week_long_past_is_over_though_nobody_wrote_to_its_end(tmp_path: Path) -> None:
    home = Household(tmp_path)
    for entry in ("2020-02-03T08:00:00+00:00", "2020-02-04T08:00:00+00:00"):
        home.write("3 08:00", "ties", action="checked", _at=entry, _recorded_at=entry)
    page = page_of(home.record(), tmp_path / "s.html", "--week", "2020-W06")
    assert "UNFINISHED" not in page
    assert "not yet" not in page
    assert page.count("Nothing recorded.") == 5


def test_the_order_is_as_sure_as_this_user_chose(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    home, out = Household(tmp_path), tmp_path / "order.html"
    for day in range(1, 21):
        home.write(f"{day} 08:00", "humidity", device="hme", action="changed")
        home.write(f"{day} 09:00", "humidity", device="hme", action="changed" if day % 2 else "given")
    home.write("20 10:00", "stock", item="HME", count=20)
    given = [
        "sheet",
        "--record",
        str(home.record()),
        "--sheet",
        "order",
        "--all",
        "--html",
        "--out",
        str(out),
    ]
    given += ["--at", "2026-11-21T08:00Z"]
    assert carelog(*given).status == 0
    assert "each in 95 of 100" in out.read_text("utf-8")
    SettingsFile(default_places().settings).write(Settings(sure=99))
    assert carelog(*given).status == 0
    assert "each in 99 of 100" in out.read_text("utf-8")


WRONG = {
    "a week and a last day": (["--week", "2026-W45", "--until", "2026-11-08"], "one of the two"),
    "a week with a date": (["--date", "2026-11-03"], "takes --week, --until, not --date"),
    "no such last day": (["--until", "8 November"], "isn't a date"),
    "no such week": (["--week", "2026-W60"], "isn't a week"),
    "a day without a date": (["--sheet", "day", "--week", "2026-W45"], "--date"),
    "no such date": (["--sheet", "day", "--date", "2026-11-31"], "isn't a date"),
    "no such paper": (["--week", "2026-W45", "--paper", "a5"], "no paper “a5”"),
    "no such sheet": (["--week", "2026-W45", "--sheet", "month"], "no sheet “month”"),
    "a blank sheet of a week": (
        ["--week", "2026-W45", "--sheet", "blank"],
        "takes --date, --days, --columns, not --week",
    ),
    "a hand-over of a week": (["--week", "2026-W45", "--sheet", "handover"], "takes --date, not --week"),
    "a card of a week": (["--week", "2026-W45", "--sheet", "card"], "doesn't take --week"),
    "an order of a week": (["--week", "2026-W45", "--sheet", "order"], "takes --all, not --week"),
    "a day of all": (["--sheet", "day", "--all"], "takes --date, not --all"),
    "blank days": (["--sheet", "blank", "--days=0"], "from 1 to 31"),
    "days of a week": (["--sheet", "week", "--days=3"], "not --days"),
    "course of a week": (["--sheet", "course", "--week", "2026-W45"], "takes --until, --weeks, not --week"),
    "course of no weeks": (["--sheet", "course", "--weeks", "0"], "isn't a number of weeks from 1 to 53"),
    "course of many weeks": (["--sheet", "course", "--weeks=54"], "isn't a number of weeks from 1 to 53"),
    "course of half a week": (["--sheet", "course", "--weeks", "1.5"], "isn't a number of weeks"),
    "weeks of a day": (["--sheet", "day", "--weeks", "4"], "takes --date, not --weeks"),
    "coming home in a week": (["--sheet", "home", "--week", "2026-W45"], "doesn't take --week"),
    "no time": (["--week", "2026-W45", "--at", "noon"], "isn't a time"),
}


@pytest.mark.parametrize(("words", "sentence"), WRONG.values(), ids=WRONG)
def test_what_cannot_be_asked_for_is_one_sentence(
    words: list[str], sentence: str, record: Path, tmp_path: Path
) -> None:
    answer = carelog("sheet", "--record", str(record), *words, "--out", str(tmp_path / "s.pdf"))
    assert (answer.status, answer.out) == (2, "")
    assert sentence in answer.err
    assert answer.err.count("\n") == 1
    assert not (tmp_path / "s.pdf").exists()
