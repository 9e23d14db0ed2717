"""The words before each control of a form."""

from carelog.domain.field import Field
from carelog.text import mark, say
from carelog.ui.naming import sentence

NOTE = mark("Note")


def label(field: Field) -> str:
    """The field's words with a capital, those that a line of text leaves out too."""
    return say(field.asked) if field.asked else sentence(say(field.label or field.name.replace("_", " ")))
