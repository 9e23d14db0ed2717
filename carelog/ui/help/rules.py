"""The rules behind the flags as texts, made from the rules' own table."""

from carelog.analysis.rules.rule import Rule
from carelog.analysis.rules.table import RULES
from carelog.text import say
from carelog.ui.help.sources import source_words


def rules() -> list[tuple[str, str]]:
    """Each rule: its title, and what is said of it."""
    return [(say(rule.title), "\n".join(rule_lines(rule))) for rule in RULES]


def rule_lines(rule: Rule) -> tuple[str, ...]:
    """What raises a rule's flag, how serious it is, what ends it, and where it comes from."""
    sources = "; ".join(source_words(source) for source in rule.sources)
    return (
        say("Raised when: {words}").format(words=say(rule.raised)),
        say("How serious: {words}").format(words=say(rule.level)),
        say("Ends once it is recorded, or by time: {words}").format(words=say(rule.clears)),
        say("Source: {words}").format(words=sources or say("none")),
    )
