"""The guard against the network catches what it is there for."""

import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.tree import ROOT
from tests.offline import NetworkUsed

SWALLOWING = """
import socket

def test_swallows():
    try:
        socket.socket({family})
    except RuntimeError:
        pass
"""


@pytest.mark.parametrize("family", [socket.AF_INET, socket.AF_INET6])
def test_a_network_socket_is_refused(no_network: list[str], family: socket.AddressFamily) -> None:
    with pytest.raises(NetworkUsed):
        socket.socket(family)
    assert no_network == ["socket.__new__"]
    no_network.clear()


def test_asking_for_an_address_is_refused(no_network: list[str]) -> None:
    with pytest.raises(NetworkUsed):
        socket.getaddrinfo("care.invalid", 80)
    no_network.clear()


def test_a_socket_within_this_computer_is_allowed() -> None:
    with socket.socket(socket.AF_UNIX) as within:
        assert within.family == socket.AF_UNIX


@pytest.mark.parametrize(("family", "status"), [("socket.AF_INET", 1), ("socket.AF_UNIX", 0)])
def test_a_swallowed_error_fails_the_test_all_the_same(tmp_path: Path, family: str, status: int) -> None:
    shutil.copy(ROOT / "tests" / "offline.py", tmp_path / "conftest.py")
    (tmp_path / "test_one.py").write_text(SWALLOWING.format(family=family), encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "."]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == status, done.stdout
    assert ("the network was asked" in done.stdout) == bool(status)
