"""Whether there is a screen to open a window on, asked without Qt."""

from collections.abc import Mapping
from pathlib import Path

_UNSEEN = ("offscreen", "minimal")
_NEEDS_SERVER = ("", "xcb", "wayland", "wayland-egl")


def is_there(environment: Mapping[str, str], platform: str) -> bool:
    """Whether somebody could see a window."""
    return _platform(environment) not in _UNSEEN and can_open(environment, platform)


def can_open(environment: Mapping[str, str], platform: str) -> bool:
    """Whether Qt could open a window at all, seen or unseen; without a server it would end the process."""
    if platform in ("win32", "darwin") or _platform(environment) not in _NEEDS_SERVER:
        return True
    return _has_wayland(environment) or _has_x(environment.get("DISPLAY", ""))


def _platform(environment: Mapping[str, str]) -> str:
    return environment.get("QT_QPA_PLATFORM", "").partition(":")[0].partition(";")[0]


def _has_wayland(environment: Mapping[str, str]) -> bool:
    name = environment.get("WAYLAND_DISPLAY", "")
    return bool(name) and Path(environment.get("XDG_RUNTIME_DIR", ""), name).exists()


def _has_x(display: str) -> bool:
    host, colon, number = display.rpartition(":")
    number = number.partition(".")[0]
    if not colon or not number.isdigit():
        return False
    if host not in ("", "unix"):
        return True  # another computer's screen: only trying would tell
    return any(_answers(prefix + f"/tmp/.X11-unix/X{number}") for prefix in ("", "\0"))


def _answers(address: str) -> bool:
    import socket  # which no other system needs, nor a window that nobody sees

    with socket.socket(socket.AF_UNIX) as end:
        try:
            end.connect(address)
        except OSError:
            return False
    return True
