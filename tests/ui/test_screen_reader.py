"""Whole journeys by names alone through the desktop's accessibility bus, on a real X display."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from tests.ui.screen import display
from tests.ui.test_printer import Queue, print_server

pytestmark = pytest.mark.display("Xvfb", "dbus-run-session", "/usr/libexec/at-spi-bus-launcher")

JOURNEY = """
from tests.ui.accessible import BUTTONS, Desktop

desktop = Desktop("carelog", seconds=150)
tile = desktop.wait(lambda node: node.role in BUTTONS and node.name.startswith("Suction"))
names = [node.name for node in desktop.nodes() if node.role in BUTTONS]
assert all(name.strip() for name in names), names
for page in ("Board", "Days", "Course", "Flags", "Plan", "Paper", "More", "Emergency page"):
    assert page in names or page == "Flags", (page, names)
desktop.press(tile)
desktop.said("Suction saved")
desktop.wait(lambda node: node.name.startswith("Undo: Suction"))
desktop.press_named("thick")
desktop.said("Suction (thick) saved")
print("saved, and said so")

desktop.press_named("More details")
desktop.heading("Change: Suction")
desktop.press_named("Colour: yellow")
desktop.press_named("Save")
desktop.said("Suction (yellow, thick) saved")
print("corrected")

desktop.press_named("Flags")
desktop.heading("Flags")
desktop.press_named("Plan")
desktop.heading("Care plan")
desktop.press_named("More", "radio button")
desktop.press_named("Due")
desktop.heading("Asked for by the plan")
print("flags, plan and due")

desktop.press_named("Course")
desktop.press_named("Table")
table = desktop.wait(lambda node: node.role == "table" and node.name.startswith("The course as a table"))
heads = ("table column header", "column header", "table row header", "row header")
desktop.wait(lambda node: node.role in heads and "uction" in node.name)
print("course as a table")

desktop.press_named("Paper")
desktop.press_named("Sheet: card")
desktop.wait(lambda node: node.name == "1 page")
desktop.press_named("Print …")
desktop.wait(lambda node: node.name.startswith("No printer is set up on this computer"))
desktop.press_named("Emergency page")
desktop.press_named("Print this page")
desktop.wait(lambda node: node.name.startswith("No printer is set up on this computer"))
print("printing without a printer is said")
"""
PRINTING = """
from tests.ui.accessible import BUTTONS, Desktop

desktop = Desktop("carelog", seconds=150)
desktop.wait(lambda node: node.role in BUTTONS and node.name.startswith("Suction"))
desktop.press_named("Paper")
desktop.press_named("Sheet: card")
desktop.wait(lambda node: node.name == "1 page")
desktop.press_named("Print …", "push button", "button")
desktop.wait(lambda node: node.role == "dialog")
desktop.press(desktop.wait(lambda node: node.name in ("Print", "&Print") and node.role in BUTTONS))
desktop.wait(lambda node: node.name.startswith("Sent to the printer."))
print("printed")
"""
FIRST_RUN = """
from tests.ui.accessible import Desktop

desktop = Desktop("carelog", seconds=120)
desktop.heading("Can you read this well?")
desktop.press_named("Go on")
desktop.heading("There is no record here yet")
desktop.press_named("Begin a record")
desktop.press_named("I don't know yet")
desktop.heading("Which number is called in an emergency?")
desktop.press_named("To the board")
desktop.press_named("Suction")
desktop.said("Suction saved")
print("first run")
"""
STAGES = (
    "saved, and said so",
    "corrected",
    "flags, plan and due",
    "course as a table",
    "printing without a printer is said",
)


def environment(tmp_path: Path, screen: str) -> dict[str, str]:
    """What the program and the listener share: the display, folders of their own, accessibility on."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
    return {
        **kept,
        "DISPLAY": screen,
        "QT_QPA_PLATFORM": "xcb",
        "QT_LINUX_ACCESSIBILITY_ALWAYS_ON": "1",
        "XDG_DATA_HOME": str(tmp_path / "data"),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "XDG_RUNTIME_DIR": str(tmp_path),
        "CUPS_SERVER": str(tmp_path / "nobody.sock"),
        "PYTHONPATH": str(Path(__file__).resolve().parents[2]),
    }


def test_a_suction_its_correction_flags_dues_the_course_and_paper_are_reached_by_their_names(
    tmp_path: Path,
) -> None:
    record = tmp_path / "demo.carelog"
    done = travelled(tmp_path, JOURNEY, f"demo --record '{record}' --out '{tmp_path}'")
    missing = [stage for stage in STAGES if stage not in done.stdout]
    assert missing == [], done.stderr[-1500:]
    assert saved_suctions(record) >= 1


def test_a_first_run_leads_by_names_alone_to_a_first_press(tmp_path: Path) -> None:
    done = travelled(tmp_path, FIRST_RUN, f"--record '{tmp_path / 'new.carelog'}'")
    assert "first run" in done.stdout, done.stderr[-1500:]


@pytest.mark.display("cupsd", "gs", "/usr/lib/cups/filter/pdftopdf")
def test_a_sheet_is_printed_by_names_alone_and_the_printer_has_it(tmp_path: Path) -> None:
    with print_server() as queue:
        start = f"demo --record '{tmp_path / 'demo.carelog'}' --out '{tmp_path}'"
        done = travelled(tmp_path, PRINTING, start, queue)
        assert "printed" in done.stdout, done.stderr[-1500:]
        with pypdfium2.PdfDocument(queue.handed_over()) as job:
            assert len(job) == 1


def travelled(tmp_path: Path, journey: str, start: str, queue: Queue | None = None) -> Any:
    """What a journey printed beside a window that was started so, on a screen and a bus of its own."""
    script = tmp_path / "journey.py"
    script.write_text(journey, encoding="utf-8")
    run = (
        f"/usr/libexec/at-spi-bus-launcher --launch-immediately & "
        f"'{sys.executable}' -m carelog {start} & window=$!; "
        f"'{sys.executable}' '{script}'; found=$?; kill $window; wait $window; exit $found"
    )
    with display() as screen:
        return subprocess.run(
            ["dbus-run-session", "--", "sh", "-c", run],
            env=environment(tmp_path, screen) | (queue.place if queue else {}),
            capture_output=True,
            text=True,
            timeout=400,
            check=False,
        )


def saved_suctions(record: Path) -> int:
    """How many suctions of the record were pressed, and not made up beforehand."""
    from carelog.store.opening import open_record

    opened = open_record(record, installation="70000000-0000-7000-8000-000000000001")
    try:
        made_up = max(entry.recorded_at for entry in opened.everything()) - 120_000_000
        return sum(entry.kind == "suction" and entry.recorded_at > made_up for entry in opened.everything())
    finally:
        opened.close()
