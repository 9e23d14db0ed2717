"""Changes random lines of the program and lists the changes that no test notices.

usage: nice python -m tests.mutation [--lines 50] [--seed 1] [--layer domain, analysis or store] [--near]
       [--kept build/mutation.jsonl] [--patience 900]
Works in a copy. Each change is first shown alone to the tests that import the changed module, or what imports
it. What they don't notice is then shown to all tests of its layer and of those above without a window: all
such changes at once, and each test that fails is shown each of them alone. With `--near` this is left out.
A test notices a change when it fails by it, or comes to no end in so many seconds, and without it passes.

What was found is kept at once, a line a change: started again with the same `--kept` on the same sources, the
run goes on where it was stopped; a line taken out is tried again. What survives is either a gap in the tests
or a change that changes nothing; only a reader can tell. A night for 75 lines.
"""

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.mutation.changes import Mutation, chosen
from tests.mutation.near import LAYERS, all_of, nearest
from tests.mutation.trial import Trial, noticed_by_any

NEAR, ALL = "near", "all"


@dataclass
class Kept:
    """What is known of each change, in a file: by which tests it was tried and which of them noticed it."""

    file: Path

    def __post_init__(self) -> None:
        lines = self.file.read_text(encoding="utf-8").splitlines() if self.file.exists() else []
        self._known = {(each["change"], each["tests"]): each["by"] for each in map(json.loads, lines)}

    def knows(self, change: Mutation, tests: str) -> bool:
        """Whether it was tried by the nearest tests, or by all."""
        return (str(change), tests) in self._known

    def by(self, change: Mutation, tests: str) -> str | None:
        """The test among these that noticed it, if any did."""
        return self._known.get((str(change), tests))

    def keep(self, change: Mutation, tests: str, by: str | None) -> None:
        """Keep one change's outcome, and say it."""
        self._known[str(change), tests] = by
        self.file.parent.mkdir(parents=True, exist_ok=True)
        with self.file.open("a", encoding="utf-8") as file:
            line = {"change": str(change), "tests": tests, "by": by}
            file.write(json.dumps(line, ensure_ascii=False) + "\n")
        print(f"{time.strftime('%H:%M')}  {change}\n       {_word(tests, by)}", flush=True)


def _word(tests: str, by: str | None) -> str:
    if by is not None:
        return f"noticed by {by}"
    return "not noticed by the nearest tests" if tests == NEAR else "SURVIVED all tests"


def _try(found: Sequence[Mutation], kept: Kept, trial: Trial, *, is_near: bool) -> None:
    for each in found:
        if not kept.knows(each, NEAR):
            kept.keep(each, NEAR, trial.noticing(each, nearest(each.file, each.layer)))
    left = [each for each in found if not kept.by(each, NEAR) and not kept.knows(each, ALL)]
    if is_near or not left:
        return
    noticed = noticed_by_any(trial, left, all_of({each.layer for each in left}))
    for each in left:
        kept.keep(each, ALL, noticed.get(each))


def _tell(found: Sequence[Mutation], kept: Kept, *, is_near: bool) -> int:
    near = [each for each in found if kept.by(each, NEAR)]
    others = [each for each in found if not is_near and kept.by(each, ALL)]
    survivors = [each for each in found if each not in near and each not in others]
    print(f"{len(found)} changes: {len(near)} noticed by the nearest tests, {len(others)} by others", end="")
    print(f", {len(survivors)} survived{' the nearest' if is_near else ''}:")
    for each in survivors:
        print(f"  {each}\n      nearest: {', '.join(nearest(each.file, each.layer)) or 'none'}")
    if survivors and not is_near:
        print(f"all: {', '.join(all_of({each.layer for each in survivors}))}")
    return int(bool(survivors))


def main() -> int:
    """Try the changes; 1 when any survived."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--lines", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--patience", type=int, default=900)
    parser.add_argument("--layer", choices=LAYERS, action="append")
    parser.add_argument("--near", action="store_true")
    parser.add_argument("--kept", type=Path, default=Path("build/mutation.jsonl"))
    asked = parser.parse_args()
    found = chosen(asked.lines, asked.seed, asked.layer or list(LAYERS))
    kept = Kept(asked.kept)
    with tempfile.TemporaryDirectory() as room:
        _try(found, kept, Trial.begin(Path(room), asked.patience), is_near=asked.near)
    return _tell(found, kept, is_near=asked.near)


if __name__ == "__main__":
    sys.exit(main())
