"""What all tests share: no screen, no network, no folder of the real user, the same examples each time."""

import os
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.offline import no_network  # noqa: F401 — a fixture that every test uses
from tests.unclosed import connections_watched  # noqa: F401 — another

ROOT = Path(__file__).resolve().parent.parent
PROGRAMS: dict[str, str] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"][
    "carelog"
]["test-programs"]
LACKING = "needs these Debian packages:"

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# No deadline: a busy computer isn't a defect. Derandomized: a run that was green stays green.
settings.register_profile("usual", max_examples=40, deadline=None, derandomize=True)
settings.register_profile(
    "long", max_examples=5000, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("usual")


@pytest.fixture(autouse=True, scope="session")
def homeless(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Data, settings and logs of the tests go to a folder of their own, never to the user's."""
    home = tmp_path_factory.mktemp("home")
    with pytest.MonkeyPatch.context() as patch:
        for name in ("DATA", "CONFIG", "STATE", "CACHE"):
            patch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
        yield home


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip a test marked `display` when one of its programs isn't installed, and say which package has it."""
    for item in items:
        needed = {name for mark in item.iter_markers("display") for name in mark.args}
        lacking = {PROGRAMS[name] for name in needed if shutil.which(name) is None}
        if lacking:
            item.add_marker(pytest.mark.skip(reason=f"{LACKING} {' '.join(sorted(lacking))}"))


def pytest_unconfigure(config: pytest.Config) -> None:
    """The last line of the run says how many tests were skipped for want of which Debian packages."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or hasattr(config, "workerinput"):
        return
    reasons = [str(report.longrepr) for report in reporter.stats.get("skipped", [])]
    lacking = [reason.split(LACKING)[1].strip(" ')") for reason in reasons if LACKING in reason]
    if lacking:
        packages = " ".join(sorted({name for names in lacking for name in names.split()}))
        reporter.write_line(f"{len(lacking)} tests skipped for want of these Debian packages: {packages}")
