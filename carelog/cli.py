"""The command line: finds the command, runs it, and turns whatever goes wrong into one line."""

import contextlib
import gc
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from carelog import __version__, resources, text
from carelog.commands.surroundings import Surroundings, real_surroundings
from carelog.domain.trouble import Trouble, WrongUse
from carelog.text import say

if TYPE_CHECKING:
    from carelog.commands.usage import Command, Given

DONE, FAILED, WRONG, INTERRUPTED = 0, 1, 2, 130
SELDOM = 50_000
"""So many more things made than let go of before a command looks for garbage; Python's own number is 700."""


def run(argv: Sequence[str], surroundings: Surroundings | None = None, *, is_last: bool = False) -> int:
    """Run one command line; never a traceback: a sentence on standard error and the exit status.

    `is_last`: the process ends with it.
    """
    around = surroundings or real_surroundings()
    try:
        status = _told(around, lambda: _run(argv, around, is_last=is_last))
        around.answers.flush()
    except BrokenPipeError:
        _let_go_of_the_pipe()
        return FAILED
    return status


def _run(argv: Sequence[str], around: Surroundings, *, is_last: bool) -> int:
    words = list(argv)
    _choose_language(around)
    record = _leading_record(words)
    if words and words[0] in ("--help", "-h", "help"):
        around.answers.write(_overview())
        return DONE
    if words and words[0] == "--version":
        around.say(f"carelog {__version__}")
        return DONE
    if not words:
        from carelog.commands.window import open_window

        return open_window(record, around)
    with _looking_seldom_for_garbage(is_last=is_last):
        return _sub_command(words, record, around)


@contextlib.contextmanager
def _looking_seldom_for_garbage(*, is_last: bool) -> Iterator[None]:
    """A command soon ends, and most of what it makes lasts until then: each look goes through all of it.

    Where the process ends with the command, nobody looks through that once more.
    """
    before = gc.get_threshold()
    gc.set_threshold(SELDOM, *before[1:])
    try:
        yield
    finally:
        if is_last:
            gc.freeze()
        else:
            gc.set_threshold(*before)


def _choose_language(around: Surroundings) -> None:
    """The language that the settings name, else the system's own, where there is a translation."""
    from carelog.app.settings import SettingsFile

    language = SettingsFile(around.places.settings).read().language
    text.choose(resources.folder() / "translations", [language] if language else ())


def _leading_record(words: list[str]) -> str | None:
    """The record named before the sub-command, taken out of the words."""
    if not words or words[0].partition("=")[0] != "--record":
        return None
    first = words.pop(0)
    if "=" in first:
        return first.partition("=")[2]
    if not words:
        raise WrongUse(say("--record needs a value: {value}.").format(value="FILE"))
    return words.pop(0)


def _sub_command(words: list[str], record: str | None, around: Surroundings) -> int:
    from carelog.commands.table import COMMANDS  # which the window does without

    command = next((each for each in COMMANDS if each.name == words[0]), None)
    if command is None:
        names = ", ".join(each.name for each in COMMANDS)
        raise WrongUse(say("“{word}” isn't a command; there are {names}.").format(word=words[0], names=names))
    if "--help" in words[1:]:
        around.answers.write(command.help())
        return DONE
    given = _given(command, words[1:], record)
    _warn_of_the_clock(around, takes_entries=command.name == "add")
    return command.run(given, around)


def _warn_of_the_clock(around: Surroundings, *, takes_entries: bool) -> None:
    doubt = around.reckoning.doubt() if around.reckoning is not None else None
    if doubt is not None:
        from carelog.app.doubt import sentence, taken

        zone = around.clock.zone()
        around.warn(" ".join([sentence(doubt, zone), *([taken(doubt, zone)] if takes_entries else [])]))


def _given(command: "Command", words: list[str], record: str | None) -> "Given":
    return command.read(words if record is None else [f"--record={record}", *words])


def _overview() -> str:
    from carelog.commands.table import COMMANDS

    lines = [
        say("carelog keeps a care record for a person with a tracheostomy. It records and reminds. It is no"),
        say("monitor and no alarm. It never says which treatment to choose."),
        "",
        f"  {'carelog [--record FILE]':24} {say('opens the window')}",
    ]
    lines += [f"  {f'carelog {each.name}':24} {say(each.about)}" for each in COMMANDS]
    return "\n".join([*lines, "", say("carelog COMMAND --help says more about one of them."), ""])


def _told(around: Surroundings, job: Callable[[], int]) -> int:
    try:
        return job()
    except WrongUse as error:
        around.warn(error.sentence)
        return WRONG
    except Trouble as error:
        around.warn(error.sentence)
        return FAILED
    except BrokenPipeError:
        raise
    except KeyboardInterrupt:
        return INTERRUPTED
    except MemoryError:
        around.warn(say("That needs more memory than this computer has free. Nothing was changed."))
        return FAILED
    except OSError as error:
        file = error.filename or say("a file")
        around.warn(
            say("“{file}” couldn't be used: {cause}.").format(file=file, cause=error.strerror or error)
        )
        return FAILED
    except Exception as error:
        from carelog.app.faults import FaultLog

        log = FaultLog(around.places.log, around.clock)
        log.note(error)
        around.warn(log.sentence())
        return FAILED


def _let_go_of_the_pipe() -> None:
    # Whoever read the answer has gone: nothing more is written, not even at exit.
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
