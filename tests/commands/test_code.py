"""`carelog code`, and copies that are encrypted once a code was made."""

import io
import os
import stat
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from carelog import cli
from carelog.commands.surroundings import real_surroundings
from tests.journeys.household import Answer, Household, carelog

PLANTED = "a planted word"


@dataclass
class Computer:
    """A computer with folders of its own; others know nothing of its keys."""

    folder: Path
    patch: pytest.MonkeyPatch

    def run(self, *words: str, typed: str = "") -> Answer:
        for name in ("DATA", "CONFIG", "STATE", "CACHE"):
            self.patch.setenv(f"XDG_{name}_HOME", str(self.folder / name.lower()))
        self.patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(typed.encode())))
        return carelog(*words)

    @property
    def key(self) -> Path:
        return self.folder / "config" / "carelog" / "household.key"

    def new_code(self) -> str:
        answer = self.run("code", "--new")
        assert answer.status == 0, answer.err
        return answer.out.splitlines()[-1]

    def backup(self, record: Path, *more: str) -> Path:
        answer = self.run("backup", "--record", str(record), "--to", str(self.folder / "stick"), *more)
        assert answer.status == 0, answer.err
        return Path(answer.out.splitlines()[-1])


@pytest.fixture
def record(tmp_path: Path) -> Path:
    home = Household(tmp_path)
    home.write("1 08:00", "person", name="Odette Farrow", home_zone="Europe/London")
    home.write("2 08:00", "suction", colour="white", _note=PLANTED)
    return home.record()


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Computer:
    return Computer(tmp_path / "here", monkeypatch)


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Computer:
    return Computer(tmp_path / "elsewhere", monkeypatch)


def test_without_a_code_copies_are_plain_and_that_is_said(record: Path, here: Computer) -> None:
    assert "aren't encrypted" in here.run("code").out
    copy = here.backup(record)
    assert copy.suffix == ".carelog"
    assert PLANTED.encode() in copy.read_bytes()


def test_a_code_stands_alone_on_the_last_line_and_switches_encryption_on(
    record: Path, here: Computer
) -> None:
    code = here.new_code()
    assert [len(group) for group in code.split("-")] == [5] * 6
    assert "are encrypted, since 20" in here.run("code").out
    copy = here.backup(record)
    content = copy.read_bytes()
    assert PLANTED.encode() not in content
    assert b"Odette" not in content
    assert b"SQLite" not in content
    assert "Odette" not in copy.name
    assert stat.S_IMODE(here.key.stat().st_mode) == 0o600
    assert stat.S_IMODE(here.key.parent.stat().st_mode) == 0o700
    assert code.replace("-", "") not in here.key.read_text()


def test_a_copy_may_be_plain_by_choice(record: Path, here: Computer) -> None:
    here.new_code()
    assert PLANTED.encode() in here.backup(record, "--plain").read_bytes()


def test_at_home_a_copy_comes_back_without_the_code(record: Path, here: Computer, tmp_path: Path) -> None:
    here.new_code()
    back = tmp_path / "back.carelog"
    answer = here.run("restore", str(here.backup(record)), "--record", str(back))
    assert answer.status == 0, answer.err
    said = answer.out.splitlines()
    assert "is the record of Odette Farrow: 2 entries, up to 2026-11-02 08:00" in said[0]
    assert "2 entries are back" in said[1]
    assert same(record, back, tmp_path)


def test_anywhere_else_the_code_alone_brings_it_back(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    code = here.new_code()
    copy = here.backup(record)
    back = tmp_path / "back.carelog"
    words = ["restore", str(copy), "--record", str(back)]
    refused = elsewhere.run(*words)
    assert refused.status == 1
    assert "This computer has no key for it. The recovery code opens it" in refused.err
    assert not back.exists()
    assert elsewhere.run(*words, "--code", code).status == 0
    assert same(record, back, tmp_path)
    again = tmp_path / "again.carelog"
    answer = elsewhere.run("restore", str(copy), "--record", str(again), "--code", "-", typed=code.lower())
    assert answer.status == 0


def test_a_slip_in_the_code_is_told_by_its_group_and_another_s_code_is_told_as_such(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    code = here.new_code()
    copy, back = here.backup(record), tmp_path / "back.carelog"
    slip = code[:13] + ("2" if code[13] != "2" else "3") + code[14:]
    words = ["restore", str(copy), "--record", str(back), "--code"]
    assert "in group 3." in elsewhere.run(*words, slip).err
    other = elsewhere.new_code()
    assert "typed without a mistake, but it doesn't open" in elsewhere.run(*words, other).err
    assert not back.exists()


def test_a_copy_of_another_household_is_told_as_such(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    here.new_code()
    elsewhere.new_code()
    answer = elsewhere.run("restore", str(here.backup(record)), "--record", str(tmp_path / "back.carelog"))
    assert answer.status == 1
    assert "another household's" in answer.err


def test_a_new_code_leaves_old_copies_to_the_old_one_and_opens_all_at_home(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    first = here.new_code()
    old = here.backup(record)
    second = here.new_code()
    new = here.backup(record)
    wanted = [(old, first, 0), (old, second, 1), (new, first, 1), (new, second, 0)]
    for number, (copy, code, status) in enumerate(wanted):
        back = tmp_path / f"{number}.carelog"
        assert elsewhere.run("restore", str(copy), "--record", str(back), "--code", code).status == status
    for number, copy in enumerate((old, new)):
        back = tmp_path / f"home-{number}.carelog"
        assert here.run("restore", str(copy), "--record", str(back)).status == 0


def test_a_second_computer_takes_the_code_in_once_and_both_open_each_other_s_copies(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    code = here.new_code()
    assert elsewhere.run("code", "--enter", "-", typed=code).status == 0
    theirs, ours = elsewhere.backup(record), here.backup(record)
    assert theirs.name.endswith(".sealed")
    assert here.run("restore", str(theirs), "--record", str(tmp_path / "1.carelog")).status == 0
    assert elsewhere.run("restore", str(ours), "--record", str(tmp_path / "2.carelog")).status == 0
    # The household's key came with that copy: a later code needn't be typed in again.
    here.new_code()
    later = here.backup(record)
    assert elsewhere.run("restore", str(later), "--record", str(tmp_path / "3.carelog")).status == 0


def test_a_mistyped_code_is_not_taken_in(here: Computer, elsewhere: Computer) -> None:
    code = here.new_code()
    answer = elsewhere.run("code", "--enter", code[:-1] + ("7" if code[-1] != "7" else "8"))
    assert answer.status == 1
    assert "in group 6." in answer.err
    assert not elsewhere.key.exists()


def test_a_key_file_that_cannot_be_read_is_never_written_over(record: Path, here: Computer) -> None:
    here.new_code()
    here.key.write_text("{}")
    for words in (["code", "--new"], ["backup", "--record", str(record), "--to", str(record.parent / "to")]):
        answer = here.run(*words)
        assert answer.status == 1
        assert "can't be read" in answer.err
    assert here.key.read_text() == "{}"


def test_nothing_plain_is_left_in_any_shared_folder(
    record: Path, here: Computer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shared = tmp_path / "shared"
    shared.mkdir()
    monkeypatch.setenv("TMPDIR", str(shared))
    monkeypatch.setattr("tempfile.tempdir", None)
    here.new_code()
    here.run("restore", str(here.backup(record)), "--record", str(tmp_path / "back.carelog"))
    assert os.listdir(shared) == []
    scratch = here.folder / "state" / "carelog" / "scratch"
    assert stat.S_IMODE(scratch.stat().st_mode) == 0o700
    assert list(scratch.iterdir()) == []
    planted = [
        file for file in here.folder.rglob("*") if file.is_file() and PLANTED.encode() in file.read_bytes()
    ]
    assert planted == []


# At a terminal --------------------------------------------------------------------------------------


def at_a_terminal(here: Computer, answers: list[str], *words: str) -> tuple[int, list[str], str]:
    """A command whose questions are answered from a list; the last answer None types the code back."""
    here.run("code")
    out, err = io.StringIO(), io.StringIO()

    def ask(_words: str) -> str:
        given = answers.pop(0)
        return out.getvalue().splitlines()[-1] if given == "the code" else given

    around = real_surroundings()._replace(answers=out, errors=err, ask=ask)
    return cli.run(words, around), out.getvalue().splitlines(), err.getvalue()


def test_at_a_terminal_it_is_switched_on_only_once_the_code_was_typed_back(here: Computer) -> None:
    status, _, err = at_a_terminal(here, ["ABC", "", "nothing"], "code", "--new")
    assert status == 1
    assert "Nothing was changed" in err
    assert not here.key.exists()
    status, said, _ = at_a_terminal(here, ["ABC", "the code"], "code", "--new")
    assert status == 0
    assert len(said[-1].split("-")) == 6
    assert here.key.exists()


def test_at_a_terminal_the_code_is_asked_for_where_it_is_needed(
    record: Path, here: Computer, elsewhere: Computer, tmp_path: Path
) -> None:
    code = here.new_code()
    copy = here.backup(record)
    back = tmp_path / "back.carelog"
    status, _, err = at_a_terminal(elsewhere, [code], "restore", str(copy), "--record", str(back))
    assert (status, err) == (0, "")
    home = tmp_path / "home.carelog"
    assert at_a_terminal(here, [], "restore", str(copy), "--record", str(home))[0] == 0


def same(one: Path, other: Path, folder: Path) -> bool:
    """Whether two records export the same lines."""
    found = []
    for number, path in enumerate((one, other)):
        file = folder / f"same-{number}.jsonl"
        assert carelog("export", str(file), "--record", str(path)).status == 0
        found.append(file.read_bytes().splitlines()[1:])
    return found[0] == found[1]


def test_who_never_made_a_code_imports_nothing_that_encrypts(record: Path, tmp_path: Path) -> None:
    program = (
        "import sys; from carelog.main import main; "
        "assert main(sys.argv[1:]) == 0; assert 'cryptography' not in sys.modules"
    )
    for words in (
        ["backup", "--record", str(record), "--to", str(tmp_path / "to")],
        ["export", str(tmp_path / "out.jsonl"), "--record", str(record)],
        ["import", str(tmp_path / "out.jsonl"), "--record", str(tmp_path / "new.carelog")],
        ["restore", str(record), "--record", str(tmp_path / "back.carelog")],
    ):
        done = subprocess.run([sys.executable, "-c", program, *words], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
