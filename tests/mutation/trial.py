"""A copy of the program in which changes are made and shown to tests."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tests.mutation.changes import Mutation, changed
from tests.mutation.near import ROOT
from tests.mutation.noting import PLACE

COPIED = ("carelog", "resources", "packaging", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md")


@dataclass(frozen=True, slots=True)
class Run:
    """What came of one run of tests."""

    failed: tuple[str, ...]
    """The tests that failed, the last of them perhaps one that came to no end."""
    is_whole: bool
    """Whether the run came to its end: no test hung."""


@dataclass
class Trial:
    """The copy, and how long one test may take in it (seconds)."""

    folder: Path
    patience: int
    _unsound: dict[str, bool] = field(default_factory=dict)

    @classmethod
    def begin(cls, room: Path, patience: int) -> "Trial":
        """With a copy of all that tests need, in a folder of its own."""
        for name in COPIED:
            _copy(ROOT / name, room / name)
        return cls(room, patience)

    def run(self, changes: Sequence[Mutation], tests: Sequence[str], *, is_enough_one: bool = False) -> Run:
        """Show changes, all at once, to tests; with `is_enough_one` up to the first that fails."""
        notes = self.folder / "notes"
        notes.write_text("", encoding="utf-8")
        with self._made(changes):
            subprocess.run(
                [*self._command(), *(["-x"] if is_enough_one else []), *tests],
                cwd=self.folder,
                env={
                    **os.environ,
                    "PYTHONDONTWRITEBYTECODE": "1",
                    "QT_QPA_PLATFORM": "offscreen",
                    PLACE: str(notes),
                },
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        return _read(notes.read_text(encoding="utf-8"), tests)

    def noticing(self, change: Mutation, tests: Sequence[str]) -> str | None:
        """The first of these tests that fails by a change alone, and without it passes."""
        left = list(tests)
        while left:
            failed = self.run([change], left, is_enough_one=True).failed
            if not failed or self.is_sound(failed[-1]):
                return failed[-1] if failed else None
            left += ["--deselect", failed[-1]]
        return None

    def is_sound(self, test: str) -> bool:
        """Whether a test passes where nothing is changed."""
        if test not in self._unsound:
            self._unsound[test] = bool(self.run([], [test]).failed)
        return not self._unsound[test]

    def _command(self) -> list[str]:
        return [
            *(sys.executable, "-m", "pytest", "-n", "0", "-q", "--tb=no", "-p", "no:cacheprovider"),
            *("-p", "tests.mutation.noting", "-o", f"faulthandler_timeout={self.patience}"),
            *("-o", "faulthandler_exit_on_timeout=true"),
        ]

    @contextmanager
    def _made(self, changes: Sequence[Mutation]) -> Iterator[None]:
        kept = {file: (self.folder / file).read_text(encoding="utf-8") for file in {c.file for c in changes}}
        try:
            for file, source in kept.items():
                there = changed(source, [each for each in changes if each.file == file])
                (self.folder / file).write_text(there, encoding="utf-8")
            yield
        finally:
            for file, source in kept.items():
                (self.folder / file).write_text(source, encoding="utf-8")


def noticed_by_any(trial: Trial, changes: Sequence[Mutation], tests: Sequence[str]) -> dict[Mutation, str]:
    """Which of these changes any test notices, and which test.

    All changes are made at once, so that all tests run only once. Each test that fails is then shown each
    change alone, until no test fails by those that are left.
    """
    found: dict[Mutation, str] = {}
    left, asked = list(changes), list(tests)
    while left and asked:
        run = trial.run(left, asked)
        if not run.failed:
            break
        test = run.failed[-1]
        guilty = [each for each in left if trial.noticing(each, [test])]
        found |= dict.fromkeys(guilty, test)
        left = [each for each in left if each not in guilty]
        if run.is_whole:
            asked = list(run.failed[:-1])
        elif not guilty:
            asked += ["--deselect", test]
    return found


def _read(notes: str, tests: Sequence[str]) -> Run:
    """Of a run that came to no end, the test that had begun, or the first asked for, has failed, too."""
    lines = [json.loads(line) for line in notes.splitlines()]
    failed = [test for what, test in lines if what == "fails"]
    is_whole = any(what == "ends" for what, _ in lines)
    if not is_whole:
        begun = [test for what, test in lines if what == "begins"]
        failed.append(begun[-1] if begun else tests[0])
    return Run(tuple(dict.fromkeys(reversed(failed)))[::-1], is_whole)


def _copy(source: Path, target: Path) -> None:
    if source.is_dir():
        shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
    else:
        shutil.copy(source, target)
