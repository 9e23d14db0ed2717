"""Places that know no locks: windows still open there and say so, and commands name the cause."""

import errno
import os
import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from carelog.app.lock import Holder, WindowLock
from carelog.domain.moment import Instant
from tests.store.lockless import run
from tests.store.making import entry, fresh

Take = Callable[[WindowLock, Instant], Holder | None]
CAUSES = (errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL, errno.EIO)
COMMANDS = (("due",), ("add", "mouth_care"), ("check",))
WHAT_TO_DO = "Copy the record to a disk of this computer"


@dataclass(slots=True)
class Outcome:
    """What starts and commands came to where there are no locks."""

    starts: int = 0
    kept_out: int = 0
    unwarned: int = 0
    doubled: int = 0
    commands: int = 0
    unnamed: int = 0
    changed: int = 0

    @property
    def is_clean(self) -> bool:
        """Whether nobody was kept out or left in the dark, and no record was written to without a lock."""
        return not (self.kept_out or self.unwarned or self.doubled or self.unnamed or self.changed)


def as_built(lock: WindowLock, now: Instant) -> Holder | None:
    """As the program does it."""
    return lock.take(now)


def every_failure_is_a_window(lock: WindowLock, now: Instant) -> Holder | None:
    """The control: a lock that can't be had is somebody's."""
    found = lock.take(now)
    return Holder("unknown", 0, now) if lock.warning else found


def windows(starts: int, take: Take = as_built, seed: int = 20) -> Outcome:
    """So many starts, each where locks end with one of the causes; between them two with locks."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(starts):
            file, cause = Path(folder) / f"{number % 7}.lock", rng.choice(CAUSES)
            with mock.patch("fcntl.flock", side_effect=OSError(cause, os.strerror(cause))):
                lock = WindowLock(file)
                outcome.starts += 1
                outcome.kept_out += take(lock, number) is not None
                outcome.unwarned += os.strerror(cause) not in lock.warning
                lock.release()
            first, second = WindowLock(file), WindowLock(file)
            outcome.kept_out += take(first, number) is not None
            outcome.doubled += take(second, number) is None
            first.release()
    return outcome


def commands(count: int, seed: int = 20, *, has_locks: bool = False) -> Outcome:
    """So many commands in processes of their own; the control has locks, so that nothing is to be named."""
    outcome, rng = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        record = Path(folder) / "r.carelog"
        made = fresh(record)
        made.append([entry(1)])
        made.close()
        for _ in range(count):
            before, words = record.read_bytes(), rng.choice(COMMANDS)
            cause = 0 if has_locks else rng.choice(CAUSES[:3])
            status, told = run(cause, words[0], "--record", str(record), *words[1:])
            outcome.commands += 1
            outcome.unnamed += status != 1 or "can't lock files" not in told or WHAT_TO_DO not in told
            outcome.changed += record.read_bytes() != before
    return outcome
