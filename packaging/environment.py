"""The .venv of this checkout: made without python3-venv if need be, filled from a lock with hashes, once."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import debian

if os.name == "posix":
    import fcntl

ROOT = Path(__file__).resolve().parent.parent
INSIDE = "Scripts/python.exe" if os.name == "nt" else "bin/python"
OWN = {"carelog", "pip"}


def place_in(root: Path, version: tuple[int, int]) -> Path:
    """Where a Python of this version has its packages: .venv, or beside it while that is another Python's."""
    usual, this = root / ".venv", ".".join(map(str, version))
    told = usual / "pyvenv.cfg"
    if not (usual / INSIDE).exists() or not told.exists():
        return usual
    is_ours = re.search(rf"^version(_info)? = {re.escape(this)}\.", told.read_text("utf-8"), re.MULTILINE)
    return usual if is_ours else root / f".venv-{this}"


VENV = place_in(ROOT, sys.version_info[:2])
PYTHON = VENV / INSIDE


def prepare(lock: str) -> None:
    """Make .venv hold exactly what this lock says and carelog itself; quick when it already does."""
    with _alone():
        if not _works():
            print(f"Setting up {VENV.name} (a minute or two, once) …", flush=True)
            _make()
        if not _is_stamped("dev", _lock_digest("dev")) and not _is_stamped(lock, _lock_digest(lock)):
            print(f"Installing from packaging/lock-{lock}.txt …", flush=True)
            _install(["--require-hashes", "--only-binary=:all:", "-r", str(_lock_file(lock))])
            _prune()
            _stamp(lock, _lock_digest(lock))
        if not _is_stamped("own", _own_digest()):
            _install(["--no-deps", "--no-build-isolation", "--editable", str(ROOT)])
            _stamp("own", _own_digest())


def site_packages() -> Path:
    """Where .venv keeps installed packages."""
    code = "import sysconfig; print(sysconfig.get_path('platlib'))"
    return Path(
        subprocess.run([PYTHON, "-c", code], capture_output=True, text=True, check=True).stdout.strip()
    )


def quietly(command: Sequence[str], env: Mapping[str, str] | None = None) -> None:
    """Run a command unheard; if it fails, show its last lines without addresses and stop."""
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True)
    if done.returncode:
        said = (done.stdout + done.stderr).strip().splitlines()[-15:]
        sys.exit("\n".join([*map(_without_address, said), f"Setting up failed at: {Path(command[0]).name}."]))


def _without_address(line: str) -> str:
    return re.sub(r"\w+://\S+|host='[^']*'|\b[\w-]+(\.[\w-]+)*\.(org|com|net|io)\b", "(address)", line)


@contextlib.contextmanager
def _alone() -> Iterator[None]:
    """Two set-ups at the same time would write over each other: the second waits."""
    with (ROOT / "pyproject.toml").open("rb") as held:
        if os.name == "posix":
            fcntl.flock(held, fcntl.LOCK_EX)
        yield


def _works() -> bool:
    if not PYTHON.exists():
        return False
    code = "import sys; sys.exit(sys.prefix == sys.base_prefix or sys.version_info < (3, 11))"
    return subprocess.run([PYTHON, "-c", code], capture_output=True).returncode == 0


def _make() -> None:
    """An empty .venv, with its own pip or for the pip outside it; needs python3-venv if there is neither."""
    shutil.rmtree(VENV, ignore_errors=True)
    if not _has("venv", "ensurepip") and not _has("venv", "pip"):
        packages = {"python3-venv", "python3-pip"}
        if lacking := debian.supply(packages):
            names = " ".join(sorted(lacking))
            sys.exit(f"Python's venv and pip are missing: install {names}, then run this again.")
    own_pip = _has("ensurepip")
    quietly([sys.executable, "-m", "venv", *([] if own_pip else ["--without-pip"]), str(VENV)])


def _has(*modules: str) -> bool:
    """Whether this Python has these modules; a new process sees those that were installed just now."""
    code = f"import importlib.util as u, sys; sys.exit(not all(map(u.find_spec, {modules!r})))"
    return subprocess.run([sys.executable, "-c", code]).returncode == 0


def _install(arguments: Sequence[str]) -> None:
    quietly([*_pip(), "install", "--quiet", "--no-input", "--disable-pip-version-check", *arguments])


def _pip() -> list[str]:
    inside = subprocess.run([PYTHON, "-c", "import pip"], capture_output=True).returncode == 0
    return [str(PYTHON), "-m", "pip"] if inside else [sys.executable, "-m", "pip", "--python", str(PYTHON)]


def _prune() -> None:
    """Take out what no lock names any more."""
    code = "import importlib.metadata as m, json; print(json.dumps([d.name for d in m.distributions()]))"
    said = subprocess.run([PYTHON, "-c", code], capture_output=True, text=True, check=True).stdout
    extra = {_plain(name) for name in json.loads(said)} - locked_versions("dev").keys() - OWN
    if extra:
        quietly([*_pip(), "uninstall", "--quiet", "--yes", *sorted(extra)])


def locked_versions(lock: str) -> dict[str, str]:
    """The version of each package in a lock, by its plain name."""
    found = re.findall(r"^([\w.-]+)==([^\s\\;]+)", _lock_file(lock).read_text(encoding="utf-8"), re.MULTILINE)
    return {_plain(name): version for name, version in found}


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _lock_file(lock: str) -> Path:
    return ROOT / "packaging" / f"lock-{lock}.txt"


def _lock_digest(lock: str) -> str:
    return hashlib.sha256(_lock_file(lock).read_bytes()).hexdigest()


def _own_digest() -> str:
    """Changes with the project's settings and when the checkout is moved."""
    return hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + os.fsencode(ROOT)).hexdigest()


def _is_stamped(name: str, digest: str) -> bool:
    file = VENV / f"carelog-{name}.stamp"
    return file.exists() and file.read_text(encoding="ascii") == digest


def _stamp(name: str, digest: str) -> None:
    (VENV / f"carelog-{name}.stamp").write_text(digest, encoding="ascii")
