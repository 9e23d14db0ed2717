"""The rules behind the flags as headings and texts, made from the rules' own table."""

from carelog.analysis.rules.rule import PRACTICE, Source
from carelog.analysis.rules.table import RULES
from carelog.text import say


def rules() -> list[tuple[str, str]]:
    """Each rule: what raises it, how serious it is, what ends it, and where it comes from."""
    found = []
    for rule in RULES:
        sources = "; ".join(_source_words(source) for source in rule.sources)
        lines = (
            say("Raised when: {words}").format(words=say(rule.raised)),
            say("How serious: {words}").format(words=say(rule.level)),
            say("Ends once it is recorded, or by time: {words}").format(words=say(rule.clears)),
            say("Source: {words}").format(words=sources or say("none")),
        )
        found.append((say(rule.title), "\n".join(lines)))
    return found


def _source_words(source: Source) -> str:
    if source == PRACTICE:
        return say(source.status.value)
    return f"{say(source.name)} ({say(source.status.value)})"
