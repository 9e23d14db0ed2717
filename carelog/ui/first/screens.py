"""Where one is in the questions: each question, and each sentence of the plan, is a screen of its own."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from carelog.app.basics.questions import STEPS, Question, asked_of, question
from carelog.domain.entry import Details, details_text
from carelog.kinds.plan import PLAN
from carelog.text import say
from carelog.ui.first.sentences import SENTENCES, PlanSentence, Sort, sentences_for

if TYPE_CHECKING:
    from carelog.app.outlook import Picture


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen: a question, and of the plan one of its sentences."""

    question: str
    sentence: str = ""

    @property
    def key(self) -> str:
        """Its name, for what is kept of it."""
        return f"{self.question}.{self.sentence}" if self.sentence else self.question

    @property
    def asked(self) -> Question:
        """The question."""
        return question(self.question)

    def of_plan(self) -> PlanSentence | None:
        """The sentence of the plan that it asks for."""
        return next((each for each in SENTENCES if each.name == self.sentence), None)

    def asks(self) -> str:
        """The question in words."""
        sentence = self.of_plan()
        return say(sentence.asks if sentence is not None else self.asked.asks)

    def told(self) -> str:
        """What helps to answer it."""
        sentence = self.of_plan()
        told = sentence.told if sentence is not None else self.asked.told
        return say(told) if told else ""


def screens(picture: "Picture") -> list[Screen]:
    """All screens that can be asked now, in their order."""
    found: list[Screen] = []
    for each in asked_of(picture):
        if each.kind == PLAN.name:
            found += [Screen(each.name, sentence.name) for sentence in sentences_for(picture)]
        else:
            found.append(Screen(each.name))
    return found


def is_settled(screen: Screen, picture: "Picture", aside: Collection[str]) -> bool:
    """Whether it is answered, or was said here to have no answer that a record could hold."""
    return screen.key in aside or is_answered(screen, picture)


def is_answered(screen: Screen, picture: "Picture") -> bool:
    """Whether the record holds an answer to this screen."""
    sentence = screen.of_plan()
    if sentence is None:
        return screen.asked.has_end and screen.asked.is_answered(picture)
    plan: Details = picture.plan.details if picture.plan is not None else {}
    if sentence.sort is Sort.RHYTHM:
        return any(_names(task) == _names(sentence.task) for task in plan.get("tasks", []))
    if sentence.sort is Sort.LIMIT:
        return sentence.limit in plan.get("limits", {})
    return (sentence.field or "set_by") in plan


def begin_at(picture: "Picture", half_typed: Sequence[str], aside: Collection[str] = ()) -> Screen:
    """The screen to begin with: where something is typed and not saved, else the first without an answer."""
    found = screens(picture)
    typed = [each for each in found if each.key in half_typed]
    unanswered = [each for each in found if not is_settled(each, picture, aside)]
    return (typed or unanswered)[0]


def after(screen: Screen, picture: "Picture", by: int = 1) -> Screen | None:
    """The next screen, or with -1 the one before; None at either end."""
    found = screens(picture)
    if screen not in found:
        return begin_at(picture, ())
    wanted = found.index(screen) + by
    return found[wanted] if 0 <= wanted < len(found) else None


def near(screen: Screen, picture: "Picture") -> Screen:
    """The screen itself, or where it can't be asked any more, the first of its step."""
    found = screens(picture)
    same = [each for each in found if each.asked.step == screen.asked.step]
    return screen if screen in found or not same else same[0]


def after_step(screen: Screen, picture: "Picture") -> Screen | None:
    """The first screen of the next step."""
    step = screen.asked.step
    return next((each for each in screens(picture) if each.asked.step > step), None)


def progress(screen: Screen, picture: "Picture") -> str:
    """How far: “3 of 8: The tube”, and where a step has several screens, which of them."""
    step = screen.asked.step
    words = say("{number} of {count}: {step}").format(
        number=step, count=len(STEPS), step=say(STEPS[step - 1])
    )
    same = [each for each in screens(picture) if each.asked.step == step]
    if len(same) < 2 or screen not in same:
        return words
    part = say("question {number} of {count}").format(number=same.index(screen) + 1, count=len(same))
    return f"{words}, {part}"


def steps_done(picture: "Picture") -> list[bool]:
    """Of each step whether the record holds all that it asks for."""
    asked = asked_of(picture)
    return [
        all(each.has_end and each.is_answered(picture) for each in asked if each.step == step)
        for step in range(1, len(STEPS) + 1)
    ]


def _names(task: Details) -> tuple[str, str]:
    return task["kind"], details_text(task.get("where", {}))
