"""An answer to a question."""

from carelog.domain.field import Field, Reference
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

ANSWER = Kind(
    name="answer",
    title=mark("Answer"),
    note_words=mark("Answer"),
    fields=(Field("question", mark("to the question"), Reference("question"), required=True),),
    has_section=True,
    draw=Draw.WORDS,
    export=Export("Communication"),
    needs_note=True,
)
