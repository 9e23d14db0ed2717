"""Closing the window while something is under way leaves no thread behind and no word on the terminal."""

import os
import subprocess
import sys
from pathlib import Path

from carelog.domain.record import PersonHeading
from carelog.store.opening import open_record
from tests.ui.household import household

PERSON = PersonHeading("00000000-0000-4000-8000-000000000022", "Nobody")


def closed(folder: Path, before: str = "") -> subprocess.CompletedProcess[str]:
    """A real window in a fresh process that is closed while its first sheet is made."""
    path = folder / "record.carelog"
    record = open_record(path, installation="test", create=PERSON)
    record.append(household().everything())
    record.close()
    folders = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"), str(folder))
    start = f"{before}import sys; from tests.ui.closing import main; main({str(path)!r})"
    return subprocess.run(
        [sys.executable, "-c", start],
        env={**os.environ, **folders, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=120,
    )


def test_closing_while_a_sheet_is_made_stops_it_and_says_nothing_on_the_terminal(tmp_path: Path) -> None:
    done = closed(tmp_path)
    # The offscreen platform of the tests says this by itself; no screen does.
    said = [line for line in done.stderr.splitlines() if not line.startswith("This plugin does not support")]
    assert (done.returncode, said) == (0, [])
    assert done.stdout.split() == ["begun", "ended"]


def test_a_sheet_that_nobody_stops_is_noticed(tmp_path: Path) -> None:
    """The control: without the stop on closing, the thread goes on beyond the window."""
    unstopped = "from carelog.ui.sheet.maker import Maker; Maker.end = lambda _maker: None; "
    assert closed(tmp_path, unstopped).stdout.split() == ["begun", "left"]
