"""What is shipped, from the lock: a CycloneDX list with hashes, all licences, and how old the lock is."""

from __future__ import annotations

import importlib.metadata
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
LOCK = ROOT / "packaging" / "lock-run.txt"
BUILD_ONLY = ("setuptools",)  # puts the program in place, and isn't shipped with it
OLD = 90  # days after which the lock's age is a warning: our own choice
_PINNED = re.compile(r"([\w.-]+)==(\S+)(.*?)(?=^\S|\Z)", re.MULTILINE | re.DOTALL)
_LICENCE_FILE = re.compile(r"(licen[cs]e|copying|notice|authors)", re.IGNORECASE)


def locked(text: str) -> Iterator[tuple[str, str, list[str]]]:
    """Name, version and SHA-256 hashes of each package in a lock."""
    for name, version, rest in _PINNED.findall(text):
        if name.lower() not in BUILD_ONLY:
            yield name, version, re.findall(r"sha256:([0-9a-f]{64})", rest)


def licence_of(name: str) -> str:
    """What an installed package says of its licence, in one line."""
    found = importlib.metadata.metadata(name)
    classifiers = [each for each in found.get_all("Classifier") or [] if each.startswith("License ::")]
    said = next(iter(found.get_all("License-Expression") or found.get_all("License") or []), "")
    named = "; ".join(each.rpartition(" :: ")[2] for each in classifiers)
    return said.strip().splitlines()[0] if said.strip() else named or "not said"


def licence_texts(name: str) -> Iterator[tuple[str, str]]:
    """The files in which an installed package brings its licence along."""
    for file in importlib.metadata.files(name) or []:
        path = Path(str(file.locate()))
        if ".dist-info" in str(file) and _LICENCE_FILE.search(str(file)) and path.is_file():
            yield file.name, path.read_text(encoding="utf-8", errors="replace")


def listing(version: str, text: str) -> dict[str, Any]:
    """The list in the form of CycloneDX 1.5 (JSON; its keys from memory of the standard)."""
    components = [
        {
            "type": "library",
            "name": name,
            "version": pinned,
            "purl": f"pkg:pypi/{name.lower()}@{pinned}",
            "licenses": [{"license": {"name": licence_of(name)}}],
            # One hash a released file; which of them is installed depends on the computer.
            "properties": [{"name": "carelog:sha256", "value": each} for each in hashes],
        }
        for name, pinned, hashes in locked(text)
    ]
    program = {"type": "application", "name": "carelog", "version": version}
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {"component": program},
        "components": components,
    }


def licences(text: str) -> str:
    """The licences of all that is shipped, one after the other."""
    parts = [f"carelog\n\n{(ROOT / 'LICENSE').read_text(encoding='utf-8')}"]
    parts.append(f"Fonts\n\n{(ROOT / 'resources/fonts/OFL.txt').read_text(encoding='utf-8')}")
    for name, version, _ in locked(text):
        own = "\n\n".join(f"{file}\n\n{words}" for file, words in licence_texts(name))
        parts.append(f"{name} {version}: {licence_of(name)}\n\n{own or 'It brings no text of its licence.'}")
    return f"\n\n{'-' * 80}\n\n".join(parts)


def age(now: datetime) -> int | None:
    """How many days ago the lock was last changed, by the history; None where there is no history."""
    command = ["git", "log", "-1", "--format=%ct", "--", str(LOCK)]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
        return (now - datetime.fromtimestamp(int(done.stdout), UTC)).days
    except (OSError, subprocess.CalledProcessError, ValueError):
        return None


def main() -> int:
    """Write both files into dist/ and say how old the lock is."""
    text, target = LOCK.read_text(encoding="utf-8"), ROOT / "dist"
    source = (ROOT / "carelog" / "__init__.py").read_text(encoding="utf-8")
    found = re.search(r'__version__ = "([^"]+)"', source)
    version = found[1] if found else "unknown"
    target.mkdir(exist_ok=True)
    (target / "carelog.cdx.json").write_text(json.dumps(listing(version, text), indent=1) + "\n", "utf-8")
    (target / "LICENCES.txt").write_text(licences(text), "utf-8")
    print(
        f"{len(list(locked(text)))} packages listed in dist/carelog.cdx.json, licences in dist/LICENCES.txt."
    )
    days = age(datetime.now(UTC))
    if days is None:
        print("How old the lock is can't be told: there is no history here.")
    else:
        print(f"The lock was last changed {days} days ago.")
        if days > OLD:
            print("That is long: python3 packaging/run.py lock --upgrade, then all tests.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
