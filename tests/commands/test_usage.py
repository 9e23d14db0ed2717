"""Wrong use is one line on standard error and status 2; no traceback, whatever happens."""

import gc
import io
import subprocess
import sys
from pathlib import Path

import pytest

from carelog import __version__, cli
from carelog.commands import table
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Command, Given
from carelog.paths import Places
from tests.journeys.household import carelog

WRONG = {
    "no such command": (["frob"], "“frob” isn't a command"),
    "no such option": (["due", "--record", "r", "--fast"], "no option --fast"),
    "a record is missing": (["due"], "--record FILE is missing"),
    "a value is missing": (["due", "--record"], "--record needs a value"),
    "an option's value is another option": (["due", "--record", "--json"], "--record needs a value"),
    "an option twice": (["due", "--record", "r", "--record=r"], "given twice"),
    "a switch with a value": (["due", "--record", "r", "--json=yes"], "takes no value"),
    "a word too many": (["due", "--record", "r", "now"], "no use for “now”"),
    "a file is missing": (["import", "--record", "r"], "carelog import FILE"),
    "a record without a name": (["--record"], "--record needs a value"),
}


@pytest.mark.parametrize(("words", "sentence"), WRONG.values(), ids=WRONG)
def test_wrong_use_is_one_sentence(words: list[str], sentence: str) -> None:
    answer = carelog(*words)
    assert (answer.status, answer.out) == (2, "")
    assert sentence in answer.err
    assert answer.err.count("\n") == 1


READERS = [
    ["due"],
    ["flags"],
    ["kit", "--json"],
    ["check"],
    ["export", "out.jsonl"],
    ["backup", "--to", "copies"],
    ["sheet", "--week", "2026-W47", "--out", "s.pdf"],
]


@pytest.mark.parametrize("words", READERS, ids=lambda words: words[0])
def test_a_missing_record_is_told_and_nothing_is_made(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    answer = carelog(*words, "--record", "none.carelog")
    assert (answer.status, answer.out) == (1, "")
    assert "There is no record “none.carelog”" in answer.err
    assert [each.name for each in tmp_path.iterdir() if each.name != "copies"] == []


def test_the_record_may_be_named_before_the_command() -> None:
    assert "There is no record “none”" in carelog("--record", "none", "check").err
    assert "given twice" in carelog("--record=none", "check", "--record", "none").err


def test_help_names_all_commands_and_options() -> None:
    overview = carelog("--help")
    assert overview.status == 0
    assert all(f"carelog {each.name}" in overview.out for each in table.COMMANDS)
    for command in table.COMMANDS:
        told = carelog(command.name, "--help")
        assert told.status == 0
        assert all(f"--{option.name}" in told.out for option in command.options)
    assert carelog("--version").out == f"carelog {__version__}\n"


def test_a_value_may_look_like_an_option_of_nobody() -> None:
    command = next(each for each in table.COMMANDS if each.name == "add")
    given = command.read(["--record", "r", "note", "--note", "-- tired --", "--", "--by"])
    assert given.options["note"] == "-- tired --"
    assert given.values == ["note", "--by"]


def around(folder: Path, answers: io.TextIOBase | None = None) -> Surroundings:
    """Surroundings of a test."""

    class Still:
        def now(self) -> int:
            return 0

        def zone(self) -> str:
            return "UTC"

    return Surroundings(
        places=Places(folder / "data", folder / "config", folder / "state"),
        clock=Still(),
        ids=lambda _now: "",
        answers=answers or io.StringIO(),  # type: ignore[arg-type]
        errors=io.StringIO(),
        lines=io.BytesIO,
        environment={},
    )


FAULTS = {
    "a defect": (ZeroDivisionError("Odette"), 1, "Something went wrong inside carelog"),
    "a full memory": (MemoryError(), 1, "more memory than"),
    "a disk": (OSError(5, "Input/output error", "some.file"), 1, "“some.file” couldn't be used"),
    "an interruption": (KeyboardInterrupt(), 130, ""),
    "a pipe that closed": (BrokenPipeError(), 1, ""),
}


@pytest.mark.parametrize(("fault", "status", "sentence"), FAULTS.values(), ids=FAULTS)
def test_whatever_is_raised_ends_in_a_sentence(
    fault: BaseException, status: int, sentence: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def run(_given: Given, _around: Surroundings) -> int:
        raise fault

    monkeypatch.setattr(table, "COMMANDS", (Command("fail", "fails", (), run),))
    monkeypatch.setattr(cli, "_let_go_of_the_pipe", lambda: None)
    here = around(tmp_path)
    assert cli.run(["fail"], here) == status
    told = here.errors.getvalue()  # type: ignore[attr-defined]
    assert sentence in told
    assert told.count("\n") == bool(sentence)
    log = tmp_path / "state" / "carelog.log"
    assert log.exists() == isinstance(fault, ZeroDivisionError)
    if log.exists():
        assert "ZeroDivisionError" in log.read_text("ascii")
        assert "Odette" not in log.read_text("ascii")


def test_garbage_is_seldom_looked_for_while_a_command_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    meanwhile: list[tuple[int, int, int]] = []

    def run(given: Given, around: Surroundings) -> int:
        meanwhile.append(gc.get_threshold())
        raise ZeroDivisionError

    monkeypatch.setattr(table, "COMMANDS", (Command("fail", "fails", (), run),))
    before = gc.get_threshold()
    assert cli.run(["fail"], around(tmp_path)) == 1
    assert meanwhile == [(cli.SELDOM, *before[1:])]
    assert gc.get_threshold() == before


def test_what_a_process_leaves_at_its_end_is_looked_through_for_nothing() -> None:
    """Nor by Python itself, which looks once more before it ends."""
    ends = (
        "import gc, sys; from carelog import main; sys.argv = ['carelog', 'kit', '--help']\n"
        "sys.exit = lambda status: print(status, gc.get_freeze_count() > 1000)\n"
        "main.script() if {script} else sys.exit(main.main(sys.argv[1:]))"
    )
    for script in (True, False):
        code = ends.format(script=script)
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        assert done.stdout.splitlines()[-1] == f"0 {script}"


def test_without_a_display_the_window_says_so(tmp_path: Path) -> None:
    here = around(tmp_path)
    assert cli.run([], here) == 1
    assert "no display" in here.errors.getvalue()  # type: ignore[attr-defined]


def test_an_answer_nobody_reads_ends_quietly() -> None:
    script = "import sys; from carelog.main import main; sys.exit(main(['--help']))"
    with subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        process.stdout.close()
        assert process.stderr is not None
        told = process.stderr.read()
        assert process.wait() in (0, 1)
    assert b"Traceback" not in told
    assert b"Exception" not in told


def test_a_terminal_that_is_not_utf_8_still_gets_its_line() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "carelog", "check", "--record", "żółć.carelog"],
        capture_output=True,
        env={"PYTHONIOENCODING": "ascii", "PATH": "", "PYTHONPATH": str(Path.cwd())},
    )
    assert done.returncode == 1
    assert done.stderr.startswith(b"carelog: ")
    assert b"Traceback" not in done.stderr
