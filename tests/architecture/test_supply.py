"""What is shipped is listed from the lock; we import what we asked for ourselves, and nothing else."""

import importlib.metadata
import re
import sys
import tomllib

import pytest

import environment
import supply
from tests.architecture.test_lock import plain, text
from tests.architecture.tree import ROOT, imported, modules

DECLARED = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
OWN = ("carelog", "carelog_resources")
WITH_ANOTHER = {"shiboken6": "pyside6-essentials"}  # one distribution of the same project brings it


def distributions() -> dict[str, set[str]]:
    """Which distributions bring a module of this name."""
    found = importlib.metadata.packages_distributions()
    return {module: {plain(each) for each in names} for module, names in found.items()}


def from_outside() -> set[str]:
    names = {
        name.partition(".")[0]
        for module in modules()
        for name in imported(module.read_text(encoding="utf-8"))
        if not name.startswith(".")
    }
    return {name for name in names if name not in sys.stdlib_module_names and name not in OWN}


def test_what_comes_only_through_others_is_not_imported_by_us() -> None:
    declared, bring = {plain(each) for each in DECLARED}, distributions()
    assert "reportlab" in from_outside()  # the control
    strays = {
        name
        for name in from_outside()
        if not (bring.get(name, set()) | {WITH_ANOTHER.get(name, "")}) & declared
    }
    assert strays == set()


def test_the_list_holds_everything_that_the_lock_ships_with_its_hashes_and_licences() -> None:
    found = supply.listing("1.0", text("run"))
    assert (found["bomFormat"], found["specVersion"]) == ("CycloneDX", "1.5")
    listed = {plain(each["name"]): each["version"] for each in found["components"]}
    wanted = environment.locked_versions("run")
    assert listed == {name: version for name, version in wanted.items() if name not in supply.BUILD_ONLY}
    for each in found["components"]:
        assert each["properties"], each["name"]
        assert all(re.fullmatch("[0-9a-f]{64}", one["value"]) for one in each["properties"])
        assert each["licenses"][0]["license"]["name"] not in ("", "not said"), each["name"]


def test_a_package_that_is_missing_in_the_list_would_be_seen() -> None:
    shorter = text("run").replace("segno==", "segno>=")
    assert "segno" not in {name for name, _, _ in supply.locked(shorter)}


def test_the_licences_are_those_of_all_that_is_shipped() -> None:
    found = supply.licences(text("run"))
    for name, version, _ in supply.locked(text("run")):
        assert f"{name} {version}: " in found
    assert "SIL OPEN FONT LICENSE" in found.upper()
    assert len(found) > 20_000


@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="no history")
def test_the_lock_s_age_is_known() -> None:
    from datetime import UTC, datetime

    days = supply.age(datetime.now(UTC))
    assert days is None or days >= 0
