"""Windows in fresh processes, and a record of the last weeks or years for them."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Sequence
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
    *_, newest = history(count, a_day, since=since)
    since += now - 1 - newest.recorded_at  # the distances vary: a long history ended days before now
    record = open_record(path, installation="bench", create=PERSON)
    plan = Entry(id=new_id(since, bytes(10)), kind="plan", at=Moment(since), recorded_at=since, details=PLAN)
    written = [plan, *(entry for entry in history(count, a_day, since=since) if entry.recorded_at < now)]
    for place in range(0, len(written), 20_000):
        record.append(written[place : place + 20_000])
    record.close()
    return path


def surroundings(home: Path) -> dict[str, str]:
    """The variables of a household's own process, which has all its folders in one."""
    folders = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"), str(home))
    found = {**os.environ, **folders, "BENCH_START": str(time.monotonic_ns())}
    # A household's program is compiled once, not at each start, whatever this computer asks for.
    found.pop("PYTHONDONTWRITEBYTECODE", None)
    found["PYTHONPYCACHEPREFIX"] = str(home / "compiled")
    found.setdefault("QT_QPA_PLATFORM", "offscreen")
    return found


def begin(module: str, *given: str, within: Sequence[str] = ()) -> "subprocess.Popen[str]":
    """Start a window in a process of its own, with folders of its own; `within`: what starts it."""
    home = Path(given[1]).parent / "home"
    command = [*within, sys.executable, "-m", f"tests.bench.{module}", *given]
    return subprocess.Popen(command, env=surroundings(home), stdout=subprocess.PIPE, text=True)


def measured(child: "subprocess.Popen[str]") -> dict[str, Any]:
    """What a window printed."""
    told, _ = child.communicate()
    if child.returncode or not told:
        raise RuntimeError(f"a window ended with {child.returncode} and told {told!r}")
    found: dict[str, Any] = json.loads(told.splitlines()[-1])
    return found


def window(module: str, *given: str, within: Sequence[str] = ()) -> dict[str, Any]:
    """Run one window until it has measured itself."""
    return measured(begin(module, *given, within=within))


def command(words: Sequence[str], home: Path, within: Sequence[str] = ()) -> tuple[float, float]:
    """Seconds of the processor and by the clock of one command as people run it; it has to succeed."""
    asked, start = [*within, sys.executable, "-m", "carelog", *words], time.monotonic()
    child = subprocess.Popen(asked, env=surroundings(home), stdout=subprocess.DEVNULL)
    _pid, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise RuntimeError(f"carelog {words[0]} ended with {child.returncode}")
    return used.ru_utime + used.ru_stime, time.monotonic() - start
