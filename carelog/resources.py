"""Finds fonts, icons, translations and help pages wherever the program was installed."""

import sys
from functools import cache
from pathlib import Path

from carelog.text import say

CHECKOUT_NAME = "resources"
WHEEL_NAME = "carelog_resources"  # a top-level "resources" in site-packages would belong to anybody


def find(name: str) -> Path:
    """The file or folder of this name below the resources, such as "fonts/NotoSans-Regular.ttf"."""
    found = folder() / name
    if not found.exists():
        raise FileNotFoundError(
            say("A part of the program is missing: {name}. Install it again.").format(name=name)
        )
    return found


@cache
def folder() -> Path:
    """The folder that holds all resources of the running program."""
    frozen = getattr(sys, "_MEIPASS", None)
    return locate(Path(__file__).resolve().parent, Path(frozen) if frozen else None)


def locate(package: Path, frozen: Path | None) -> Path:
    """Where resources lie for a package in this folder: frozen, installed from a wheel, or in a checkout."""
    if frozen is not None:
        return frozen / CHECKOUT_NAME
    installed = package.parent / WHEEL_NAME
    return installed if installed.is_dir() else package.parent / CHECKOUT_NAME
