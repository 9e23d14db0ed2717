"""What went wrong, as one plain sentence for the person at the screen."""


class Trouble(Exception):
    """A job failed: the sentence says what is wrong and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class Refused(Trouble):
    """What was given can't be taken; nothing was changed."""


class AnotherPerson(Refused):
    """A file is about another person than the record that it was to be added to."""


class WrongUse(Trouble):
    """A command was called in a way that has no meaning."""
