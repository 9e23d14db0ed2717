"""The HTML twin before axe-core in a real browser: a check for developers, since it needs two more programs.

apt-get install chromium
npm install --prefix ../axe axe-core
CARELOG_AXE=../axe/node_modules/axe-core/axe.min.js .venv/bin/python -m pytest -m long tests/sheet
"""

import os
from datetime import date
from pathlib import Path

import pytest

from carelog.domain.paper import SheetRequest
from carelog.export import page as given
from carelog.export.extract import Extract
from carelog.sheet import make
from carelog.sheet.sheets import SHEETS
from tests.loading import load
from tests.sheet.browser import violations
from tests.sheet.pages import W43

AXE = os.environ.get("CARELOG_AXE", "")
pytestmark = [
    pytest.mark.long,
    pytest.mark.display("chromium"),
    pytest.mark.skipif(not AXE, reason="CARELOG_AXE doesn't say where axe.min.js lies"),
]


def page(**more: object) -> str:
    request = SheetRequest(**{"week": W43, "html": True, **more})  # type: ignore[arg-type]
    return make(request, load("four-weeks.jsonl")).decode()


def test_axe_finds_what_is_wrong_with_a_spoiled_page(tmp_path: Path) -> None:
    spoiled = page().replace('<html lang="en">', "<html>").replace('role="img"', 'role="nonsense"')
    spoiled = spoiled.replace("color:#000;background:#fff", "color:#bbb;background:#fff")
    found = {each["id"] for each in violations(spoiled, Path(AXE), tmp_path)}
    assert {"html-has-lang", "color-contrast"} <= found


def test_axe_finds_nothing_wrong_with_the_week(tmp_path: Path) -> None:
    assert violations(page(), Path(AXE), tmp_path) == []


OTHERS: list[tuple[str, dict[str, object]]] = [(each.name, {}) for each in SHEETS if each.name != "week"]
OTHERS += [("blank", {"in_columns": True, "count": 7}), ("week", {"large": True}), ("day", {"large": True})]


@pytest.mark.parametrize(("name", "more"), OTHERS)
def test_axe_finds_nothing_wrong_with_any_other_sheet(
    name: str, more: dict[str, object], tmp_path: Path
) -> None:
    days = {"day": date(2026, 10, 21), "until": date(2026, 10, 25)}
    assert violations(page(name=name, week=None, **days, **more), Path(AXE), tmp_path) == []


def test_axe_finds_nothing_wrong_with_the_record_given_out(tmp_path: Path) -> None:
    entries = load("four-weeks.jsonl")
    whole = Extract(entries, "5f6f4e0a-9d52-4a0a-8d6c-0d1f6d0b7c11", "Odette Farrow", entries[-1].recorded_at)
    assert violations(b"".join(given.page(whole)).decode(), Path(AXE), tmp_path) == []
