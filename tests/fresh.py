"""Runs README's commands as a newcomer would: on a bare Debian with nothing but its own Python, from a clone.

usage (as root, on Debian, with debootstrap): python3 -m tests.fresh ['command' …]
       --suite bookworm   the Debian: bookworm has Python 3.11.2, trixie 3.13
       --python PATH      a Python of this computer in place of Debian's, such as a 3.12 in its own folder
       --base DIR         where the bare system is kept for the next time
       --out FILE         where all that the commands say is written down; shown are the last lines alone
Without commands: both of README's. Each command has its own copy of the system.
What is committed is tried; the system's own sources of packages, certificates and pip settings are used.
Standard library only.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
COMMANDS = ("python3 packaging/run.py demo", "python3 packaging/run.py test")
INCLUDED = "python3,python3-venv,python3-pip,git,ca-certificates"
PATIENCE_S = 3600
SHARED = ("/etc/resolv.conf", "/etc/hosts", "/etc/pip.conf", "/etc/ssl/certs/ca-certificates.crt")
"""What a computer needs to reach its packages; a newcomer's has it as well."""
PASSED_ON = ("PIP_", "SSL_CERT", "REQUESTS_CA", "CURL_CA", "HTTP_PROXY", "HTTPS_PROXY", "NO_PROXY")


def main() -> int:
    """Run the commands; 1 when one of them failed."""
    parser = argparse.ArgumentParser()
    parser.add_argument("commands", nargs="*", default=list(COMMANDS))
    parser.add_argument("--suite", default="bookworm")
    parser.add_argument("--python", type=Path)
    parser.add_argument("--base", type=Path)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args()
    if os.name != "posix" or os.geteuid() != 0:
        print("Only root can make a bare system.", file=sys.stderr)
        return 2
    if shutil.which("debootstrap") is None:
        print("debootstrap isn't installed (Debian package: debootstrap).", file=sys.stderr)
        return 2
    base = asked.base or Path(tempfile.gettempdir()) / f"carelog-bare-{asked.suite}"
    make_base(base, asked.suite)
    if asked.out is not None:
        asked.out.unlink(missing_ok=True)
    worked = [tried(base, command, asked.python, asked.out) for command in asked.commands]
    return int(not all(worked))


def make_base(base: Path, suite: str) -> None:
    """The bare system, unless it is there from the last time."""
    if (base / "usr/bin/python3").exists():
        return
    print(f"Making a bare Debian ({suite}) …", flush=True)
    command = ["debootstrap", "--variant=minbase", f"--include={INCLUDED}", suite, str(base), mirror()]
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        sys.exit(done.stdout[-800:] + done.stderr[-800:])


def mirror() -> str:
    """Where this computer gets its Debian packages from."""
    folder = Path("/etc/apt")
    for path in [*sorted((folder / "sources.list.d").glob("*.sources")), folder / "sources.list"]:
        for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
            words = line.split()
            found = [word for word in words[1:] if "://" in word or word.startswith("file:")]
            if found and words[0] in ("URIs:", "deb"):
                return found[0]
    sys.exit("This computer doesn't say where it gets its Debian packages from.")


def tried(base: Path, command: str, python: Path | None, out: Path | None) -> bool:
    """Whether a command does what it should in a copy of the bare system; its last lines are shown."""
    room = Path(tempfile.mkdtemp(prefix="carelog-fresh-"))
    begun = time.monotonic()
    try:
        fill(room, base, python)
        with mounted(room):
            status, said = run(room, command, python)
    finally:
        shutil.rmtree(room, ignore_errors=True)
    if out is not None:
        with out.open("a", encoding="utf-8") as whole:
            whole.write(f"$ {command}\n{said}\n")
    print(f"exit {status} after {time.monotonic() - begun:.0f} s: {command}")
    print("\n".join(f"    {line}" for line in said.splitlines()[-8:]), flush=True)
    return status == 0


def fill(room: Path, base: Path, python: Path | None) -> None:
    """A copy of the bare system with a clone of what is committed here."""
    subprocess.run(["cp", "-a", f"{base}/.", str(room)], check=True)
    for name in SHARED:
        if Path(name).exists():
            target = room / name.lstrip("/")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.unlink(missing_ok=True)
            shutil.copy(name, target)
    for name in ("sources.list", "sources.list.d", "apt.conf.d"):
        source, target = Path("/etc/apt") / name, room / "etc/apt" / name
        subprocess.run(["rm", "-rf", str(target)], check=True)
        if source.exists():
            subprocess.run(["cp", "-aL", str(source), str(target)], check=True)
    subprocess.run(
        ["git", "clone", "--quiet", "--no-hardlinks", str(ROOT), str(room / "opt/carelog")], check=True
    )
    if python is not None:
        home = python.resolve().parents[1]
        (room / str(home).lstrip("/")).parent.mkdir(parents=True, exist_ok=True)
        subprocess.run(["cp", "-a", str(home), str(room / str(home).lstrip("/"))], check=True)


@contextmanager
def mounted(room: Path) -> Iterator[None]:
    """The kernel's own folders in the copy for as long as a command runs."""
    names = ("proc", "dev")
    done: list[str] = []
    try:
        for name in names:
            subprocess.run(["mount", "--bind", f"/{name}", str(room / name)], check=True)
            done.append(name)
        yield
    finally:
        for name in reversed(done):
            subprocess.run(["umount", str(room / name)], check=True)


def run(room: Path, command: str, python: Path | None) -> tuple[int, str]:
    """The exit status of a command in the copy, and what it said."""
    places = [] if python is None else [str(python.resolve().parent)]
    path = ":".join([*places, "/usr/local/sbin", "/usr/local/bin", "/usr/sbin", "/usr/bin", "/sbin", "/bin"])
    surroundings = {"HOME": "/opt", "PATH": path, "LANG": "C.UTF-8"}
    surroundings |= {name: value for name, value in os.environ.items() if name.upper().startswith(PASSED_ON)}
    line = ["chroot", str(room), "/bin/sh", "-c", f"cd /opt/carelog && {command}"]
    try:
        done = subprocess.run(
            line, env=surroundings, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=PATIENCE_S
        )
    except subprocess.TimeoutExpired as late:
        return 124, (late.stdout or b"").decode(errors="replace")
    return done.returncode, done.stdout.decode(errors="replace")


if __name__ == "__main__":
    sys.exit(main())
