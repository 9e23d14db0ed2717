"""How a command is called: its options and values, read with sentences of our own."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from carelog.commands.surroundings import Surroundings
from carelog.domain.trouble import WrongUse
from carelog.text import mark, say


@dataclass(frozen=True, slots=True)
class CommandOption:
    """One option; `value` is the word for what follows it, empty for a switch."""

    name: str
    value: str
    about: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Given:
    """What a command was called with."""

    options: Mapping[str, str]
    values: Sequence[str]

    def text(self, name: str) -> str | None:
        """What was given with an option, or None."""
        return self.options.get(name)

    def needed(self, name: str) -> str:
        """What was given with an option that the command needs."""
        return self.options[name]

    def has(self, name: str) -> bool:
        """Whether the option was given."""
        return name in self.options


@dataclass(frozen=True, slots=True)
class Command:
    """One sub-command: its words in the help, its options, its values, and what it does."""

    name: str
    about: str
    options: tuple[CommandOption, ...]
    run: Callable[[Given, Surroundings], int]
    least: int = 0
    most: int | None = 0
    values: str = ""
    to_come: tuple[str, ...] = ()
    """Options of what isn't built yet: they say so, and aren't offered."""

    def read(self, words: Sequence[str]) -> Given:
        """What these words of the command line mean; `WrongUse` with a sentence when they mean nothing."""
        options: dict[str, str] = {}
        values: list[str] = []
        rest = list(words)
        while rest:
            word = rest.pop(0)
            if word == "--":
                values += rest
                break
            if not word.startswith("--"):
                values.append(word)
                continue
            name, text = self._option(word, rest)
            if name in options:
                raise WrongUse(say("--{name} is given twice; give it once.").format(name=name))
            options[name] = text
        return self._complete(options, values)

    def _option(self, word: str, rest: list[str]) -> tuple[str, str]:
        name, equals, text = word[2:].partition("=")
        found = next((each for each in self.options if each.name == name), None)
        if name in self.to_come:
            raise WrongUse(say("--{name} isn't built yet.").format(name=name))
        if found is None:
            raise WrongUse(
                say("carelog {command} has no option --{name}. carelog {command} --help names them.").format(
                    command=self.name, name=name
                )
            )
        if not found.value:
            if equals:
                raise WrongUse(say("--{name} takes no value.").format(name=name))
            return name, ""
        if equals:
            return name, text
        if not rest or self._is_option(rest[0]):
            raise WrongUse(say("--{name} needs a value: {value}.").format(name=name, value=found.value))
        return name, rest.pop(0)

    def _is_option(self, word: str) -> bool:
        return word[:2] == "--" and word[2:].partition("=")[0] in [each.name for each in self.options]

    def _complete(self, options: dict[str, str], values: list[str]) -> Given:
        for each in self.options:
            if each.required and each.name not in options:
                raise WrongUse(
                    say("--{name} {value} is missing.").format(name=each.name, value=each.value).strip()
                )
        if len(values) < self.least:
            raise WrongUse(
                say("Something is missing: carelog {command} {values}.").format(
                    command=self.name, values=self.values
                )
            )
        if self.most is not None and len(values) > self.most:
            raise WrongUse(
                say("carelog {command} has no use for “{word}”.").format(
                    command=self.name, word=values[self.most]
                )
            )
        return Given(options, values)

    def help(self) -> str:
        """How to call it, for --help."""
        lines = [f"carelog {self.name} {self.values}".strip(), say(self.about), ""]
        for each in self.options:
            needed = say(mark(" (needed)")) if each.required else ""
            lines.append(f"  {f'--{each.name} {each.value}'.strip():24} {say(each.about)}{needed}")
        return "\n".join(lines) + "\n"
