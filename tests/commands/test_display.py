"""Whether there is a screen is asked without Qt."""

import socket
from pathlib import Path

import pytest

from carelog.commands import display


def test_no_server_is_no_display() -> None:
    assert not display.is_there({}, "linux")
    assert not display.can_open({}, "linux")


def test_a_server_that_does_not_answer_is_no_display() -> None:
    assert not display.is_there({"DISPLAY": ":98765"}, "linux")
    assert not display.is_there({"DISPLAY": "nonsense"}, "linux")


def test_a_server_that_answers_is_a_display() -> None:
    with socket.socket(socket.AF_UNIX) as server:
        server.bind("\0/tmp/.X11-unix/X98764")
        server.listen()
        assert display.is_there({"DISPLAY": ":98764.0"}, "linux")


def test_another_computers_screen_is_taken_at_its_word() -> None:
    assert display.is_there({"DISPLAY": "hospital:10.0"}, "linux")


def test_a_wayland_socket_is_a_display(tmp_path: Path) -> None:
    environment = {"WAYLAND_DISPLAY": "wayland-0", "XDG_RUNTIME_DIR": str(tmp_path)}
    assert not display.is_there(environment, "linux")
    (tmp_path / "wayland-0").touch()
    assert display.is_there(environment, "linux")


@pytest.mark.parametrize("platform", ["offscreen", "minimal", "offscreen:size=1024x600"])
def test_an_unseen_window_can_open_but_nobody_sees_it(platform: str) -> None:
    environment = {"QT_QPA_PLATFORM": platform, "DISPLAY": ""}
    assert display.can_open(environment, "linux")
    assert not display.is_there(environment, "linux")


def test_windows_and_mac_always_have_one() -> None:
    assert display.is_there({}, "win32")
    assert display.is_there({}, "darwin")
