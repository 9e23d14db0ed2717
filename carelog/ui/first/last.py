"""What the last answer saved, wherever it was given: several pages offer to take it back."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from carelog.analysis.in_force import same_value
from carelog.analysis.revision import revision
from carelog.domain.entry import Details, Entry
from carelog.domain.plan import Plan
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.kinds.recorder import RECORDER
from carelog.text import say
from carelog.ui import times
from carelog.ui.slip import Slip

if TYPE_CHECKING:
    from carelog.ui.desk import Desk
    from carelog.ui.first.screens import Screen


@dataclass
class LastAnswer:
    """The presses of this window that its entries count as, and the answer in words."""

    slips: Sequence[Slip] = ()
    words: str = ""
    is_passed: bool = False
    """Whether a question was passed over since: what was saved before it isn't the answer to that."""

    def note(self, desk: "Desk", screen: "Screen", before: Details, entries: Sequence[Entry]) -> None:
        """Put what was saved where Undo finds it, in the words of the question; who is the first records.

        `before`: what was recorded of it until then.
        """
        if entries:
            newest, home = entries[-1], desk.present.home()
            known = before if newest.amends is not None or newest.kind == PLAN.name else {}
            own = screen.asked.title if newest.kind == screen.asked.kind else ""
            self.words = answer_words(own, newest.kind, known, newest.details)
            if screen.question == "tube_day":
                self.words = f"{self.words}: {times.full_day(home.day(newest.at.instant))}"
        for entry in entries:
            desk.slips.note_saved(entry)
        self.slips = tuple(desk.slips.all[-len(entries) :]) if entries else ()
        self.is_passed = not entries
        first = next((each for each in entries if each.kind == RECORDER.name), None)
        if first is not None and not desk.recorder.who:
            desk.recorder.choose(str(first.details.get("initials", "")))


def answer_words(title: str, kind: str, before: Details, after: Details) -> str:
    """What an answer says that wasn't recorded before; of a plan what it changes. No title: the kind's."""
    title = title or named_or_unknown(kind).title
    if kind == PLAN.name:
        told = revision(_plan(before), _plan(after))
    else:
        new = {
            name: value
            for name, value in after.items()
            if name not in BY_ITSELF and not (name in before and same_value(before[name], value))
        }
        told = named_or_unknown(kind).line(new)
    return f"{say(title)} ({told})" if told else say(title)


BY_ITSELF = frozenset({"home_zone", "reason", "for", "role"})
"""What the program filled in by itself."""


def _plan(details: Details) -> Plan:
    return Plan.of(entry="", since=0, details=details)
