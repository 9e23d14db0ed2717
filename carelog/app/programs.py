"""Programs of the operating system that make a noise or speak: which there may be, and which are here."""

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from carelog.text import mark

Which = Callable[[str], str | None]


@dataclass(frozen=True, slots=True)
class SystemProgram:
    """A program by its name, and the words that stand before what it is given."""

    name: str
    words: tuple[str, ...] = ()


PLAYERS = {
    "linux": (SystemProgram("pw-play"), SystemProgram("paplay"), SystemProgram("aplay", ("--quiet",))),
    "darwin": (SystemProgram("afplay"),),
}
"""Each plays the file that it is given last; by the system's name as Python gives it."""
VOICES = {"linux": (SystemProgram("spd-say", ("--pipe-mode",)),), "darwin": (SystemProgram("say"),)}
"""Each reads aloud what it is given as its input: other users of the computer don't see that in its words."""
COMMAND = "!-!"
"""At a line's start spd-say takes this for a command."""
NO_VOICE = mark("No voice was found on this computer.")


def here(programs: Sequence[SystemProgram], which: Which = shutil.which) -> list[list[str]]:
    """Those that are on this computer, best first, each as the words to start it with."""
    found = ((which(each.name), each.words) for each in programs)
    return [[path, *words] for path, words in found if path is not None]


def aloud(words: str) -> bytes:
    """Words as a voice is given them: one line that is never a command."""
    line = " ".join(words.split())
    return f"{line.removeprefix(COMMAND).strip()}\n".encode()
