"""Fields that take either of two things: a value or null, a listed choice or free words."""

from dataclasses import dataclass

from carelog.domain.entry import Json
from carelog.domain.field import Choice, Type
from carelog.text import mark, say


@dataclass(frozen=True, slots=True)
class OrNone:
    """A value that may also be null, which says “none” out loud."""

    type: Type

    def problem(self, value: Json) -> str | None:
        return None if value is None else self.type.problem(value)

    def typed(self, text: str) -> Json:
        return None if text.strip() in ("null", "none") else self.type.typed(text)

    def words(self, value: Json) -> str:
        return say(mark("none")) if value is None else self.type.words(value)


@dataclass(frozen=True, slots=True)
class ChoiceOrText:
    """A value of a list, or words of the household's own."""

    choice: Choice

    def problem(self, value: Json) -> str | None:
        return None if isinstance(value, str) else say("must be text")

    def typed(self, text: str) -> Json:
        return self.choice.typed(text)

    def words(self, value: Json) -> str:
        return self.choice.words(value)
