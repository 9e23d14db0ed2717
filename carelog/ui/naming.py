"""Names of things in words: tasks of the plan, states of dues, entries."""

from carelog.analysis.titles import with_titles
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import Home, Instant
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui import times


def due_words(due: Due, home: Home, now: Instant) -> str:
    """The state and time of a due: “overdue since 02:30”, “due 03:00”, “08:05”."""
    if due.state is DueState.LATE:
        return say("overdue since {time}").format(time=times.near(home, due.late_at, now))
    time = times.near(home, due.due_at, now)
    return say("due {time}").format(time=time) if due.state is DueState.DUE else time


def entry_line(entry: Entry) -> str:
    """An entry in a few words: its kind's title and its line."""
    line = line_words(entry.kind, entry.details)
    title = say(named_or_unknown(entry.kind).title)
    return f"{title}: {line}" if line else title


def line_words(kind: str, details: Details) -> str:
    """The details of an entry as one line; rules and other kinds are named by their titles."""
    return named_or_unknown(kind).line(with_titles(kind, details))


def contact_words(details: Details) -> str:
    """A contact: role, name, number, and when it answers."""
    parts = [str(details.get(name, "")) for name in ("role", "name", "phone")]
    words = ", ".join(part for part in parts if part)
    return f"{words} ({details['when']})" if details.get("when") else words


def told_words(details: Details) -> str:
    """Who was told, as it is recorded: the contact's name, else its role."""
    return str(details.get("name") or details["role"])


def sentence(text: str) -> str:
    """The text with a capital at its start."""
    return text[:1].upper() + text[1:]
