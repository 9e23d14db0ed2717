"""What no screen, sheet or file of the project ever says."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalogue import help_sayings, sayings

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("carelog", "packaging", "resources", "tests", ".ci")
SHOWN = [*sayings(), *help_sayings()]

REASSURES = (
    r"\ball is (?:well|fine|ok|good)\b",
    r"\beverything is (?:well|fine|ok|good|normal)\b",
    r"\bno(?:thing| need| reason)? (?:to|for) worry\b",
    r"\b(?:don['’]t|do not) worry\b",
    r"\bno problems? (?:found|today)\b",
    r"\bsafe to\b",
    r"\bhealthy\b",
    r"\bcleared\b",
    r"\ball clear\b",
)
ADVISES = (
    r"\b(?:add|put in|let out|release|remove) (?:\w+ )?air\b",
    r"\b(?:in|de)flate (?:the|it)\b",
    r"\b(?:raise|lower|increase|reduce|turn (?:up|down)) (?:the )?(?:vacuum|pressure|oxygen|suction)\b",
    r"\bgive (?:\w+ )?(?:oxygen|medicine|saline|antibiotics?)\b",
    r"\bchange the (?:outer |inner )?tube (?:now|today|at once)\b",
    r"\b(?:wait and see|you (?:can|may) wait|no need to call)\b",
    r"\byou should (?:suction|clean|change|inflate|deflate)\b",
)
PICTURES = (".ttf", ".png", ".pyc")
SLASH = "/"
OF_A_MACHINE = (
    rf"(?<![\w.]){SLASH}(?:work|root|mnt|srv){SLASH}",
    rf"{SLASH}tmp{SLASH}(?!\.X11-unix)",  # X's own socket lies there on every computer
    rf"{SLASH}home{SLASH}\w",
    r"[A-Z]:\\{1,2}Users",
)
OF_A_REGISTRY = (
    r"pythonhosted\.\w",
    r"pypi\.\w",
    r"npmjs\.\w",
    r"crates\.io",
    r"proxy\.golang",
    r"deb\.debian\.\w",
)


def files() -> Iterator[Path]:
    """Every text file of the project."""
    yield from (ROOT / name for name in ("README.md", "DEVELOPERS.md", "pyproject.toml", ".gitignore"))
    for room in ROOMS:
        for path in sorted((ROOT / room).rglob("*")):
            if path.is_file() and path.suffix not in PICTURES and "__pycache__" not in path.parts:
                yield path


def said(patterns: tuple[str, ...]) -> list[str]:
    """Shown texts in which a pattern is found, with their places."""
    return [
        f"{each.file}:{each.line} {each.words}"
        for each in SHOWN
        if any(re.search(pattern, each.words, re.IGNORECASE) for pattern in patterns)
    ]


def written(patterns: tuple[str, ...]) -> list[str]:
    """Lines of files in which a pattern is found, with their places."""
    together = re.compile("|".join(patterns))
    found = []
    for path in files():
        text = path.read_bytes().decode("utf-8", errors="replace")
        for match in together.finditer(text):
            line = text.count("\n", 0, match.start()) + 1
            found.append(f"{path.relative_to(ROOT)}:{line} {match.group()}")
    return found


def test_nothing_that_is_shown_reassures() -> None:
    assert len(SHOWN) > 1000
    assert said(REASSURES) == []


def test_nothing_that_is_shown_advises_a_treatment() -> None:
    assert said(ADVISES) == []


def test_no_file_holds_a_path_of_a_machine() -> None:
    assert len(list(files())) > 200
    assert written(OF_A_MACHINE) == []


def test_no_file_names_the_host_of_a_package_registry() -> None:
    assert written(OF_A_REGISTRY) == []


@pytest.mark.parametrize(
    ("patterns", "words"),
    [
        (REASSURES, "Nothing flagged: all is well."),
        (REASSURES, "The flag was cleared at 10:00."),
        (ADVISES, "Add some air to the cuff."),
        (ADVISES, "Reduce the vacuum."),
        (OF_A_MACHINE, f"see {SLASH}work{SLASH}notes"),
        (OF_A_MACHINE, f"{SLASH}home{SLASH}anna"),
        (OF_A_REGISTRY, "https://" + "pypi" + ".org/simple"),
    ],
)
def test_a_forbidden_text_is_found(patterns: tuple[str, ...], words: str) -> None:
    assert any(re.search(pattern, words, re.IGNORECASE) for pattern in patterns)
