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
    return Written({**found, "load": 0.5, "nice": 0, "day": "2026-11-29"})


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


def test_the_command_runs_every_measurement_that_is_there() -> None:
    folder = Path(bench.__file__).parent
    own = ("__main__", "measurement")
    found = {each.stem for each in folder.glob("*.py") if "figures(" in each.read_text(encoding="utf-8")}
    assert found - set(own) == set(bench.NAMES)


def run_of(name: str, status: int, *found: Written, seconds: float = 60.0) -> bench.Run:
    """A measurement that ended."""
    return bench.Run(name, found, status, seconds)


def test_what_is_missed_what_failed_and_how_long_it_took_is_said() -> None:
    runs = [
        run_of("startup", 1, figure(1.4), figure(1.0, "dues")),
        run_of("press", 1),
        run_of("laptop", bench.NOT_MEASURED),
        run_of("idle", 1, figure(1.0, "idle")),
    ]
    assert bench.summary(runs, {}) == [
        "\nstartup 60 s, press 60 s, laptop 60 s, idle 60 s; 4 minutes in all",
        "3 figures: 2 hold, 1 don't.",
        "DOESN'T HOLD: Start: first paint: 1.40, asked for 1.3",
        "FAILED: press",
        "FAILED: idle",  # all its figures hold, and it says that something else doesn't
        "NOT MEASURED HERE: laptop",
    ]


def test_figures_kept_at_another_load_are_said_so() -> None:
    busy = Written({**figure(1.0), "load": 12.0})
    polite = Written({**figure(1.0, "dues"), "nice": 10})
    kept = {bench.named(each): each for each in (busy, polite, figure(1.0, "memory"))}
    lines = bench.summary([run_of("startup", 1, *map(figure, [1.3, 1.3], ["first paint", "dues"]))], kept)
    assert [line for line in lines if line.startswith("WORSE")] == [
        "WORSE: Start: first paint: 1.30 (load 0.5), it was 1.00 (load 12.0, 2026-11-29), "
        "measured at another load or niceness",
        "WORSE: Start: dues: 1.30 (load 0.5), it was 1.00 (load 0.5, 2026-11-29), "
        "measured at another load or niceness",
    ]
    assert "2 of those kept were measured at another load or niceness." in lines
    assert not bench.is_unlike(figure(1.0), figure(1.0))
