"""Power cuts on a real ext4 file system (root only): what the journal of the disk didn't hold yet is gone.

A file system lies in a file, on a loop device. EXT4_IOC_SHUTDOWN without flushing the log stops it as a power
cut does: nothing more reaches the device. Then it is mounted again, as after the power is back.
"""

import contextlib
import fcntl
import os
import random
import shutil
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from carelog.domain.entry import Entry
from carelog.domain.trouble import Trouble
from carelog.store.record import StoredRecord
from tests.store.making import entry, fresh, opened

SHUTDOWN = 0x8004587D  # EXT4_IOC_SHUTDOWN: _IOR('X', 125, __u32), Linux fs/ext4/ext4.h
NO_LOG_FLUSH = 2
ROOT = Path(__file__).resolve().parent.parent.parent
PROGRAMS = ("mkfs.ext4", "mount", "umount")


def why_not() -> str:
    """Why it can't be done here; empty when it can."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return "needs root on Linux"
    missing = [name for name in PROGRAMS if shutil.which(name) is None]
    if missing:
        return f"needs {' '.join(missing)}"
    try:
        with mounted():
            return ""
    except (OSError, subprocess.CalledProcessError) as error:
        return f"no loop device can be mounted here ({error})"


class LoopDisk:
    """An ext4 file system in a file."""

    def __init__(self, folder: Path) -> None:
        self._image = folder / "disk.img"
        self.place = folder / "disk"
        self.place.mkdir()

    def make(self, megabytes: int) -> None:
        """Make an empty file system and mount it."""
        with self._image.open("wb") as file:
            file.truncate(megabytes * 1024 * 1024)
        _run("mkfs.ext4", "-q", "-F", "-m", "0", str(self._image))
        self.mount()

    def mount(self) -> None:
        """Mount it; what its own journal holds is done first."""
        _run("mount", "-o", "loop", str(self._image), str(self.place))

    def only_read(self) -> None:
        """From here on nothing can be written."""
        _run("mount", "-o", "remount,ro", str(self.place))

    def unmount(self) -> None:
        """Take it down."""
        _run("umount", str(self.place))

    def cut(self) -> None:
        """The power goes."""
        handle = os.open(self.place, os.O_RDONLY)
        try:
            fcntl.ioctl(handle, SHUTDOWN, struct.pack("I", NO_LOG_FLUSH))
        finally:
            os.close(handle)


def _run(*command: str) -> None:
    for left in range(50, -1, -1):
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode == 0:
            return
        if command[0] != "umount" or left == 0:
            raise subprocess.CalledProcessError(done.returncode, command, done.stdout, done.stderr)
        time.sleep(0.1)  # a process that was just ended still holds it


@contextlib.contextmanager
def mounted(megabytes: int = 32) -> Iterator[LoopDisk]:
    """A file system for as long as it is needed."""
    with tempfile.TemporaryDirectory() as folder:
        disk = LoopDisk(Path(folder))
        disk.make(megabytes)
        try:
            yield disk
        finally:
            disk.unmount()


@dataclass(slots=True)
class Outcome:
    """What many cuts did."""

    cuts: int = 0
    acknowledged: int = 0
    lost: int = 0
    cuts_that_lost: int = 0
    unreadable: int = 0
    damaged: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether nothing was lost and every file opened and was sound."""
        return self.lost == self.unreadable == self.damaged == 0


def many(cuts: int, control: bool = False, seed: int = 20) -> Outcome:
    """So many cuts while a process saves; each fourth time it begins with a record that isn't there yet."""
    outcome, rng = Outcome(), random.Random(seed)
    with mounted(64) as disk:
        told: set[str] = set()
        path = disk.place / "record-0.carelog"
        for number in range(cuts):
            if number % 4 == 0:
                path, told = disk.place / f"record-{number}.carelog", set()
                if control:
                    _begin(path, told)
            fresh_ids = _save_until_the_cut(
                disk, path, 1 + 10_000 * (number % 4), rng.uniform(0.03, 0.4), control
            )
            told |= fresh_ids
            outcome.cuts += 1
            outcome.acknowledged += len(fresh_ids)
            disk.unmount()
            disk.mount()
            _count(path, told, outcome, control)
            if number % 4 == 3:
                for each in disk.place.glob("*record-*"):
                    each.unlink()
    return outcome


def _begin(path: Path, told: set[str]) -> None:
    record = fresh(path)
    record.append([entry(0)])
    record.close()
    told.add(entry(0).id)


def _save_until_the_cut(disk: LoopDisk, path: Path, start: int, after: float, control: bool) -> set[str]:
    """Let a process save, cut the power some time after its first word, and say what it was told."""
    command = [sys.executable, "-m", "tests.faults.writer", str(path), str(start), *(["default"] * control)]
    process = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    assert process.stdout is not None
    if after < 0.1 and not control:
        # Some cuts come while the file itself is made.
        time.sleep(0.3 + after * 5)
        first = ""
    else:
        first = process.stdout.readline()
        time.sleep(after)
    disk.cut()
    process.kill()
    rest, _ = process.communicate()
    return {line for line in (first + rest).split("\n")[:-1] if line}


def _count(path: Path, told: set[str], outcome: Outcome, control: bool) -> None:
    if not told and not path.exists():
        return
    try:
        with closing(opened(path)) as record:
            found = {each.id for each in record.everything()}
            outcome.damaged += not control and bool(record.check())
    except Trouble:
        outcome.unreadable += 1
        return
    lost = len(told - found)
    outcome.lost += lost
    outcome.cuts_that_lost += lost > 0
    told &= found


@dataclass(slots=True)
class Full:
    """What a disk did that ran full again and again."""

    points: int = 0
    acknowledged: int = 0
    lost: int = 0
    unnamed: list[str] = field(default_factory=list)
    stuck: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether nothing was lost, the cause was named each time, and saving went on with room again."""
        return self.lost == self.stuck == 0 and not self.unnamed


def full(points: int, seed: int = 20) -> Full:
    """Save on a small disk until it is full, make room, go on; so many times."""
    outcome, rng = Full(), random.Random(seed)
    with mounted(48) as disk:
        filler, path = disk.place / "filler", disk.place / "record.carelog"
        told: set[str] = set()
        with closing(fresh(path)) as record:
            for number in range(points):
                _fill(filler, rng.randrange(40_000, 250_000))
                sentence, made = _save_until_full(record, 10_000 * number, rng, told)
                if "disk is full" not in sentence:
                    outcome.unnamed.append(sentence)
                filler.unlink()
                os.sync()  # ext4 gives room back only when its own journal has been written
                record.append([made])
                told.add(made.id)
                outcome.points += 1
                outcome.stuck += bool(record.check())
            found = {each.id for each in record.everything()}
        outcome.acknowledged, outcome.lost = len(told), len(told - found)
    return outcome


def _save_until_full(
    record: StoredRecord, start: int, rng: random.Random, told: set[str]
) -> tuple[str, Entry]:
    """Save until it fails; what it said then, and the entry that wasn't saved."""
    for number in count(start):
        made = entry(number, note="n" * rng.randrange(5000))
        try:
            record.append([made])
        except Trouble as error:
            return error.sentence, made
        told.add(made.id)
    raise AssertionError


def _fill(filler: Path, left: int) -> None:
    """Leave so many bytes of the disk."""
    free = os.statvfs(filler.parent)
    with filler.open("wb") as file:
        file.write(bytes(max(0, free.f_bavail * free.f_frsize - left)))
        file.flush()
        os.fsync(file.fileno())
