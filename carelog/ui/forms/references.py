"""The entries that a form offers to pick from, in words."""

from typing import TYPE_CHECKING

from carelog.domain.moment import Home, Instant
from carelog.kinds.answer import ANSWER
from carelog.kinds.question import QUESTION
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.forms.nested import ReferenceControl
from carelog.ui.forms.picks import Option
from carelog.ui.naming import entry_line
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.app.ports import Record

OFFERED = 12
LONGEST = 34  # letters of an entry's words on its button


def offer_references(access: Access, present: Present, kind: str, control: ReferenceControl) -> None:
    """Read the newest entries of a kind and offer them; a record that isn't read offers none."""
    home, now = present.home(), present.now()
    access.read(
        lambda record: newest(record, kind, home, now),
        control.offer,
        lambda _sentence: None,
    )


def newest(record: "Record", kind: str, home: Home, now: Instant) -> list[Option]:
    """The newest entries in force of a kind as ids and words; answered questions last, and marked."""
    from carelog.analysis.in_force import Reading
    from carelog.analysis.visit.questions import asked_questions

    is_asked = kind == QUESTION.name
    reading = Reading(record.of_kinds([kind, ANSWER.name]) if is_asked else record.newest(kind, OFFERED))
    answered = {each.held.first.id for each in asked_questions(reading) if not each.is_open}
    found: list[Option] = []
    for each in sorted(reading.of(kind), key=lambda one: (one.first.id in answered, -one.time))[:OFFERED]:
        words = each.entry.note.strip() or entry_line(each.entry)
        if len(words) > LONGEST:
            words = f"{words[:LONGEST].rstrip()}…"
        if each.first.id in answered:
            words = say("{words} (answered)").format(words=words)
        when = times.near(home, each.time, now)
        found.append((each.first.id, say("{when}: {words}").format(when=when, words=words)))
    return found
