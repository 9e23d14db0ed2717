"""Less of this computer for a process: a share of one core and some memory, by the kernel's control groups.

Version 2 of them where it is mounted, else version 1; both need the right to make a group (root, as a rule).
"""

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

GROUPS = Path("/sys/fs/cgroup")
PERIOD = 100_000  # µs
_ENTER = 'for file in $GROUP_FILES; do echo $$ > "$file" || exit 97; done; exec "$@"'


class Unlimited(Exception):
    """No limit can be set here; says why."""


@contextmanager
def limited(share: float, megabytes: int) -> Iterator[Sequence[str]]:
    """What a command has to begin with to run in the limits, as long as the context lasts."""
    made: list[Path] = []
    try:
        try:
            files = (
                _version_2(share, megabytes, made) if _is_version_2() else _version_1(share, megabytes, made)
            )
        except OSError as error:
            raise Unlimited(f"no control group can be made here ({error})") from error
        yield ["env", f"GROUP_FILES={' '.join(map(str, files))}", "sh", "-c", _ENTER, "sh"]
    finally:
        for each in made:
            each.rmdir()


def _is_version_2() -> bool:
    return (GROUPS / "cgroup.controllers").exists()


def _version_2(share: float, megabytes: int, made: list[Path]) -> list[Path]:
    group = _made(GROUPS, _own(""), made)
    (group / "cpu.max").write_text(f"{round(share * PERIOD)} {PERIOD}")
    (group / "memory.max").write_text(str(megabytes * 1_000_000))
    return [group / "cgroup.procs"]


def _version_1(share: float, megabytes: int, made: list[Path]) -> list[Path]:
    processor = _made(GROUPS / "cpu", _own("cpu"), made)
    (processor / "cpu.cfs_period_us").write_text(str(PERIOD))
    (processor / "cpu.cfs_quota_us").write_text(str(round(share * PERIOD)))
    memory = _made(GROUPS / "memory", _own("memory"), made)
    (memory / "memory.limit_in_bytes").write_text(str(megabytes * 1_000_000))
    return [processor / "cgroup.procs", memory / "cgroup.procs"]


def _own(controller: str) -> str:
    """The group that this process is in, beneath which another one may be made."""
    for line in Path("/proc/self/cgroup").read_text(encoding="ascii").splitlines():
        _number, controllers, path = line.split(":", 2)
        if controller in controllers.split(","):
            return path.lstrip("/")
    return ""


def _made(root: Path, own: str, made: list[Path]) -> Path:
    group = root / own / f"carelog-bench-{os.getpid()}"
    group.mkdir()
    made.append(group)
    return group
