"""kill -9 while entries are saved, by a script and in the real window: what was told as saved is there."""

import json
import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from carelog.app.drafts import DraftFile
from carelog.domain.trouble import Trouble
from carelog.paths import Places
from carelog.store.exchange import StoredExchange
from tests.exchange.making import FOUR_WEEKS
from tests.store.making import fresh, opened

ROOT = Path(__file__).resolve().parent.parent.parent
LINES = [json.dumps({"kind": "mouth_care", "at": f"2026-11-22T03:{n % 60:02}Z"}) for n in range(2000)]
TYPING_MS = 2000  # at most so much of what was typed may be lost


@dataclass(slots=True)
class Outcome:
    """What many kills did."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    damaged: int = 0
    typed: int = 0
    typing_lost: list[str] = field(default_factory=list)

    @property
    def is_clean(self) -> bool:
        """Whether nothing that was told was lost and every file was sound."""
        return self.lost == self.damaged == 0 and not self.typing_lost


def script(kills: int, control: bool = False, seed: int = 20) -> Outcome:
    """End `carelog add --stream` so many times."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.carelog"
        told: set[str] = set()
        for number in range(kills):
            command = ["-m", "carelog", "add", "--record", str(path), "--stream"]
            if control:
                command = ["-m", "tests.faults.writer", str(path), str(1000 * number), "eager"]
            words = _until_killed(
                command, _environment(Path(folder)), rng.uniform(0.01, 0.5), feed=not control
            )
            new = set(words)
            told |= new
            outcome.kills += 1
            outcome.acknowledged += len(new)
            told &= _count(path, told, outcome)
    return outcome


def window(kills: int, control: bool = False, seed: int = 20) -> Outcome:
    """End the real window so many times while it is pressed and typed into."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.carelog"
        record = fresh(path)
        StoredExchange().merge(FOUR_WEEKS.read_bytes().splitlines(keepends=True), record)
        record.close()
        told: set[str] = set()
        command = ["-m", "tests.faults.presser", str(path), *["--forgetful"] * control]
        environment = _environment(Path(folder))
        for _ in range(kills):
            words = _until_killed(command, environment, rng.uniform(0.2, 6), feed=False)
            ended = time.monotonic()
            new = {word.split()[1] for word in words if word.startswith("saved ")}
            told |= new
            outcome.kills += 1
            outcome.acknowledged += len(new)
            told &= _count(path, told, outcome)
            _judge_typing(words, ended, path, Path(environment["XDG_STATE_HOME"]), outcome)
    return outcome


def jobs(kills: int, seed: int = 20) -> Outcome:
    """End imports and copies so many times: all or nothing, and the next one works."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        base, copies = Path(folder) / "base.carelog", Path(folder) / "copies"
        record = fresh(base)
        StoredExchange().merge(FOUR_WEEKS.read_bytes().splitlines(keepends=True), record)
        whole = {each.id for each in record.everything()}
        record.close()
        environment, took = _environment(Path(folder)), [0.0, 0.0]

        def job(number: int, to: Path) -> list[str]:
            if number % 2:
                return ["-m", "carelog", "backup", "--record", str(base), "--to", str(to)]
            return ["-m", "carelog", "import", str(FOUR_WEEKS), "--record", str(to / f"{number}.carelog")]

        for number in range(kills):
            if number % 20 < 2:  # how long one takes tells when to end the next: the computer may be busy
                (whole_ones := Path(folder) / f"whole {number}").mkdir()
                start = time.monotonic()
                subprocess.run(
                    [sys.executable, *job(number, whole_ones)],
                    cwd=ROOT,
                    env=environment,
                    stdout=subprocess.DEVNULL,
                )
                took[number % 2] = time.monotonic() - start
            path = Path(folder) / f"{number}.carelog"
            to = copies if number % 2 else Path(folder)
            _ended(job(number, to), environment, took[number % 2] * rng.uniform(0.3, 1.2))
            outcome.kills += 1
            for found in [path, *(copies.iterdir() if copies.exists() else [])]:
                if found.exists() and not found.name.startswith("."):
                    outcome.acknowledged += 1
                    _count(found, whole, outcome)
                    found.unlink()
    return outcome


def _ended(command: Sequence[str], environment: Mapping[str, str], after: float) -> None:
    nowhere = subprocess.DEVNULL
    process = subprocess.Popen(
        [sys.executable, *command], cwd=ROOT, env=environment, stdout=nowhere, stderr=nowhere
    )
    time.sleep(after)
    process.kill()
    process.wait()


def _environment(folder: Path) -> dict[str, str]:
    homes = {f"XDG_{name}_HOME": str(folder / name.lower()) for name in ("DATA", "CONFIG", "STATE")}
    return {**os.environ, **homes, "QT_QPA_PLATFORM": "offscreen"}


def _until_killed(
    command: Sequence[str], environment: Mapping[str, str], after: float, feed: bool
) -> list[str]:
    """What a process said until it was killed, some time after its first word."""
    pipe = subprocess.PIPE
    process = subprocess.Popen(
        [sys.executable, *command],
        cwd=ROOT,
        env=environment,
        stdin=pipe,
        stdout=pipe,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert process.stdout is not None
    feeder = threading.Thread(target=_feed, args=(process, feed))
    feeder.start()
    first = process.stdout.readline()
    time.sleep(after)
    process.kill()
    rest = process.stdout.read()
    feeder.join()
    process.wait()
    for stream in (process.stdout, process.stdin):
        with suppress(BrokenPipeError):
            assert stream is not None
            stream.close()
    return _whole_lines(first + rest)


def _feed(process: "subprocess.Popen[str]", feed: bool) -> None:
    assert process.stdin is not None
    with suppress(BrokenPipeError):
        for line in LINES * feed:
            process.stdin.write(f'{line[:-1]}, "note": "{time.time_ns()}"}}\n')
            process.stdin.flush()


def _whole_lines(text: str) -> list[str]:
    return text.split("\n")[:-1]


def _count(path: Path, told: set[str], outcome: Outcome) -> set[str]:
    if not path.exists():
        outcome.lost += len(told)
        return set()
    try:
        record = opened(path)
    except Trouble:
        outcome.damaged += 1
        return told
    found = {each.id for each in record.everything()}
    outcome.damaged += bool(record.check())
    record.close()
    outcome.lost += len(told - found)
    return found


def _typed(words: Sequence[str]) -> Iterator[tuple[float, int]]:
    for word in words:
        if word.startswith("typed "):
            _, moment, length = word.split()
            yield float(moment), int(length)


def _judge_typing(words: Sequence[str], ended: float, record: Path, state: Path, outcome: Outcome) -> None:
    """What was typed more than two seconds before the end is in the draft."""
    long_ago = [length for moment, length in _typed(words) if moment < ended - TYPING_MS / 1000]
    if not long_ago:
        return
    outcome.typed += 1
    places = Places(state, state, state / "carelog")
    draft = DraftFile(places.draft(record)).read()
    forms = draft.forms if draft else ()
    kept = max((len(form.note) for form in forms if form.kind == "note"), default=0)
    if kept < long_ago[-1]:
        outcome.typing_lost.append(f"{kept} of {long_ago[-1]} letters")
