"""Windows in fresh processes, and a record of the last weeks or years for them."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from carelog.app.clock import SystemClock
from carelog.domain.entry import Entry, new_id
from carelog.domain.moment import DAY_24_H, Moment
from carelog.store.opening import open_record
from tests.bench.measurement import PERSON, history

A_DAY = 36
PLAN = {
    "set_by": "Nurse",
    "tasks": [
        {"kind": "inner_tube", "every_h": 4},
        {"kind": "cuff_pressure", "every_h": 8},
        {"kind": "stoma", "times": ["08:00", "20:00"]},
        {"kind": "mouth_care", "times": ["08:00", "13:00", "20:00"]},
    ],
}


def household(path: Path, count: int, a_day: int = A_DAY) -> Path:
    """A record whose newest entries are of today, with a plan."""
    now = SystemClock().now()
    since = now - count * DAY_24_H // a_day
    record = open_record(path, installation="bench", create=PERSON)
    plan = Entry(id=new_id(since, bytes(10)), kind="plan", at=Moment(since), recorded_at=since, details=PLAN)
    written = [plan, *(entry for entry in history(count, a_day, since=since) if entry.recorded_at < now)]
    for place in range(0, len(written), 20_000):
        record.append(written[place : place + 20_000])
    record.close()
    return path


def begin(module: str, *given: str) -> "subprocess.Popen[str]":
    """Start a window in a process of its own, with folders of its own."""
    home = str(Path(given[1]).parent / "home")
    folders = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"), home)
    environment = {**os.environ, **folders, "BENCH_START": str(time.monotonic_ns())}
    # A household's program is compiled once, not at each start, whatever this computer asks for.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    environment["PYTHONPYCACHEPREFIX"] = str(Path(home) / "compiled")
    environment.setdefault("QT_QPA_PLATFORM", "offscreen")
    command = [sys.executable, "-m", f"tests.bench.{module}", *given]
    return subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)


def measured(child: "subprocess.Popen[str]") -> dict[str, Any]:
    """What a window printed."""
    told, _ = child.communicate()
    found: dict[str, Any] = json.loads(told.splitlines()[-1])
    return found


def window(module: str, *given: str) -> dict[str, Any]:
    """Run one window until it has measured itself."""
    return measured(begin(module, *given))
