"""What one user of one computer has chosen; never part of the record."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from carelog import paths
from carelog.domain.sure import SURE
from carelog.domain.trouble import Trouble
from carelog.text import say

if TYPE_CHECKING:
    from carelog.domain.entry import Json

VERSION = 1  # of the settings' file
BY_ITSELF = ""  # the palette: night in the plan's quiet hours, else day
DAY = "day"
NIGHT = "night"
CONTRAST_LIGHT = "contrast_light"
CONTRAST_DARK = "contrast_dark"
CONTRASTS = ("", CONTRAST_LIGHT, CONTRAST_DARK)
PALETTES = (BY_ITSELF, DAY, NIGHT, CONTRAST_LIGHT, CONTRAST_DARK)
AS_COMPUTER = 0  # the text size: what this computer's own letters ask for
LARGEST_TEXT = 300  # per cent
LONGEST = 10_000  # ms, of what a switch or a pointer waits for
RANGES = {
    "text_percent": (100, LARGEST_TEXT),
    "reading_minutes": (1, 24 * 60),
    "scan_pace": (300, LONGEST),
    "scan_pause": (0, LONGEST),
    "scan_hold": (0, LONGEST),
    "scan_bounce": (0, LONGEST),
    "dwell": (300, LONGEST),
}
"""Least and most of a number; its default counts besides."""
LISTS = ("tiles", "course_rows", "basics_aside", "basics_taken")


class WindowPlace(NamedTuple):
    """Where the window was, in the screen's pixels."""

    x: int = 0
    y: int = 0
    width: int = 1024
    height: int = 600
    is_maximized: bool = False


class Settings(NamedTuple):
    """The choices; each default is what a first start uses."""

    palette: str = BY_ITSELF
    night: str = "22:00 07:00"  # the quiet hours when the record was last open: a window begins in their look
    contrast: str = ""  # the palette of high contrast that this computer asked for then; empty: for none
    text_percent: int = AS_COMPUTER  # 100 to 300, or no smaller than the computer's own letters
    tiles: tuple[str, ...] = ()  # object names without “tile_”, in their order; empty: the usual ones
    window: WindowPlace = WindowPlace()
    recorder: str = ""  # initials last chosen
    recorder_at: int = 0  # instant of the last press, for “LR?” after 8 hours
    record: str = ""  # the file last opened; empty: the one in the data folder
    second_medium: str = ""  # id written on the medium that the household chose
    outside_up_to: int = 0  # what the last copy on the second medium holds is recorded up to here; 0: none
    outside: str = ""  # whether that medium is outside this computer: “yes”, “no”, “unknown”
    copy_trouble: str = ""  # why the last copy failed, until one succeeds
    drilled_at: int = 0  # instant of the last restore drill; 0: none
    drilled: str = ""  # how it went, in one line
    oldest_tried_at: int = 0  # instant of the last drill with the oldest copy; 0: none
    oldest_tried: str = ""  # how that went, in one line
    has_plain_copies: bool = False  # whether copies on the second medium stay plain though a code was made
    reading_code: str = ""  # what is kept of the code of the lock for reading; empty: there is no lock
    reading_minutes: int = 15  # away, after which it is asked for
    has_sound: bool = True
    has_tile_keys: bool = True  # whether a single key presses a tile (WCAG 2.2, criterion 2.1.4)
    hides_name: bool = False  # whether titles of windows and PDFs leave the person's name out
    logs_phrases: bool = False  # whether a card that is shown is written down
    has_voice: bool = False  # whether cards are read aloud by the computer's own voice
    asks_registrations: bool = True  # whether the kit's page asks for registrations that nobody recorded
    rules_seen: str = ""  # day of the newest rules that somebody here has read of; empty: a first start
    course_days: int = 28  # how long a course is shown, in days; one of those that the page offers
    course_rows: tuple[
        str, ...
    ] = ()  # the rows of the course that are drawn, in order; empty: the usual ones
    sure: int = 95  # in so many of 100 the stock is to outlast a delivery; one of `SURE`
    has_scanning: bool = False
    scan_switch: str = "key 32"  # chooses: a key or mouse button by its number; 32 is Space
    scan_second: str = ""  # moves the ring on; empty: it moves by itself
    scan_pace: int = 2000  # ms at each stop
    scan_pause: int = 1000  # ms after a choice, in which nothing moves and no press counts
    scan_hold: int = 0  # ms that the switch is held until it counts
    scan_bounce: int = 300  # ms after a press in which another one doesn't count
    dwell: int = 0  # ms of a resting pointer that press what it is on; 0: it never does
    basics_aside: tuple[str, ...] = ()  # basics put aside for good, as “id of the person/question”
    basics_taken: tuple[str, ...] = ()  # lines of plans' notes, as “id of the person/question/line”
    language: str = ""  # as in “de”; empty: the system's own, where there is a translation


class SettingsFile:
    """The settings as one JSON file, only this user's, replaced as a whole."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> Settings:
        """The settings; what is missing or can't be used stands at its default."""
        return _settings(self._found())

    def _found(self) -> "dict[str, Json]":
        try:
            found = json.loads(paths.read_kept(self.path, is_followed=True))
        except (OSError, ValueError, RecursionError):
            return {}
        return found if isinstance(found, dict) else {}

    def _unknown(self) -> "dict[str, Json]":
        """What a newer carelog has written and this one doesn't know; kept as it is, with its version."""
        found = self._found()
        version = found.pop("version", VERSION)
        kept = {name: found[name] for name in found.keys() - {*Settings._fields}}
        is_newer = type(version) is int and version > VERSION
        return kept | ({"version": version} if is_newer else {})

    def write(self, settings: Settings) -> None:
        """Replace the file; `Trouble` when the disk doesn't take it."""
        try:
            paths.make_private(self.path.parent)
            window = settings.window._asdict()
            written = {"version": VERSION, **settings._asdict(), "window": window, **self._unknown()}
            paths.replace_private(self.path, json.dumps(written, indent=1).encode())
        except OSError as error:
            raise Trouble(
                say("The settings couldn't be saved: {cause}.").format(cause=error.strerror)
            ) from error


def _settings(found: "Mapping[str, Json]") -> Settings:
    usable: dict[str, Any] = {}
    defaults = Settings()._asdict()
    for name, default in defaults.items():
        value = found.get(name)
        if name in LISTS and isinstance(value, list):
            usable[name] = tuple(each for each in value if isinstance(each, str))
        elif name == "window" and isinstance(value, dict):
            usable["window"] = _place(value)
        elif type(value) is type(default):
            usable[name] = value
    for name, (least, most) in RANGES.items():
        if name in usable and usable[name] != defaults[name] and not least <= usable[name] <= most:
            del usable[name]
    if usable.get("palette", BY_ITSELF) not in PALETTES:
        del usable["palette"]
    if usable.get("contrast", "") not in CONTRASTS:
        del usable["contrast"]
    if usable.get("sure", SURE[0]) not in SURE:
        del usable["sure"]
    return Settings(**usable)


def _place(found: "Mapping[str, Json]") -> WindowPlace:
    usual = WindowPlace()._asdict().items()
    return WindowPlace(**{name: found[name] for name, each in usual if type(found.get(name)) is type(each)})
