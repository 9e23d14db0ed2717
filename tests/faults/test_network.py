"""The program opens no network socket and needs no network, seen from outside the process."""

import shutil
import subprocess
import sys
from collections.abc import Callable

import pytest

from tests.faults import network
from tests.faults.network import Walked


def can_watch(program: str) -> None:
    """Skip where the system forbids the watcher; where it isn't installed, the mark has said so."""
    reason = network.why_not(program)
    if reason:
        pytest.skip(reason)


@pytest.mark.display("strace")
def test_the_trace_sees_a_socket_that_a_library_opens_by_itself() -> None:
    can_watch("strace")
    assert network.traced(["-c", network.DELIBERATE]).network == 2
    assert network.traced(["-c", "import socket; socket.socket(socket.AF_UNIX)"]).sockets == {"AF_UNIX": 1}


@pytest.mark.display("unshare")
def test_a_program_that_needs_a_network_fails_in_an_empty_namespace() -> None:
    can_watch("unshare")
    if subprocess.run([sys.executable, "-c", network.CALL], stderr=subprocess.DEVNULL).returncode:
        pytest.skip("these tests run without a network already: nothing can be shown to fail for want of one")
    assert network.without_network(["-c", network.CALL]).status == 1


@pytest.mark.parametrize(
    "watch",
    [
        pytest.param(network.traced, id="trace", marks=pytest.mark.display("strace")),
        pytest.param(network.without_network, id="namespace", marks=pytest.mark.display("unshare")),
    ],
)
def test_a_window_with_its_paper_drawn_opens_no_network_socket(watch: Callable[..., Walked]) -> None:
    can_watch("strace" if watch is network.traced else "unshare")
    with network.journey(is_short=True) as words:
        done = watch(words)
    assert done.is_done, done
    assert done.network == 0, done


def test_a_watcher_that_isnt_there_is_said_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda _program: None)
    assert network.why_not("strace") == "strace isn't installed (Debian package: strace)"
