"""What a command finds around it: folders, clock, ids, and the three streams."""

import contextlib
import io
import json
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, BinaryIO, NamedTuple, TextIO

if TYPE_CHECKING:
    from carelog.app.ports import Clock, Ids
    from carelog.app.reckoning import Reckoning
    from carelog.domain.entry import Entry, Json
    from carelog.domain.moment import Instant
    from carelog.paths import Places

_TURNING = (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
"""Where a terminal knows the directions of writing, these turn the rest of a line round."""
_OBEYED = [code for code in (*range(32), *range(127, 160), *_TURNING) if chr(code) not in "\t\n"]
_SHOWN = {code: f"[U+{code:04X}]" for code in _OBEYED}
"""A terminal obeys these characters; in what somebody once typed or sent they stand as their numbers."""
_LONGEST = 4096  # bytes of a line that somebody types
_ESCAPED = {code: f"\\u{code:04x}" for code in _OBEYED}


class Surroundings(NamedTuple):
    """The real parts for a command, or a test's own."""

    places: "Places"
    clock: "Clock"
    ids: "Ids"
    answers: TextIO
    errors: TextIO
    lines: Callable[[], BinaryIO]
    environment: Mapping[str, str]
    platform: str = sys.platform
    reckoning: "Reckoning | None" = None
    """The clock, where it can be told to be wrong; None: it is taken as it is."""
    ask: Callable[[str], str] | None = None
    """Asks the person at a terminal for a line; None: nobody sits at one."""

    def first_line(self) -> str:
        """One line from standard input."""
        return self.lines().readline(_LONGEST).decode("utf-8", "replace").strip()

    def say(self, text: str) -> None:
        """One line of the answer."""
        self.answers.write(f"{text.translate(_SHOWN)}\n")

    def say_saved(self, text: str) -> bool:
        """One line about what is saved by now, out of our hands; False when nobody takes it any more.

        That is no failure of the job: who is told of one would do it again, and it would be there twice.
        """
        try:
            self.say(text)
            self.answers.flush()
        except OSError:
            self._let_go_of_answers()
            return False
        return True

    def _let_go_of_answers(self) -> None:
        """What can't be written is tried no more, not even at exit."""
        with contextlib.suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.answers.fileno())
            os.close(nowhere)

    def say_json(self, value: "Json") -> None:
        """A value as one line of JSON, in plain ASCII where the stream isn't UTF-8."""
        is_utf8 = (self.answers.encoding or "utf-8").lower().replace("-", "") in ("utf8", "utf8sig")
        text = json.dumps(value, ensure_ascii=not is_utf8, allow_nan=False)
        self.say(text.translate(_ESCAPED))

    def reached(self) -> "Instant":
        """Now, for a command that only reads: a clock set back hides nothing that was written here."""
        return self.clock.now() if self.reckoning is None else self.reckoning.reached()

    def witness(self, entries: "Sequence[Entry]") -> None:
        """Entries were saved by this command: they say how far the time has come."""
        if self.reckoning is not None:
            self.reckoning.witness(entries)

    def warn(self, sentence: str) -> None:
        """One line on standard error."""
        self.errors.write(f"carelog: {' '.join(sentence.split()).translate(_SHOWN)}\n")
        self.errors.flush()


def _nowhere() -> TextIO:
    """Where a program without a terminal, or with a closed stream, writes to."""
    return open(os.devnull, "w", encoding="utf-8")


def _asker() -> Callable[[str], str] | None:
    """The person at the terminal, if both streams are one."""
    if not (sys.stdin and sys.stdout and sys.stdin.isatty() and sys.stdout.isatty()):
        return None

    def ask(words: str) -> str:
        sys.stdout.write(words)
        sys.stdout.flush()
        return sys.stdin.readline(_LONGEST).strip()

    return ask


def real_surroundings() -> Surroundings:
    """This process's own, for this user on this computer."""
    from carelog.app.clock import SystemClock, new_ids
    from carelog.app.reckoning import Reckoning, this_boot
    from carelog.paths import default_places

    for stream in (sys.stdout, sys.stderr):
        # A terminal that isn't UTF-8, or a file name that isn't, still gets its line.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    places = default_places()
    reckoning = Reckoning(SystemClock(), places.clock, boot=this_boot())
    return Surroundings(
        places=places,
        clock=reckoning,
        ids=new_ids,
        answers=sys.stdout or _nowhere(),
        errors=sys.stderr or _nowhere(),
        lines=lambda: sys.stdin.buffer if sys.stdin else io.BytesIO(),
        environment=os.environ,
        reckoning=reckoning,
        ask=_asker(),
    )
