"""The help's page: a list of pages, each in plain words from the resources; it opens no link."""

from collections.abc import Callable

from carelog import resources
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.column import ColumnView
from carelog.ui.help.paragraphs import HEADING, ITEM, paragraphs
from carelog.ui.keys import KEYS
from carelog.ui.theme import Size
from carelog.ui.words import Words

TOPICS = (
    ("what_it_is_not", mark("What this is, and what it is not")),
    ("first_run", mark("The first start")),
    ("board", mark("The board")),
    ("forms", mark("Forms")),
    ("mistakes", mark("When something went wrong")),
    ("timeline", mark("Days")),
    ("course", mark("The course, and taking over")),
    ("flags", mark("Flags")),
    ("rules", mark("The rules behind the flags")),
    ("noticing", mark("How change is noticed")),
    ("due", mark("What is due, and reminders")),
    ("kit", mark("The kit, and a power cut")),
    ("plan", mark("The care plan")),
    ("sheet", mark("Sheets for paper")),
    ("emergency", mark("The emergency page")),
    ("cards", mark("Cards instead of speaking")),
    ("night", mark("At night")),
    ("settings", mark("Settings")),
    ("switches", mark("One switch, two switches, a resting pointer")),
    ("copies", mark("Copies, import and export")),
    ("privacy", mark("Who can read the record")),
    ("keys", mark("All keys")),
)
INTRODUCTION = "help"  # the text above the list


class Help(ColumnView):
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

    def show_list(self) -> bool:
        """Back to the list of pages; False when it is shown already."""
        was_list = not self._topic
        self.show_topic("")
        return not was_list

    def key(self) -> object:
        return self._topic

    def fill(self) -> None:
        if not self._topic:
            self.heading(say("Help"))
            self._fill_text(INTRODUCTION)
            self.list((self._button(say(words), f"help_{name}", name) for name, words in TOPICS), least=330)
            return
        self.row(self._button(say("All help pages"), "help_list", ""))
        self.heading(say(dict(TOPICS)[self._topic]))
        self._fill_text(self._topic)
        if self._topic == "keys":
            self._fill_keys()
        if self._topic == "rules":
            for heading, text in self._rules():
                self.heading(heading, Size.NAME)
                self.words(text)

    def _button(self, words: str, name: str, topic: str) -> Button:
        button = Button(words, name)
        button.clicked.connect(lambda: self.show_topic(topic))
        return button

    def _fill_text(self, topic: str) -> None:
        for sign, text in paragraphs(topic_text(topic)):
            if sign == HEADING:
                self.heading(say(text), Size.NAME)
            else:
                self.words(f"– {say(text)}" if sign == ITEM else say(text))

    def _fill_keys(self) -> None:
        self.words(say("On the board the keys 1 to 9, 0, - and = press the tiles, from the first on."))
        self.list(Words(f"{', '.join((key.press, *key.also[:1]))}: {say(key.words)}") for key in KEYS)


def topic_text(topic: str) -> str:
    """The text of a help page."""
    return resources.find(f"help/{topic}.md").read_text(encoding="utf-8")
