"""Writes small households as exchange files and asks the program's commands about them."""

import io
import json
import uuid
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from carelog.main import main

HEADING = {
    "format": "carelog-exchange",
    "version": 1,
    "person": {"id": "5f6f4e0a-9d52-4a0a-8d6c-0d1f6d0b7c11", "name": "Odette Farrow"},
    "written_at": "2026-11-23T09:00:00+00:00",
}
DAY_PLAN: dict[str, Any] = {
    "set_by": "a nurse",
    "tasks": [],
    "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}},
}
TUBE: dict[str, Any] = {"id_mm": 8, "cuff": "air", "inner_tube": "none"}


@dataclass
class Answer:
    """What a command printed and how it ended."""

    status: int
    out: str
    err: str

    def json(self) -> Any:
        """The printed JSON."""
        return json.loads(self.out)


def carelog(*argv: str) -> Answer:
    """Run the program's main with these words."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main(list(argv))
    return Answer(status, out.getvalue(), err.getvalue())


def clock(text: str) -> str:
    """A time of November 2026 in UTC, written as `day hour:minute`, such as `3 08:10`."""
    day, time = text.split()
    return f"2026-11-{int(day):02}T{time}:00+00:00"


@dataclass
class Household:
    """A made-up household in UTC, November 2026."""

    folder: Path
    lines: list[dict[str, Any]] = field(default_factory=list)

    def write(self, at: str, kind: str, known: str | None = None, **details: Any) -> str:
        """Add an entry of `at` that was written down at `known` (the same, if absent); its id."""
        more = {name[1:]: details.pop(name) for name in list(details) if name.startswith("_")}
        identity = str(uuid.UUID(int=len(self.lines) + 1))
        recorded = clock(known or at)
        entry = {"id": identity, "kind": kind, "at": clock(at), "recorded_at": recorded, "details": details}
        self.lines.append({**entry, **more})
        return identity

    def change(self, target: str, known: str, details: dict[str, Any] | None, at: str | None = None) -> str:
        """Amend an entry, or with details None withdraw it."""
        old = next(each for each in self.lines if each["id"] == target)
        more: dict[str, Any] = {"_amends": target, "_reason": "a slip"}
        if details is None:
            more["_withdrawn"] = True
        when = at or f"{int(old['at'][8:10])} {old['at'][11:16]}"
        return self.write(when, old["kind"], known, **(details or {}), **more)

    def record(self) -> Path:
        """Import all into a new record; its path."""
        file = self.folder / f"household-{len(self.lines)}.jsonl"
        lines = [HEADING, *self.lines]
        file.write_text("".join(json.dumps(each) + "\n" for each in lines), "utf-8")
        path = file.with_suffix(".carelog")
        path.unlink(missing_ok=True)
        answer = carelog("import", str(file), "--record", str(path))
        assert answer.status == 0, answer.err
        return path

    def flags(self, start: str, end: str, rule: str) -> list[tuple[Any, ...]]:
        """(subject, level, raised, ended, by what) of one rule's flags in a period."""
        args = ["--from", clock(start), "--to", clock(end), "--json"]
        found = carelog("flags", "--record", str(self.record()), *args)
        assert found.status == 0, found.err
        return [
            (f["subject"], f["level"], _short(f["raised_at"]), _short(f["cleared_at"]), f["cleared_by"])
            for f in found.json()
            if f["rule"] == rule
        ]

    def dues(self, at: str) -> dict[str, tuple[str | None, str]]:
        """(due at, state) of each task, by its kind."""
        found = carelog("due", "--record", str(self.record()), "--at", clock(at), "--json")
        assert found.status == 0, found.err
        return {due["kind"]: (_short(due["due_at"]), due["state"]) for due in found.json()}

    def kit(self, at: str) -> dict[str, Any]:
        """The kit's answers."""
        found = carelog("kit", "--record", str(self.record()), "--at", clock(at), "--json")
        assert found.status == 0, found.err
        answer: dict[str, Any] = found.json()
        return answer


def _short(text: str | None) -> str | None:
    if text is None:
        return None
    return f"{int(text[8:10])} {text[11:16]}" if text.startswith("2026-11") else text
