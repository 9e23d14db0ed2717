"""The check code printed on a sheet, worked out again from the exported file by hashing its lines alone."""

import hashlib
import json
import re
from pathlib import Path

import pypdfium2

from tests.journeys.household import DAY_PLAN, TUBE, Household, carelog


def marked(lines: list[str]) -> str:
    """The mark over these lines of an exchange file."""
    joined = "".join(sorted(hashlib.sha256(each.encode()).hexdigest() for each in lines))
    digits = hashlib.sha256(joined.encode()).hexdigest()[:16]
    return " ".join(digits[n : n + 4] for n in range(0, 16, 4))


def printed(record: Path, *words: str) -> set[str]:
    """The marks on the pages of a sheet."""
    out = record.with_suffix(".pdf")
    answer = carelog("sheet", "--record", str(record), "--out", str(out), *words)
    assert answer.status == 0, answer.err
    pages = pypdfium2.PdfDocument(str(out))
    texts = [page.get_textpage().get_text_range() for page in pages]
    return {found for text in texts for found in re.findall(r"Check code ((?:[0-9a-f]{4} ?){4})\.", text)}


def exported(record: Path) -> dict[str, str]:
    """The exported lines of entries by their ids."""
    out = record.with_suffix(".jsonl")
    assert carelog("export", str(out), "--record", str(record)).status == 0
    return {json.loads(line)["id"]: line for line in out.read_text("utf-8").split("\n")[1:-1]}


def test_the_mark_covers_the_days_entries_with_their_chains_and_what_the_heading_shows(
    tmp_path: Path,
) -> None:
    home = Household(tmp_path)
    heading = [
        home.write("1 08:00", "person", name="Odette Farrow", born="1950-01-01"),
        home.write("1 08:00", "contact", role="nurse", phone="01632 960 001"),
        home.write("1 08:00", "plan", **DAY_PLAN),
        home.write("2 08:00", "tube_change", **TUBE),
    ]
    home.write("1 08:00", "tube_change", **TUBE)
    home.write("1 08:00", "recorder", initials="AB", name="Ada Brindle")
    home.write("1 09:00", "suction", colour="white")
    within = home.write("18 08:00", "observations", temperature_c=37.0, _note="é \u2028")
    moved = home.write("18 09:00", "suction", colour="white")
    change = home.change(moved, "24 09:00", {"colour": "yellow"}, at="24 08:00")
    struck = home.change(change, "25 09:00", None)
    record = home.record()
    lines = exported(record)
    whole = [lines[each] for each in (*heading, within, moved, change, struck)]
    assert printed(record, "--week", "2026-W47") == {marked(whole)}
    assert printed(record, "--sheet", "day", "--date", "2026-11-18") == {marked(whole)}
    known = [lines[each] for each in (*heading, within, moved)]
    assert printed(record, "--week", "2026-W47", "--at", "2026-11-23T00:00") == {marked(known)}
    assert printed(record, "--week", "2026-W47") != {marked(known)}
