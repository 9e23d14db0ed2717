"""Sets up carelog in .venv and runs it, or all of its tests, from a fresh clone with nothing but Python."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from collections.abc import Sequence

import debian
import environment
from environment import ROOT

USAGE = """usage: python3 packaging/run.py demo [arguments of `carelog demo`]
       python3 packaging/run.py test [arguments of pytest]
       python3 packaging/run.py lock [--upgrade]
       python3 packaging/run.py release"""

CHECKS = {
    "ruff check": ["-m", "ruff", "check", "--quiet", "."],
    "ruff format": ["-m", "ruff", "format", "--quiet", "--check", "."],
    "mypy": ["-m", "mypy", "--strict", "--no-error-summary"],
    "imports": ["-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-logo"],
    "pytest": ["-m", "pytest"],
}

# A missing library of the first set ends the process when Qt starts; one of the second takes away printing
# or Wayland.
QT_NEEDS = (
    *(f"Qt{part}.abi3.so" for part in ("Core", "Gui", "Widgets", "PrintSupport", "Svg", "Test")),
    "Qt/plugins/platforms/libqxcb.so",
    "Qt/plugins/platforms/libqoffscreen.so",
    "Qt/plugins/iconengines/libqsvgicon.so",
    "Qt/plugins/imageformats/libqsvg.so",
)
QT_WANTS = (
    "Qt/plugins/printsupport/libcupsprintersupport.so",
    "Qt/plugins/platforms/libqwayland.so",
    "Qt/plugins/wayland-shell-integration/libxdg-shell.so",
    "Qt/plugins/xcbglintegrations/libqxcb-glx-integration.so",
)

LOCKS = {
    "run": ["--build-deps-for", "editable"],
    "dev": ["--build-deps-for", "editable", "--extra", "dev", "--constraint", "packaging/lock-run.txt"],
}


def main(arguments: Sequence[str]) -> int:
    """Run one sub-command and return its exit status."""
    if sys.version_info < (3, 11):  # noqa: UP036 — this file also meets an older Python
        print("carelog needs Python 3.11 or newer.", file=sys.stderr)
        return 1
    command, *rest = arguments or ["help"]
    if command == "demo":
        return demo(rest)
    if command == "test":
        return test(rest)
    if command == "release" and not rest:
        return release()
    if command == "lock" and rest in ([], ["--upgrade"]):
        return lock(rest)
    print(USAGE, file=sys.stderr)
    return 2


def demo(rest: Sequence[str]) -> int:
    """The made-up household's record and sheet, then the window where there is a display."""
    environment.prepare("run")
    missing = supply_qt()
    surroundings = dict(os.environ)
    # The record and the sheet need no Qt: without its libraries only the window is left out.
    screens = [surroundings.pop(name, "") for name in ("DISPLAY", "WAYLAND_DISPLAY") if missing]
    status = subprocess.run([environment.PYTHON, "-m", "carelog", "demo", *rest], env=surroundings).returncode
    if missing:
        print(
            f"The window can't open before these Debian packages are installed: {missing}.", file=sys.stderr
        )
    return status or int(any(screens))


def test(rest: Sequence[str]) -> int:
    """Every check and every test, the fast ones first; all run even when one fails."""
    environment.prepare("dev")
    print(f"Python {platform.python_version()} ({environment.VENV.name})", flush=True)
    if missing := supply_qt():
        print(f"The tests can't run before these Debian packages are installed: {missing}.", file=sys.stderr)
        return 1
    supply_test_programs()
    failed = []
    for name, arguments in CHECKS.items():
        print(f"== {name}", flush=True)
        extra = rest if name == "pytest" else ()
        if subprocess.run([environment.PYTHON, *arguments, *extra], cwd=ROOT).returncode:
            failed.append(name)
    if failed:
        print(f"Failed: {', '.join(failed)}.", file=sys.stderr)
    return 1 if failed else 0


def lock(rest: Sequence[str]) -> int:
    """Write both locks anew from pyproject.toml; with --upgrade to the newest releases it allows."""
    environment.prepare("dev")
    surroundings = {**os.environ, "CUSTOM_COMPILE_COMMAND": "python3 packaging/run.py lock"}
    silent = ["--no-emit-index-url", "--no-emit-find-links", "--no-emit-trusted-host"]
    common = ["--quiet", "--generate-hashes", "--allow-unsafe", "--strip-extras", *silent, *rest]
    for name, options in LOCKS.items():
        target = f"packaging/lock-{name}.txt"
        command = ["-m", "piptools", "compile", *common, *options, "--output-file", target, "pyproject.toml"]
        environment.quietly([str(environment.PYTHON), *command], env=surroundings)
    return 0


def release() -> int:
    """Put into dist/ the wheel, the list of all that is shipped, its licences; say how old the lock is."""
    environment.prepare("dev")
    python = str(environment.PYTHON)
    environment.quietly([python, "-m", "build", "--wheel", "--no-isolation"])
    return subprocess.run([python, "packaging/supply.py"], cwd=ROOT).returncode


def supply_qt() -> str:
    """Install the Debian packages that Qt lacks; returns the names of those it can't start without."""
    folder = environment.site_packages() / "PySide6"
    needed = debian.packages_for(debian.missing_libraries([folder / name for name in QT_NEEDS]))
    wanted = debian.packages_for(debian.missing_libraries([folder / name for name in QT_WANTS]))
    lacking = debian.supply(needed | wanted)
    if useful := lacking - needed:
        print(f"For printing and Wayland, install these Debian packages: {' '.join(sorted(useful))}.")
    return " ".join(sorted(lacking & needed))


def supply_test_programs() -> None:
    """Install what only some tests need; a test whose program is still missing is skipped and counted."""
    import tomllib  # here, so that an older Python gets its sentence instead of a traceback

    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    programs: dict[str, str] = settings["tool"]["carelog"]["test-programs"]
    if lacking := debian.supply(debian.packages_of_missing(programs)):
        print(f"Some tests will be skipped without these Debian packages: {' '.join(sorted(lacking))}.")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
