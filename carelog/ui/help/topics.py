"""The pages of the help: their names, which are their files below resources/help, and their titles."""

from collections.abc import Callable
from dataclasses import dataclass

from carelog import resources
from carelog.kinds import ALL
from carelog.text import mark, say
from carelog.ui.help.worries import WORRIES, Worry

KINDS, RULE_PAGES, WORRY_PAGES = "kinds", "rules", "worries"
SEVERAL = "several"
"""The page about a flag that several small differences raised together, whatever its rule."""
WORDS = "words"
WORDS_HERE = "words_here"
"""The text of the page of words that tells the program's own."""
INTRODUCTION = "help"  # the text above the list


@dataclass(frozen=True, slots=True)
class Topic:
    """One page of the help."""

    name: str
    words: str
    """Its title, marked."""
    glyph: str = "help"

    @property
    def title(self) -> str:
        """Its title in the language in use."""
        return say(self.words)

    @property
    def worry(self) -> Worry | None:
        """What somebody worries about, where the page is an answer to it."""
        return next((each for each in WORRIES if worry_topic(each) == self.name), None)


TOPICS = (
    Topic("what_it_is_not", mark("What this is, and what it is not")),
    Topic("first_run", mark("The first start")),
    Topic("board", mark("The board")),
    Topic("forms", mark("Forms")),
    Topic(KINDS, mark("All that can be recorded")),
    Topic("mistakes", mark("When something went wrong")),
    Topic("timeline", mark("Days")),
    Topic("course", mark("The course, and taking over")),
    Topic("flags", mark("Flags")),
    Topic(RULE_PAGES, mark("The rules behind the flags")),
    Topic("noticing", mark("How change is noticed")),
    Topic(SEVERAL, mark("Several changes together"), "flags"),
    Topic("due", mark("What is due, and reminders")),
    Topic("kit", mark("The kit, a power cut, going out, coming home")),
    Topic("plan", mark("The care plan")),
    Topic("visit", mark("The nurse's visit")),
    Topic("sheet", mark("Sheets for paper")),
    Topic("emergency", mark("The emergency page")),
    Topic("cards", mark("Cards instead of speaking")),
    Topic("night", mark("At night")),
    Topic("settings", mark("Settings")),
    Topic("switches", mark("One switch, two switches, a resting pointer")),
    Topic("copies", mark("Copies, import and export")),
    Topic("privacy", mark("Who can read the record")),
    Topic(WORDS, mark("What the words mean")),
    Topic("keys", mark("All keys")),
)


def kind_topic(kind: str) -> str:
    """The name of the page about a kind of entry."""
    return f"{KINDS}/{kind}"


def rule_topic(rule: str) -> str:
    """The name of the page about a rule's flags."""
    return f"{RULE_PAGES}/{rule}"


def worry_topic(worry: Worry) -> str:
    """The name of the page that answers a worry."""
    return f"{WORRY_PAGES}/{worry.name}"


def of_kinds() -> list[Topic]:
    """A page for every kind of entry."""
    return [Topic(kind_topic(kind.name), kind.title, kind.name) for kind in ALL]


def of_rules() -> list[Topic]:
    """A page for every rule of the flags."""
    from carelog.analysis.rules.table import RULES  # a form needs the words alone

    return [Topic(rule_topic(rule.name), rule.title, "flags") for rule in RULES]


def of_worries() -> list[Topic]:
    """The answers to what people worry about."""
    return [Topic(worry_topic(each), each.words, each.glyph) for each in WORRIES]


def of_the_program() -> list[Topic]:
    """A page for each page of the window, and those that belong to none."""
    return list(TOPICS)


MAKERS: tuple[Callable[[], list[Topic]], ...] = (of_worries, of_the_program, of_kinds, of_rules)


def every_topic() -> list[Topic]:
    """All pages of the help."""
    return [topic for make in MAKERS for topic in make()]


def topic_named(name: str) -> Topic | None:
    """The page of that name; None: there is none, as for a kind of a newer version."""
    return next((each for each in every_topic() if each.name == name), None)


def topic_text(topic: str) -> str:
    """The text of a help page."""
    return resources.find(f"help/{topic}.md").read_text(encoding="utf-8")
