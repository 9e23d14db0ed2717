"""Notes which test begins and which fails, so that a test that comes to no end leaves its name behind.

A plugin of pytest; the file that it writes to stands in the environment.
"""

import json
import os

import pytest

PLACE = "CARELOG_MUTATION_NOTES"
ENDED = (
    pytest.ExitCode.OK,
    pytest.ExitCode.TESTS_FAILED,
    pytest.ExitCode.INTERRUPTED,
    pytest.ExitCode.NO_TESTS_COLLECTED,
)


def pytest_runtest_logstart(nodeid: str) -> None:
    """A test begins."""
    _note("begins", nodeid)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test failed, or what it needs."""
    if report.failed:
        _note("fails", report.nodeid)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """A file of tests can't be read."""
    if report.failed:
        _note("fails", report.nodeid)


def pytest_sessionfinish(exitstatus: int) -> None:
    """The run came to its end, by itself or by a failure."""
    if exitstatus in ENDED:
        _note("ends", "")


def _note(what: str, test: str) -> None:
    with open(os.environ[PLACE], "a", encoding="utf-8") as notes:
        notes.write(json.dumps([what, test]) + "\n")
