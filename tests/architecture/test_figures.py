"""The command of all measurements names what doesn't hold and what got worse."""

import json
import os
from pathlib import Path

import pytest

from tests.bench import __main__ as bench
from tests.bench.measurement import INTO, Figure, Written, figures, written


def figure(ratio: float, what: str = "first paint") -> Written:
    """A figure of which at most 1.3 is asked."""
    found = written("Start", Figure("1", what, ratio, 1.3))
    return Written({**found, "load": 0.5, "day": "2026-11-29"})


def test_a_figure_that_is_worse_by_more_than_a_fifth_is_named() -> None:
    kept = {bench.named(each): each for each in (figure(1.0), figure(1.0, "dues"))}
    worse = bench.worse([figure(1.2), figure(1.21, "dues")], kept)
    assert worse == ["WORSE: Start: dues: 1.21 (load 0.5), it was 1.00 (load 0.5, 2026-11-29)"]


def test_a_figure_that_nobody_kept_is_not_compared() -> None:
    assert bench.worse([figure(9.0)], {}) == []


def test_figures_are_written_down_as_they_are_measured(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(INTO, os.fspath(tmp_path / "figures"))
    assert figures("Start", [Figure("1", "first paint", 1.5, 1.3)]) == 1
    assert '"ratio": 1.5' in (tmp_path / "figures").read_text(encoding="utf-8")
    assert "| NO |" in capsys.readouterr().out


def test_the_kept_figures_say_how_busy_the_computer_was() -> None:
    kept = json.loads(bench.KEPT.read_text(encoding="utf-8"))
    assert kept
    for name, each in kept.items():
        assert name == bench.named(each)
        assert each.keys() == Written.__required_keys__


def test_every_measurement_that_the_command_runs_is_there() -> None:
    folder = Path(bench.__file__).parent
    assert [name for name in bench.NAMES if not (folder / f"{name}.py").exists()] == []
