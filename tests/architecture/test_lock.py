"""What is installed is exactly what the locks say, and the locks say nothing about where from."""

import importlib.metadata
import re
import tomllib

import pytest

import environment
from tests.architecture.tree import ROOT

LOCKS = ("run", "dev")


def plain(requirement: str) -> str:
    """The plain name of a package from a requirement or a distribution's name."""
    name = re.match(r"[\w.-]+", requirement)
    assert name is not None
    return re.sub(r"[-_.]+", "-", name[0]).lower()


def text(lock: str) -> str:
    """A lock as it lies in the tree."""
    return (ROOT / "packaging" / f"lock-{lock}.txt").read_text(encoding="utf-8")


def differences(locked: dict[str, str], installed: dict[str, str]) -> set[str]:
    """Names whose installed version isn't the locked one, or that only one side has."""
    return {name for name in locked.keys() | installed.keys() if locked.get(name) != installed.get(name)}


def test_installed_is_what_the_lock_says() -> None:
    installed = {plain(found.name): found.version for found in importlib.metadata.distributions()}
    installed.pop("carelog", None)
    assert not differences(environment.locked_versions("dev"), installed)


def test_a_difference_is_seen() -> None:
    assert differences({"a": "1", "b": "1"}, {"a": "2", "b": "1", "c": "1"}) == {"a", "c"}


def test_tests_run_on_the_versions_that_households_get() -> None:
    assert environment.locked_versions("run").items() <= environment.locked_versions("dev").items()


def test_everything_asked_for_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    run = {plain(requirement) for requirement in project["dependencies"]}
    dev = {plain(requirement) for requirement in project["optional-dependencies"]["dev"]}
    assert run <= environment.locked_versions("run").keys()
    assert run | dev <= environment.locked_versions("dev").keys()


@pytest.mark.parametrize("lock", LOCKS)
def test_every_package_has_hashes(lock: str) -> None:
    blocks = re.split(r"^(?=[\w.-]+==)", text(lock), flags=re.MULTILINE)[1:]
    assert len(blocks) == len(environment.locked_versions(lock))
    assert all("--hash=sha256:" in block for block in blocks)


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_names_no_address_and_no_folder(lock: str) -> None:
    assert not re.search(r"://|--(extra-)?index-url|--find-links|--trusted-host|(^|\s)/\w", text(lock))
