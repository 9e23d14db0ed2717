"""A user's choices: kept, private, and never in the way when the file is damaged."""

import json
import os
from pathlib import Path

import pytest

from carelog.app.settings import NIGHT, Settings, SettingsFile, WindowPlace
from carelog.domain.trouble import Trouble

CHOSEN = Settings(
    palette=NIGHT,
    text_percent=150,
    tiles=("suction", "mouth_care"),
    window=WindowPlace(10, 20, 1366, 768, True),
    recorder="LR",
    recorder_at=5,
    second_medium="abc",
    sure=98,
    logs_phrases=True,
    has_voice=True,
)


def test_choices_come_back(tmp_path: Path) -> None:
    file = SettingsFile(tmp_path / "deep" / "settings.json")
    file.write(CHOSEN)
    assert SettingsFile(file.path).read() == CHOSEN
    assert os.name != "posix" or file.path.stat().st_mode & 0o777 == 0o600


def test_without_a_file_all_stands_at_its_default(tmp_path: Path) -> None:
    assert SettingsFile(tmp_path / "none.json").read() == Settings()


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b"[" * 100_000])
def test_a_damaged_file_is_all_defaults(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "settings.json"
    path.write_bytes(content)
    assert SettingsFile(path).read() == Settings()


def test_a_value_that_cannot_be_used_falls_alone(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    odd = {
        "palette": "pink",
        "sure": 100,
        "text_percent": 900,
        "recorder": "LR",
        "window": {"x": "a", "y": 4},
        "tiles": [1, "ties"],
    }
    path.write_text(json.dumps({**odd, "new": True}), "utf-8")
    found = SettingsFile(path).read()
    assert found == Settings(recorder="LR", window=WindowPlace(y=4), tiles=("ties",))


def test_a_folder_that_takes_nothing_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    with pytest.raises(Trouble, match="couldn't be saved"):
        SettingsFile(tmp_path / "file" / "settings.json").write(Settings())
