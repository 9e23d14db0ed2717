"""A question for the nurse."""

from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

QUESTION = Kind(
    name="question",
    title=mark("Question for the nurse"),
    note_words=mark("Question"),
    tiles=(Tile(mark("Question for the nurse")),),
    has_section=True,
    draw=Draw.WORDS,
    export=Export("Communication"),
    needs_note=True,
)
