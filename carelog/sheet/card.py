"""The card for a pocket: who this is, how they breathe, whom to call; the same text as a QR code."""

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
    from carelog.sheet.pocket import card_content

    return card_content(found, entries, columns)


CARD = Declaration(
    name="card",
    title=mark("card"),
    span=Span.TODAY,
    purpose=mark("for the pocket, out of the house"),
    content=_content,
    has_large=False,
    sketch=(
        "AAAA  BBBB",
        "A##A  B##B",
        "A--A  B--B",
        "A-xA  B-xB",
        "AAAA  BBBB",
        "          ",
        "CCCC  DDDD",
        "C##C  D##D",
        "C--C  D--D",
        "C-xC  D-xD",
        "CCCC  DDDD",
    ),
    for_folder=(),
)
