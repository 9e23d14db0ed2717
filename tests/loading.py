"""Reads exchange files into entries without the store, for tests of what lies below it."""

import json
from pathlib import Path
from typing import Any

from carelog.domain.entry import Entry
from carelog.domain.moment import Moment

EXAMPLES = Path(__file__).parent / "examples"


def load(name: str) -> list[Entry]:
    """The entries of an example, in the order of its lines."""
    lines = (EXAMPLES / name).read_text("utf-8").splitlines()
    return [_entry(json.loads(line)) for line in lines[1:]]


def expected(name: str) -> dict[str, Any]:
    """What must be found in an example."""
    found: dict[str, Any] = json.loads((EXAMPLES / name).read_text("utf-8"))
    return found


def _entry(found: dict[str, Any]) -> Entry:
    at, recorded_at = Moment.read(found["at"]), Moment.read(found["recorded_at"]).instant
    return Entry(**{**found, "at": at, "recorded_at": recorded_at})
