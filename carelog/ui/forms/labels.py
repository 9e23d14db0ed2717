"""The words before each control of a form."""

from carelog.domain.field import Field
from carelog.text import mark, say
from carelog.ui.naming import sentence

UNLABELLED = {
    "action": mark("What was done"),
    "colour": mark("Colour"),
    "consistency": mark("Thickness"),
    "device": mark("Device"),
    "initials": mark("Initials"),
    "item": mark("Item"),
    "kind": mark("What"),
    "name": mark("Name"),
    "outcome": mark("What was done"),
    "role": mark("Role"),
    "route": mark("Route"),
    "text": mark("Words"),
    "what": mark("What"),
    "where": mark("Where"),
}
NOTE = mark("Note")
NOTES = {"question": mark("Question"), "answer": mark("Answer")}
"""What an entry's note is called where the entry is nothing else."""
NAMED_AGAIN = {
    "temperature_c": mark("Temperature in °C"),
    "temperature_f": mark("or in °F"),
    "unit": mark("Unit"),
    "vacuum_unit": mark("Unit of the vacuum"),
}


def label(field: Field) -> str:
    """The field's words with a capital, those that a line of text leaves out too."""
    if field.name in NAMED_AGAIN:
        return say(NAMED_AGAIN[field.name])
    words = say(field.label) if field.label else say(UNLABELLED.get(field.name, field.name.replace("_", " ")))
    return sentence(words)
