"""A phrase card that was shown."""

from carelog.domain.field import Field, Text
from carelog.domain.kind import Draw, Export, Kind
from carelog.text import mark

PHRASE = Kind(
    name="phrase",
    title=mark("Phrase shown"),
    fields=(Field("text", "", Text(long=True), required=True, asked=mark("Words")),),
    has_page=True,
    is_speech=True,
    is_frequent=True,
    draw=Draw.WORDS,
    export=Export("Communication"),
)
