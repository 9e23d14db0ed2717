"""The same entries give the same bytes: in any order, in another process, with another seed for hashes."""

import os
import subprocess
import sys
from pathlib import Path

from carelog.sheet.sheets import SHEETS
from tests.loading import load
from tests.sheet.pages import entry, sheet

EVERY = """
import hashlib
from dataclasses import replace
from datetime import date
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from carelog.sheet.sheets import SHEETS
from tests.loading import load
from tests.sheet.pages import no_flags
found = load("four-weeks.jsonl")
for sheet in SHEETS:
    asked = SheetRequest(name=sheet.name, everything=True).dated(sheet.span, date(2026, 10, 25))
    for html in (False, True):
        made = make(replace(asked, html=html), found, find_flags=no_flags)
        print(sheet.name, html, hashlib.sha256(made).hexdigest())
"""
ROOT = Path(__file__).resolve().parents[2]
PRINT = """
import hashlib, sys
from tests.loading import load
from tests.sheet.pages import W43, sheet
found = load("four-weeks.jsonl")
print(hashlib.sha256(sheet(found) + sheet(found, html=True)).hexdigest())
"""


def digest(seed: str, code: str = PRINT) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def test_other_processes_with_other_hash_seeds_give_the_same_bytes() -> None:
    assert digest("1") == digest("77") == digest("0")


def test_so_does_every_sheet_on_paper_and_as_a_page() -> None:
    first = digest("1", EVERY)
    assert first == digest("77", EVERY)
    assert len({line.split()[-1] for line in first.splitlines()}) == 2 * len(SHEETS)


def test_a_sheet_made_twice_in_one_process_has_the_same_bytes() -> None:
    found = load("four-weeks.jsonl")
    assert sheet(found) == sheet(found)
    assert sheet(found, html=True) == sheet(found, html=True)


def test_the_order_of_the_entries_does_not_matter() -> None:
    found = load("four-weeks.jsonl")
    assert sheet(found) == sheet(found[::-1])


def test_joined_letters_of_an_earlier_sheet_leave_no_trace_in_the_next() -> None:
    found = load("four-weeks.jsonl")
    before = sheet(found)
    sheet([entry(1, "2026-10-20T10:00:00Z", "note", note="كتابة أخرى بالعربية لا إله")])
    assert sheet(found) == before


def test_one_changed_entry_changes_the_bytes() -> None:
    found = load("four-weeks.jsonl")
    assert sheet(found) != sheet(found[:-1])
