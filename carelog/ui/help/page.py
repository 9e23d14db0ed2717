"""The help's page: a list of pages, each in plain words from the resources; it opens no link."""

from collections.abc import Callable

from carelog import resources
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import Column
from carelog.ui.keys import KEYS
from carelog.ui.theme import Size

TOPICS = (
    ("start", mark("What this is, and what it is not")),
    ("board", mark("The board")),
    ("forms", mark("Forms")),
    ("timeline", mark("The timeline")),
    ("flags", mark("Flags")),
    ("rules", mark("The rules behind the flags")),
    ("due", mark("What is due, and reminders")),
    ("plan", mark("The care plan")),
    ("sheet", mark("Sheets for paper")),
    ("emergency", mark("The emergency page")),
    ("settings", mark("Settings and copies")),
    ("privacy", mark("Who can read the record")),
    ("keys", mark("All keys")),
)


class Help(Column):
    """Pages of headings (lines that begin with #), paragraphs, and lists (lines that begin with -)."""

    def __init__(self, rules: Callable[[], list[tuple[str, str]]]) -> None:
        """`rules` gives the rules' own table as headings and texts."""
        super().__init__()
        self._rules = rules
        self._topic = ""

    def show_topic(self, topic: str) -> None:
        """Open one page of the help; empty: the list."""
        self._topic = topic
        self.refresh()

    def key(self) -> object:
        return self._topic

    def fill(self) -> None:
        if not self._topic:
            self.heading(say("Help"))
            self.row(*(self._button(say(words), f"help_{name}", name) for name, words in TOPICS))
            return
        self.row(self._button(say("All help pages"), "help_list", ""))
        self.heading(say(dict(TOPICS)[self._topic]))
        if self._topic == "keys":
            self._fill_keys()
        else:
            self._fill_text()
        if self._topic == "rules":
            for heading, text in self._rules():
                self.heading(heading, Size.NAME)
                self.words(text)

    def _button(self, words: str, name: str, topic: str) -> Button:
        button = Button(words, name)
        button.clicked.connect(lambda: self.show_topic(topic))
        return button

    def _fill_text(self) -> None:
        for kind, text in paragraphs(topic_text(self._topic)):
            self.words(text, Size.NAME if kind == "#" else Size.TEXT)

    def _fill_keys(self) -> None:
        self.words(say("On the board the keys 1 to 9, 0, - and = press the tiles, from the first on."))
        for key in KEYS:
            self.words(f"{key.press}: {say(key.words)}")


def topic_text(topic: str) -> str:
    """The text of a help page."""
    return resources.find(f"help/{topic}.md").read_text(encoding="utf-8")


def paragraphs(text: str) -> list[tuple[str, str]]:
    """Headings and paragraphs, each with its sign (# or nothing); lists keep a dash."""
    found = []
    for block in text.split("\n\n"):
        lines = block.strip().splitlines()
        if not lines:
            continue
        if lines[0].startswith("#"):
            found.append(("#", say(lines[0].lstrip("# "))))
        elif lines[0].startswith("- "):
            found.extend(("", f"– {say(line[2:])}") for line in lines)
        else:
            found.append(("", say(" ".join(lines))))
    return found
