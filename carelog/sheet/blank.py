"""A blank sheet for a day, made from the person's own plan: to be filled in by hand and typed in later."""

from collections.abc import Sequence

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Content
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material
from carelog.text import mark


def _content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    # Loaded with the first of these: no other sheet needs any of it.
    from carelog.sheet.blankday import blank_content

    return blank_content(found, entries, columns)


BLANK = Declaration(
    name="blank",
    title=mark("blank, to fill in by hand"),
    span=Span.DAY,
    purpose=mark("for a power cut, or for whoever prefers a pen"),
    takes=("days", "columns"),
    sketch=(
        "####      ",
        "---- -----",
        "AA ---- BB",
        "AA ---- BB",
        "CC ---- DD",
        "CC ---- DD",
        "EE ---- FF",
        "EE ---- FF",
        "GGGGGGGGGG",
        "GGGGGGGGGG",
        "GGGGGGGGGG",
    ),
    for_folder=(("count", 3),),
    content=_content,
)
