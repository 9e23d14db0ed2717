"""What the page of a visit holds while it is open: the days, what was read of them, what is half typed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.ui.slip import Slip

if TYPE_CHECKING:
    from carelog.analysis.visit.code import CheckedSheet
    from carelog.analysis.visit.figure import VisitFigure
    from carelog.analysis.visit.questions import AskedQuestion
    from carelog.analysis.visit.visit import Visit, VisitDays


def answer_line(asked: "AskedQuestion") -> str:
    """The name of the line for an answer."""
    return f"answer_{asked.held.first.id}"


@dataclass
class VisitState:
    """Changed by the page alone, which then fills itself anew."""

    days: "VisitDays | None" = None
    visit: "Visit | None" = None
    unread: str = ""
    """Why nothing is shown yet."""
    saved: Slip | None = None
    """What can be taken back: the last that was saved here."""
    fresh: Sequence[Entry] = ()
    """What was saved here and isn't among what was read yet: it is shown as saved meanwhile."""
    writer: str = ""
    """Who records: what is half typed is theirs; empty: nobody chosen."""
    typed_by: dict[str, dict[str, str]] = field(default_factory=dict)
    """What each of those who recorded has half typed, by the names of the fields."""
    unfolded: frozenset[str] = frozenset()
    """Which of signing, other days and checking a sheet are open."""
    nurse: str = ""
    """Whose initials are chosen to sign."""
    code_words: str = ""
    checked: "CheckedSheet | None" = None

    @property
    def typed(self) -> dict[str, str]:
        """What is half typed by who records now: nobody saves the words of another as their own."""
        return self.typed_by.setdefault(self.writer, {})

    def typed_by_others(self, name: str) -> list[tuple[str, str]]:
        """Who else has typed something there without saving it, and what."""
        found = ((by, typed.get(name, "").strip()) for by, typed in self.typed_by.items())
        return [(by, text) for by, text in found if text and by != self.writer]

    def is_typed(self, name: str) -> bool:
        """Whether anybody has typed something there that isn't saved."""
        return any(typed.get(name, "").strip() for typed in self.typed_by.values())

    @property
    def questions(self) -> "Sequence[AskedQuestion]":
        """Those that are shown."""
        return self.visit.questions if self.visit else ()

    def asked_words(self) -> dict[str, str]:
        """What was asked, by the ids that an answer speaks of."""
        return {each.held.first.id: each.text for each in self.questions}

    def left_typed(self) -> "AskedQuestion | None":
        """A question to which an answer is typed that nobody saved."""
        waiting = (each for each in self.questions if each.is_open)
        return next((each for each in waiting if self.is_typed(answer_line(each))), None)

    def fold(self, name: str) -> None:
        """Open a part that is folded, and fold one that is open."""
        self.unfolded = self.unfolded ^ {name}


@dataclass(frozen=True, slots=True)
class VisitActs:
    """What can be done on the page; each is pressed for."""

    fold: Callable[[str], object]
    length: Callable[[int], object]
    move: Callable[[int], object]
    """By so many periods."""
    move_beside: Callable[[int], object]
    open: "Callable[[str, VisitFigure], None]"
    answer: "Callable[[AskedQuestion, str], object]"
    see: Callable[[Flag, str], object]
    choose_nurse: Callable[[str], object]
    sign: Callable[[bool], object]
    """Signed, or only written down."""
    check: Callable[[str], object]
    go: Callable[[str], object]
    print: Callable[[], object]
