"""A suction logged end to end through the desktop's accessibility bus, on a real X display."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.ui.screen import display

pytestmark = pytest.mark.display("Xvfb", "dbus-run-session", "/usr/libexec/at-spi-bus-launcher")

JOURNEY = """
from tests.ui.accessible import Desktop

desktop = Desktop("carelog", seconds=300)
tile = desktop.wait(lambda node: "button" in node.role and node.name.startswith("Suction"))
buttons = ("push button", "toggle button", "button", "check box", "radio button")
names = [node.name for node in desktop.nodes() if node.role in buttons]
assert all(name.strip() for name in names), names
for page in ("Board", "Days", "Course", "Flags", "Plan", "Paper", "More", "Emergency page"):
    assert page in names, (page, names)
desktop.press(tile)
desktop.wait(lambda node: node.description.startswith("Suction saved"))
undo = desktop.wait(lambda node: node.name.startswith("Undo: Suction"))
thick = desktop.wait(lambda node: node.name == "thick" and node.role in buttons)
desktop.press(thick)
desktop.wait(lambda node: node.description.startswith("Suction (thick) saved"))
page = desktop.wait(lambda node: node.name == "Plan" and node.role == "radio button")
desktop.press(page)
desktop.wait(lambda node: node.name == "Care plan" and node.role == "heading")
page = desktop.wait(lambda node: node.name == "More" and node.role in buttons)
desktop.press(page)
for listed in ("Due", "Settings", "Help"):
    desktop.wait(lambda node: node.name.startswith(listed) and node.role in buttons)
print("saved, and said so")
"""


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
        "PYTHONPATH": str(Path(__file__).resolve().parents[2]),
    }


def test_a_suction_is_logged_and_announced_through_the_accessibility_bus(tmp_path: Path) -> None:
    record = tmp_path / "demo.carelog"
    script = tmp_path / "journey.py"
    script.write_text(JOURNEY, encoding="utf-8")
    run = (
        f"/usr/libexec/at-spi-bus-launcher --launch-immediately & "
        f"'{sys.executable}' -m carelog demo --record '{record}' --out '{tmp_path}' & window=$!; "
        f"'{sys.executable}' '{script}'; found=$?; kill $window; wait $window; exit $found"
    )
    with display() as screen:
        done: Any = subprocess.run(
            ["dbus-run-session", "--", "sh", "-c", run],
            env=environment(tmp_path, screen),
            capture_output=True,
            text=True,
            timeout=400,
            check=False,
        )
    assert "saved, and said so" in done.stdout, done.stderr[-1500:]
    assert saved_suctions(record) >= 1


def saved_suctions(record: Path) -> int:
    """How many suctions of the record were pressed, and not made up beforehand."""
    from carelog.store.opening import open_record

    opened = open_record(record, installation="70000000-0000-7000-8000-000000000001")
    try:
        made_up = max(entry.recorded_at for entry in opened.everything()) - 120_000_000
        return sum(entry.kind == "suction" and entry.recorded_at > made_up for entry in opened.everything())
    finally:
        opened.close()
