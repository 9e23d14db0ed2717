"""All commands with their options; what a command does is imported when it is called."""

from collections.abc import Callable
from importlib import import_module

from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Command, CommandOption, Given
from carelog.text import mark

RECORD = CommandOption("record", "FILE", mark("the record (.carelog)"), required=True)
AT = CommandOption("at", "T", mark("as at this time; now if not given"))
JSON = CommandOption("json", "", mark("answer as JSON"))
PLAN = CommandOption("plan", "FILE", mark("what would these details of a plan have meant?"))
FROM = CommandOption("from", "T", mark("from this time on"))
TO = CommandOption("to", "T", mark("before this time"))
CODE = CommandOption("code", "CODE", mark("the code that opens the copy; - reads it from standard input"))


def _later(module: str, name: str) -> Callable[[Given, Surroundings], int]:
    def run(given: Given, around: Surroundings) -> int:
        status: int = getattr(import_module(f"carelog.commands.{module}"), name)(given, around)
        return status

    return run


COMMANDS: tuple[Command, ...] = (
    Command(
        "demo",
        mark("makes a made-up household's record and the last week's sheet, then opens the window"),
        (
            CommandOption("record", "FILE", mark("where; demo.carelog in the data folder if not given")),
            CommandOption("out", "DIR", mark("the folder for the sheet; the current one if not given")),
            CommandOption("until", "T", mark("when the made-up days end; now if not given")),
        ),
        _later("household", "demo"),
    ),
    Command(
        "import",
        mark("adds an exchange file to a record"),
        (
            RECORD,
            CODE,
            CommandOption("passphrase", "WORDS", mark("opens the file; - reads them from standard input")),
        ),
        _later("transfer", "bring_in"),
        least=1,
        most=1,
        values="FILE",
    ),
    Command(
        "export",
        mark("writes a record, or the entries of a period"),
        (
            RECORD,
            CommandOption("as", "FORM", mark("its form; a wrong one lists them")),
            FROM,
            TO,
            CommandOption("no-bom", "", mark("csv without the sign for UTF-8 at its start")),
            CommandOption("passphrase", "WORDS", mark("encrypts the file; - reads them from standard input")),
        ),
        _later("transfer", "export"),
        least=1,
        most=1,
        values="OUT",
    ),
    Command(
        "add",
        mark("adds one entry, or with --stream those on standard input"),
        (
            RECORD,
            CommandOption("at", "T", mark("when it happened; now if not given")),
            CommandOption("by", "AB", mark("initials of who records")),
            CommandOption("note", "TEXT", mark("in free words")),
            CommandOption("id", "UUID", mark("the entry's id; a new one if not given")),
            CommandOption("recorded-at", "T", mark("when it was written down; now if not given")),
            CommandOption("stream", "", mark("one JSON object a line from standard input")),
        ),
        _later("adding", "add"),
        most=None,
        values="KIND [field=value …]",
    ),
    Command("due", mark("what is due"), (RECORD, AT, PLAN, JSON), _later("reading", "due")),
    Command(
        "flags",
        mark("what somebody should look at; of the last seven days if nothing is said"),
        (RECORD, FROM, TO, PLAN, JSON),
        _later("reading", "flags"),
    ),
    Command(
        "sheet",
        mark("a sheet for paper: a PDF, or one page for a browser"),
        (
            RECORD,
            CommandOption("out", "FILE", mark("the file to write"), required=True),
            CommandOption("sheet", "NAME", mark("its name; week if not given, a wrong one lists them")),
            CommandOption("week", "2026-W47", mark("the ISO week; this one if not given")),
            CommandOption("until", "D", mark("in place of a week, the seven days that end with this one")),
            CommandOption("weeks", "N", mark("how many weeks a course has; 4 if not given")),
            CommandOption("date", "D", mark("the day that a sheet is of; today if not given")),
            CommandOption("at", "T", mark("as was known by this time")),
            CommandOption("paper", "SIZE", mark("a4 or letter")),
            CommandOption("large", "", mark("large print")),
            CommandOption("days", "N", mark("how many days a blank sheet is for; one if not given")),
            CommandOption("columns", "", mark("a blank sheet's days side by side; seven if not given")),
            CommandOption("all", "", mark("an order of all, not only of what runs out")),
            CommandOption("html", "", mark("one page for a browser, and no PDF")),
        ),
        _later("paper", "sheet"),
    ),
    Command(
        "kit",
        mark("the tube, the catheter size, the spare-tube box, the supplies"),
        (RECORD, AT, JSON),
        _later("reading", "kit"),
    ),
    Command("check", mark("verifies a whole record"), (RECORD,), _later("keeping", "check")),
    Command(
        "code",
        mark("tells if copies are encrypted; makes a code or takes one in"),
        (
            CommandOption("new", "", mark("makes a new code; from then on copies are encrypted")),
            CommandOption(
                "enter", "CODE", mark("takes in the code that was made on your other computer; - reads it")
            ),
        ),
        _later("coding", "code"),
    ),
    Command(
        "backup",
        mark("makes a verified copy of a record"),
        (
            RECORD,
            CommandOption("to", "DIR", mark("the folder for the copy"), required=True),
            CommandOption("plain", "", mark("not encrypted, though a code was made")),
        ),
        _later("keeping", "backup"),
    ),
    Command(
        "restore",
        mark("gets a record back from a copy"),
        (RECORD, CODE),
        _later("keeping", "restore"),
        least=1,
        most=1,
        values="FILE",
    ),
)
