"""A day with a kind that nothing knows, in a copy that declares it (`tests/contract/test_new_kind.py`)."""

from pathlib import Path
from typing import Any

from carelog.kinds import kind_named
from tests.journeys.household import DAY_PLAN, Household, carelog
from tests.ui.conftest import Opened

LINE = "filled up, holds 1.5 L, still hot, on the shelf left"


def plain(text: str) -> str:
    """A text with common spaces only."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_it_is_added_asked_for_exported_brought_in_and_printed(tmp_path: Path) -> None:
    home = Household(tmp_path)
    plan = {**DAY_PLAN, "tasks": [{"kind": "thermos", "every_h": 8}]}
    home.write("2 08:00", "plan", **plan)
    record = str(home.record())
    known = ["--recorded-at", "2026-11-03T09:01"]
    given = ["filled=full", "litres=1,5", "hot=yes", "shelf=left"]
    wrong = carelog("add", "--record", record, "thermos", "litres=1")
    assert (wrong.status, "filled is missing" in wrong.err) == (2, True)
    assert (
        carelog("add", "--record", record, "thermos", *given, "--at", "2026-11-03T09:00", *known).status == 0
    )
    due = carelog("due", "--record", record, "--at", "2026-11-03T12:00", "--json").json()
    assert [(each["kind"], each["due_at"]) for each in due] == [("thermos", "2026-11-03T17:00:00+00:00")]
    exchanged, other = tmp_path / "out.jsonl", tmp_path / "other.carelog"
    assert carelog("export", str(exchanged), "--record", record).status == 0
    assert carelog("import", str(exchanged), "--record", str(other)).status == 0
    for name, days in (("week", ["--week", "2026-W45"]), ("day", ["--date", "2026-11-03"])):
        out = tmp_path / f"{name}.html"
        words = ["--sheet", name, *days, "--html", "--out", str(out)]
        assert carelog("sheet", "--record", str(other), *words).status == 0
        assert "Thermos" in plain(out.read_text("utf-8"))
    assert LINE in plain(out.read_text("utf-8"))


def test_it_is_recorded_by_its_form_and_stands_in_the_days(opened: Opened) -> None:
    kind = kind_named("thermos")
    assert kind is not None
    opened.press("tile_more")
    opened.press("tile_thermos")
    opened.press("pick_filled_full")
    opened.press("pick_hot_true")
    opened.find("field_litres").setText("1,5")
    opened.find("field_shelf").setText("left")
    opened.press("save")
    opened.wait(lambda: len(opened.written("thermos")) == 1)
    details = opened.written("thermos")[0].details
    assert details == {"filled": "full", "litres": 1.5, "hot": True, "shelf": "left"}
    assert plain(kind.line(details)) == LINE
    opened.press("go_timeline")
    page: Any = opened.shown()
    rows = page.model
    opened.wait(lambda: any(rows.row(n).title == "Thermos" for n in range(rows.rowCount())))
