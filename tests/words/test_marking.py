"""No words for people escape translation."""

from pathlib import Path

import pytest

from tests.words.marking import unmarked

CARELOG = Path(__file__).resolve().parents[2] / "carelog"
ALLOWED: dict[str, frozenset[str]] = {
    "cli.py": frozenset({"carelog "}),  # the program's name and version
}


def test_no_text_of_the_window_or_a_command_is_unmarked() -> None:
    files = sorted(CARELOG.rglob("*.py"))
    found = [
        f"{file.relative_to(CARELOG)}:{line} {words!r}"
        for file in files
        for line, words in unmarked(file.read_text(encoding="utf-8"))
        if words not in ALLOWED.get(file.name, frozenset())
    ]
    assert len(files) > 100
    assert not found, "\n".join(["say or mark these words:", *found])


@pytest.mark.parametrize(
    "code",
    [
        "label.setText('Saved')",
        "Words('Saved at ' + time)",
        "raise Refused(f'{name} is missing')",
        "Button('Undo' if can else 'Redo', 'undo')",
        "Line('field_name', 'Name')",
        "box.setAccessibleName('Receipt')",
    ],
)
def test_an_unmarked_text_is_found(code: str) -> None:
    assert list(unmarked(code))


@pytest.mark.parametrize(
    "code",
    [
        "label.setText(say('Saved'))",
        "label.setText('')",
        "Words(f'{day} · {clock}')",
        "Button(say('Undo'), 'undo')",
        "Line('field_name', say('Name'))",
        "label.setText(f'– {say(line)}')",
        "Words(say('{count} pages').format(count=2))",
    ],
)
def test_a_marked_text_a_sign_or_a_name_is_not(code: str) -> None:
    assert not list(unmarked(code))
