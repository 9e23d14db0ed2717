"""Whether the disk is encrypted is said only where the system tells."""

import os
from pathlib import Path

import pytest

from carelog.app.disk import is_encrypted

pytestmark = pytest.mark.skipif(not hasattr(os, "major"), reason="Linux's own way of telling")
ROOT, PLAIN, CRYPT = (8, 1), (8, 2), (253, 0)


@pytest.fixture
def system(tmp_path: Path) -> Path:
    """What the kernel shows: a plain partition, an encrypted one, and a volume on each."""
    devices, blocks = tmp_path / "devices", tmp_path / "block"
    blocks.mkdir()
    for name, number, uuid, beneath in (
        ("sda2", PLAIN, "", ()),
        ("dm-0", CRYPT, "CRYPT-LUKS2-0000-name", ("sda2",)),
        ("dm-1", (253, 1), "LVM-abc", ("dm-0",)),
        ("dm-2", (253, 2), "LVM-def", ("dm-0", "sda2")),
        ("dm-3", (253, 3), "LVM-ghi", ("sda2",)),
    ):
        device = devices / name
        (device / "slaves").mkdir(parents=True)
        if uuid:
            (device / "dm").mkdir()
            (device / "dm" / "uuid").write_text(f"{uuid}\n")
        for each in beneath:
            (device / "slaves" / each).symlink_to(devices / each)
        (blocks / f"{number[0]}:{number[1]}").symlink_to(device)
    return blocks


@pytest.mark.parametrize(
    ("number", "wanted"),
    [(PLAIN, False), (CRYPT, True), ((253, 1), True), ((253, 2), False), ((253, 3), False), ((0, 44), None)],
)
def test_it_is_told_by_what_lies_beneath(
    system: Path, tmp_path: Path, number: tuple[int, int], wanted: bool | None
) -> None:
    assert is_encrypted(tmp_path, system, os.makedev(*number)) is wanted


def test_a_folder_that_is_not_there_tells_nothing(system: Path, tmp_path: Path) -> None:
    assert is_encrypted(tmp_path / "none", system) is None


def test_a_ring_of_devices_ends(system: Path, tmp_path: Path) -> None:
    device = tmp_path / "devices" / "dm-1"
    (device / "slaves" / "dm-0").unlink()
    (device / "slaves" / "dm-1").symlink_to(device)
    assert is_encrypted(tmp_path, system, os.makedev(253, 1)) is None
