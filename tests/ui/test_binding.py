"""PySide6 is imported without its long patterns, and still says what is wrong with a call."""

import re
import subprocess
import sys

import pytest

from carelog.ui.binding import LatePattern

SCRIPT = """
import re
kept, made = re.compile, []
re.compile = lambda pattern, flags=0: made.append(len(pattern)) or kept(pattern, flags)
{imported}
print(max(made))
re.compile = kept
from PySide6.QtCore import QRect
try:
    QRect("x")
except TypeError as error:
    print(error)
"""


def told(imported: str) -> list[str]:
    """What a fresh process says: the import's longest pattern, then what is wrong with a call."""
    command = [sys.executable, "-c", SCRIPT.format(imported=imported)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return done.stdout.splitlines()


def test_a_wrong_call_is_explained_as_it_is_without_us() -> None:
    longest, *explained = told("import carelog.ui")
    longest_of_all, *named = told("import PySide6.QtCore")
    assert explained == named
    assert any("topleft" in line for line in named)
    assert int(longest) < 1000
    assert int(longest_of_all) > 1000  # the control: there is something to be spared


def test_a_pattern_is_compiled_when_something_is_looked_for() -> None:
    asked: list[str] = []

    def compiled() -> "re.Pattern[str]":
        asked.append("compiled")
        return re.compile(r"\d+")

    late = LatePattern(compiled)
    find = late.findall
    assert asked == []
    assert find("1 and 22") == ["1", "22"]
    assert asked == ["compiled"]
    with pytest.raises(AttributeError):
        late.no_such_method("x")
