"""The questions that somebody wrote down, each with its answers: the one reading that all places show."""

from collections.abc import Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import Held, Reading
from carelog.kinds.answer import ANSWER
from carelog.kinds.question import QUESTION


@dataclass(frozen=True, slots=True)
class AskedQuestion:
    """A question in force and its answers, oldest first; none: nobody has answered it."""

    held: Held
    answers: tuple[Held, ...]

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it."""
        return not self.answers

    @property
    def text(self) -> str:
        """What was asked."""
        return self.held.entry.note.strip()


def asked_questions(reading: Reading) -> list[AskedQuestion]:
    """All questions in the order of their times."""
    answers: dict[str, list[Held]] = {}
    for each in reading.of(ANSWER.name):
        answers.setdefault(str(each.entry.details.get("question")), []).append(each)
    return [_with_answers(held, answers) for held in reading.of(QUESTION.name)]


def _with_answers(held: Held, answers: dict[str, list[Held]]) -> AskedQuestion:
    """An answer may name any version of its question."""
    found = [each for version in held.chain for each in answers.get(version.id, ())]
    return AskedQuestion(held, tuple(sorted(found, key=lambda each: (each.time, each.known, each.entry.id))))


def open_questions(questions: Sequence[AskedQuestion]) -> list[AskedQuestion]:
    """Those that nobody has answered."""
    return [each for each in questions if each.is_open]
