"""What is missing from Debian, and getting it: installed as root, named to everybody else."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

# The package of each shared library that Qt asks the system for. The names are Debian 12's; later releases
# still provide them.
PACKAGE_OF = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libGLX.so.0": "libglx0",
    "libICE.so.6": "libice6",
    "libOpenGL.so.0": "libopengl0",
    "libSM.so.6": "libsm6",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libX11.so.6": "libx11-6",
    "libcups.so.2": "libcups2",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libgssapi_krb5.so.2": "libgssapi-krb5-2",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-glx.so.0": "libxcb-glx0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xinput.so.0": "libxcb-xinput0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxcb.so.1": "libxcb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libz.so.1": "zlib1g",
}


def missing_libraries(files: Sequence[Path]) -> set[str]:
    """The shared libraries that these files ask for and the system lacks; nothing is loaded to find out."""
    if shutil.which("ldd") is None:
        return set()
    surroundings = {**os.environ, "LC_ALL": "C"}
    present = [str(file) for file in files if file.exists()]
    said = subprocess.run(["ldd", *present], env=surroundings, capture_output=True, text=True).stdout
    return set(re.findall(r"^\s*(\S+) => not found", said, re.MULTILINE))


def packages_for(libraries: Iterable[str]) -> set[str]:
    """The Debian packages of these libraries; a library nobody listed stands for itself."""
    return {PACKAGE_OF.get(library, library) for library in libraries}


def packages_of_missing(programs: Mapping[str, str]) -> set[str]:
    """The packages of those programs that aren't installed."""
    return {package for program, package in programs.items() if shutil.which(program) is None}


def supply(packages: set[str]) -> set[str]:
    """Install these packages when that is allowed; returns those that are still lacking."""
    if not packages or not _may_install():
        return packages
    print(f"Installing Debian packages: {' '.join(sorted(packages))} …", flush=True)
    if _apt("install", *sorted(packages)):
        return set()
    _refresh()
    return {package for package in sorted(packages) if not _apt("install", package)}


def _may_install() -> bool:
    return os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get") is not None


@cache
def _refresh() -> None:
    """A new machine's package lists are empty or old: asked for once, and only when an install has failed."""
    _apt("update")


def _apt(*arguments: str) -> bool:
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    command = ["apt-get", "--yes", "--quiet", "--no-install-recommends", *arguments]
    done = subprocess.run(command, env=surroundings, stdin=subprocess.DEVNULL, capture_output=True)
    return done.returncode == 0
