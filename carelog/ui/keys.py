"""All keys of the window in one table; the help page of keys is made from it."""

from functools import cache
from typing import NamedTuple

from carelog.text import mark
from carelog.ui.pages import PAGES


class Key(NamedTuple):
    """One key, as Qt writes it, and what it does."""

    press: str
    does: str
    words: str
    also: tuple[str, ...] = ()
    """Other keys that do the same: where a keyboard has the sign only with Shift."""


KEYS = (
    Key("F1", "help_keys", mark("this list of keys")),
    Key("?", "meaning", mark("what the words mean where you are"), ("Shift+F1", "Shift+?")),
    Key("F2", "emergency", mark("the emergency page, from anywhere")),
    Key("F3", "night", mark("night or day")),
    Key("F4", "cover", mark("cover the screen, and uncover it")),
    Key("F6", "receipt", mark("the quick choices of the entry just saved")),
    Key("F7", "scanning", mark("begin to scan with a switch, stop, or go on")),
    Key("F8", "read_flags", mark("read the two newest flags aloud")),
    Key("F12", "call", mark("call somebody, from anywhere")),
    Key("Esc", "back", mark("back to the list or to the board; what was typed is kept")),
    Key("Alt+Left", "page_before", mark("the page before")),
    Key("Ctrl+F", "find", mark("look for words in the days")),
    Key("Ctrl+P", "print", mark("print the sheet, or the emergency page when it is open")),
    Key("Ctrl+Z", "undo", mark("on the board: undo this window's last act")),
    Key("Ctrl+Shift+Z", "redo", mark("on the board: redo it")),
    Key("Ctrl++", "larger", mark("larger text"), ("Ctrl+=", "Ctrl+Shift++", "Ctrl+Shift+=")),
    Key("Ctrl+-", "smaller", mark("smaller text")),
    *(
        Key(page.key, page.name, page.key_words)
        for page in sorted(PAGES, key=lambda each: each.key)
        if page.key
    ),
)
TILE_KEYS = "1234567890-="
"""On the board, the key of the first tile, the second, and so on."""


@cache
def does_by_key() -> dict[str, str]:
    """What each key does, by the key as Qt writes it."""
    return {press: key.does for key in KEYS for press in (key.press, *key.also)}
